"""A cut list measured again where ends are mitred: the long points need their room too."""

from __future__ import annotations

from schemas.cut_plan import CutPlan
from schemas.lengths import INCH
from services.cut_plan import plan_cuts
from services.recheck.cuts import recheck_bars
from tests.rails_by_hand import KEEP, KERF, A, inches, kits, piece


def mitred() -> CutPlan:
    """Two short rails with 45-degree ends, cut from one kit."""
    pieces = [
        piece(f"P{n}", holes=5, left=inches(2), right=inches(2), pitch=inches(A.pitch),
              saw=(45, 45), reach=(INCH, INCH))
        for n in range(2)
    ]  # fmt: skip
    return plan_cuts(pieces=pieces, stock=kits(A), kerf=KERF, keep=KEEP)


def test_a_mitred_plan_stands() -> None:
    """Both pieces lie on one bar, and nothing is wrong with it."""
    plan = mitred()

    assert [len(bar.pieces) for bar in plan.bars] == [2]
    assert list(recheck_bars(plan)) == []


def test_long_points_that_meet_are_found() -> None:
    """An inch of long point at both ends does not fit a gap that a square cut would."""
    plan = mitred()
    bar = plan.bars[0]
    gap = bar.pieces[1].start - bar.pieces[0].end
    longer = tuple(one.model_copy(update={"reach_right": gap}) for one in plan.pieces)

    says = list(recheck_bars(plan.model_copy(update={"pieces": longer})))

    assert any("no room for the saw between" in line for line in says)


def test_a_long_point_over_the_end_of_the_stock_is_found() -> None:
    """The piece itself lies on the stock, its long point does not."""
    plan = mitred()
    first = plan.bars[0].pieces[0]
    longer = tuple(
        one.model_copy(update={"reach_left": first.start + 1}) if one.id == first.piece else one
        for one in plan.pieces
    )

    says = list(recheck_bars(plan.model_copy(update={"pieces": longer})))

    assert any("a piece runs into the trim" in line for line in says)


def test_a_piece_cut_twice_or_never_is_found() -> None:
    """Each lies on one bar, once."""
    plan = mitred()
    bar = plan.bars[0]
    twice = plan.model_copy(update={"bars": (bar, bar.model_copy(update={"number": 2}))})
    never = plan.model_copy(update={"bars": ()})

    assert any("is cut 2 times" in line for line in recheck_bars(twice))
    assert any("is on no bar" in line for line in recheck_bars(never))
