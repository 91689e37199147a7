"""Cut plans: time, proven gap and saving, for jobs of 5 to 40 bays and nights of 6,000 rails.

``DAWNPACK_BENCH_PARTS=jobs,sticks,joint,nights`` in the environment runs some of its parts only.

Three invented rail systems. Jobs are runs of two to five near-equal bays with some short
ones between, or bays of any length; nights are such jobs together, on tapes of 1/16 or
1/32 in, only short pieces, of which three or four share a stock rail, or cut where the longest
stock is cheap. Decks of three to six runs are laid out together with their stock. Every plan
stands the second look, and every bound is added up again, before its time counts. Saving is against
first fit on the same lattice, and against one kit a bay.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from random import Random
from statistics import median
from time import perf_counter

from schemas.cut_plan import CutPlan, Piece, PlainPiece, PlainStock, StockRail
from schemas.layout import Layout
from schemas.lengths import INCH
from services.bays import asks_for
from services.cut_plan import (
    check_bound,
    check_plain_bound,
    check_plan,
    fits_stock,
    plan_cuts,
)
from services.cut_plan.lower_bound import Rows, most_held, prove
from services.cut_plan.reading import groups
from services.layout import Asks, Opening, lay_out
from services.pipeline import least_stock_of, stock_of
from tests.rails_by_hand import KEEP, KERF, A, B, C, Profile, inches, kits, piece
from tests.unit.services.layout.decks import WALL, job_of, leg, line

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

    @property
    def allowed(self) -> float:
        """Time given to the search; most nights end long before it. [s]."""
        return max(20.0, min(60.0, 0.8 * self.seconds))


LONG_CHEAP = replace(A, kits=(("72", 11_200), ("96", 14_300), ("120", 16_500)))
"""System A where the longest kit costs little more than the next one."""

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
        (1000, "A, long stock cheap,", LONG_CHEAP, "any", 16, 1e-3, 60),
        (6000, "A, long stock cheap,", LONG_CHEAP, "any", 16, 5e-4, 60),
    )
)  # fmt: skip
DECKS, DECK_SECONDS = 20, 10
"""Decks of three to six runs; each laid out and priced in this time. [s]"""
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


def planned(
    pieces: Sequence[Piece], stock: Sequence[StockRail], *, allowed: float = 20.0
) -> tuple[CutPlan, float]:
    """A plan that stood the second look, and its seconds."""
    begin = perf_counter()
    plan = plan_cuts(pieces=pieces, stock=stock, kerf=KERF, keep=KEEP, seconds=allowed)
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
    plan, seconds = planned(pieces, stock, allowed=night.allowed)
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


def decks() -> tuple[dict[str, object], dict[str, bool]]:
    """Decks of straight runs laid out together with their stock, against each run by itself."""
    times, gaps, layouts, saved = [], [], [], []
    for seed in range(DECKS):
        dice = Random(seed)
        names = "ABCDEF"[: 3 + seed % 4]
        job = job_of(
            *(line(leg(n, str(dice.randint(72, 480))), start=WALL, end=WALL) for n in names)
        )
        works = asks_for(job)
        asks = Asks(
            bay_works=works.bay_works,
            bay_has_room=works.bay_has_room,
            longest_clear=works.longest_clear,
            nearest_legal=works.nearest_legal,
            stair_works=works.stair_works,
            stock_bill=stock_of(job, works),
            least_stock=least_stock_of(job, works),
        )
        begin = perf_counter()
        laid = lay_out(job, asks=asks).layout
        times.append(perf_counter() - begin)
        plain = lay_out(job, asks=replace(asks, stock_bill=None)).layout
        if laid is None or laid.stock is None or plain is None:
            continue
        nearest = asks.stock_bill and asks.stock_bill(_openings(plain), proven=True)
        gaps.append(laid.stock.gap)
        layouts.append(laid.stock.layouts)
        saved.append(1 - laid.stock.cents / nearest.cents if nearest else 0)
    says: dict[str, object] = {
        "decks": DECKS,
        "laid out and priced": len(gaps),
        "proven the least of the layouts tried": sum(gap == 0 for gap in gaps),
        "gap stated, most %": round(100 * max(gaps), 2),
        "layouts tried, median": median(layouts),
        "layouts tried, most": max(layouts),
        "saved on the nearest legal places, mean %": round(100 * sum(saved) / len(saved), 2),
        "saved on the nearest legal places, most %": round(100 * max(saved), 2),
        "ms median": round(1000 * median(times), 1),
        "ms worst": round(1000 * max(times), 1),
    }
    meets = {
        f"decks: worst {DECK_SECONDS} s": max(times) <= DECK_SECONDS,
        "decks: all priced, gap stated": len(gaps) == DECKS,
        "decks: never dearer than the nearest legal places": min(saved) >= 0,
    }
    return says, meets


def _openings(layout: Layout) -> tuple[Opening, ...]:
    return tuple(
        Opening(clear=bay.clear, left=bay.left.bracket, right=bay.right.bracket)
        for bay in layout.bays
    )


PARTS = ("jobs", "sticks", "joint", "nights")


def run() -> dict[str, object]:
    """Everything measured, and which targets it meets."""
    parts = os.environ.get("DAWNPACK_BENCH_PARTS", ",".join(PARTS)).split(",")
    report: dict[str, object] = {}
    met: dict[str, bool] = {}
    of_part: Mapping[str, Callable[[], Iterator[Measured]]] = {
        "jobs": _jobs, "sticks": _sticks, "joint": _decks, "nights": _nights,
    }  # fmt: skip
    for part in parts:
        for name, says, reached in of_part[part]():
            report[name] = says
            met |= reached
    report["met"] = met
    return report


Measured = tuple[str, dict[str, object], dict[str, bool]]
"""Name, figures, and which targets they meet."""


def _sticks() -> Iterator[Measured]:
    yield ("sleeves", *sticks())


def _decks() -> Iterator[Measured]:
    yield ("decks laid out together with their stock", *decks())


def _nights() -> Iterator[Measured]:
    for night in NIGHTS:
        yield (f"night {night.name}", *night_of(night))


def _jobs() -> Iterator[Measured]:
    for bays in SIZES:
        says = jobs_of(bays)
        met = {f"{bays} bays: all proven": says["proven the cheapest"] == says["jobs"]}
        if bays in MOST_SECONDS:
            p95, worst = says["ms p95"], says["ms worst"]
            assert isinstance(p95, float)
            assert isinstance(worst, float)
            most, at_worst = 1000 * MOST_SECONDS[bays], 1000 * WORST_SECONDS[bays]
            met |= {
                f"{bays} bays: p95 {most:.0f} ms": p95 <= most,
                f"{bays} bays: worst {at_worst:.0f} ms": worst <= at_worst,
            }
        yield f"job of {bays} bays", says, met
