"""What the door shows of a job, a night and a printed code."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal
from urllib.parse import quote

from pydantic import Field

from schemas.bundle import DecidedBooking
from schemas.errors import Problem
from schemas.record import Record
from schemas.site import Question
from worker import clock
from worker.api.stripped import stripped, without_places
from worker.bookings import Bookings
from worker.ledger.gathering import last_line, one_line
from worker.ledger.moves import OFF, WITH_PACK
from worker.ledger.reading import Event
from worker.ledger.records import JobRow


class JobView(Record):
    """A job at one revision, as it stands."""

    job: str
    revision: int
    crew: str
    install_date: str
    """Day of work, ISO 8601, in the company's zone."""
    issued: str
    """Day printed as that of issue, ISO 8601."""
    state: str
    """received, held, refused, planned, packed, bundled, delivered, withdrawn, replaced, failed."""
    code: str
    """Content code printed on every sheet of its pack, of one withdrawn or replaced too, by which
    its sheets are known and destroyed; empty while there is none."""
    pages: int
    replaces: str
    """Content code of an older pack that a crew may hold and must destroy; empty for none."""
    questions: tuple[Question, ...]
    """What its last planning asked; those of severity `stop` hold it until answered."""
    problems: tuple[Problem, ...]
    """Why it was refused after it had been taken in."""
    error: str
    """Why it was set aside, in a line; empty if it was not."""
    notes: tuple[str, ...] = ()
    """What its sender should know besides: its day had passed, how a job that is off comes back."""
    links: dict[str, str]
    """Where its parts are: self, events, submission; plan and pack once they are made. A replaced
    revision has `latest` only: where the highest one is. A job just split has `part_1`, `part_2`.
    """


class JobPage(Record):
    """Some jobs of a list."""

    jobs: tuple[JobView, ...]
    next: str
    """Address of the following page; empty on the last."""


class EventView(Record):
    """One change of a job."""

    at: str
    """RFC 3339, UTC."""
    was: str
    now: str
    cause: str


class CrewView(Record):
    """A crew's bundle in a night."""

    crew: str
    state: str
    """waiting, ready, made, stale, failed, withdrawn. Stale: it is made, and no longer right."""
    changes: tuple[str, ...] = ()
    """What a stale one no longer has right, a job each, and what to do about it."""
    jobs: int
    """How many jobs are due for the crew."""
    code: str
    """Content code of the day sheet; empty while there is none."""
    pages: int
    error: str
    links: dict[str, str]


class NightView(Record):
    """A night: the run that makes every crew's bundle for a day."""

    work_date: str
    state: Literal["asked", "open", "closed", "failed"]
    """Asked: a run will start. Open: packs and bundles are being made. Failed: it broke and is
    set aside; ask for a run of it when what `says` says is mended."""
    says: str = ""
    """What broke it, or what it waits for; empty if it goes its way."""
    runs: int = 0
    """Which run it is."""
    jobs_due: int = 0
    """How many jobs are of this night."""
    opened: str = ""
    """RFC 3339, UTC; of the last run."""
    closed: str = ""
    """The same; empty while it is open."""
    jobs: dict[str, int] = Field(default_factory=dict)
    """How many of its jobs are in which state."""
    crews: tuple[CrewView, ...] = ()
    links: dict[str, str]


class PrintView(Record):
    """One print of a crew's bundle."""

    code: str
    """Content code of the bundle's day sheet."""
    copy_number: int
    """1, and one more for every copy asked for."""
    state: str
    """due, sending, printing, printed; unsure: it may be on paper; failed: it is not; overtaken: a
    newer bundle came first. An unsure one is printed again only when somebody asks."""
    asked_by: str
    """Who asked for another copy, and why; empty for the first."""
    says: str
    """What the printer said, or what went wrong."""
    asked: str
    """RFC 3339, UTC."""
    done: str
    """The same; empty while it is on its way."""


class BookingsView(Record):
    """What a night's last run asks about who works where when."""

    work_date: str
    run: int
    """Which run asked."""
    open: tuple[Question, ...]
    """Not answered; a stop goes out on the day sheet as it is until it is answered."""
    decided: tuple[DecidedBooking, ...]
    """Answered; the next run puts them on the day sheets."""


class CheckView(Record):
    """How a printed sheet stands."""

    code: str
    verdict: Literal["current", "superseded", "withdrawn", "unknown"]
    says: str
    """What to do with the sheet."""
    thing: str
    """Job and revision, or crew and day; empty if unknown."""
    current: str
    """Code of the sheet to work from; empty if there is none at the moment."""
    changes: tuple[str, ...] = ()
    """What a day sheet no longer has right, a job each, and what to do about it."""


def job_view(row: JobRow) -> JobView:
    """A job as the door shows it."""
    at = job_address(row.job)
    links = {"self": at, "events": f"{at}/events", "submission": f"{at}/submission"}
    if row.state == "replaced":
        links = {"latest": at}
    if row.state in WITH_PACK:
        links |= {"plan": f"{at}/plan", "pack": f"{at}/pack.pdf"}
    return JobView(
        job=row.job,
        revision=row.revision,
        crew=row.crew,
        install_date=row.install_date.isoformat(),
        issued=row.issued,
        state=row.state,
        code=row.code if row.state in WITH_PACK | OFF else "",
        pages=row.pages if row.state in WITH_PACK else 0,
        replaces=row.replaces,
        questions=row.questions,
        problems=row.problems,
        error=without_places(one_line(last_line(row.error))) if row.state == "failed" else "",
        notes=tuple(_notes(row)),
        links=links,
    )


def _notes(row: JobRow) -> Iterator[str]:
    if row.install_date.isoformat() < row.issued:
        yield (
            f"its day, {row.install_date}, had passed when it came on {row.issued}: no night makes "
            "it by itself; move it, or ask for a run of that day"
        )
    if row.state == "withdrawn":
        yield f"it is withdrawn: to bring it back, send it as revision {row.revision + 1}"


def bookings_view(found: Bookings) -> BookingsView:
    """Bookings as the door shows them."""
    return BookingsView(
        work_date=found.day.isoformat(), run=found.run, open=found.open, decided=found.decided
    )


def job_address(job: str) -> str:
    """Where a job is read."""
    return f"/v1/jobs/{quote(job)}"


def event_view(event: Event) -> EventView:
    """A change as the door shows it."""
    return EventView(
        at=clock.text(event.at_ms), was=event.was, now=event.now, cause=stripped(event.cause)
    )
