"""Metal inside the rails, bought loose: cut to each rail, and brackets from line to line."""

from __future__ import annotations

from functools import cache
from typing import Literal

import pytest

from schemas.job import Library
from schemas.lengths import INCH
from schemas.part_rule import PartRule
from schemas.plan import Plan
from schemas.rail_system import RailSystem, RoutedRail, Stiffener
from services.pipeline import make_plan
from services.recheck import recheck
from tests import builders
from tests.planned import plan

SHORT = INCH // 2


def _with_metal(system: RailSystem, rails: tuple[Literal["top", "bottom"], ...]) -> RailSystem:
    metal = Stiffener.model_validate(
        {"key": "grip-rail-96", "stock": "96 in", "short": "1/2 in", "rails": rails}
    )

    def inside(rail: RoutedRail) -> RoutedRail:
        return rail.model_copy(update={"stiffener": metal})

    stair = inside(system.stair) if system.stair else None
    return system.model_copy(update={"level": inside(system.level), "stair": stair})


def books(rails: tuple[Literal["top", "bottom"], ...]) -> Library:
    """The demo's library, its rails with metal inside, sold as the demo's round handrail is."""
    library = builders.library()
    systems = tuple(_with_metal(system, rails) for system in library.systems)
    return library.model_copy(update={"systems": systems})


@cache
def stiffened(name: str, rails: tuple[Literal["top", "bottom"], ...] = ("top",)) -> Plan:
    """A demo job with metal inside these of its rails."""
    outcome = make_plan(builders.submission(name), library=books(rails))
    assert outcome.plan is not None, [question.says for question in outcome.questions]
    return outcome.plan


@pytest.mark.parametrize("name", ["l-deck", "corner-45", "metric"])
def test_each_rail_has_its_metal_half_an_inch_short_at_each_end(name: str) -> None:
    """Level by its top cut, stairs by their cut; out of sticks of 96 in, the least of them."""
    whole = stiffened(name)
    wanted = {f"{bay.name} top stiffener": bay.top_cut - 2 * SHORT for bay in whole.bays.level}
    wanted |= {f"{bay.name} top stiffener": bay.cut - 2 * SHORT for bay in whole.bays.stair}

    cut = {
        piece: end - start
        for bar in whole.cuts.plain
        if bar.what == "stiffener"
        for piece, start, end in bar.pieces
    }

    assert cut == wanted
    assert whole.cuts.plain_cents == whole.cuts.plain_bound_cents
    assert recheck(whole) == ()


def test_both_rails_take_twice_as_many_and_the_load_counts_the_sticks() -> None:
    """Sticks by the cut list, together with the handrail's of the same key."""
    one, both = stiffened("l-deck"), stiffened("l-deck", ("top", "bottom"))

    def pieces(made: Plan) -> int:
        return sum(len(bar.pieces) for bar in made.cuts.plain if bar.what == "stiffener")

    assert pieces(both) == 2 * pieces(one)
    line = next(x for x in both.takeoff.lines if x.item == "grip-rail-96")
    assert line.needed == sum(bar.stock == "grip-rail-96" for bar in both.cuts.plain)
    assert "by the cut list of stiffeners" in line.why


def test_a_stiffener_cut_to_another_rail_is_found() -> None:
    """A unit short of its own is named."""
    whole = stiffened("l-deck")
    at, bar = next((n, b) for n, b in enumerate(whole.cuts.plain) if b.what == "stiffener")
    (name, start, end), *rest = bar.pieces
    bad = bar.model_copy(update={"pieces": ((name, start, end - 1), *rest), "kerf": bar.kerf + 1})
    plain = (*whole.cuts.plain[:at], bad, *whole.cuts.plain[at + 1 :])
    spoilt = whole.model_copy(update={"cuts": whole.cuts.model_copy(update={"plain": plain})})

    assert any(f"{name}: " in says and "asked" in says for says in recheck(spoilt))


def test_a_bracket_goes_from_line_to_line_at_posts_between_two_bays_of_a_leg() -> None:
    """Not at corners, not at walls, not at an opening; one for each such post."""
    tree = builders.document("l-deck")
    tree["extras"] = ["line-to-line"]
    outcome = make_plan(builders.submission(tree), library=builders.library())
    assert outcome.plan is not None

    line = next(x for x in outcome.plan.takeoff.lines if x.item == "line-to-line-set")

    bays = [bay.name.split("-") for bay in outcome.plan.bays.level]
    ends = [
        (one[1] == other[0] and bay.leg == after.leg)
        for (one, bay) in zip(bays, outcome.plan.bays.level, strict=True)
        for (other, after) in zip(bays, outcome.plan.bays.level, strict=True)
    ]
    assert line.needed == sum(ends) > 0
    assert line.spare > 0
    assert all(post in {end for pair in bays for end in pair} for post in line.places)


@pytest.mark.parametrize("name", ["l-deck", "porch", "wraparound"])
def test_the_temporary_guard_has_an_upright_every_8_ft_and_one_more_a_leg(name: str) -> None:
    """So that each leg's last rail has one at both its ends; 8 ft as 29 CFR 1926.502 app. B."""
    whole = plan(name)
    edge = sum(leg.length for leg in whole.layout.legs)

    line = next(x for x in whole.takeoff.lines if x.item == "temp-guard-upright")

    assert line.needed == -(-edge // (96 * INCH)) + len(whole.layout.legs)


def test_old_railing_goes_on_pallets() -> None:
    """One for each 60 ft begun; none where nothing is taken away."""
    deck, porch = plan("l-deck"), plan("porch")

    assert deck.job.remove_feet
    assert next(x for x in deck.takeoff.lines if x.item == "pallet").needed == 1
    assert not any(x.item == "pallet" for x in porch.takeoff.lines)


def test_half_posts_go_along_where_they_were_sold() -> None:
    """One for each end at a wall."""
    tree = builders.document("porch")
    tree["extras"] = [*tree.get("extras", []), "half-posts"]
    outcome = make_plan(builders.submission(tree), library=builders.library())
    assert outcome.plan is not None
    rule = next(r for r in outcome.plan.job.company.extras if r.key == "half-post")

    line = next(x for x in outcome.plan.takeoff.lines if x.item == "half-post")

    assert isinstance(rule, PartRule)
    assert line.needed == sum(bay.name.split("-").count("W") for bay in outcome.plan.bays.level)
    assert not any(x.item == "half-post" for x in plan("porch").takeoff.lines)
