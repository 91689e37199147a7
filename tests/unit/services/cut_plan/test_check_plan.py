"""The second look refuses plans that cannot be cut and bounds that do not add up."""

from __future__ import annotations

from random import Random

import pytest

from schemas.cut_plan import Bar, CutPlan
from schemas.errors import BrokenPlan
from services.cut_plan import check_all, check_bound, check_plan, plan_cuts
from tests.rails_by_hand import KEEP, KERF, A, inches, kits, offcut, rail, some_rails

PIECES = some_rails(A, dice=Random(8), count=12, sizes=range(22, 50))
RACK = offcut(A, name="rack", length=inches(50), first_hole=inches(3))
STOCK = (*kits(A), RACK)


def good() -> CutPlan:
    """A sound plan."""
    return plan_cuts(pieces=PIECES, stock=STOCK, kerf=KERF, keep=KEEP)


def with_bar(plan: CutPlan, number: int, **changes: object) -> CutPlan:
    """The plan with one bar changed."""
    bars = list(plan.bars)
    bars[number] = bars[number].model_copy(update=changes)
    return plan.model_copy(update={"bars": tuple(bars)})


def full_bar(plan: CutPlan) -> int:
    """A bar with several pieces."""
    return next(n for n, bar in enumerate(plan.bars) if len(bar.pieces) > 1)


def moved(bar: Bar, at: int, by: int) -> Bar:
    """The bar with one piece moved."""
    pieces = list(bar.pieces)
    one = pieces[at]
    pieces[at] = one.model_copy(update={"start": one.start + by, "end": one.end + by})
    return bar.model_copy(update={"pieces": tuple(pieces)})


def refuse(plan: CutPlan, says: str) -> None:
    """The plan is refused for that."""
    with pytest.raises(BrokenPlan, match=says):
        check_plan(plan, stock=STOCK, keep=KEEP)


def test_sound_plan_passes() -> None:
    """What the planner makes stands the second look."""
    check_plan(good(), stock=STOCK, keep=KEEP)


def test_piece_off_its_holes_is_refused() -> None:
    """One unit to the right and the margins are no longer those on the ticket."""
    plan = good()
    bar = moved(plan.bars[0], 0, 1)

    refuse(with_bar(plan, 0, pieces=bar.pieces), "margins are")


def test_piece_over_the_end_is_refused() -> None:
    """The last piece moved a pitch at a time leaves the stock sooner or later."""
    plan = good()
    bar = plan.bars[0]
    off = moved(bar, len(bar.pieces) - 1, 20 * inches(A.pitch))

    refuse(with_bar(plan, 0, pieces=off.pieces), "holes lie in it")


def test_no_room_for_the_saw_is_refused() -> None:
    """A blade half an inch wide does not fit where an eighth was planned."""
    plan = good().model_copy(update={"kerf": inches(3)})

    refuse(plan, "no room for the saw")


def test_missing_piece_is_refused() -> None:
    """A bar that lost a piece."""
    plan = good()
    number = full_bar(plan)

    refuse(with_bar(plan, number, pieces=plan.bars[number].pieces[1:]), "laid and wanted differ")


def test_waste_that_does_not_add_up_is_refused() -> None:
    """Stock is pieces, waste and offcuts to the last unit."""
    plan = good()

    refuse(with_bar(plan, 0, waste=plan.bars[0].waste + 1), "are not the stock")


def test_stock_taken_twice_is_refused() -> None:
    """Two rails from two offcuts; there turns out to be only one."""
    two = RACK.model_copy(update={"supply": 2})
    pieces = [rail(A, "P1", "36"), rail(A, "P2", "36")]
    plan = plan_cuts(pieces=pieces, stock=[two], kerf=KERF, keep=KEEP)
    bars = tuple(bar.model_copy(update={"stock": RACK}) for bar in plan.bars)

    refuse(plan.model_copy(update={"bars": bars}), "2 taken, 1 there")


def test_stock_not_offered_is_refused() -> None:
    """A kit that the company does not buy."""
    with pytest.raises(BrokenPlan, match="was not offered"):
        check_plan(good(), stock=[RACK], keep=KEEP)


def test_wrong_cost_or_bound_is_refused() -> None:
    """Cost is the price of the bars, and no bound stands over it."""
    plan = good()

    refuse(plan.model_copy(update={"cents": plan.cents - 100}), "is not the price")
    refuse(plan.model_copy(update={"bound_cents": plan.cents + 100}), "stands over the cost")


def test_bound_adds_up_again() -> None:
    """The proof gives the bound it claims, and never more than the plan costs."""
    plan = good()

    found = check_bound(plan.proofs[0], pieces=PIECES, stock=STOCK, kerf=KERF)

    assert plan.proofs[0].cents <= found <= plan.bound_cents <= plan.cents


def test_raised_worth_is_refused() -> None:
    """A piece said to be worth more than a kit costs: some stock would hold over its price."""
    plan = good()
    proof = plan.proofs[0]
    name, worth = proof.worth[0]
    raised = proof.model_copy(
        update={"worth": ((name, worth + 18_900 * proof.scale), *proof.worth[1:])}
    )

    with pytest.raises(BrokenPlan, match="more worth than it costs"):
        check_bound(raised, pieces=PIECES, stock=STOCK, kerf=KERF)


def test_bound_over_what_its_worths_prove_is_refused() -> None:
    """A claim a dollar over the sum is caught, and so is a proof for other pieces."""
    proof = good().proofs[0]

    with pytest.raises(BrokenPlan, match="the worths prove"):
        check_bound(
            proof.model_copy(update={"cents": proof.cents + 100}),
            pieces=PIECES, stock=STOCK, kerf=KERF,
        )  # fmt: skip
    with pytest.raises(BrokenPlan, match="for other pieces"):
        check_bound(proof, pieces=PIECES[1:], stock=STOCK, kerf=KERF)


def test_no_plan_goes_out_with_a_proof_that_does_not_add_up() -> None:
    """Bars that hold are not enough: a proof that claims a dollar more stops the plan."""
    plan = good()
    proof = plan.proofs[0]
    raised = plan.model_copy(
        update={"proofs": (proof.model_copy(update={"cents": proof.cents + 100}),)}
    )
    assert check_all(plan, stock=STOCK, keep=KEEP) is plan

    with pytest.raises(BrokenPlan, match="the worths prove"):
        check_all(raised, stock=STOCK, keep=KEEP)
