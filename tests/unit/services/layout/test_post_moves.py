"""Posts moved out of dead bands, against trying every place of every post."""

from dataclasses import replace
from itertools import combinations
from random import Random
from typing import Any

import pytest

from schemas.lengths import Length
from services.layout import post_moves
from services.layout.post_moves import SYMMETRY, place_posts
from services.layout.reasons import reason_for
from services.layout.rooms import Placed, Room, bays_of, walled_in, wished_marks
from services.layout.stands import Face, Stand, post
from tests.unit.services.layout.decks import Holes, inches

STEP = inches("1/4")
SLEEVE = inches("4")
DEAD = Holes(pitch=inches("5"), least=inches("2 3/4"), most=inches("4 1/2"))
"""Pitch 5 with margins from 2 3/4 to 4 1/2: 1 1/2 in of every 5 are dead (common practice)."""


def room(length: str, **more: object) -> Room:
    """A stretch between two walls."""
    wall = Face()
    plain: dict[str, Any] = {
        "left": Stand(at=0, where=None, before=wall, after=wall),
        "right": Stand(at=inches(length), where=None, before=wall, after=wall),
        "sleeve": SLEEVE,
        "step": STEP,
        "longest": inches("40"),
        "works": DEAD.works,
    }
    return Room(**plain | more)


def _legal(there: Room, centres: tuple[Length, ...]) -> bool:
    return not any(there.is_shut(at) for at in centres) and all(
        there.fits(*bay) for bay in bays_of(there, centres)
    )


def _least_move_of_all(there: Room, bays: int) -> Length | None:
    """By trying all places: the smallest greatest move of any legal layout."""
    wished = [mark * STEP for mark in wished_marks(there, bays=bays)]
    marks = range(STEP, there.right.at, STEP)
    legal = (c for c in combinations(marks, bays - 1) if _legal(there, c))
    moves = (max(abs(a - b) for a, b in zip(c, wished, strict=True)) for c in legal)
    return min(moves, default=None)


@pytest.mark.parametrize("length", [f"{n / 4}" for n in range(41 * 4, 50 * 4, 3)])
def test_two_bays_move_as_little_as_any(length: str) -> None:
    """One post, every quarter inch tried: no legal place lies nearer to the middle."""
    there = room(length)

    placed = place_posts(there)

    best = _least_move_of_all(there, 2)
    assert placed is not None
    if placed.bays == 2:
        assert placed.moved == best
        assert _legal(there, placed.centres)
    else:
        assert best is None


@pytest.mark.parametrize("length", ["85", "86 1/2", "88", "89 1/4", "91", "93 3/4"])
def test_three_bays_move_hardly_more_than_any(length: str) -> None:
    """Two posts, all pairs tried: only symmetry may ask for up to 1/2 in more."""
    there = room(length)

    placed = place_posts(there)

    best = _least_move_of_all(there, 3)
    assert placed is not None
    assert best is not None
    assert placed.bays == 3
    assert _legal(there, placed.centres)
    assert best <= placed.moved <= best + SYMMETRY
    if placed.moved > best:
        assert _symmetrical(there, placed)


def _symmetrical(there: Room, placed: Placed) -> bool:
    clears = [clear for clear, _, _ in bays_of(there, placed.centres)]
    return all(abs(a - b) <= STEP for a, b in zip(clears, reversed(clears), strict=True))


def test_equal_bays_stay_where_they_work() -> None:
    """A rail without dead bands leaves equal bays alone."""
    placed = place_posts(room("85", works=lambda **_: True))

    assert placed is not None
    assert placed.moved == 0
    assert placed.bays == placed.fewest == 3


def test_symmetry_is_kept_in_three_bays() -> None:
    """Equal bays of 25 in are dead; both posts move alike and the middle bay takes the rest."""
    there = room("83")

    placed = place_posts(there)

    assert placed is not None
    assert placed.moved > 0
    assert _symmetrical(there, placed)


def test_no_post_in_a_keep_out() -> None:
    """A sleeve does not stand in it; a post at its very edge may."""
    middle = inches("30")
    shut = ((middle - inches("5"), middle + inches("1"), "hose bib"),)

    placed = place_posts(room("60", works=lambda **_: True, shut=shut))

    assert placed is not None
    assert placed.centres == (middle + inches("1"),)


def test_post_stands_on_the_nearer_side_of_a_joist() -> None:
    """A joist an inch left of the middle: the post goes to its right side."""
    middle, half = inches("30"), inches("2 1/2")
    joist = middle - inches("1")
    there = room("60", works=lambda **_: True, on_joist=lambda at: abs(at - joist) < half)

    placed = place_posts(there)

    assert placed is not None
    assert placed.centres == (joist + half,)
    assert placed.dodged


def test_joist_gives_way_to_equal_look() -> None:
    """Where only a move of more than 3 in would clear the joists, the post stays."""
    middle = inches("30")
    there = room(
        "60", works=lambda **_: True, on_joist=lambda at: abs(at - middle) < inches("3 1/4")
    )

    placed = place_posts(there)

    assert placed is not None
    assert placed.centres == (middle,)


def test_one_post_more_where_the_fewest_have_no_place() -> None:
    """Bays that work only under 20 in: three of them, though 40 in are allowed."""
    placed = place_posts(room("60", works=lambda *, clear, **_: clear < inches("20")))

    assert placed is not None
    assert (placed.fewest, placed.bays) == (2, 3)


def test_nothing_legal_is_said_so() -> None:
    """A rail that never works has no layout."""
    assert place_posts(room("60", works=lambda **_: False)) is None


