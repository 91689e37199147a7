"""All checks of a measure in one table, each with the tests that trip it and just do not.

Source:
    Common practice of the trade, as gathered for this program; figures of codes where a
    test names its edition and clause.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from pydantic import ValidationError

from schemas.site import Forecast, Question
from services.intake.cross_checks import check_measure
from tests import builders
from tests.unit.services.layout.decks import WALL, leg, line

_TESTS = Path(__file__).parents[3]
_CROSS = "unit/services/intake/test_cross_checks.py"
_HERE = "unit/services/intake/test_measure_checks.py"
_FIGURES = "unit/services/intake/test_flight_figures.py"
_GATES = "unit/services/intake/test_gates_and_posts.py"
_LANDINGS = "unit/services/intake/test_landings.py"
_AFTER = "unit/services/bays/test_measure_after_layout.py"
_LEVEL = "unit/services/bays/test_level_bay.py"
_STAIR = "unit/services/bays/test_stair_bay.py"
_IN_PLACE = "unit/services/layout/test_in_place.py"
_ACCEPTING = "unit/worker/test_accepting.py"

CHECKS: dict[int, tuple[str, tuple[str, ...]]] = {
    1: ("running measures grow and end with the leg", (f"{_HERE}::test_running_measures_grow",)),
    2: (
        "openings, posts and gates make the leg",
        (f"{_IN_PLACE}::test_a_quarter_inch_is_the_most_that_may_be_missing",),
    ),
    3: (
        "no opening beyond kit or span",
        (
            f"{_LEVEL}::test_bay_too_long_asks_for_a_mid_post",
            f"{_LEVEL}::test_stock_that_does_not_reach_is_named",
        ),
    ),
    4: (
        "no dead band",
        (
            f"{_LEVEL}::test_dead_band_asks_with_the_nearest_openings",
            "unit/services/layout/test_dead_bands.py::test_nearest_openings_are_named",
        ),
    ),
    5: (
        "openings alike at both heights",
        (f"{_CROSS}::test_opening_wider_at_one_height", f"{_CROSS}::test_leaning_wall"),
    ),
    6: ("closed lines close", (f"{_CROSS}::test_closed_line_misses_its_start",)),
    7: ("corners within the brackets", (f"{_CROSS}::test_corner_beyond_the_brackets",)),
    8: (
        "cores go into sleeves",
        (
            f"{_CROSS}::test_core_that_does_not_go_into_its_sleeve",
            f"{_GATES}::test_bare_core_and_our_sleeve",
        ),
    ),
    9: (
        "no post on a joist or in a keep-out",
        (f"{_CROSS}::test_fixed_post_on_a_joist", f"{_CROSS}::test_fixed_post_in_a_keep_out"),
    ),
    10: ("no trap beside a wall", (f"{_CROSS}::test_trap_beside_a_wall",)),
    11: ("bays like their neighbours", (f"{_AFTER}::test_bay_unlike_its_neighbours",)),
    12: (
        "rail high enough, posts long enough",
        (
            f"{_CROSS}::test_rail_lower_than_the_recorded_rule",
            "unit/services/bays/test_posts.py::test_sleeve_longer_than_stock_is_a_stop",
            f"{_AFTER}::test_core_longer_than_its_stick",
        ),
    ),
    13: (
        "no gap under a falling rail",
        (f"{_LEVEL}::test_sweep_that_lets_the_sphere_under_is_a_stop",),
    ),
    14: ("one product on a post", (f"{_HERE}::test_two_products_on_one_post",)),
    15: (
        "risers make the rise",
        (
            f"{_CROSS}::test_rise_against_risers",
            f"{_CROSS}::test_uneven_risers",
            f"{_FIGURES}::test_a_wrong_count_is_one_question_and_not_three",
        ),
    ),
    16: ("treads make the run", (f"{_CROSS}::test_run_against_treads",)),
    17: (
        "slope read is slope made",
        (
            f"{_CROSS}::test_slope_read_against_slope_made",
            f"{_FIGURES}::test_straightedge_to_a_quarter_inch",
        ),
    ),
    18: ("slope within slots and brackets", (f"{_CROSS}::test_slope_beyond_the_stair_rail",)),
    19: (
        "flight within its rail, or a mid post",
        (
            f"{_CROSS}::test_stair_longer_than_its_rail",
            "unit/services/layout/test_mid_posts.py::test_no_mid_post_where_one_bay_reaches",
        ),
    ),
    20: (
        "lower and upper stair posts near their nosings",
        (
            f"{_AFTER}::test_lower_post_far_beyond_its_nosing",
            f"{_STAIR}::test_post_far_back_leaves_a_gap_over_the_deck",
        ),
    ),
    21: (
        "triangle closed",
        (
            f"{_STAIR}::test_rail_runs_an_eighth_under_the_triangle",
            f"{_STAIR}::test_triangle_that_is_not_closed_is_a_hold",
        ),
    ),
    22: (
        "stair rail in its window",
        (f"{_CROSS}::test_section_too_tall_or_too_low_for_the_stair",),
    ),
    23: ("handrail from four risers", (f"{_CROSS}::test_handrail_from_four_risers_on",)),
    24: (
        "both flights of a turn measured",
        (
            f"{_LANDINGS}::test_flight_that_goes_on_unmeasured_holds",
            f"{_LANDINGS}::test_both_flights_measured_ask_nothing",
        ),
    ),
    25: ("flight not too high", (f"{_CROSS}::test_flight_without_a_landing",)),
    26: ("the stair's own steps", (f"{_CROSS}::test_stair_that_may_fail_itself",)),
    27: (
        "what was sold was measured; rails end at posts",
        (
            f"{_HERE}::test_sold_against_measured",
            f"{_CROSS}::test_stair_promised_but_not_measured",
            "unit/services/layout/test_stair_bays.py::test_rail_on_a_wall_side_is_asked_about",
            "unit/services/layout/test_stair_bays.py::test_wall_side_without_a_rail_is_fine",
        ),
    ),
    28: (
        "parts match posts and bays",
        ("unit/services/recheck/test_spoilt_plans.py::test_what_is_spoilt_is_named",),
    ),
    29: (
        "cut list within stock",
        (
            "unit/services/cut_plan/test_check_plan.py::test_stock_taken_twice_is_refused",
            "unit/services/cut_plan/test_check_plan.py::test_sound_plan_passes",
            "unit/services/cut_plan/test_reserved.py::test_one_kit_fewer_than_taken_stops",
            "unit/services/cut_plan/test_reserved.py::test_two_colour_lots_hold",
        ),
    ),
    30: (
        "one style and colour",
        (
            f"{_HERE}::test_stair_rail_in_another_colour",
            "unit/services/intake/test_holds.py::test_unknown_names_are_refused_together_with_the_known",
        ),
    ),
    31: (
        "weather fit for glue and rails",
        (
            f"{_HERE}::test_adhesive_on_a_cold_day",
            f"{_HERE}::test_day_outside_the_rails_range",
            f"{_HERE}::test_bad_weather_holds",
            f"{_AFTER}::test_rail_cut_on_a_cold_day",
        ),
    ),
    32: (
        "no crew or job booked twice",
        (
            "unit/services/bundle/test_day_load.py::test_job_on_two_crews",
            "unit/services/bundle/test_day_load.py::test_hours_over_the_day",
            "unit/services/bundle/test_day_load.py::test_two_arrivals_at_once",
            "unit/services/bundle/test_day_load.py::test_one_house_under_two_numbers",
        ),
    ),
    33: (
        "one content a revision",
        (
            f"{_ACCEPTING}::test_the_same_revision_with_other_content_is_refused",
            f"{_ACCEPTING}::test_a_lower_revision_is_refused",
            f"{_ACCEPTING}::test_the_same_again_is_answered_as_before",
        ),
    ),
    34: (
        "a final and fresh measure",
        (
            f"{_CROSS}::test_sales_measure_holds",
            f"{_CROSS}::test_age_of_the_measure",
            f"{_HERE}::test_measure_older_than_the_deck",
        ),
    ),
    35: (
        "no open edge that needs a guard",
        (
            f"{_CROSS}::test_gate_at_an_edge_that_needs_a_guard",
            f"{_HERE}::test_stair_side_that_stays_open",
        ),
    ),
    36: (
        "gates at pools and stairs",
        (f"{_GATES}::test_pool_barrier", f"{_GATES}::test_gate_that_opens_over_stairs"),
    ),
    37: ("mounts known", (f"{_GATES}::test_mount_is_asked_only_when_unknown",)),
    38: (
        "permit recorded, inspection not too early",
        (
            f"{_CROSS}::test_permit_not_recorded_holds",
            f"{_HERE}::test_inspection_before_the_work_is_done",
        ),
    ),
    39: ("old paint", (f"{_CROSS}::test_old_paint",)),
    40: (
        "defaults named",
        (
            f"{_HERE}::test_defaults_of_stairs_and_gates_are_named",
            "unit/services/intake/test_holds.py::test_defaults_are_named_as_assumed",
        ),
    ),
    41: (
        "numbers that are numbers, in their unit",
        (
            "unit/services/intake/test_reading.py::test_what_is_no_document_is_one_problem",
            f"{_CROSS}::test_millimetres_among_inches",
            f"{_CROSS}::test_large_but_not_in_the_other_unit_either",
        ),
    ),
    42: (
        "text that cannot break a sheet",
        (
            "unit/services/intake/test_reading.py::test_text_that_would_disguise_a_line_is_refused",
            "paper/test_hostile_text.py::test_no_text_leaves_the_margins",
        ),
    ),
}
"""What each check holds, and where it is tested."""


def test_the_table_is_whole() -> None:
    """Forty-two checks, none left out."""
    assert list(CHECKS) == list(range(1, 43))


@pytest.mark.parametrize("number", CHECKS)
def test_each_check_names_tests_that_are_there(number: int) -> None:
    """A named test stands in the named file."""
    for named in CHECKS[number][1]:
        file, _, test = named.partition("::")
        assert f"def {test}(" in (_TESTS / file).read_text(encoding="utf-8"), named


def _tree(**more: object) -> dict[str, Any]:
    return builders.document("l-deck") | more


def _asked(tree: dict[str, Any]) -> dict[str, Question]:
    return {question.key: question for question in check_measure(builders.job(tree))}


def _straight(**more: object) -> dict[str, Any]:
    return _tree(lines=[line(leg("A", "120", **more), start=WALL)], stairs=[], remove_feet=0)


@pytest.mark.parametrize(
    ("more", "asked"),
    [
        ({"fixed_posts": ["40", "80"]}, False),
        ({"fixed_posts": ["80", "40"]}, True),
        ({"fixed_posts": ["40", "40"]}, True),
        ({"fixed_posts": ["40", "120 3/16"]}, False),
        ({"fixed_posts": ["40", "120 1/4"]}, True),
        ({"keep_out": [{"start": "30", "end": "40", "why": "vent"}]}, False),
        ({"keep_out": [{"start": "40", "end": "30", "why": "vent"}]}, True),
    ],
)
def test_running_measures_grow(more: dict[str, object], asked: bool) -> None:  # noqa: FBT001
    """From one zero each is more than the last; the leg's own length is not passed by 1/4 in."""
    found = _asked(_straight(**more))

    assert ("running.A" in found) == asked
    if asked:
        assert found["running.A"].severity == "stop"


