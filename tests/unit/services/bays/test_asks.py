"""What the layout asks: the same rule that later makes the bay."""

import pytest

from schemas.lengths import INCH
from services.bays import asks_for, make_bays
from tests.bays_by_hand import inch, job, level_layout


def test_works_means_that_the_bay_is_made() -> None:
    """For openings all over a pitch, the answer and the making agree."""
    at, asks = job(), asks_for(job())

    for sixteenths in range(72):
        clear = inch("66") + sixteenths * at.step

        made = make_bays(at, level_layout(clear=clear))

        works = asks.bay_works(clear=clear, left="line", right="line")
        assert works == (made.bays is not None), clear


def test_longest_clear_is_the_systems() -> None:
    """The longest opening works or has none nearby above it."""
    asks = asks_for(job())

    _, above = asks.nearest_legal(clear=asks.longest_clear + inch("1"), left="line", right="line")

    assert asks.longest_clear == job().system.level.longest_clear
    assert above is None


def test_legal_opening_is_its_own_nearest() -> None:
    """Nothing moves where nothing needs to."""
    asks = asks_for(job())

    found = asks.nearest_legal(clear=inch("72"), left="line", right="line")

    assert found == (inch("72"), inch("72"))


def test_wall_may_lean_further_than_the_margins_allow() -> None:
    """Openings that are legal by themselves at both heights are none under one hole pattern."""
    asks = asks_for(job())

    apart = [
        (clear, more)
        for clear in range(inch("66"), inch("72"), inch("1/16"))
        for more in (inch("1/2"), inch("3/4"))
        if asks.bay_works(clear=clear, left="line", right="line")
        and asks.bay_works(clear=clear + more, left="line", right="line")
        and not asks.bay_works(clear=clear, top_more=more, leans="left", left="line", right="line")
    ]

    assert apart


def test_nearest_opening_beside_a_leaning_wall_works() -> None:
    """What is offered instead is legal with the same lean."""
    asks = asks_for(job())
    lean = inch("3/4")

    for sixteenths in range(0, 96, 5):
        clear = inch("66") + sixteenths * inch("1/16")
        for near in asks.nearest_legal(
            clear=clear, left="line", right="line", top_more=lean, leans="right"
        ):
            assert near is None or asks.bay_works(
                clear=near, left="line", right="line", top_more=lean, leans="right"
            )


@pytest.mark.parametrize(("deg", "works"), [(50, True), (50.5, False)])
def test_mitre_beyond_its_bracket_works_nowhere(deg: float, works: bool) -> None:  # noqa: FBT001
    """The angle bracket takes up to 50 degrees."""
    asks = asks_for(job())

    openings = range(inch("66"), inch("72"), inch("1/2"))
    found = [
        asks.bay_works(clear=clear, left="line", right="angle", right_deg=deg) for clear in openings
    ]

    assert any(found) == works


def test_missing_bracket_works_nowhere() -> None:
    """A system without angle brackets builds no mitred end."""
    system = job().system
    level = system.level.model_copy(update={"angle_bracket": None})
    asks = asks_for(job({"system": system.model_copy(update={"level": level})}))

    assert not asks.bay_works(clear=inch("72"), left="line", right="angle")
    assert asks.nearest_legal(clear=inch("72"), left="line", right="angle") == (None, None)


def test_a_bay_with_room_still_works_an_eighth_off() -> None:
    """One at the edge of its window works and has no room; one further in has."""
    asks = asks_for(job())
    sixteenths = [n * INCH // 16 for n in range(40 * 16, 60 * 16)]

    works = [c for c in sixteenths if asks.bay_works(clear=c, left="line", right="line")]
    roomy = [c for c in works if asks.bay_has_room(clear=c, left="line", right="line")]

    eighth = inch("1/8")
    assert 0 < len(roomy) < len(works)
    inside = [c for c in roomy if sixteenths[2] <= c <= sixteenths[-3]]
    assert all({c - eighth, c + eighth} <= set(works) for c in inside)


def test_nearest_openings_leave_what_the_company_sets_posts_off() -> None:
    """Each answer bears its posts so far off, where any does; with 0 it is the nearest at all."""
    base = job()
    rail = base.system.level.model_copy(update={"greatest_margin": inch("3")})
    base = job({"system": base.system.model_copy(update={"level": rail})})
    dead = [inch("66") + n * INCH // 16 for n in range(80)]

    for off in (0, INCH // 8, INCH // 4):
        company = base.company.model_copy(update={"post_error": off})
        asks = asks_for(base.model_copy(update={"company": company}))
        for clear in dead:
            near = asks.nearest_legal(clear=clear, left="line", right="line")
            found = [size for size in near if size is not None]
            assert found
            assert all(
                asks.bay_works(clear=size + by, left="line", right="line")
                for size in found
                for by in (-off, off)
            )
