"""What a human decides about a job: an answer, a withdrawal, another try."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import insert, literal, select, update

from schemas.errors import BadInput, Conflict, Problem
from schemas.site import Answer, Question
from worker.ledger.idle_shops import free_idle_shops
from worker.ledger.moves import LIVE, UNFINISHED, WITH_PACK, move
from worker.ledger.opening import Tx
from worker.ledger.rack import holder_of_job, let_go
from worker.ledger.records import QUESTIONS, JobRow, job_by_number
from worker.ledger.tables import answers, jobs


def answer(tx: Tx, job: str, answered: Answer, *, asks: Sequence[Question] | None = None) -> JobRow:
    """Put an answer on record and let the job be planned with it.

    Args:
        tx: The transaction.
        job: Its number.
        answered: The answer.
        asks: What planning still asks with it; a stop among them keeps the job held. None: not
            looked at, the next planning will ask.

    Raises:
        UnknownThing: No such job.
        BadInput: It does not ask that, or not with that option.
        Conflict: The job does not wait for an answer.
    """
    row = job_by_number(tx, job)
    question = check_asked(row, answered)
    if row.state not in {"held"} | UNFINISHED | WITH_PACK:
        msg = f"{job} is {row.state}: an answer changes nothing"
        raise Conflict(msg)
    tx.sql.execute(insert(answers).values(job_id=row.id, at_ms=tx.now_ms, **answered.model_dump()))
    cause = f"{answered.by} answered {question.key}: {answered.option} ({answered.why})"
    start_again(tx, row, cause=cause)
    if asks is not None:
        _ask(tx, row, asks)
    return job_by_number(tx, job)


def _ask(tx: Tx, row: JobRow, asks: Sequence[Question]) -> None:
    kept = QUESTIONS.dump_json(tuple(asks)).decode()
    tx.sql.execute(update(jobs).where(jobs.c.id == row.id).values(questions=kept))
    stops = ", ".join(question.key for question in asks if question.severity == "stop")
    if stops:
        move(tx, jobs, row.id, start=UNFINISHED, to="held", cause=f"still asks {stops}")


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
    free_idle_shops(tx, row.id)
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


def check_asked(row: JobRow, answered: Answer) -> Question:
    """The question that an answer is to.

    Raises:
        BadInput: The job does not ask it, or it has no such option.
    """
    questions = {q.key: q for q in row.questions}
    question = questions.get(answered.question)
    if question is None:
        says = f"{row.job} does not ask this"
        raise BadInput([_wrong("/question", answered.question, says, list(questions))])
    options = [option.key for option in question.options]
    if answered.option not in options:
        says = f"{question.key} has no such option"
        raise BadInput([_wrong("/option", answered.option, says, options)])
    return question


def _wrong(pointer: str, value: str, says: str, known: list[str]) -> Problem:
    mend = f"one of {', '.join(known)}" if known else "mend the measure and send the next revision"
    return Problem(pointer=pointer, value=value, says=says, mend=mend)