@pytest.mark.parametrize(
    ("sold", "key", "severity"),
    [
        ("level rail, 1 stair", None, None),
        ("level rail and stair", None, None),
        ("2 stairs", "sold.stair", "stop"),
        ("Two stair sides", None, None),
        ("3 stair sides", "sold.stair-side", "stop"),
        ("1 stair side", "sold.stair-side", "hold"),
        ("1 stair, 1 gate", "sold.gate", "stop"),
        ("1 stair, 0 gates", None, None),
        ("upstairs porch", None, None),
    ],
)
def test_sold_against_measured(sold: str, key: str | None, severity: str | None) -> None:
    """The job head's words against one stair with two sides and no gate."""
    found = _asked(_tree(sold=sold))

    assert set(found) == ({key} if key else set())
    if key:
        assert found[key].severity == severity


def test_stair_sold_and_none_measured_stops() -> None:
    """Not even a count is needed."""
    found = _asked(_tree(sold="deck rail with stairs", stairs=[]))

    assert found["sold.stair"].severity == "stop"


def _other_system(colours: tuple[str, ...]) -> dict[str, Question]:
    job = builders.job("l-deck")
    other = job.system.model_copy(update={"key": "other", "title": "Other", "colours": colours})
    at = job.model_copy(update={"stair_system": other})
    return {question.key: question for question in check_measure(at)}


