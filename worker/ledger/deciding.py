"""What a human decides about a job: an answer, a withdrawal, another try."""

from __future__ import annotations

from sqlalchemy import insert, literal, select

from schemas.errors import Conflict, UnknownThing
from schemas.site import Answer, Question
from worker.ledger.moves import LIVE, UNFINISHED, WITH_PACK, move
from worker.ledger.opening import Tx
from worker.ledger.rack import holder_of_job, let_go
from worker.ledger.records import JobRow, job_by_number
from worker.ledger.tables import answers, jobs


def answer(tx: Tx, job: str, answered: Answer) -> JobRow:
    """Put an answer on record and let the job be planned with it.

    Raises:
        UnknownThing: No such job, question or option.
        Conflict: The job does not wait for an answer.
    """
    row = job_by_number(tx, job)
    question = _asked(row, answered)
    if row.state not in {"held"} | UNFINISHED | WITH_PACK:
        msg = f"{job} is {row.state}: an answer changes nothing"
        raise Conflict(msg)
    tx.sql.execute(insert(answers).values(job_id=row.id, at_ms=tx.now_ms, **answered.model_dump()))
    cause = f"{answered.by} answered {question.key}: {answered.option} ({answered.why})"
    start_again(tx, row, cause=cause)
    return job_by_number(tx, job)


def withdraw(tx: Tx, job: str, *, by: str, why: str) -> JobRow:
    """Take a job off; a pack already on paper is called back by its crew's day sheet.

    Raises:
        UnknownThing: No such job.
        Conflict: It is off already.
    """
    row = job_by_number(tx, job)
    if not move(tx, jobs, row.id, start=LIVE, to="withdrawn", cause=f"{by} withdrew it: {why}"):
        msg = f"{job} is {row.state} already"
        raise Conflict(msg)
    let_go(tx, holder=holder_of_job(row.id))
    return job_by_number(tx, job)


def release(tx: Tx, job: str, *, by: str, why: str) -> JobRow:
    """Give a failed or refused job another try.

    Raises:
        UnknownThing: No such job.
        Conflict: It is neither.
    """
    row = job_by_number(tx, job)
    if row.state not in {"failed", "refused"}:
        msg = f"{job} is {row.state}: there is nothing to release"
        raise Conflict(msg)
    start_again(tx, row, cause=f"{by} released it: {why}")
    return job_by_number(tx, job)


def carry_answers(tx: Tx, *, of: int, to: int) -> None:
    """Let the answers given for one revision count for another of the same measures."""
    given = select(
        literal(to),
        answers.c.question,
        answers.c.option,
        answers.c.by,
        answers.c.why,
        answers.c.at_ms,
    )
    columns = ["job_id", "question", "option", "by", "why", "at_ms"]
    rows = given.where(answers.c.job_id == of).order_by(answers.c.id)
    tx.sql.execute(insert(answers).from_select(columns, rows))


def start_again(tx: Tx, row: JobRow, *, cause: str) -> None:
    """Send a job back to be planned, with a clean slate."""
    move(
        tx, jobs, row.id,
        start=LIVE, to="received", cause=cause,
        strikes=0, lease_until_ms=0, not_before_ms=0, rung_ms=0, error="", problems="[]",
        attempt=row.attempt + 1,
    )  # fmt: skip


def _asked(row: JobRow, answered: Answer) -> Question:
    questions = {q.key: q for q in row.questions}
    if answered.question not in questions:
        msg = f"{row.job} does not ask {answered.question}; it asks: {', '.join(questions) or '-'}"
        raise UnknownThing(msg)
    question = questions[answered.question]
    options = [option.key for option in question.options]
    if answered.option not in options:
        msg = f"{answered.question} has no option {answered.option}; it has: {', '.join(options)}"
        raise UnknownThing(msg)
    return question
