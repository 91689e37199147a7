"""The opening of tread, riser and bottom rail: its limit and how far under it is planned."""

import pytest

from schemas.lengths import INCH
from services.bays.triangle import highest_planned, triangle_limit
from tests.bays_by_hand import FLIGHT, inch

SIX = 6 * INCH


def test_limit_of_a_closed_stair_with_its_nosing() -> None:
    """7 1/2 by 10 with 1 in of nosing: 3/4 in, to the last inside unit."""
    assert triangle_limit(stair=FLIGHT, sphere=SIX) == inch("3/4")


def test_rail_is_planned_an_eighth_under_the_limit() -> None:
    """Without a margin of the company's own the eighth decides."""
    assert highest_planned(stair=FLIGHT, sphere=SIX, sphere_margin=0) == inch("5/8")


def test_wide_company_margin_decides_over_the_eighth() -> None:
    """Working 1/2 in inside the sphere, the rail stays under the smaller sphere's limit."""
    working = triangle_limit(stair=FLIGHT, sphere=SIX - inch("1/2"))
    assert working is not None

    planned = highest_planned(stair=FLIGHT, sphere=SIX, sphere_margin=inch("1/2"))

    assert planned == working - 1
    assert planned < inch("5/8")


@pytest.mark.parametrize(
    "unknown", [{"nosing": None}, {"open_risers": True}, {"open_risers": None}]
)
def test_unknown_triangle_has_no_limit_and_a_low_rail(unknown: dict[str, object]) -> None:
    """It is planned as over the widest nosing, an eighth under that limit."""
    stair = FLIGHT.model_copy(update=unknown)
    widest = FLIGHT.model_copy(update={"nosing": inch("1 1/4")})

    planned = highest_planned(stair=stair, sphere=SIX, sphere_margin=0)

    assert triangle_limit(stair=stair, sphere=SIX) is None
    assert planned == highest_planned(stair=widest, sphere=SIX, sphere_margin=0)


def test_low_riser_is_rolled_over() -> None:
    """At a riser of half the sphere it still lies against it; lower, there is no triangle."""
    at = FLIGHT.model_copy(update={"riser": inch("3"), "tread": inch("14")})
    under = at.model_copy(update={"riser": inch("2 15/16")})

    assert triangle_limit(stair=at, sphere=SIX) is not None
    assert triangle_limit(stair=under, sphere=SIX) is None
    assert highest_planned(stair=under, sphere=SIX, sphere_margin=0) == 0


def test_known_triangle_may_ask_for_less_than_nothing() -> None:
    """A small sphere goes in even with the rail on the nosings: the limit is below them."""
    assert highest_planned(stair=FLIGHT, sphere=4 * INCH, sphere_margin=0) < 0
