"""What the saw takes: lengths that a stick gives, and those it just does not.

Source:
    Technology-magazine and tool-trade pages on the saw kerf: a full-kerf blade takes about
    1/8 in, a thin one about 3/32 in; four parts of 24 in do not come from 96 in, the last
    one is short by three cuts, 3/8 in.
    n parts need n x length + (n - 1) x kerf where the stick's end is not squared (derived).
"""

import pytest

from schemas.cut_plan import PlainBar, PlainPiece, PlainStock
from schemas.lengths import INCH, INSIDE
from services.cut_plan.plain import plain_cuts

FULL, THIN = INCH // 8, 3 * INCH // 32


def cut(*, parts: int, length: int, kerf: int) -> tuple[PlainBar, ...]:
    """Sleeves of one length from sticks of 96 in."""
    pieces = [
        PlainPiece.model_validate(
            {"id": f"{n}", "what": "sleeve", "length": length}, context=INSIDE
        )
        for n in range(parts)
    ]
    stick = {"what": "sleeve", "key": "stick", "length": 96 * INCH, "cents": 100}
    stock = [PlainStock.model_validate(stick, context=INSIDE)]
    return plain_cuts(pieces=pieces, stock=stock, kerf=kerf, seconds=5).bars


def test_four_of_24_in_do_not_come_from_96() -> None:
    """A second stick is taken; without a kerf one would do."""
    assert len(cut(parts=4, length=24 * INCH, kerf=FULL)) == 2
    assert len(cut(parts=4, length=24 * INCH, kerf=0)) == 1


@pytest.mark.parametrize(("kerf", "short"), [(FULL, "3/8"), (THIN, "9/32")])
def test_the_last_one_would_be_short_by_three_cuts(*, kerf: int, short: str) -> None:
    """Parts shorter by a quarter of that are the longest that come from one stick."""
    over, of = map(int, short.split("/"))
    longest = (96 * INCH - 3 * kerf) // 4

    assert 3 * kerf == INCH * over // of
    assert len(cut(parts=4, length=longest, kerf=kerf)) == 1
    assert len(cut(parts=4, length=longest + 1, kerf=kerf)) == 2


def test_a_cut_lies_between_every_two_parts() -> None:
    """Three parts of 31 11/12 in and two cuts make 96 in exactly; nothing is left."""
    (bar,) = cut(parts=3, length=(96 * INCH - 2 * FULL) // 3, kerf=FULL)

    gaps = [after[1] - before[2] for before, after in zip(bar.pieces, bar.pieces[1:], strict=False)]
    assert gaps == [FULL, FULL]
    assert bar.left < INCH // 64
