"""Checks of the measure: running measures, what was sold, weather, defaults, days of others.

Source:
    Common practice of the trade, as gathered for this program; figures of codes where a
    test names its edition and clause.
"""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from schemas.site import Forecast, Question
from services.intake.cross_checks import check_measure
from tests import builders
from tests.unit.services.layout.decks import WALL, leg, line


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
    ("top", "says"),
    [("68 7/16", "stands plumb"), ("68 9/16", "leans by what its opening differs")],
)
def test_a_wall_without_a_level_is_said_as_its_opening_shows_it(*, top: str, says: str) -> None:
    """Plumb where the opening beside it is alike above and below, else leaning by the rest."""
    tree = builders.document("porch")
    tree["lines"][0]["legs"][0]["clears"][-1]["top"] = top

    said = [a.says for a in builders.job(tree).assumed if a.says.startswith("wall at the")]

    assert len(said) == 1
    assert says in said[0]


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
