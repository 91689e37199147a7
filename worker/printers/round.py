"""One round at the printers: send what is due, see how the rest goes on.

What is certain not to be on paper is tried again, at last on the printer that stands in. What
may be on paper is looked up in the printer's own list by its name, and where that tells nothing
it stays as `unsure` for a human.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from schemas.company import Company, Crew
from schemas.errors import NotNow
from services.delivery.ticket import agree
from worker.bootstrap import Works
from worker.ledger import prints
from worker.ledger.prints import Print
from worker.logs import logger
from worker.night.alone import alone
from worker.night.telling import tell_print
from worker.printers.ipp import (
    ABORTED,
    CANCELED,
    COMPLETED,
    Busy,
    JobState,
    Printer,
    PrinterRefuses,
    Unanswered,
)

LOCK: Final = "printers"
TRIES: Final = 3
"""At the crew's own printer, before the one that stands in."""
WAIT: Final = 20.0
"""Before another try. [s]"""
TURN: Final = 1800.0
"""A printer busy with other jobs is waited for so long before that counts as a try. [s]"""
MOST: Final = 12
"""Tries in all; then nobody takes it."""

log = logger(__name__)


def go_round(works: Works, *, holder: str, printer: Callable[[str], Printer] = Printer) -> int:
    """See to every open print; the number that reached paper."""
    with alone(works, LOCK, holder=holder) as lock:
        if lock is None:
            return 0
        with works.ledger.writing() as tx:
            waiting = prints.open_prints(tx)
        done = 0
        for row in waiting:
            now = _see_to(works, row, printer)
            done += now.state == "printed"
            log.info("print", crew=now.crew, code=now.code, state=now.state, says=now.says)
        return done


def _see_to(works: Works, row: Print, printer: Callable[[str], Printer]) -> Print:
    if row.state == "printing":
        return _follow(works, row, printer(row.printer))
    if row.state == "sending":
        return _look_up(works, row, printer(row.printer))
    return _send(works, row, printer)


def _send(works: Works, row: Print, printer: Callable[[str], Printer]) -> Print:
    crew = next(c for c in works.library.company.crews if c.key == row.crew)
    uri = _route(works.library.company, crew, row.tries)
    if not uri or row.tries >= MOST:
        return _write(works, row, "failed", says=row.says or "no printer is named for the crew")
    try:
        pdf = works.store.get(row.pdf)
        at = printer(uri)
        agreed = agree(crew.ticket, paper=crew.paper, duplex=crew.duplex, supported=at.supported())
        if agreed.refused:
            msg = f"{uri}: {agreed.refused}"
            raise PrinterRefuses(msg)  # noqa: TRY301  # as if it had said so itself
        sending = _write(works, row, "sending", says=f"to {uri}", printer=uri, tries=row.tries + 1)
        number = at.print(pdf, name=row.name, agreed=agreed)
    except Busy as no:
        counts = works.clock.now_ms() - row.made_ms > TURN * 1000
        return _write(works, row, "due", says=str(no), wait=WAIT, tries=row.tries + counts)
    except NotNow as no:
        return _write(works, row, "due", says=str(no), wait=WAIT, tries=row.tries + 1)
    except PrinterRefuses as no:
        return _write(works, row, "due", says=str(no), tries=max(row.tries + 1, TRIES))
    except Unanswered as no:
        return _write(works, sending, "sending", says=str(no), wait=WAIT)
    said = "; ".join(agreed.dropped)
    return _write(works, sending, "printing", says=said, job_number=number)


def _route(company: Company, crew: Crew, tries: int) -> str:
    """The crew's own printer first, then the one that stands in for all."""
    own = crew.printer or ""
    if own and tries < TRIES:
        return own
    return company.fallback_printer or own


def _follow(works: Works, row: Print, printer: Printer) -> Print:
    try:
        return _judge(works, row, printer.job(row.job_number))
    except NotNow as no:
        return _write(works, row, "printing", says=str(no), wait=WAIT)
    except PrinterRefuses as no:
        return _write(works, row, "unsure", says=f"it forgot the job: {no}")


def _look_up(works: Works, row: Print, printer: Printer) -> Print:
    """A job sent without an answer, or by a worker that died over it."""
    try:
        found = printer.job_named(row.name)
    except NotNow as no:
        return _write(works, row, "sending", says=str(no), wait=WAIT)
    except PrinterRefuses as no:
        return _write(works, row, "unsure", says=f"sent, no answer, and no list of jobs: {no}")
    if found is None:
        return _write(works, row, "due", says="it was not taken", wait=WAIT)
    return _judge(works, row, found)


def _judge(works: Works, row: Print, job: JobState) -> Print:
    number = job.number
    if job.state == COMPLETED:
        return _write(works, row, "printed", says=row.says, job_number=number)
    if job.state not in {CANCELED, ABORTED}:
        return _write(works, row, "printing", says=row.says, wait=2.0, job_number=number)
    if job.sheets == 0 and job.state == ABORTED:
        said = f"{row.printer} gave it up, nothing printed: {job.says}"
        return _write(works, row, "due", says=said, wait=WAIT)
    says = "canceled there" if job.state == CANCELED else "given up there in the middle"
    return _write(works, row, "unsure", says=f"{says}: {job.says}", job_number=number)


def _write(
    works: Works, row: Print, state: str, *, says: str, wait: float = 0.0, **values: object
) -> Print:
    with works.ledger.writing() as tx:
        now = prints.to(tx, row, state, says=says, wait=wait, **values)
        if state in {"unsure", "failed"}:
            tell_print(tx, works.library.company, now)
        return now
