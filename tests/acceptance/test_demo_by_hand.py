"""The demo's jobs worked out again from their JSON: what is printed is what a pencil makes of it.

Only where the chosen posts stand is taken from the plan; their number and every other figure is
derived by `tests.by_hand`, which imports nothing of ours.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import Any

import pytest

from schemas.bays import LevelBay
from schemas.layout import Bay, LaidLeg
from schemas.plan import Plan
from tests.builders import JOBS
from tests.by_hand import ground, level, rake
from tests.by_hand.reading import Books, books_of, up
from tests.planned import plan

DEMO = [name for name in JOBS if name not in {"held", "refused"}]
NEAR = 4
"""Roundings of a corner's setback add up to so much. [1/320 mm]"""
FLOATS = {"slope_deg": 1e-6, "level_gap": 1.01, "gap_lower": 1.51, "gap_upper": 1.51,
          "top_over_nosing": 1.01}  # fmt: skip
"""What is rounded up to a whole unit, or read off a slope. [1/320 mm]"""


def both(name: str) -> tuple[Books, Plan]:
    """The documents and the plan of a demo job."""
    return books_of(JOBS[name]), plan(name)


def differing(found: Any, by_hand: dict[str, Any]) -> dict[str, tuple[object, object]]:  # noqa: ANN401 a record
    """Fields in which a record differs from the hand calculation."""
    pairs = {key: (getattr(found, key), value) for key, value in by_hand.items()}
    return {
        key: (one, other)
        for key, (one, other) in pairs.items()
        if (abs(one - other) > FLOATS[key] if key in FLOATS else one != other)
    }


@pytest.mark.parametrize("name", DEMO)
def test_legs_are_as_long_as_the_edge_less_the_inset(name: str) -> None:
    """Zero, length and direction; posts in place may be 1/4 in off the leg, and are believed."""
    books, whole = both(name)

    for line, leg in zip(ground.legs(books), whole.layout.legs, strict=True):
        stand = bool(ground.leg_of(books, line.name).get("clears"))
        assert leg.name == line.name
        assert leg.zero == pytest.approx(line.zero, abs=NEAR)
        assert leg.length == pytest.approx(line.length, abs=2032 if stand else NEAR)
        assert (leg.heading_deg - line.heading) % 360 == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("name", DEMO)
def test_posts_stand_where_the_measure_settles_them(name: str) -> None:
    """Beside stairs, and where posts stand already; all others are as few as the rail lets be.

    In one stretch of the metric job a single bay of 1317 mm has no legal margins: 11 balusters
    leave 53 mm, under the bracket's 56, and 10 leave 113, over the greatest of 106.
    """
    books, whole = both(name)
    sleeve = books.of_system(books.system["sleeve"]["outside"])
    longest = books.of_system(books.system["level"]["longest_clear"])
    more = 0

    for line, leg in zip(ground.legs(books), whole.layout.legs, strict=True):
        posts = [whole.layout.post(post) for post in leg.posts]
        centres = [post.at for post in posts if post.leg == leg.name]
        assert all(min(abs(at - c) for c in centres) <= 1 for at in ground.settled(books, line))
        if ground.leg_of(books, line.name).get("clears"):
            continue
        for row in stretches(whole, leg):
            clear = sum(bay.clear for bay in row) + (len(row) - 1) * sleeve
            more += len(row) - ceil((clear + sleeve) / (longest + sleeve))
    assert more == (1 if name == "metric" else 0)


def stretches(whole: Plan, leg: LaidLeg) -> list[list[Bay]]:
    """Level bays between posts that the measure settles."""
    chosen = {post.name for post in whole.layout.posts if post.where == "line"}
    rows: list[list[Bay]] = []
    before: str | None = None
    for bay in (bay for bay in whole.layout.bays if bay.leg == leg.name and bay.kind == "level"):
        if rows and bay.left.post in chosen and bay.left.post == before:
            rows[-1].append(bay)
        else:
            rows.append([bay])
        before = bay.right.post
    return rows


