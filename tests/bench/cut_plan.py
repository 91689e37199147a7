"""Cut plans: time, proven gap and saving, for jobs of 5 to 40 bays and nights of 6,000 rails.

Three invented rail systems. Jobs are runs of two to five near-equal bays with some short
ones between, or bays of any length; nights are such jobs together, on tapes of 1/16 or
1/32 in, or only short pieces, of which three or four share a stock rail. Every plan stands the
second look, and every bound is added up again, before its time counts. Saving is against
first fit on the same lattice, and against one kit a bay.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from random import Random
from statistics import median
from time import perf_counter

from schemas.cut_plan import CutPlan, Piece, PlainPiece, PlainStock, StockRail
from schemas.lengths import INCH
from services.cut_plan import (
    check_bound,
    check_plain_bound,
    check_plan,
    fits_stock,
    plan_cuts,
)
from services.cut_plan.lower_bound import Rows, most_held, prove
from services.cut_plan.reading import groups
from tests.rails_by_hand import KEEP, KERF, A, B, C, Profile, inches, kits, piece

SIZES = (5, 10, 20, 40)
JOBS_EACH = 60
MOST_SECONDS = {20: 0.100, 40: 0.600}
"""For 95 of 100 jobs of so many bays, all three stages. [s]"""
WORST_SECONDS = {20: 0.250, 40: 2.0}
"""For every job of so many bays. [s]"""
STICK_JOBS, STICKS_EACH, STICK_SECONDS = 20, 14, 0.5
"""Jobs of so many sleeves of any length, each job in this time at the worst. [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Night:
    """A night and what it must reach."""

    name: str
    profile: Profile
    pieces: int
    kind: str
    grid: int
    """Tape marks an inch."""
    gap: float
    """Of the certified bound, at most."""
    seconds: float


NIGHTS = tuple(
    Night(name=f"{count} {name} {kind} 1/{grid}", profile=profile, pieces=count, kind=kind,
          grid=grid, gap=gap, seconds=seconds)
    for count, name, profile, kind, grid, gap, seconds in (
        (1000, "A", A, "runs", 16, 5e-4, 10),
        (1000, "B", B, "any", 16, 5e-4, 10),
        (1000, "C", C, "runs", 16, 5e-4, 10),
        (6000, "A", A, "runs", 16, 1e-4, 30),
        (6000, "B", B, "any", 16, 1e-4, 30),
        (6000, "C", C, "any", 16, 1e-4, 30),
        (6000, "A", A, "any", 32, 1e-3, 120),
        (6000, "A", A, "short", 16, 2e-3, 120),
        (6000, "C", C, "short", 16, 2e-3, 120),
    )
)  # fmt: skip
RECHECK_SECONDS = 0.050
"""To add up a night's bound again in whole numbers, its pieces sorted. [s]"""


def sizes(kind: str, dice: Random, grid: int) -> Iterator[int]:
    """Lengths without end, in tape marks."""
    while True:
        if kind == "any":
            yield dice.randrange(24 * grid, 94 * grid)
        elif kind == "short":
            yield dice.randrange(18 * grid, 48 * grid)
        elif dice.random() < 0.7:
            length = dice.randrange(40 * grid, 94 * grid)
            for _ in range(dice.randint(2, 5)):
                yield length + dice.randint(-grid // 8, grid // 8)
        else:
            yield dice.randrange(20 * grid, 47 * grid)


def rails(
    profile: Profile, *, kind: str, dice: Random, count: int, grid: int = 16
) -> tuple[Piece, ...]:
    """Rails that a kit holds, each with one of its legal counts of holes."""
    sold = kits(profile)
    pitch = inches(profile.pitch)
    found: list[Piece] = []
    for size in sizes(kind, dice, grid):
        if len(found) == count:
            break
        length, step = size * INCH // grid, INCH // grid
        legal = _legal(profile, length, step)
        if not legal:
            continue
        holes, left, right = dice.choice(legal)
        one = piece(f"R{len(found):04}", holes=holes, left=left, right=right, pitch=pitch)
        if fits_stock(one, sold):
            found.append(one)
    return tuple(found)


def _legal(profile: Profile, length: int, step: int) -> list[tuple[int, int, int]]:
    pitch, least, most = (inches(s) for s in (profile.pitch, profile.least, profile.greatest))
    pairs = [(n, length - (n - 1) * pitch) for n in range(1, length // pitch + 2)]
    split = [(n, both // 2 // step * step, both) for n, both in pairs if both > 0]
    return [(n, left, both - left) for n, left, both in split
            if least <= left and both - left <= most]  # fmt: skip


def alone(pieces: Sequence[Piece], stock: Sequence[StockRail]) -> int:
    """What one kit a bay costs. [cents]."""
    return sum(min(one.cents for one in stock if fits_stock(p, [one])) for p in pieces)


def timed(act: Callable[[], object]) -> float:
    """Seconds that it takes."""
    begin = perf_counter()
    act()
    return perf_counter() - begin


def planned(pieces: Sequence[Piece], stock: Sequence[StockRail]) -> tuple[CutPlan, float]:
    """A plan that stood the second look, and its seconds."""
    begin = perf_counter()
    plan = plan_cuts(pieces=pieces, stock=stock, kerf=KERF, keep=KEEP)
    seconds = perf_counter() - begin
    check_plan(plan, stock=stock, keep=KEEP)
    for proof in plan.proofs:
        check_bound(proof, pieces=pieces, stock=stock, kerf=KERF)
    return plan, seconds


def jobs_of(bays: int) -> dict[str, object]:
    """Jobs of so many bays over all three systems and both kinds."""
    times, gaps, over, single = [], [], [], []
    for seed in range(JOBS_EACH):
        profile = (A, B, C)[seed % 3]
        kind = ("runs", "any")[seed // 3 % 2]
        pieces = rails(profile, kind=kind, dice=Random(1000 * bays + seed), count=bays)
        stock = kits(profile)
        plan, seconds = planned(pieces, stock)
        times.append(seconds)
        gaps.append(plan.gap)
        over.append(1 - plan.cents / plan.first_fit_cents)
        single.append(1 - plan.cents / alone(pieces, stock))
    times.sort()
    return {
        "jobs": len(times),
        "proven the cheapest": sum(gap == 0 for gap in gaps),
        "ms median": round(1000 * median(times), 1),
        "ms p95": round(1000 * times[round(0.95 * (len(times) - 1))], 1),
        "ms worst": round(1000 * times[-1], 1),
        "saved on first fit, mean %": round(100 * sum(over) / len(over), 2),
        "saved on first fit, most %": round(100 * max(over), 2),
        "saved on one kit a bay, mean %": round(100 * sum(single) / len(single), 2),
    }


def night_of(night: Night) -> tuple[dict[str, object], dict[str, bool]]:
    """A pooled night."""
    pieces = rails(night.profile, kind=night.kind, dice=Random(night.pieces), count=night.pieces,
                   grid=night.grid)  # fmt: skip
    stock = kits(night.profile)
    plan, seconds = planned(pieces, stock)
    proof = plan.proofs[0]
    lattice = groups(pieces=pieces, stock=stock, kerf=KERF)[0].lattice
    each = [worth for _, worth in proof.worth]
    again = timed(lambda: prove(lattice, each, most_held(Rows(lattice), each)))
    says: dict[str, object] = {
        "kinds": len(proof.worth),
        "bars": len(plan.bars),
        "different bars": different(plan),
        "seconds": round(seconds, 1),
        "cents": plan.cents,
        "proven bound": plan.bound_cents,
        "gap %": round(100 * plan.gap, 5),
        "saved on first fit %": round(100 * (1 - plan.cents / plan.first_fit_cents), 2),
        "saved on one kit a bay %": round(100 * (1 - plan.cents / alone(pieces, stock)), 2),
        "bound added up again, ms": round(1000 * again, 1),
    }
    meets = {
        f"{night.name}: gap {night.gap:.2%}": plan.gap <= night.gap,
        f"{night.name}: {night.seconds:.0f} s": seconds <= night.seconds,
        f"{night.name}: bound again {1000 * RECHECK_SECONDS:.0f} ms": again <= RECHECK_SECONDS,
    }
    return says, meets


def different(plan: CutPlan) -> int:
    """How many bars of a plan are not like another one."""
    by_id = {one.id: (one.holes, one.margin_left, one.margin_right) for one in plan.pieces}
    return len(
        {(bar.stock.id, tuple(sorted(by_id[p.piece] for p in bar.pieces))) for bar in plan.bars}
    )


def sticks() -> tuple[dict[str, object], dict[str, bool]]:
    """Sleeves of any length from sticks of three lengths; each bound is added up again."""
    sold = [
        PlainStock(what="sleeve", key=f"sleeve-{size}", length=size * INCH, cents=cents)
        for size, cents in ((96, 5_500), (48, 3_100), (144, 8_900))
    ]
    times, gaps = [], []
    for seed in range(STICK_JOBS):
        dice = Random(seed)
        cut = [
            PlainPiece(id=f"P{n}", what="sleeve", length=dice.randrange(176, 752) * INCH // 16)
            for n in range(STICKS_EACH)
        ]
        begin = perf_counter()
        plan = plan_cuts(pieces=(), stock=(), plain=cut, plain_stock=sold, kerf=KERF, keep=KEEP)
        times.append(perf_counter() - begin)
        gaps.append(plan.plain_gap)
        for proof in plan.plain_proofs:
            check_plain_bound(proof, bars=plan.plain, stock=sold, kerf=KERF)
    says: dict[str, object] = {
        "jobs": len(times),
        "proven the cheapest": sum(gap == 0 for gap in gaps),
        "ms median": round(1000 * median(times), 1),
        "ms worst": round(1000 * max(times), 1),
    }
    meets = {
        "sleeves: all proven": all(gap == 0 for gap in gaps),
        f"sleeves: worst {1000 * STICK_SECONDS:.0f} ms": max(times) <= STICK_SECONDS,
    }
    return says, meets


def run() -> dict[str, object]:
    """Everything measured, and which targets it meets."""
    report: dict[str, object] = {}
    met: dict[str, bool] = {}
    for bays in SIZES:
        says = jobs_of(bays)
        report[f"job of {bays} bays"] = says
        met[f"{bays} bays: all proven"] = says["proven the cheapest"] == says["jobs"]
        if bays in MOST_SECONDS:
            p95 = says["ms p95"]
            assert isinstance(p95, float)
            met[f"{bays} bays: p95 {1000 * MOST_SECONDS[bays]:.0f} ms"] = (
                p95 <= 1000 * MOST_SECONDS[bays]
            )
            worst = says["ms worst"]
            assert isinstance(worst, float)
            met[f"{bays} bays: worst {1000 * WORST_SECONDS[bays]:.0f} ms"] = (
                worst <= 1000 * WORST_SECONDS[bays]
            )
    says, reached = sticks()
    report["sleeves"] = says
    met |= reached
    for night in NIGHTS:
        says, reached = night_of(night)
        report[f"night {night.name}"] = says
        met |= reached
    report["met"] = met
    return report