def test_two_products_on_one_post() -> None:
    """Another system on the stair meets the level rail at the upper posts."""
    assert _other_system(("chalk",))["products.stair"].severity == "hold"
    assert "products.stair" not in _asked(_tree())


def test_stair_rail_in_another_colour() -> None:
    """The job is sold in chalk; a stair rail in slate only is not it."""
    assert _other_system(("slate",))["colour.stair"].severity == "stop"
    assert "colour.stair" not in _other_system(("slate", "chalk"))


def _day(low: float, high: float, **more: object) -> dict[str, Question]:
    return _asked(_tree(forecast={"low": low, "high": high, "unit": "degF", **more}))


def test_adhesive_on_a_cold_day() -> None:
    """The sheet's own limit is warm enough; a degree less in the morning holds the caps."""
    least = builders.system("cove").adhesive_least_degf

    assert "weather.adhesive" not in _day(least, least + 10)
    assert "until it has warmed" in _day(least - 1, least + 10)["weather.adhesive"].says
    assert "all day" in _day(least - 9, least - 1)["weather.adhesive"].says


def test_day_outside_the_rails_range() -> None:
    """Both ends of the range are in it."""
    system = builders.system("cove")

    assert "weather.range" not in _day(system.coldest_degf, system.hottest_degf)
    assert "weather.range" in _day(system.coldest_degf - 1, system.hottest_degf)
    assert "weather.range" in _day(system.coldest_degf, system.hottest_degf + 1)


