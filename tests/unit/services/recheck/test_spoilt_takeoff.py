"""One line of a good takeoff spoilt, and the second count names it."""

from collections.abc import Callable

import pytest

from schemas.plan import Plan
from schemas.takeoff import TakeoffLine
from services.recheck import recheck
from services.recheck.wanted import brought
from tests.planned import plan

PLANNED = ("l-deck", "porch", "corner-45", "wraparound", "two-stair-sides", "metric")

Change = Callable[[TakeoffLine], TakeoffLine | None]


def changed(whole: Plan, item: str, change: Change) -> Plan:
    """The plan with one line of its takeoff changed, or left out."""
    kept = (change(line) if line.item == item else line for line in whole.takeoff.lines)
    lines = tuple(line for line in kept if line is not None)
    grams = sum(line.grams for line in lines)
    return whole.model_copy(
        update={"takeoff": whole.takeoff.model_copy(update={"lines": lines, "grams": grams})}
    )


def one_less(line: TakeoffLine) -> TakeoffLine:
    """A package less, as if nobody had missed it."""
    return line.model_copy(
        update={
            "packages": line.packages - 1,
            "grams": line.grams - line.grams // line.packages,
        }
    )


def left_out(_line: TakeoffLine) -> None:
    """No such line."""


def other_colour(line: TakeoffLine) -> TakeoffLine:
    """The right part in the wrong colour."""
    return line.model_copy(update={"variant": "slate"})


def spare_less(line: TakeoffLine) -> TakeoffLine:
    """A spare too few, the packages as they were."""
    return line.model_copy(update={"spare": line.spare - 1})


def one_more(line: TakeoffLine) -> TakeoffLine:
    """A package that nobody asked for."""
    return line.model_copy(
        update={
            "packages": line.packages + 1,
            "grams": line.grams + line.grams // line.packages,
        }
    )


@pytest.mark.parametrize("name", PLANNED)
def test_every_line_left_out_is_missed(name: str) -> None:
    """Whatever it is, posts or rags: the second count knows that it is needed."""
    good = plan(name)
    assert recheck(good) == ()

    for line in good.takeoff.lines:
        breaches = recheck(changed(good, line.item, left_out))

        assert any(line.item in breach for breach in breaches), line.item


@pytest.mark.parametrize("name", PLANNED)
def test_every_package_too_few_is_missed(name: str) -> None:
    """A whole package less of anything is short."""
    good = plan(name)

    for line in good.takeoff.lines:
        breaches = recheck(changed(good, line.item, one_less))

        assert any(line.item in breach for breach in breaches), line.item


@pytest.mark.parametrize("name", PLANNED)
def test_every_package_too_many_is_seen(name: str) -> None:
    """It would be carried there and back."""
    good = plan(name)

    for line in good.takeoff.lines:
        breaches = recheck(changed(good, line.item, one_more))

        assert any("package less would hold" in b and line.item in b for b in breaches), line.item


@pytest.mark.parametrize(
    ("item", "change", "says"),
    [
        ("cove-cap", other_colour, "cove-cap (slate) is loaded, and nothing in the plan takes it"),
        ("cove-cap", other_colour, "0 cove-cap (chalk) loaded for"),
        ("cove-level-96", other_colour, "0 cove-level-96 (chalk, height 36) loaded for"),
        ("bolt-half", spare_less, "bolt-half: 2 spares, 3 by the rule"),
        ("grip-joiner", left_out, "0 grip-joiner loaded for 1"),
    ],
)
def test_wrong_colours_and_spares_are_named(item: str, change: Change, says: str) -> None:
    """With the part as ordered, and both counts."""
    breaches = recheck(changed(plan("l-deck"), item, change))

    assert any(says in breach for breach in breaches), breaches


def test_a_weight_that_is_not_the_packages_own_is_named() -> None:
    """The truck's limit is checked against this figure."""
    good = plan("l-deck")
    lighter = good.takeoff.model_copy(update={"grams": good.takeoff.grams - 1000})

    breaches = recheck(good.model_copy(update={"takeoff": lighter}))

    assert any("by the price book" in breach for breach in breaches)


def test_the_second_count_knows_what_kits_bring() -> None:
    """Balusters, brackets and foot blocks of every kit on the cut list."""
    good = plan("l-deck")
    rail = good.job.system.level
    kits = {kit.key: kit for kit in rail.kits}
    taken = [kits[str(bar.stock.kit)] for bar in good.cuts.bars if bar.stock.kit in kits]

    boxed = brought(good)

    assert boxed[rail.baluster_key, "chalk, height 36"] == sum(k.balusters for k in taken)
