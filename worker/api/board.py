"""What the office wants to see at six in the morning: who is ready, who is not, and why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from sqlalchemy import Row

from schemas.company import Crew
from worker.api.conditions import tag_of
from worker.api.views import bookings_view, job_view
from worker.bookings import Bookings, bookings_of
from worker.bootstrap import Works
from worker.ledger import prints
from worker.ledger.gathering import Contents, contents_of, last_line, one_line, reason_of
from worker.ledger.listing import jobs_page
from worker.ledger.moves import WITH_PACK
from worker.ledger.nights import NightRow, night_for
from worker.ledger.opening import Tx
from worker.ledger.prints import Print
from worker.ledger.reading import bundles_of, refusals_since
from worker.ledger.records import JobRow
from worker.ledger.runs import is_asked_for
from worker.ledger.standing import to_destroy
from worker.night.supplements import late_changes

MOST: Final = 5_000
"""Jobs of a day that are shown at most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackLine:
    """A job on a crew's sheet."""

    job: str
    revision: int
    code: str
    pages: int
    hours: float
    """For the whole crew. [h]"""
    replaces: str
    open_questions: int
    tag: str
    """State of the job as it is shown here; empty if it has changed since the bundle was made."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewLine:
    """A crew's morning."""

    key: str
    name: str
    ready: bool
    says: str
    """In a word or two."""
    why: str
    """What is missing; empty if nothing is."""
    code: str
    pages: int
    packs: tuple[PackLine, ...]
    hours: float
    day_hours: float
    changes: int
    """Late changes since the bundle was printed."""
    printed: str
    """Where it stands on its way to paper; empty if it was never to be printed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldJob:
    """A job that waits for an answer."""

    row: JobRow
    tag: str
    """Its state as it is shown here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """A job of the day without a pack, for another reason."""

    job: str
    revision: int
    crew: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Something to pick for the whole day."""

    says: str
    packages: int
    pieces: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """One day, on one page."""

    company: str
    day: date
    run: str
    """How the night stands, in words."""
    crews: tuple[CrewLine, ...]
    held: tuple[HeldJob, ...]
    left: tuple[Left, ...]
    jobs_in: int
    packs_out: int
    refused: int
    parts: tuple[Part, ...]
    bookings: Bookings | None
    """What the last run asks about who works where when; none before the first has ended."""
    bookings_tag: str

    @property
    def ready(self) -> int:
        """Crews with all their paper."""
        return sum(crew.ready for crew in self.crews)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """Hours and parts of one plan."""

    hours: float
    day_hours: float
    parts: tuple[tuple[str, int, int], ...]
    """What it is called, packages, pieces."""


_KNOWN: Final[dict[str, Figures]] = {}


def board_of(works: Works, day: date) -> Board:
    """Everything about a day, as the ledger has it now.

    Raises:
        NotNow: Ledger or store cannot be used.
    """
    with works.ledger.reading() as tx:
        night = night_for(tx, company=works.library.company.key, day=day)
        jobs = jobs_page(tx, day=day, limit=MOST)
        rows = bundles_of(tx, night) if night else []
        printing = prints.prints_of(tx, night) if night else []
        refused = len(refusals_since(tx, night)) if night else 0
        run = _run(tx, works, night, day)
        off = {row.crew: to_destroy(tx, row, day) for row in rows if row.state == "made"}
    booked = bookings_of(works, day) if night and night.report else None
    live = [job for job in jobs if job.state != "withdrawn"]
    with_pack = [job for job in live if job.state in WITH_PACK]
    facts = {job.id: figures_of(works, job.plan) for job in with_pack}
    tags = {job.id: tag_of(job_view(job).model_dump_json()) for job in with_pack}
    return Board(
        company=works.library.company.name,
        day=day,
        run=run,
        crews=tuple(_crews(works, live, rows, printing, facts, tags, off)),
        held=tuple(
            HeldJob(row=job, tag=tag_of(job_view(job).model_dump_json()))
            for job in live
            if job.state == "held"
        ),
        left=tuple(
            Left(job=j.job, revision=j.revision, crew=j.crew, why=one_line(reason_of(j)))
            for j in live
            if j.state in {"failed", "refused"}
        ),
        jobs_in=len(live),
        packs_out=len(with_pack),
        refused=refused,
        parts=_parts(list(facts.values())),
        bookings=booked,
        bookings_tag=tag_of(bookings_view(booked).model_dump_json()) if booked else "",
    )


def figures_of(works: Works, name: str) -> Figures:
    """What the board needs of a stored plan; it is named by its content, so it is read once."""
    if name not in _KNOWN:
        takeoff = works.pipeline.read_plan(works.store.get(name)).takeoff
        if len(_KNOWN) >= MOST:
            _KNOWN.clear()
        parts = ((str(x.named), x.packages, x.packages * x.package) for x in takeoff.lines)
        _KNOWN[name] = Figures(
            hours=takeoff.crew_hours, day_hours=takeoff.day_hours, parts=tuple(parts)
        )
    return _KNOWN[name]


def _run(tx: Tx, works: Works, night: NightRow | None, day: date) -> str:
    if is_asked_for(tx, works.library.company.key, day):
        return "a run was asked for and starts within a minute"
    if night is None:
        return "the night has not been run yet"
    return f"run {night.runs} is under way" if night.state == "open" else f"run {night.runs} ended"


def _crews(
    works: Works, jobs: Sequence[JobRow], rows: Sequence[Row[Any]],
    printing: Sequence[Print], facts: dict[int, Figures], tags: dict[int, str],
    off: dict[str, tuple[str, ...]],
) -> list[CrewLine]:  # fmt: skip
    teams = {crew.key: crew for crew in works.library.company.crews}
    bundles = {row.crew: row for row in rows}
    keys = sorted({job.crew for job in jobs} | bundles.keys())
    papers = {p.crew: p for p in printing}
    return [
        _crew(key, teams.get(key), bundles.get(key), papers.get(key), facts, tags, off.get(key, ()))
        for key in keys
        if key not in bundles or bundles[key].state != "withdrawn"
    ]


def _crew(
    key: str,
    team: Crew | None,
    row: Row[Any] | None,
    paper: Print | None,
    facts: dict[int, Figures],
    tags: dict[int, str],
    off: tuple[str, ...],
) -> CrewLine:
    made = row is not None and row.state == "made"
    contents = contents_of(row) if row is not None and made else None
    packs = tuple(
        PackLine(
            job=p.job, revision=p.revision, code=p.code, pages=p.pages, replaces=p.replaces,
            hours=facts[p.job_id].hours if p.job_id in facts else 0.0,
            open_questions=len(p.open_questions), tag=tags.get(p.job_id, ""),
        )
        for p in (contents.packs if contents else ())
    )  # fmt: skip
    ready, says, why = _standing(row, contents, off)
    return CrewLine(
        key=key,
        name=team.name if team else key,
        ready=ready,
        says=says,
        why=why,
        code=row.code if row is not None and made else "",
        pages=row.pages if row is not None and made else 0,
        packs=packs,
        hours=sum(pack.hours for pack in packs),
        day_hours=min(
            (facts[p.job_id].day_hours for p in contents.packs if p.job_id in facts),
            default=team.hours if team else 0.0,
        )
        if contents
        else 0.0,
        changes=len(late_changes(row)) if row is not None else 0,
        printed=f"copy {paper.copy}: {paper.state} {paper.says}".strip() if paper else "",
    )


def _standing(
    row: Row[Any] | None, contents: Contents | None, off: tuple[str, ...]
) -> tuple[bool, str, str]:
    """Whether a crew is ready, in a word, and why it is not."""
    if row is None:
        return False, "Not ready", "its night has not been run yet"
    if contents is None:
        whys = {
            "waiting": "its packs are being made",
            "ready": "its bundle is being made",
            "failed": f"its bundle could not be made: {last_line(row.error)}",
        }
        return False, "Not ready", one_line(whys.get(row.state, row.state))
    if off:
        return False, "Not ready", f"{'; '.join(off)}; run the night again"
    if contents.missing:
        names = ", ".join(missing.job for missing in contents.missing)
        return False, "Ready in part", f"no pack for {names}"
    return True, "Ready", ""


def _parts(plans: Sequence[Figures]) -> tuple[Part, ...]:
    packages: Counter[str] = Counter()
    pieces: Counter[str] = Counter()
    for says, packed, single in (part for plan in plans for part in plan.parts):
        packages[says] += packed
        pieces[says] += single
    return tuple(
        Part(says=says, packages=packages[says], pieces=pieces[says]) for says in sorted(packages)
    )
