"""The quick least price of a few rails, against the cut plan's proven one."""

from __future__ import annotations

from random import Random

import pytest

from schemas.job import Job
from services.bays import asks_for
from services.cut_plan import RailCut, plan_cuts, stock_bill, stock_rails, with_boxed
from services.cut_plan.asks import _pieces
from services.cut_plan.sharing import MOST_SHARING, Sharing
from tests import builders

SIXTEENTH = 508


def _job() -> Job:
    return builders.job(builders.document("l-deck"))


def _cuts(job: Job, dice: Random, many: int, *, shortest: int, longest: int) -> list[RailCut]:
    """Rails of openings that can be built, in sixteenths from the one to the other."""
    fit = asks_for(job).bay_fit
    found: list[RailCut] = []
    while len(found) < many:
        clear = dice.randint(shortest * 16, longest * 16) * SIXTEENTH
        made = fit(clear=clear, left="line", right=dice.choice(("line", "angle")))
        if made is not None:
            rail = (made.cut, made.margins.left, made.margins.right)
            found.append(RailCut(holes=made.balusters, bottom=rail, top=rail))
    return found


@pytest.mark.parametrize("seed", range(40))
def test_least_price_is_the_proven_one(seed: int) -> None:
    """One to eight rails from 20 to 90 in: the same price to the cent."""
    dice, job = Random(seed), _job()
    cuts = _cuts(job, dice, dice.randint(1, 8), shortest=20, longest=90)
    pieces = [piece for number, one in enumerate(cuts) for piece in _pieces(job, number, one)]
    plan = plan_cuts(
        pieces=pieces,
        stock=with_boxed(stock_rails(job), pieces, job=job),
        kerf=job.company.saw_kerf,
        keep=job.company.keep_offcut,
    )

    bill = stock_bill(job, cut=dict(enumerate(cuts)).get)(tuple(range(len(cuts))), proven=False)

    assert bill is not None
    assert plan.bound_cents == plan.cents
    assert bill.cents == plan.cents
    assert sum(count for _, count in bill.kits) == len(plan.bars)


def test_many_short_rails_are_left_to_the_cut_plan() -> None:
    """Beyond ten that can share, subsets are not looked at; the price must be asked as proven."""
    job = _job()
    cuts = _cuts(job, Random(1), MOST_SHARING + 2, shortest=20, longest=40)
    sharing = Sharing(stock=stock_rails(job)[:3], kerf=job.company.saw_kerf)
    ask = stock_bill(job, cut=dict(enumerate(cuts)).get)
    all_of_them = tuple(range(len(cuts)))

    proven = ask(all_of_them, proven=True)

    assert sharing.least([sharing.named(cut) for cut in cuts]) is None
    assert ask(all_of_them, proven=False) is None
    assert proven is not None


def test_an_opening_without_a_rail_has_no_price() -> None:
    """Nor has a rail that is longer than all stock."""
    job = _job()
    long = (job.system.level.hole_pitch * 40, *(job.system.level.hole_pitch // 2,) * 2)
    too_long = RailCut(holes=40, bottom=long, top=long)

    assert stock_bill(job, cut=lambda _: None)((1,), proven=False) is None
    assert stock_bill(job, cut=lambda _: too_long)((1,), proven=False) is None
