"""What the bays take: kits, balusters, brackets with their screws, foot blocks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from schemas.bays import Bays, LevelBay, StairBay
from schemas.cut_plan import CutPlan
from schemas.job import Job
from schemas.part_rule import SpareKind
from schemas.rail_system import Bracket, RailSystem, RoutedRail, SectionHeight
from schemas.wording import say
from services.takeoff.counted import Boxed, Count, bays_words, coloured, coloured_and_high
from services.wording.terms import term

_CHECK_FIRST = say("no spare: check each stair against its sheet before ordering")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Run:
    """The bays of one orientation with the rails they are built from."""

    orientation: str
    system: RailSystem
    rail: RoutedRail
    height: SectionHeight | None
    bays: tuple[LevelBay, ...] | tuple[StairBay, ...]
    ordinary: str
    """Kind of its ordinary bracket."""

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(bay.name for bay in self.bays)


def rail_parts(job: Job, bays: Bays, cuts: CutPlan) -> Iterator[Count]:
    """Every part of level and stair bays, those that come boxed too."""
    for run in _runs(job, bays):
        yield from _kits(job, run, cuts)
        yield _balusters(job, run)
        yield _blocks(job, run)
        yield from _brackets(job, run)


def boxed_parts(job: Job, bays: Bays, cuts: CutPlan) -> Iterator[Boxed]:
    """What the kits on the cut list bring in their boxes."""
    for run in _runs(job, bays):
        kits = {kit.key: kit for kit in run.rail.kits}
        high, colour = coloured_and_high(job, run.height), coloured(job)
        for bar in cuts.bars:
            if bar.stock.orientation == run.orientation and bar.stock.kit in kits:
                kit = kits[bar.stock.kit]
                yield Boxed(key=run.rail.baluster_key, variant=high, count=kit.balusters)
                yield Boxed(key=run.rail.bracket.key, variant=colour, count=kit.brackets)
                yield Boxed(key=run.system.foot_block.key, variant=colour, count=kit.foot_blocks)


def _runs(job: Job, bays: Bays) -> Iterator[_Run]:
    if bays.level:
        yield _Run(
            orientation="level", system=job.system, rail=job.system.level,
            height=job.level_height, bays=bays.level, ordinary="line",
        )  # fmt: skip
    if bays.stair and job.stair_system.stair:
        yield _Run(
            orientation="stair", system=job.stair_system, rail=job.stair_system.stair,
            height=job.stair_height, bays=bays.stair, ordinary="stair",
        )  # fmt: skip


def _kits(job: Job, run: _Run, cuts: CutPlan) -> Iterator[Count]:
    """Kits by the cut list; level ones may take one spare, of the longest that is used."""
    bars = [b for b in cuts.bars if b.stock.kit and b.stock.orientation == run.orientation]
    longest = max(bars, key=lambda bar: (bar.stock.length, bar.stock.kit), default=None)
    level = run.orientation == "level"
    for key, count in sorted(Counter(str(bar.stock.kit) for bar in bars).items()):
        pieces = [p.piece for bar in bars if bar.stock.kit == key for p in bar.pieces]
        places = tuple(dict.fromkeys(cuts.piece(name).bay for name in pieces))
        spared = level and longest is not None and longest.stock.kit == key
        yield Count(
            group="rails", key=key, needed=count,
            why=say(
                "{count} by the cut list, for {bays}", count=count, bays=bays_words(len(places))
            ),
            places=places,
            variant=coloured_and_high(job, run.height),
            spare=_kit_spare(job) if spared else None, spared_by=len(run.bays),
            note=None if level else _CHECK_FIRST,
        )  # fmt: skip


def _kit_spare(job: Job) -> SpareKind:
    return "kit-special" if job.colour in job.system.special_order else "kit"


def _balusters(job: Job, run: _Run) -> Count:
    count = sum(bay.balusters for bay in run.bays)
    return Count(
        group="rails", key=run.rail.baluster_key, needed=count,
        why=say("{count} balusters in {bays}", count=count, bays=bays_words(len(run.bays))),
        places=run.names,
        variant=coloured_and_high(job, run.height), spare="baluster",
    )  # fmt: skip


def _blocks(job: Job, run: _Run) -> Count:
    on = tuple(bay.name for bay in run.bays if bay.foot_blocks)
    count = sum(len(bay.foot_blocks) for bay in run.bays)
    return Count(
        group="brackets", key=run.system.foot_block.key, needed=count,
        why=say("{count} foot blocks in {bays}", count=count, bays=bays_words(len(on))),
        places=on or run.names,
        variant=coloured(job), spare="foot-block",
    )  # fmt: skip


def _brackets(job: Job, run: _Run) -> Iterator[Count]:
    for bracket in filter(None, (run.rail.bracket, run.rail.angle_bracket)):
        kind = "angle" if bracket is run.rail.angle_bracket else run.ordinary
        fits = [bay.name for bay in run.bays for fit in bay.brackets if fit.kind == kind]
        if fits:
            places = tuple(dict.fromkeys(fits))
            yield Count(
                group="brackets", key=bracket.key, needed=len(fits),
                why=say(
                    "{count} brackets in {bays}",
                    count=len(fits), bays=bays_words(len(places)),
                ),
                places=places,
                variant=coloured(job), spare="bracket",
            )  # fmt: skip
            yield from _screws(bracket, kind, len(fits), places)


def _screws(bracket: Bracket, kind: str, count: int, places: tuple[str, ...]) -> Iterator[Count]:
    for key, each, where in (
        (bracket.post_screw, bracket.post_screws, term("post")),
        (bracket.rail_screw, bracket.rail_screws, term("rail")),
    ):
        if each:
            why = say(
                "{each} into the {where} a bracket x {brackets}, kind: {kind}",
                each=each, where=where, brackets=count, kind=term(kind),
            )  # fmt: skip
            yield Count(
                group="brackets", key=key, needed=each * count, why=why, places=places,
                spare="screw",
            )  # fmt: skip
