"""A whole job beside its rules."""

from collections.abc import Callable
from typing import Any

import pytest

from schemas.bays import LevelBay, StairBay
from schemas.compliance import Compliance, Finding
from schemas.lengths import INCH, PER_MM
from schemas.plan import Plan
from services.compliance import find, load_profiles
from tests.planned import plan

Change = Callable[[Plan], Plan]


def found(whole: Plan) -> Compliance:
    """The findings of a plan, computed anew."""
    return find(whole.job, whole.layout, whole.bays)


def of(compliance: Compliance, rule: str, place: str) -> Finding:
    """The finding of a rule at a place."""
    return next(f for f in compliance.findings if (f.rule, f.place) == (rule, place))


def job(whole: Plan, **changed: Any) -> Plan:  # noqa: ANN401 any field of the record
    """The plan with another job head."""
    return whole.model_copy(update={"job": whole.job.model_copy(update=changed)})


def under(whole: Plan, profile: str) -> Plan:
    """The plan under another code profile."""
    return job(whole, profile=load_profiles()[profile])


def level(whole: Plan, name: str, **changed: int) -> Plan:
    """The plan with one level bay made otherwise."""

    def other(bay: LevelBay) -> LevelBay:
        return bay.model_copy(update=changed) if bay.name == name else bay

    bays = whole.bays.model_copy(update={"level": tuple(map(other, whole.bays.level))})
    return whole.model_copy(update={"bays": bays})


def stairs(whole: Plan, change: Callable[[StairBay], dict[str, Any]]) -> Plan:
    """The plan with every stair bay made otherwise."""
    made = tuple(bay.model_copy(update=change(bay)) for bay in whole.bays.stair)
    bays = whole.bays.model_copy(update={"stair": made})
    return whole.model_copy(update={"bays": bays})


def stair(whole: Plan, **changed: Any) -> Plan:  # noqa: ANN401 any field of the record
    """The plan with its stairs measured otherwise."""
    return job(whole, stairs=tuple(s.model_copy(update=changed) for s in whole.job.stairs))


def test_every_bay_has_a_height_and_an_opening() -> None:
    """Nothing is skipped: each level bay and stair side is judged."""
    whole = plan("l-deck")

    places = {(f.rule, f.place) for f in found(whole).findings}

    assert {("guard-height", bay.name) for bay in whole.bays.level} <= places
    assert {("guard-opening", bay.name) for bay in whole.bays.level} <= places
    for rule in ("guard-stair-height", "guard-stair-opening", "guard-triangle"):
        assert {(rule, bay.name) for bay in whole.bays.stair} <= places


def test_the_demo_deck_breaks_nothing() -> None:
    """The demo system is 36 1/16 in tall with 3 1/4 in gaps on a 3 3/4 in block."""
    verdicts = {f.verdict for f in found(plan("l-deck")).findings}

    assert "breaks" not in verdicts
    assert "meets" in verdicts


@pytest.mark.parametrize("where", ["gap_between", "gap_left", "gap_right", "sweep_low"])
def test_the_widest_opening_decides_wherever_it_is(where: str) -> None:
    """Between balusters, at either end, under the bottom rail at the low side."""
    whole = level(plan("l-deck"), "B1-B2", **{where: 4 * INCH})

    opening = of(found(whole), "guard-opening", "B1-B2")

    assert (opening.verdict, opening.margin) == ("breaks", 0)
    assert opening.found.startswith("4 in ")


def test_a_deck_that_falls_is_judged_at_its_high_side() -> None:
    """Top of rail over the surface where it is least."""
    whole = level(plan("l-deck"), "B1-B2", top=36 * INCH - 1)

    height = of(found(whole), "guard-height", "B1-B2")

    assert (height.verdict, height.margin) == ("breaks", -1)
    assert height.found == "35 63/64 in", "never rounded up to the limit"


