"""The deck edge moved in to the post centres.

Source:
    Shapely (GEOS) 2: the deck as a polygon, offset with mitred joins.
"""

from importlib import import_module
from itertools import pairwise
from math import radians, tan
from typing import Any

import pytest

from schemas.lengths import INCH
from services.geometry.polyline import Point, headings, walk
from services.layout.centre_line import centre_legs
from tests.unit.services.layout.decks import FREE, WALL, corner, inches, job_of, leg, line

shapely: Any = import_module("shapely")  # its calls carry no types

INSET = 3.5


def _lengths(*legs: dict[str, object], **more: object) -> list[float]:
    job = job_of(line(*legs, **more))
    return [found.length / INCH for found in centre_legs(job.lines[0], number=0)]


def test_square_corners_take_the_inset_and_walls_nothing() -> None:
    """Wall, outside corner, inside corner, wall: minus, minus and plus, plus the inset."""
    lengths = _lengths(
        leg("A", "100", corner=corner()),
        leg("B", "80", corner=corner(hand="inside")),
        leg("C", "60"),
        start=WALL,
        end=WALL,
    )

    assert lengths == [96.5, 80, 63.5]


def test_posts_outside_the_edge_turn_gain_and_loss_round() -> None:
    """1 3/4 out on the rim's face: plus at an outside corner, minus at an inside one."""
    lengths = _lengths(
        leg("A", "100", corner=corner()),
        leg("B", "80", corner=corner(hand="inside")),
        leg("C", "60"),
        start=WALL,
        end=WALL,
        inset="-1 3/4",
    )

    assert lengths == [101.75, 80, 58.25]


def test_a_free_end_never_stands_beyond_its_edge() -> None:
    """Outside the edge its own inset counts, or nothing: past the end there is no rim."""
    end = {**FREE, "inset": "2 1/4"}

    assert _lengths(leg("A", "100"), start=end, end=FREE, inset="-1 3/4") == [97.75]


@pytest.mark.parametrize("turns", [(90, 90, 90, 90), (45, 45, 90, 90, 90), (120, 120, 120)])
def test_closed_line_outside_the_edge_is_the_grown_deck(turns: tuple[float, ...]) -> None:
    """Each leg is as long as that side of the library's deck grown by 1 3/4 in."""
    sides = _closing_sides(turns)
    legs = [leg("ABCDE"[n], f"{side:.9f}", corner=corner(turns[n])) for n, side in enumerate(sides)]
    deck = shapely.Polygon(_corners(sides, turns)[:-1])
    grown = deck.buffer(1.75, join_style="mitre", mitre_limit=100).exterior.coords
    want = sorted(((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5 for a, b in pairwise(grown))

    lengths = _lengths(*legs, closed=True, inset="-1 3/4")

    assert sorted(lengths) == pytest.approx(want, abs=0.02)


def test_free_ends_stand_in_by_their_own_inset() -> None:
    """An end post of its own inset starts the leg there; the other takes the line's."""
    lengths = _lengths(leg("A", "100"), start={**FREE, "inset": "2"})

    assert lengths == [100 - 2 - INSET]


def test_a_leg_measured_along_post_centres_keeps_its_length() -> None:
    """Its corners take nothing off and an end post stands at the measured end."""
    lengths = _lengths(leg("A", "100", corner=corner(45)), leg("B", "50"), measured="post-centre")

    assert lengths == [100, 50]


@pytest.mark.parametrize("turns", [(90, 90, 90, 90), (45, 45, 90, 90, 90), (120, 120, 120)])
def test_closed_line_is_the_offset_of_the_deck(turns: tuple[float, ...]) -> None:
    """Each leg of a closed line is as long as that side of the library's offset deck."""
    sides = _closing_sides(turns)
    names = "ABCDE"
    legs = [leg(names[n], f"{side:.9f}", corner=corner(turns[n])) for n, side in enumerate(sides)]
    deck = shapely.Polygon(_corners(sides, turns)[:-1])
    inner = deck.buffer(-INSET, join_style="mitre", mitre_limit=100)
    ring = shapely.geometry.polygon.orient(inner).exterior.coords
    offset = sorted((round(b[0] - a[0], 2), round(b[1] - a[1], 2)) for a, b in pairwise(ring))

    lengths = _lengths(*legs, closed=True)

    ways = headings(first_deg=0, turns_deg=turns[:-1])
    steps = walk(start=Point(0, 0), sides=lengths, headings_deg=ways)
    found = sorted((round(b.x - a.x, 2), round(b.y - a.y, 2)) for a, b in pairwise(steps))
    assert [x for x, _ in found] == pytest.approx([x for x, _ in offset], abs=0.02)
    assert [y for _, y in found] == pytest.approx([y for _, y in offset], abs=0.02)


def _closing_sides(turns: tuple[float, ...]) -> list[float]:
    """Sides around a circle of 100 in, which any corners close."""
    return [
        100 * (tan(radians(before / 2)) + tan(radians(after / 2)))
        for before, after in zip((turns[-1], *turns[:-1]), turns, strict=True)
    ]


def _corners(sides: list[float], turns: tuple[float, ...]) -> tuple[Point, ...]:
    ways = headings(first_deg=0, turns_deg=turns[:-1])
    return walk(start=Point(0, 0), sides=sides, headings_deg=ways)


def test_positions_move_by_the_zero() -> None:
    """A measured place is brought to the leg's zero: nothing at a wall, the inset at a corner."""
    job = job_of(line(leg("A", "100", corner=corner()), leg("B", "90"), start=WALL))

    first, second = centre_legs(job.lines[0], number=0)

    assert first.zero == 0
    assert second.zero == inches("3 1/2")
    assert second.heading_deg == 90
