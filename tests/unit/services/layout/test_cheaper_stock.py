"""Posts moved for cheaper stock, against trying every place of every post.

Prices are those of the demo's invented price book; the least price of a set of rails is the
proven one of the cut plan.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise
from typing import Any

import pytest

from schemas.job import Job
from schemas.lengths import Length
from services.bays import asks_for
from services.layout import Asks, Opening, lay_out
from services.layout.asks import StockAsk
from services.layout.cheaper import UNLIKE, Stock, bears, for_less, openings
from services.layout.post_moves import place_posts
from services.layout.reasons import reason_for
from services.layout.rooms import FARTHEST, Placed, Room, bays_of, greatest_move, wished_marks
from services.layout.stands import Face, Stand
from services.pipeline import stock_of
from tests.unit.services.layout.decks import WALL, inches, job_of, leg, line

STEP = inches("1/4")
MANY = 10_000


def _job(*legs: dict[str, Any]) -> Job:
    return job_of(line(*(legs or (leg("A", "150"),)), start=WALL, end=WALL))


JOB = _job()
WORKS = asks_for(JOB)
BILL: StockAsk = stock_of(JOB, WORKS)
STOCK = Stock(
    bill=BILL,
    lengths=tuple(kit.length for kit in JOB.system.level.kits),
    clearance=JOB.system.level.end_clearance,
    kerf=JOB.company.saw_kerf,
)


def _room(length: str) -> Room:
    """A stretch between two walls, on a tape of quarter inches."""
    wall = Face()
    return Room(
        left=Stand(at=0, where=None, before=wall, after=wall),
        right=Stand(at=inches(length), where=None, before=wall, after=wall),
        sleeve=JOB.system.sleeve.outside,
        step=STEP,
        longest=WORKS.longest_clear,
        works=WORKS.bay_works,
    )


def _allowed(room: Room, centres: tuple[Length, ...]) -> bool:
    """The rules that count for more than stock, said once more."""
    bays = [clear for clear, _, _ in bays_of(room, centres)]
    marks = tuple(at // STEP for at in centres)
    moved = greatest_move(marks, wished_marks(room, bays=len(bays))) * STEP
    return (
        moved <= FARTHEST
        and all(UNLIKE * abs(a - b) <= max(a, b) for a, b in pairwise(bays))
        and all(room.fits(*bay) for bay in bays_of(room, centres))
    )


def _sure(room: Room, centres: tuple[Length, ...], beside: tuple[Opening, ...] = ()) -> int | None:
    """The least price of a layout; none where it hangs on posts set to less than 1/8 in."""
    bill = BILL((*beside, *openings(room, centres)), proven=True)
    if bill is None or not bears(room, centres, bill, others=beside, bill_of=BILL):
        return None
    return bill.cents


def _least_of_all(room: Room, bays: int) -> int:
    """By trying all places of all posts: the least proven price."""
    marks = [range(at - FARTHEST // STEP, at + FARTHEST // STEP + 1)
             for at in wished_marks(room, bays=bays)]  # fmt: skip
    places = sorted({mark * STEP for row in marks for mark in row})
    legal = (c for c in combinations(places, bays - 1) if _allowed(room, c))
    sets = {tuple(sorted(o.clear for o in openings(room, c))): c for c in legal}
    prices = (_sure(room, c) for c in sets.values())
    return min((cents for cents in prices if cents), default=MANY**2)


def _cents(room: Room, placed: Placed) -> int:
    bill = BILL(openings(room, placed.centres), proven=True)
    assert bill is not None
    return bill.cents


@pytest.mark.parametrize("length", [f"{n}" for n in (*range(98, 190, 7), 151, 153, 155, 157)])
def test_two_bays_are_as_cheap_as_any(length: str) -> None:
    """One post, every quarter inch tried: no allowed place takes cheaper stock."""
    room = _room(length)
    plain = place_posts(room)
    assert plain is not None

    placed, _ = for_less(room, plain, others=(), stock=STOCK, most=MANY)

    assert _allowed(room, placed.centres) or placed is plain
    assert _cents(room, placed) == min(_cents(room, plain), _least_of_all(room, plain.bays))


def test_three_bays_are_as_cheap_as_any() -> None:
    """Two posts, all pairs of inch marks tried."""
    whole = inches("1")
    for length in ("232", "240", "251"):
        room = replace(_room(length), step=whole)
        plain = place_posts(room)
        assert plain is not None

        placed, _ = for_less(room, plain, others=(), stock=STOCK, most=MANY)

        marks = range(20, int(length) - 20)
        wished = wished_marks(room, bays=3)
        near = (c for c in combinations(marks, 2)
                if greatest_move(c, wished) * whole <= FARTHEST)  # fmt: skip
        tried = [tuple(mark * whole for mark in c) for c in near]
        prices = {
            tuple(sorted(o.clear for o in openings(room, c))): c
            for c in tried
            if all(room.fits(*bay) for bay in bays_of(room, c))
            and all(
                UNLIKE * abs(a - b) <= max(a, b)
                for a, b in pairwise([clear for clear, _, _ in bays_of(room, c)])
            )
        }
        sure = (_sure(room, c) for c in prices.values())
        least = min((cents for cents in sure if cents), default=MANY**2)
        assert _cents(room, placed) == min(_cents(room, plain), least)


def test_a_bay_is_made_as_long_as_its_stock() -> None:
    """Two bays of 73 1/4 in take two kits of 96; 72 and 74 1/2 take one of 72 and one of 96."""
    room = _room("151")
    plain = place_posts(room)
    assert plain is not None

    placed, _ = for_less(room, plain, others=(), stock=STOCK, most=MANY)

    assert placed.stock is not None
    before, after = placed.stock
    assert (dict(before.kits), dict(after.kits)) == (
        {inches("96"): 2},
        {inches("72"): 1, inches("96"): 1},
    )
    assert after.cents < before.cents


def test_nothing_moves_where_nothing_is_saved() -> None:
    """Two bays of 65 in come from two kits of 72 wherever their post stands."""
    room = _room("134 1/2")
    plain = place_posts(room)
    assert plain is not None

    placed, _ = for_less(room, plain, others=(), stock=STOCK, most=MANY)

    assert placed is plain


@pytest.mark.parametrize(("most", "priced"), [(0, 0), (1, 1), (MANY, 2)])
def test_no_more_layouts_are_priced_than_allowed(most: int, priced: int) -> None:
    """The bound on time is a bound on layouts."""
    room = _room("151")
    plain = place_posts(room)
    assert plain is not None

    _, done = for_less(room, plain, others=(), stock=STOCK, most=most)

    assert len(done) == priced


def _asks(job: Job) -> Asks:
    made = asks_for(job)
    return Asks(
        bay_works=made.bay_works,
        longest_clear=made.longest_clear,
        nearest_legal=made.nearest_legal,
        stair_works=made.stair_works,
        stock_bill=stock_of(job, made),
    )


def _whole_bill(job: Job, asks: Asks) -> tuple[int, list[str]]:
    """The least price of all level bays of a job laid out so, and the reasons of its legs."""
    out = lay_out(job, asks=asks)
    assert out.layout is not None
    made = tuple(
        Opening(
            clear=bay.clear,
            left=bay.left.bracket,
            right=bay.right.bracket,
            left_deg=bay.left.mitre_deg,
            right_deg=bay.right.mitre_deg,
        )
        for bay in out.layout.bays
        if bay.kind == "level"
    )
    bill = stock_of(job, asks_for(job))(made, proven=True)
    assert bill is not None
    return bill.cents, [leg.reason for leg in out.layout.legs]


def test_the_reason_names_the_stock_that_is_saved() -> None:
    """In kits and lengths: no price stands on a crew's paper."""
    job = _job(leg("A", "151"))

    cheaper, reasons = _whole_bill(job, _asks(job))
    plain, _ = _whole_bill(job, replace(_asks(job), stock_bill=None))

    assert cheaper < plain
    assert "the level rails then take 1 of 72 in instead of 1 of 96 in of stock" in reasons[0]