def test_one_low_nosing_breaks_the_whole_side() -> None:
    """Heights are looked at at every nosing."""

    def sag(bay: StairBay) -> dict[str, Any]:
        *heights, last = bay.heights
        return {"heights": (*heights, last.model_copy(update={"top": 34 * INCH - 1}))}

    whole = stairs(plan("l-deck"), sag)

    assert of(found(whole), "guard-stair-height", "S1-L").verdict == "breaks"


def test_the_stair_opening_is_wider_than_the_level_one_where_the_code_says_so() -> None:
    """4 1/4 in passes on the stair of one code and breaks where one sphere serves for all."""
    whole = stairs(plan("l-deck"), lambda _: {"level_gap": 4 * INCH + INCH // 4})

    irc = of(found(whole), "guard-stair-opening", "S1-L")
    nbc = of(found(under(whole, "ca-nbc-2020")), "guard-opening", "S1-L")

    assert (irc.verdict, nbc.verdict) == ("meets", "breaks")


def test_a_rail_too_far_over_the_nosings_lets_the_large_sphere_through() -> None:
    """7 1/2 by 11, nosing 1: the published height is 0.49 in, and 1/2 in is too much."""
    high = stairs(plan("l-deck"), lambda _: {"heights": (), "rail_over_nosing": INCH // 2})
    low = stairs(plan("l-deck"), lambda _: {"heights": (), "rail_over_nosing": 15 * INCH // 32})

    assert of(found(high), "guard-triangle", "S1-L").verdict == "breaks"
    assert of(found(low), "guard-triangle", "S1-L").verdict == "meets"


@pytest.mark.parametrize(
    ("changed", "says"), [({"nosing": None}, "nosing"), ({"open_risers": True}, "open")]
)
def test_a_triangle_that_is_not_known_is_checked_on_site(
    changed: dict[str, Any], says: str
) -> None:
    """Without the nosing, or with open risers, no figure is made up."""
    triangle = of(found(stair(plan("l-deck"), **changed)), "guard-triangle", "S1-L")

    assert triangle.verdict == "check on site"
    assert says in triangle.found


def test_handrails_narrow_the_stair() -> None:
    """One takes its width once, two take it twice, and each has its own limit."""
    one = found(stair(plan("l-deck"), handrail=("left",)))
    two = found(stair(plan("l-deck"), handrail=("left", "right")))

    single = of(one, "stair-width-one-rail", "S1").margin
    double = of(two, "stair-width-two-rails", "S1").margin

    assert single == (42 * INCH - 13 * INCH // 4) - 63 * INCH // 2
    assert double == (42 * INCH - 2 * 13 * INCH // 4) - 27 * INCH


def test_three_risers_need_no_handrail_and_four_do() -> None:
    """Without one planned, four risers are left to the authority."""
    three = found(stair(plan("l-deck"), risers=3, handrail=()))
    four = found(stair(plan("l-deck"), risers=4, handrail=()))

    assert of(three, "handrail-need", "S1").verdict == "meets"
    assert of(four, "handrail-need", "S1").verdict == "for the authority"
    assert of(four, "handrail-need", "S1").outside


def test_a_top_rail_that_serves_as_handrail_has_a_span() -> None:
    """It is looked at only where a handrail is asked for and none is planned."""
    planned = found(plan("l-deck")).findings
    alone = found(stair(plan("l-deck"), handrail=())).findings

    assert not [f for f in planned if f.rule == "guard-as-handrail"]
    assert {f.place for f in alone if f.rule == "guard-as-handrail"} == {"S1-L", "S1-R"}


def test_uneven_risers_are_compared_with_each_other() -> None:
    """3/8 in apart meets, the least bit more breaks."""
    even = (15 * INCH // 2,) * 5
    just = stair(plan("l-deck"), each_riser=(*even, 15 * INCH // 2 - 3 * INCH // 8))
    over = stair(plan("l-deck"), each_riser=(*even, 15 * INCH // 2 - 3 * INCH // 8 - 1))

    assert of(found(just), "stair-riser-spread", "S1").verdict == "meets"
    assert of(found(over), "stair-riser-spread", "S1").verdict == "breaks"


def test_a_deep_tread_needs_no_nosing() -> None:
    """At 11 in the nosing rule is not asked; just under, it is."""
    deep = found(stair(plan("l-deck"), tread=11 * INCH)).findings
    less = found(stair(plan("l-deck"), tread=11 * INCH - 1)).findings

    assert not [f for f in deep if f.rule == "stair-nosing"]
    assert [f.place for f in less if f.rule == "stair-nosing"] == ["S1"]


@pytest.mark.parametrize(
    ("drop", "rules"),
    [
        (1800 * PER_MM, {"guard-height-low"}),
        (1800 * PER_MM + 1, {"guard-height"}),
        (None, {"guard-height-low", "guard-height"}),
    ],
)
def test_the_canadian_height_follows_the_drop(drop: int | None, rules: set[str]) -> None:
    """Up to 1800 mm one height, beyond it another, and both where it is not known."""
    whole = under(plan("l-deck"), "ca-nbc-2020")
    legs = tuple(leg.model_copy(update={"drop": drop}) for leg in whole.layout.legs)
    whole = whole.model_copy(update={"layout": whole.layout.model_copy(update={"legs": legs})})

    findings = [f for f in found(whole).findings if f.rule.startswith("guard-height")]

    assert {f.rule for f in findings} == rules
    assert drop is not None or {f.verdict for f in findings} == {"check on site"}


def test_without_a_profile_every_line_is_for_the_authority() -> None:
    """Every figure is still there, with no limit and no verdict on it."""
    whole = job(plan("l-deck"), profile=None)

    compliance = found(whole)

    assert {f.verdict for f in compliance.findings} == {"for the authority"}
    assert ("guard-height", "B1-B2") in {(f.rule, f.place) for f in compliance.findings}
    assert compliance.doubts


def test_a_profile_for_other_buildings_is_doubted() -> None:
    """A house code on a commercial job is said aloud."""
    compliance = found(job(plan("l-deck"), use="commercial"))

    assert any("commercial" in doubt for doubt in compliance.doubts)
    assert not any("one-family" in doubt for doubt in found(plan("l-deck")).doubts)


@pytest.mark.parametrize("profile", load_profiles())
def test_the_words_claim_nothing(profile: str) -> None:
    """Under no code does a finding say that anything is safe, compliant or sure to pass."""
    findings = found(under(plan("l-deck"), profile)).findings
    claims = ("compliant", "complies", "safe", "is approved", "engineered", "will pass", "code ok")

    for finding in findings:
        text = f"{finding.says} {finding.required} {finding.found} {finding.note}".casefold()

        assert not [claim for claim in claims if claim in text], text


def test_the_same_plan_gives_the_same_findings() -> None:
    """No order of sets or dictionaries leaks onto paper."""
    whole = plan("l-deck")

    assert found(whole) == found(whole)


@pytest.mark.parametrize(("width", "asked"), [(1000, True), (999, False)])
def test_a_wide_stair_asks_for_handrails_on_both_sides(*, width: int, asked: bool) -> None:
    """England: from 1 m on, that width included; one side is then too few."""
    whole = under(plan("l-deck"), "uk-adk")
    stair = whole.job.stairs[0].model_copy(update={"clear_width": width * PER_MM})

    findings = found(job(whole, stairs=(stair,))).findings

    sides = [one for one in findings if one.rule == "handrail-sides"]
    assert [one.verdict for one in sides] == ["breaks"] * asked


def test_closed_risers_have_no_margin() -> None:
    """Nothing is open there, so no distance to the sphere is printed; the rule is met."""
    finding = of(found(plan("l-deck")), "stair-open-riser", "S1")

    assert (finding.verdict, finding.margin) == ("meets", None)
