"""Where a stair rail runs when some recorded rule leaves it no place."""

from collections.abc import Mapping

import pytest

from schemas.job import Job
from schemas.lengths import INCH
from schemas.site import Answer
from services.bays import BaysMade, make_bays
from tests.bays_by_hand import FLIGHT, inch, job, stair_layout

CLOSED = Answer(
    question=f"stair-height.{FLIGHT.name}", option="closed", by="N. Osei", why="a board is fitted"
)


def with_triangle(
    sphere: str, *, confidence: str, update: Mapping[str, object] | None = None
) -> Job:
    """A job whose rules know that sphere for the triangle, so surely."""
    plain = job({"stairs": (FLIGHT,), **(update or {})})
    assert plain.profile is not None
    rules = tuple(
        rule.model_copy(update={"limit": inch(sphere), "confidence": confidence})
        if rule.measures == "guard.triangle"
        else rule
        for rule in plain.profile.rules
    )
    return plain.model_copy(update={"profile": plain.profile.model_copy(update={"rules": rules})})


def made(at: Job) -> BaysMade:
    """What becomes of its stair."""
    return make_bays(at, stair_layout(FLIGHT))


def keys(found: BaysMade) -> set[str]:
    """Which questions it asks."""
    return {question.key for question in found.questions}


@pytest.mark.parametrize("confidence", ["secondary", "from memory"])
def test_doubtful_sphere_makes_no_stair_impossible(confidence: str) -> None:
    """The rail runs 1/2 in over the nosings, and the row is named with its doubt."""
    found = made(with_triangle("4", confidence=confidence))

    assert found.bays is not None
    assert {bay.rail_over_nosing for bay in found.bays.stair} == {INCH // 2}
    aside = next(q for q in found.questions if q.key == "triangle-aside.S1")
    assert "R312.1.3" in aside.says
    assert ("second hand" if confidence == "secondary" else "memory") in aside.says


def test_sure_sphere_that_no_rail_stops_is_named_as_the_culprit() -> None:
    """It stops the stair until somebody answers for what closes the triangle."""
    found = made(with_triangle("4", confidence="quoted"))

    (asked,) = (q for q in found.questions if q.key == "stair-height.S1")
    assert found.bays is None
    assert "likely culprit is the sphere" in asked.says
    assert [option.key for option in asked.options] == ["closed"]


def test_triangle_closed_by_other_means_leaves_the_rail_low() -> None:
    """Once answered the rail runs just over the nosings."""
    found = made(with_triangle("4", confidence="quoted", update={"answers": (CLOSED,)}))

    assert found.bays is not None
    assert {bay.rail_over_nosing for bay in found.bays.stair} == {INCH // 2}


def test_doubtful_sphere_that_a_rail_can_stop_is_kept_to() -> None:
    """It is set aside only where nothing keeps to it; then the rail is where a sure one puts it."""
    doubtful, sure = (
        made(with_triangle("6", confidence=confidence)) for confidence in ("secondary", "quoted")
    )

    assert doubtful.bays == sure.bays
    assert "triangle-aside.S1" not in keys(doubtful)


def test_border_between_kept_to_and_set_aside() -> None:
    """Going down by 1/16 in, the rail sinks to the nosings and then the row is set aside."""
    spheres = [f"{sixteenth / 16}" for sixteenth in range(6 * 16, 4 * 16, -1)]

    found = [made(with_triangle(sphere, confidence="secondary")) for sphere in spheres]

    kept = ["triangle-aside.S1" not in keys(one) for one in found]
    over = [one.bays.stair[0].rail_over_nosing for one in found if one.bays]
    border = kept.index(False)
    assert kept == [True] * border + [False] * (len(kept) - border)
    assert over[:border] == sorted(over[:border], reverse=True)
    assert 0 <= over[border - 1] < INCH // 8
    assert set(over[border:]) == {INCH // 2}


def test_doubtful_height_makes_no_stair_impossible() -> None:
    """A height read at second hand that the section misses is left to its finding."""
    plain = job({"stairs": (FLIGHT,)})
    assert plain.profile is not None

    def at(confidence: str) -> BaysMade:
        rules = tuple(
            rule.model_copy(update={"limit": 60 * INCH, "confidence": confidence})
            if rule.measures == "guard.stair_height"
            else rule
            for rule in plain.profile.rules  # type: ignore[union-attr]
        )
        profile = plain.profile.model_copy(update={"rules": rules})  # type: ignore[union-attr]
        return made(plain.model_copy(update={"profile": profile}))

    assert at("secondary").bays is not None
    assert keys(at("quoted")) >= {"stair-height.S1"}


@pytest.mark.parametrize(("off", "aside"), [("1/8", False), ("3/4", True)])
def test_uneven_risers_are_the_culprit_where_even_ones_would_do(*, off: str, aside: bool) -> None:
    """A row that even risers keep to is set aside for uneven ones, and those are named."""
    risers = (FLIGHT.riser + inch(off), FLIGHT.riser - inch(off))
    each = (*risers, *[FLIGHT.riser] * (FLIGHT.risers - 2))
    stair = FLIGHT.model_copy(update={"each_riser": each})
    plain = with_triangle("6", confidence="secondary")

    found = make_bays(plain.model_copy(update={"stairs": (stair,)}), stair_layout(stair))

    says = [q.says for q in found.questions if q.key == "triangle-aside.S1"]
    assert bool(says) is aside
    assert all("a riser read wrong" in one for one in says)