def opening_of(
    books: Books, line: ground.Line, leg: LaidLeg, bay: Bay, number: int, whole: Plan
) -> level.Opening:
    """A bay's opening by hand, from where its two posts stand."""
    walls = (bay.left.post is None, bay.right.post is None)
    ends = [
        Fraction(0 if bay.left.post is None else _along(whole, leg, bay.left.post)),
        Fraction(leg.length if bay.right.post is None else _along(whole, leg, bay.right.post)),
    ]
    mitres = (
        line.mitres[0] if bay.left.post == leg.posts[0] and not walls[0] else 0.0,
        line.mitres[1] if bay.right.post == leg.posts[-1] and not walls[1] else 0.0,
    )
    leans = {(True, False): "left", (False, True): "right"}.get(walls, "both")
    if tape := ground.read_twice(books, line.name, number):
        return level.Opening(
            clear=tape["bottom"], wider=tape["top"] - tape["bottom"], leans=leans, mitres=mitres
        )
    clear = ground.opening(books, centres=(ends[0], ends[1]), walls=walls, mitres=mitres)
    return level.Opening(clear=clear, wider=Fraction(0), leans=leans, mitres=mitres)


def _along(whole: Plan, leg: LaidLeg, post: str) -> int:
    """A corner's post belongs to the leg that starts there; it ends this one."""
    found = whole.layout.post(post)
    return found.at if found.leg == leg.name else leg.length


@pytest.mark.parametrize("name", DEMO)
def test_level_bays_come_out_as_printed(name: str) -> None:
    """Count, cuts, margins, marks, gaps, window, weight and hands of every one."""
    books, whole = both(name)
    sheets = {bay.name: bay for bay in whole.bays.level}
    seen = 0

    for line, leg in zip(ground.legs(books), whole.layout.legs, strict=True):
        bays = [bay for bay in whole.layout.bays if bay.leg == leg.name]
        for number, bay in enumerate(bays):
            if bay.kind != "level":
                continue
            seen += 1
            opening = opening_of(books, line, leg, bay, number=number, whole=whole)
            by_hand = level.bay(books, opening)
            moves = by_hand.pop("moves")
            sheet: LevelBay = sheets[bay.name]
            fall = books.of_job(ground.leg_of(books, leg.name).get("fall", 0))
            share = up(fall * (bay.right.face - bay.left.face) / leg.length, books.step)
            assert differing(sheet, by_hand) == {}, bay.name
            assert sheet.movement.free == moves
            assert sheet.sweep_low == sheet.sweep + (share if fall else 0)
    assert seen == len(whole.bays.level)


@pytest.mark.parametrize("name", ["l-deck", "two-stair-sides", "metric"])
def test_stair_bays_come_out_as_printed(name: str) -> None:
    """Cut, count, margins, points, triangle, heights at nosings and posts, handrail."""
    books, whole = both(name)

    for stair in books.job["stairs"]:
        flight, by_hand = rake.steps(books, stair), rake.side(books, stair)
        for bay in (bay for bay in whole.bays.stair if bay.stair == stair["name"]):
            top, under = Fraction(bay.top_over_nosing), by_hand["rail_over_nosing"]
            noses = [
                (n.nosing, Fraction(n.from_upper_face), Fraction(n.top), Fraction(n.gap))
                for n in bay.heights
            ]
            assert differing(bay, by_hand) == {}, bay.name
            assert differing(bay, rake.at_posts(books, flight, under=under, top=top)) == {}
            assert noses == [
                (n + 1, n * flight.tread - flight.upper, top, under) for n in range(flight.risers)
            ]
            if bay.side in stair["handrail"]:
                assert differing(bay, rake.handrail(books, flight, top=top)) == {}
            else:
                assert bay.handrail is None


@pytest.mark.parametrize("name", DEMO)
def test_sleeves_and_cores_follow_from_the_highest_rail(name: str) -> None:
    """Rail, reveal and cap make the sleeve; the core ends over the rail and under the cap's tab."""
    books, whole = both(name)
    sold = books.system["sleeve"]
    reveal, cap, tab = (books.of_system(sold[k]) for k in ("reveal", "cap_depth", "cap_tab"))

    for post in whole.bays.posts:
        tops = [mark.topside for mark in post.faces if mark.rail == "top"]
        highest = max(tops, default=level.top(books))
        sleeve = up(Fraction(highest) + reveal + cap, books.step)
        assert post.rail_top == highest
        assert post.sleeve == sleeve
        assert post.core_least == up(Fraction(highest), books.step)
        assert post.core_most <= sleeve - tab
        assert post.reveal == sleeve - cap - highest


@pytest.mark.parametrize("name", DEMO)
def test_bays_of_a_row_meet_at_their_posts(name: str) -> None:
    """What is left of a leg beside its openings is sleeves, each once."""
    books, whole = both(name)
    sleeve = books.of_system(books.system["sleeve"]["outside"])

    for leg in whole.layout.legs:
        along = [bay for bay in whole.layout.bays if bay.leg == leg.name]
        for one, other in pairwise(along):
            assert other.left.face - one.right.face == pytest.approx(float(sleeve), abs=2)