def test_two_legs_together_are_cheaper_than_each_by_itself() -> None:
    """By itself a stretch of 110 in saves nothing by moving its post.

    Beside a short leg, whose rail then comes from the offcut, it saves a longer kit.
    """
    room, short = _room("110"), _room("20")
    plain, other = place_posts(room), place_posts(short)
    assert plain is not None
    assert other is not None
    beside = openings(short, other.centres)

    alone, _ = for_less(room, plain, others=(), stock=STOCK, most=MANY)
    jointly, _ = for_less(room, plain, others=beside, stock=STOCK, most=MANY)

    def all_cut(placed: Placed) -> int:
        bill = BILL((*openings(room, placed.centres), *beside), proven=True)
        assert bill is not None
        return bill.cents

    assert alone is plain
    assert all_cut(jointly) < all_cut(alone)
    assert reason_for(room, jointly).endswith(
        "because the level rails then take 1 of 72 in instead of 1 of 96 in of stock"
    )


def test_a_job_is_laid_out_with_all_its_legs_in_one_stock() -> None:
    """The same, from the measure to the layout: the short leg is another line of the job."""
    short = line(leg("B", "20"), start=WALL, end=WALL)
    job = job_of(line(leg("A", "110"), start=WALL, end=WALL), short)

    cheaper, reasons = _whole_bill(job, _asks(job))
    plain, _ = _whole_bill(job, replace(_asks(job), stock_bill=None))

    assert cheaper < plain
    assert "instead of" in reasons[0]
    assert reasons[1] == "One bay of 20 in"


@pytest.mark.parametrize("first", ["100", "110", "118", "130"])
@pytest.mark.parametrize("second", ["20", "28", "36", "44"])
def test_a_stretch_beside_another_is_as_cheap_as_any(first: str, second: str) -> None:
    """One post tried at every quarter inch, each time with the other leg's rail in the plan."""
    room, short = _room(first), _room(second)
    plain, other = place_posts(room), place_posts(short)
    assert plain is not None
    assert other is not None
    beside = openings(short, other.centres)

    placed, _ = for_less(room, plain, others=beside, stock=STOCK, most=MANY)

    def all_cut(centres: tuple[Length, ...]) -> int:
        bill = BILL((*openings(room, centres), *beside), proven=True)
        assert bill is not None
        return bill.cents

    (wish,) = wished_marks(room, bays=2)
    reach = range(wish - FARTHEST // STEP, wish + FARTHEST // STEP + 1)
    places = ((mark * STEP,) for mark in reach)
    sure = (_sure(room, centres, beside) for centres in places if _allowed(room, centres))
    least = min((cents for cents in sure if cents), default=MANY**2)
    assert all_cut(placed.centres) == min(least, all_cut(plain.centres))