def test_celsius_is_read_as_such() -> None:
    """0 and 20 degC are 32 and 68 degF."""
    assert Forecast(low=0, high=20, unit="degC").degf == (32, 68)


def test_forecast_upside_down_is_refused() -> None:
    """The low is not over the high."""
    with pytest.raises(ValidationError, match="low 70 is over high 60"):
        Forecast(low=70, high=60, unit="degF")


@pytest.mark.parametrize("what", ["rain", "wind", "lightning"])
def test_bad_weather_holds(what: str) -> None:
    """Each is a question of its own; fair weather asks nothing."""
    assert set(_day(60, 70, warnings=[what])) == {f"weather.{what}"}
    assert _day(60, 70) == {}


def test_defaults_of_stairs_and_gates_are_named() -> None:
    """What was taken because nothing was given is printed as assumed; what was given is not."""
    tree = _tree(
        gates=[
            {"name": "G1", "leg": "E", "start": "60", "width": "36", "pool_barrier": False},
            {"name": "G2", "leg": "A", "start": "40", "width": "36", "pool_barrier": False,
             "hinge": "left", "opens": "out"},
        ]
    )  # fmt: skip
    del tree["stairs"][0]["nosing"]

    said = {(a.place, a.says) for a in builders.job(tree).assumed}

    assert ("Gate G1", "hinges on its left side, seen from the deck") in said
    assert ("Gate G1", "opens in") in said
    assert ("Stair S1", "nosing projects as far as usual") in said
    assert not any(place == "Gate G2" for place, _ in said)
    assert not any("nosing projects" in a.says for a in builders.job("l-deck").assumed)


@pytest.mark.parametrize(
    ("day", "asked"), [("2026-11-18", False), ("2026-11-19", True), (None, False)]
)
def test_measure_older_than_the_deck(day: str | None, asked: bool) -> None:  # noqa: FBT001
    """Measured on the last day of others' work, it may have changed since; a day later not."""
    measured = {"by": "R. O.", "on": "2026-11-19", "kind": "final"}

    assert ("measure.before-deck" in _asked(_tree(measured=measured, deck_work=day))) == asked


@pytest.mark.parametrize(
    ("day", "asked"), [("2026-12-03", True), ("2026-12-04", False), (None, False)]
)
def test_inspection_before_the_work_is_done(day: str | None, asked: bool) -> None:  # noqa: FBT001
    """On the day of work itself it is too early; the day after it is not."""
    found = _asked(_tree(install_date="2026-12-03", inspection=day))

    assert ("inspection.early" in found) == asked


@pytest.mark.parametrize(
    ("risers", "rails", "asked"),
    [(4, ["left"], False), (5, ["left"], True), (5, ["left", "right"], False)],
)
def test_stair_side_that_stays_open(risers: int, rails: list[str], asked: bool) -> None:  # noqa: FBT001
    """Four risers of 7 1/2 are 30 in, the recorded limit (IRC 2021 R312.1.1); five are more."""
    stair = builders.document("l-deck")["stairs"][0] | {
        "risers": risers, "rails": rails, "handrail": [], "total_rise": None, "total_run": None,
    }  # fmt: skip

    assert ("open-side.S1.right" in _asked(_tree(stairs=[stair]))) == asked


def test_rail_too_low_offers_the_section_that_is_high_enough() -> None:
    """The 42 section of the same system, as one figure put right."""
    tree = _tree(code={"profile": "us-ibc-2021", "local_changes": []}, use="commercial")

    (option,) = _asked(tree)["rail-height"].options

    assert [(put.pointer, put.value) for put in option.sets] == [("/rail/height", "42")]
