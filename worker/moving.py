"""Moving a job: another day or crew for the same measures, as its next revision."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from typing import Final

from schemas.errors import Conflict
from worker.bootstrap import Works
from worker.desk import look_through, take_in
from worker.ledger.deciding import carry_answers
from worker.ledger.moves import LIVE
from worker.ledger.records import JobRow, job_by_id, job_by_number, work_on
from worker.queues import PACKS

LAST_REVISION: Final = 9999


def move_job(
    works: Works,
    job: str,
    *,
    install_date: date | None,
    crew: str | None,
    by: str,
    why: str,
    check: Callable[[JobRow], None] = lambda _: None,
) -> JobRow:
    """Give a job another day or crew: a new revision, with the answers it had.

    Args:
        works: The works.
        job: Job number.
        install_date: The new day; none: as it is.
        crew: The new crew; none: as it is.
        by: Who decided.
        why: On what ground.
        check: Refuses to go on from the row as it stands when the change is made.

    Raises:
        UnknownThing: No such job.
        BadInput: The company has no such crew.
        Conflict: It is withdrawn, is there already, or changed meanwhile.
    """
    with works.ledger.reading() as tx:
        work = work_on(tx, job_by_number(tx, job).id)
    if work.row.state not in LIVE:
        msg = (
            f"{job} is {work.row.state} and cannot be moved; "
            f"to bring it back, send it as revision {work.row.revision + 1}"
        )
        raise Conflict(msg)
    came = look_through(works, _moved(work.raw, work.row, install_date, crew), answers=work.answers)
    with works.ledger.writing() as tx:
        row = job_by_number(tx, job)
        check(row)
        if row.id != work.row.id or row.state not in LIVE:
            msg = f"{job} changed meanwhile: it is {row.state} at revision {row.revision}"
            raise Conflict(msg)
        cause = f"{by} moved it to crew {came.submission.crew}, {came.submission.install_date}: "
        wanted = PACKS if row.wanted == PACKS else ""
        receipt = take_in(works, tx, came, wanted=wanted, cause=cause + why)
        carry_answers(tx, of=row.id, to=receipt.job_id)
        return job_by_id(tx, receipt.job_id)


def _moved(raw: bytes, row: JobRow, install_date: date | None, crew: str | None) -> bytes:
    """The submission of a row, moved, as its next revision."""
    to = {
        "install_date": (install_date or row.install_date).isoformat(),
        "crew": crew or row.crew,
    }
    if to == {"install_date": row.install_date.isoformat(), "crew": row.crew}:
        msg = f"{row.job} is with crew {row.crew} on {row.install_date} already"
        raise Conflict(msg)
    if row.revision >= LAST_REVISION:
        msg = f"{row.job} is at revision {LAST_REVISION}: there is none above it"
        raise Conflict(msg)
    document = json.loads(raw) | to | {"revision": row.revision + 1}
    return json.dumps(document, indent=2, ensure_ascii=False).encode()