@pytest.mark.parametrize(("ends", "at_left"), [("left", "1/2"), ("right", "0"), ("both", "1/2")])
def test_rail_is_asked_with_the_wall_that_leans(ends: str, at_left: str) -> None:
    """How much wider the top is, and how much of it at the left end, goes with the question."""
    wall = Face(wider_at_top=inches("1/2"))
    plumb = Stand(at=0, where=None, before=Face(), after=Face())
    sides = {
        "left": plumb if ends == "right" else replace(plumb, before=wall, after=wall),
        "right": plumb if ends == "left" else replace(plumb, before=wall, after=wall),
    }
    sides["right"] = replace(sides["right"], at=inches("30"))
    heard: list[tuple[object, object]] = []

    def works(*, top_more: int = 0, leans: str | int = "both", **_: object) -> bool:
        heard.append((top_more, leans))
        return True

    place_posts(room("30", **sides, works=works))

    assert heard == [(inches("1") if ends == "both" else inches("1/2"), inches(at_left))]


def test_rail_is_asked_with_its_mitres() -> None:
    """The angle at which a rail meets each post goes with the question."""
    corner = Face(reach=SLEEVE // 2, mitre_deg=22.5, bracket="angle")
    mitred = Stand(at=inches("30"), where="corner", before=corner, after=corner)

    placed = place_posts(room("30", right=mitred, works=lambda *, right_deg, **_: right_deg < 20))

    assert placed is None


def test_posts_stand_on_the_tape() -> None:
    """Every centre is a tape mark, whatever the leg's length."""
    odd = Stand(at=inches("91.0317"), where=None, before=Face(), after=Face())

    placed = place_posts(room("0", right=odd))

    assert placed is not None
    assert all(at % STEP == 0 for at in placed.centres)
    assert post(0, where="line", sleeve=SLEEVE).right == SLEEVE // 2


def _roomy(*, clear: Length, **beside: Any) -> bool:  # noqa: ANN401 whatever a bay is asked with
    """A bay that still works a mark narrower and a mark wider."""
    return all(DEAD.works(clear=clear + off, **beside) for off in (-STEP, 0, STEP))


def test_posts_moved_out_of_a_dead_band_leave_its_edge() -> None:
    """The nearest legal place is the edge of a window; a mark further each bay bears an error."""
    edge = place_posts(room("44"))
    eased = place_posts(room("44", has_room=_roomy))

    assert edge is not None
    assert eased is not None
    assert not edge.eased
    assert eased.eased
    assert eased.moved == edge.moved + STEP
    assert all(_roomy(clear=clear, left="line", right="line") for clear, _, _ in _bays(eased))
    assert "so that each bears posts set a little off" in reason_for(room("44"), eased)


def test_places_without_room_are_kept_where_there_are_no_better() -> None:
    """Nothing has room: legal is enough."""
    plain = place_posts(room("45"))
    asked = place_posts(room("45", has_room=lambda **_: False))

    assert plain is not None
    assert plain.moved == 0
    assert asked == plain


def test_equal_bays_at_the_edge_of_their_window_become_unlike_ones_with_room() -> None:
    """Two bays both at the edge cannot both be eased alike; within 3 in they still look equal."""
    eased = place_posts(room("45", has_room=_roomy))

    assert eased is not None
    assert 0 < eased.moved <= inches("3")
    bays = bays_of(room("45"), eased.centres)
    assert all(_roomy(clear=clear, left="line", right="line") for clear, _, _ in bays)


def _bays(placed: Placed) -> tuple[tuple[Length, Face, Face], ...]:
    return tuple(bays_of(room("44"), placed.centres))


def _random_room(dice: Random) -> Room:
    """A stretch of 50 to 250 in with up to three keep-outs, some overlapping or touching."""
    long = dice.randrange(200, 1000)
    shut = []
    for _ in range(dice.randrange(4)):
        start = dice.randrange(long)
        end = start + dice.randrange(1, max(2, long // dice.choice((2, 4, 16))))
        shut.append((start * STEP, end * STEP, "door"))
        if dice.random() < 0.3:
            shut.append((end * STEP, (end + dice.randrange(1, 120)) * STEP, "bench"))
    return room(f"{long / 4}", shut=tuple(shut), has_room=dice.choice((None, _roomy)))


def test_a_search_cut_short_by_keep_outs_finds_what_the_whole_one_finds(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """On 150 random stretches; about a third of them have no places, and both say so."""
    dice = Random(11)
    rooms = [_random_room(dice) for _ in range(150)]

    short = [place_posts(there) for there in rooms]
    monkeypatch.setattr(post_moves, "walled_in", lambda *_, **__: False)
    whole = [place_posts(there) for there in rooms]

    assert short == whole
    assert 10 < whole.count(None) < 140


@pytest.mark.parametrize(
    ("shut", "walled"),
    [
        ((), False),
        (((10, 30),), True),
        (((10, 28),), False),  # 28 itself is free
        (((12, 30),), False),  # and so is 12
        (((10, 20), (20, 30)), False),  # posts stand between keep-outs that touch
        (((10, 21), (20, 30)), True),
        (((20, 30), (10, 21)), True),
        (((10, 12), (11, 40)), True),
    ],
)
def test_walled_in_is_no_free_place_within(shut: tuple[tuple[int, int], ...], walled: bool) -> None:  # noqa: FBT001
    """Eight to both sides of 20, ends of keep-outs excluded."""
    there = room("50", shut=tuple((start, end, "door") for start, end in shut))

    assert walled_in(there, 20, within=8) == walled
    assert walled == all(there.is_shut(at) for at in range(12, 29))
