"""Taking a submission in: once, in order of revisions, in one transaction.

The same job and revision with the same content is answered as before. With other content it
is refused, and so is a lower revision. A higher one replaces all lower ones.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from sqlalchemy import Row, insert, select, text, update

from schemas.errors import Conflict, Problem
from schemas.site import Question
from schemas.submission import Submission
from schemas.wording import WHOLE
from worker.ledger.idle_shops import free_idle_shops
from worker.ledger.moves import LIVE, UNFINISHED, move, note
from worker.ledger.opening import Tx
from worker.ledger.rack import holder_of_job, let_go
from worker.ledger.records import PROBLEMS, QUESTIONS
from worker.ledger.tables import jobs, refusals, submissions
from worker.queues import PACKS


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """What became of a submission at the door."""

    job_id: int
    job: str
    revision: int
    state: str
    new: bool
    """False: it had come before, and this is the answer it had."""


def accept(
    tx: Tx,
    submission: Submission,
    *,
    raw: bytes,
    issued: str,
    questions: Sequence[Question] = (),
    wanted: str = "",
    cause: str = "accepted",
) -> Receipt:
    """Take a submission in; when this has been committed, it will not be lost.

    Args:
        tx: The transaction.
        submission: As it was read.
        raw: As it came.
        issued: The day printed as that of issue, ISO 8601.
        questions: What planning it asked; a stop among them holds the job.
        wanted: Queue that is to make it at once; empty: its night will.
        cause: Why it came, for the record.

    Raises:
        Conflict: The same revision with other content, a lower revision, the job was split and a
            part of it is not withdrawn, or it is a part and comes without its `part`.
    """
    one_at_a_time(tx, submission.job)
    content = content_of(raw)
    known = tx.sql.execute(
        select(jobs, submissions.c.content, submissions.c.raw)
        .join(submissions, jobs.c.submission_id == submissions.c.id)
        .where(jobs.c.job == submission.job)
        .order_by(jobs.c.revision.desc())
    ).all()
    for row in known:
        if row.revision == submission.revision and row.content == content:
            _hurry(tx, row, wanted)
            return _receipt(row, new=False)
    _check_order(submission, known)
    if known and known[0].state == "withdrawn":
        _check_not_split(tx, submission.job)
    if known and submission.part is None:
        _check_still_part(known[0])
    _replace(tx, submission, known)
    stopped = any(q.severity == "stop" for q in questions)
    row = tx.sql.execute(
        insert(jobs)
        .values(
            submission_id=_keep(tx, raw=raw, content=content),
            job=submission.job,
            revision=submission.revision,
            crew=submission.crew,
            install_date=submission.install_date,
            issued=issued,
            state="held" if stopped else "received",
            wanted=wanted,
            questions=QUESTIONS.dump_json(tuple(questions), context=WHOLE).decode(),
            replaces=next((r.on_paper or r.replaces for r in known[:1]), ""),
        )
        .returning(*jobs.c)
    ).one()
    note(tx, thing="job", thing_id=row.id, was="", now=row.state, cause=cause)
    return _receipt(row, new=True)


def _hurry(tx: Tx, row: Row[Any], wanted: str) -> None:
    """A job that came before for its night, and is wanted at once now."""
    if wanted == PACKS != row.wanted and row.state in UNFINISHED | {"held"}:
        tx.sql.execute(update(jobs).where(jobs.c.id == row.id).values(wanted=wanted))
        note(tx, thing="job", thing_id=row.id, was=row.state, now=row.state, cause="wanted at once")


def refuse(tx: Tx, problems: Sequence[Problem], *, came_as: str, raw: bytes) -> None:
    """Keep the problem list of a file that was refused, and nothing else of it."""
    kept = tx.sql.execute(
        insert(refusals)
        .values(
            came_as=came_as[:200],
            sha256=sha256(raw).hexdigest(),
            problems=PROBLEMS.dump_json(tuple(problems)).decode(),
            at_ms=tx.now_ms,
        )
        .returning(refusals.c.id)
    ).one()
    cause = f"{len(problems)} problems in {came_as}"
    note(tx, thing="refusal", thing_id=kept.id, was="", now="refused", cause=cause)


def content_of(raw: bytes) -> str:
    """The SHA-256 of a document's content: spaces and the order of keys do not count."""
    plain = json.dumps(json.loads(raw), sort_keys=True, separators=(",", ":"))
    return sha256(plain.encode()).hexdigest()


def one_at_a_time(tx: Tx, job: str) -> None:
    """SQLite has one writer anyway; PostgreSQL locks the job number."""
    if tx.sql.dialect.name == "postgresql":
        tx.sql.execute(text("SELECT pg_advisory_xact_lock(2, hashtext(:job))"), {"job": job})


def _check_order(submission: Submission, known: Sequence[Row[Any]]) -> None:
    if not known or known[0].revision < submission.revision:
        return
    if any(row.revision == submission.revision for row in known):
        msg = f"{submission.job} revision {submission.revision} is here with other content"
    else:
        msg = f"{submission.job} is already at revision {known[0].revision}"
    msg += f"; what has changed is sent as revision {known[0].revision + 1}"
    raise Conflict(msg)


def live_parts(tx: Tx, job: str) -> dict[str, str]:
    """Jobs by the numbers that a job's parts have, not off: to the job that each is a part of."""
    rows = tx.sql.execute(
        select(jobs.c.job, submissions.c.raw)
        .join(submissions, jobs.c.submission_id == submissions.c.id)
        .where(jobs.c.job.in_(part_numbers(job)), jobs.c.state.in_(LIVE))
        .order_by(jobs.c.job)
    )
    return {row.job: (json.loads(row.raw).get("part") or {}).get("of", "") for row in rows}


def part_numbers(job: str) -> tuple[str, str]:
    """Job numbers of the two parts of a split job."""
    return f"{job}-1", f"{job}-2"


def _check_not_split(tx: Tx, job: str) -> None:
    """The whole job may not come back while a part of it is still to be built."""
    if live := [part for part, of in live_parts(tx, job).items() if of == job]:
        msg = f"{job} was split into {' and '.join(live)}: withdraw these first"
        raise Conflict(msg)


def _check_still_part(before: Row[Any]) -> None:
    """A part's next revision is a part too, or its crew would build what the other one does."""
    part = json.loads(before.raw).get("part")
    if part and before.state in LIVE:
        msg = f"{before.job} is part {part['number']} of {part['of']}: leave its `part` as it was"
        raise Conflict(msg)


def _replace(tx: Tx, submission: Submission, known: Sequence[Row[Any]]) -> None:
    cause = f"revision {submission.revision} came"
    for row in known:
        move(tx, jobs, row.id, start=LIVE, to="replaced", cause=cause, lease_until_ms=0)
        let_go(tx, holder=holder_of_job(row.id))
        free_idle_shops(tx, row.id)


def _keep(tx: Tx, *, raw: bytes, content: str) -> int:
    kept = tx.sql.execute(
        insert(submissions)
        .values(raw=raw, sha256=sha256(raw).hexdigest(), content=content, received_ms=tx.now_ms)
        .returning(submissions.c.id)
    )
    return int(kept.scalar_one())


def _receipt(row: Row[Any], *, new: bool) -> Receipt:
    return Receipt(job_id=row.id, job=row.job, revision=row.revision, state=row.state, new=new)
