"""Doubts that show only when posts and rails are known: neighbours, cores, lower posts, heat."""

from __future__ import annotations

import pytest

from schemas.job import Job
from schemas.site import Forecast, Question, Stair
from services.bays import make_bays
from tests.bays_by_hand import FLIGHT, inch, job, level_layout, stair_layout
from tests.unit.services.layout.decks import WALL, job_of, layout_of, leg, line


def _asked(at: Job) -> dict[str, Question]:
    return {q.key: q for q in make_bays(at, layout_of(at)).questions}


def _porch(*clears: str) -> Job:
    total = sum(inch(clear) for clear in clears) + (len(clears) - 1) * inch("4 1/2")
    row = [{"bottom": clear} for clear in clears]
    length = f"{total / inch('1')}"
    return job_of(line(leg("A", length, clears=row), start=WALL, end=WALL))


@pytest.mark.parametrize(
    ("clears", "unlike"),
    [
        (("70", "71", "70"), set()),
        (("70", "52 1/2", "70"), set()),  # just a quarter less
        (("70", "52 7/16", "70"), {"unlike.A1-A2"}),
        (("70", "87 1/2", "70"), set()),  # just a quarter more
        (("70", "87 9/16", "70"), {"unlike.A1-A2"}),
        (("70", "40"), {"unlike.W-A1"}),
    ],
)
def test_bay_unlike_its_neighbours(clears: tuple[str, ...], unlike: set[str]) -> None:
    """More than a quarter from each neighbour is a note, told once."""
    found = _asked(_porch(*clears))

    assert {key for key in found if key.startswith("unlike.")} == unlike
    assert all(found[key].severity == "note" for key in unlike)


def test_core_longer_than_its_stick() -> None:
    """The longest core on sale just reaches from its foot to the bracket, or it stops."""
    at = job()
    layout = level_layout(clear=inch("72"))
    bays = make_bays(at, layout).bays
    assert bays is not None
    assert at.detail is not None
    needs = bays.posts[0].core_least + at.detail.core_foot

    def keys(longest: int) -> set[str]:
        stick = at.company.cores[0].model_copy(update={"length": longest, "core": at.post.core})
        company = at.company.model_copy(update={"cores": (stick,)})
        made = make_bays(at.model_copy(update={"company": company}), layout)
        return {q.key for q in made.questions if q.severity == "stop"}

    assert keys(needs) == set()
    assert "core-short.A1" in keys(needs - 1)


def _beyond(far: str) -> Stair:
    lower = FLIGHT.lower_post.model_copy(update={"from_last_nose": inch(far)})
    return FLIGHT.model_copy(update={"lower_post": lower, "risers": 5})


def _stair(beyond: str) -> dict[str, Question]:
    stair = _beyond(beyond)
    at = job({"stairs": (stair,)})
    return {q.key: q for q in make_bays(at, stair_layout(stair)).questions}


def test_lower_post_far_beyond_its_nosing() -> None:
    """The bottom rail, 5/8 over the nosings, meets the landing 5/8 + 7 1/2 - 0.75 x above it.

    At 10 3/4 beyond that is 1/16, at 10 13/16 it is 1/64, which no tape reads: the rail is down.
    """
    near, far = _stair("10 3/4"), _stair("10 13/16")

    assert near == {}
    assert far["low-at-lower.S1-L"].severity == "stop"
    assert "10 13/16 in beyond the lowest nosing" in far["low-at-lower.S1-L"].says
    assert [option.key for option in far["low-at-lower.S1-L"].options] == ["nearer"]


def test_a_rail_in_the_ground_is_accepted_by_nobody() -> None:
    """The answer that brings the post nearer leaves no such question."""
    (nearer,) = _stair("14")["low-at-lower.S1-L"].options
    (put,) = nearer.sets

    assert put.pointer == "/stairs/0/lower_post/from_last_nose"
    assert "low-at-lower.S1-L" not in _stair(str(put.value).removesuffix(" in"))


def test_a_rail_only_too_low_may_be_answered_for() -> None:
    """At 10 1/2 beyond it lies 3/8 under its height over the nosings, and out of the ground."""
    at, layout = job({"stairs": (_beyond("10 1/2"),)}), stair_layout(_beyond("10 1/2"))
    bays = make_bays(at, layout).bays
    assert bays is not None
    assert at.profile is not None
    least = bays.stair[0].top_at_lower - at.company.height_margin + inch("1/16")
    rules = tuple(
        rule.model_copy(update={"limit": least}) if rule.measures == "guard.stair_height" else rule
        for rule in at.profile.rules
    )
    stricter = at.model_copy(update={"profile": at.profile.model_copy(update={"rules": rules})})

    found = {q.key: q for q in make_bays(stricter, layout).questions}

    asked = found["low-at-lower.S1-L"]
    assert [option.key for option in asked.options] == ["nearer", "accepted"]


def _cold(low: float, room: str) -> set[str]:
    """A bay of 72 whose two end clearances make some room, cut on a cold day."""
    base = job()
    clearance = inch(room) // 2
    rail = base.system.level.model_copy(update={"end_clearance": clearance})
    system = base.system.model_copy(
        update={
            "level": rail,
            "expansion_per_degf": 4e-5,
            "coldest_degf": 0.0,
            "hottest_degf": 120.0,
        }
    )
    day = Forecast(low=low, high=100, unit="degF")
    at = base.model_copy(update={"system": system, "forecast": day})
    made = make_bays(at, level_layout(clear=inch("72")))
    assert made.bays is not None
    return {q.key for q in made.questions}


@pytest.mark.parametrize(("low", "asked"), [(50, False), (20, True)])
def test_rail_cut_on_a_cold_day(low: float, asked: bool) -> None:  # noqa: FBT001
    """71 3/4 in grow by 0.201 in over 70 degF and by 0.287 over 100; 1/4 in is left for it."""
    assert ("movement.day" in _cold(low, "1/4")) == asked
