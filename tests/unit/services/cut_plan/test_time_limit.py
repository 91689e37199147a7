"""When the time is up there is a plan that can be cut, with an honest gap, and no more is tried.

No second of a real clock is measured: the clock goes on by itself each time it is read.
"""

from __future__ import annotations

from random import Random

import pytest

from schemas.cut_plan import CutPlan, PlainPiece, PlainStock
from services.cut_plan import check_all, plan_cuts
from services.cut_plan.master import solve_whole
from services.cut_plan.plain import plain_cuts
from services.cut_plan.stopwatch import Stopwatch
from tests.rails_by_hand import KEEP, KERF, SIXTEENTH, A, C, Profile, inches, kits, some_rails


class Ticking:
    """A clock that goes on by so much each time it is read."""

    def __init__(self, tick: float) -> None:
        self.tick = tick
        self.read = 0

    def __call__(self) -> float:
        """Seconds since it was made."""
        self.read += 1
        return self.read * self.tick


def cut(clock: Ticking, *, count: int, profile: Profile = A, seconds: float = 1.0) -> CutPlan:
    """Short rails, of which three or four share a stock rail: the hard kind; checked all over."""
    pieces = some_rails(profile, dice=Random(7), count=count, sizes=range(18, 48))
    stock = kits(profile)
    plan = plan_cuts(pieces=pieces, stock=stock, kerf=KERF, keep=KEEP, seconds=seconds, clock=clock)
    return check_all(plan, stock=stock, keep=KEEP)


@pytest.mark.parametrize("count", [12, 60, 160])
def test_with_no_time_at_all_the_plan_is_first_fit(count: int) -> None:
    """Its bound is that of the holes alone: under its price, over nothing, and it adds up."""
    plan = cut(Ticking(1000.0), count=count)

    assert plan.cents == plan.first_fit_cents
    assert 0 < plan.bound_cents <= plan.cents
    assert "first fit" in plan.method


def test_nothing_is_tried_once_it_is_up() -> None:
    """Whoever looks at the watch after its end stops: it is looked at a few times more, no more."""
    reads = {}
    for tick in (1000.0, 0.05):
        clock = Ticking(tick)
        cut(clock, count=160)
        reads[tick] = clock.read

    assert reads[1000.0] < 20
    assert 1 / 0.05 <= reads[0.05] < 1 / 0.05 + 20


@pytest.mark.parametrize(("count", "profile"), [(40, A), (155, C)])
def test_wherever_it_ends_the_plan_can_be_cut_and_its_bound_holds(
    count: int, profile: Profile
) -> None:
    """Cut off anywhere: each piece once, no dearer than first fit, no bound over another's plan."""
    plans = [cut(Ticking(tick), count=count, profile=profile) for tick in (0.4, 0.2, 0.06, 0.002)]

    assert all(plan.cents <= plan.first_fit_cents for plan in plans)
    assert max(plan.bound_cents for plan in plans) <= min(plan.cents for plan in plans)
    assert plans[-1].cents < plans[0].cents


def test_a_stopped_clock_changes_nothing() -> None:
    """A small job is long done: the same plan by a clock that stands and by one that goes."""
    assert cut(Ticking(0.0), count=10) == cut(Ticking(1e-6), count=10)


def test_sticks_end_with_the_time_as_well() -> None:
    """First fit, and the bound of their lengths."""
    dice = Random(3)
    pieces = [
        PlainPiece(id=f"P{n}", what="core", length=dice.randrange(176, 752) * SIXTEENTH)
        for n in range(60)
    ]
    stock = [PlainStock(what="core", key="core", length=inches("96"), cents=1_850)]

    made = plain_cuts(pieces=pieces, stock=stock, kerf=KERF, seconds=1, clock=Ticking(1000.0))

    assert sum(len(bar.pieces) for bar in made.bars) == 60
    assert 0 < made.bound <= made.cents


def test_a_watch_gives_away_parts_of_what_it_has_left() -> None:
    """Half of three seconds left is a second and a half; of none it is none."""
    now = [10.0]
    watch = Stopwatch(4, clock=lambda: now[0])
    now[0] = 11.0

    assert watch.left() == 3
    assert watch.part(0.5).left() == 1.5
    now[0] = 15.0
    assert watch.left() == 0
    assert watch.up()
    assert watch.part(0.5).up()


def test_the_solver_is_not_asked_when_there_is_no_time() -> None:
    """No answer, rather than one without a limit."""
    assert solve_whole(costs=[1], most=[1], rows=[], seconds=0) is None
