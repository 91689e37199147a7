"""What the ledger says about one thing, read out of its row."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from pydantic import TypeAdapter
from sqlalchemy import Row, select

from schemas.errors import Problem, UnknownThing
from schemas.site import Answer, Question
from worker.ledger.opening import Tx
from worker.ledger.tables import answers, jobs, submissions

QUESTIONS = TypeAdapter(tuple[Question, ...])
PROBLEMS = TypeAdapter(tuple[Problem, ...])


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRow:
    """One job at one revision."""

    id: int
    job: str
    revision: int
    crew: str
    install_date: date
    issued: str
    state: str
    wanted: str
    """Queue that is to make it; empty: it waits for its night."""
    attempt: int
    strikes: int
    questions: tuple[Question, ...]
    """All that its last planning asked, stops first to be answered."""
    problems: tuple[Problem, ...]
    """Why it was refused after it had been accepted."""
    error: str
    made_from: str
    plan: str
    pdf: str
    code: str
    pages: int
    on_paper: str
    replaces: str

    @property
    def stops(self) -> tuple[Question, ...]:
        """The questions without whose answer there is no pack."""
        return tuple(q for q in self.questions if q.severity == "stop")


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """All that a worker needs to make a job's pack."""

    row: JobRow
    raw: bytes
    content: str
    answers: tuple[Answer, ...]


def job_of(row: Row[Any]) -> JobRow:
    """A row of `jobs`."""
    values = {name: value for name, value in row._mapping.items() if name in JobRow.__slots__}  # noqa: SLF001  # SQLAlchemy's public name
    values["questions"] = QUESTIONS.validate_json(values["questions"])
    values["problems"] = PROBLEMS.validate_json(values["problems"])
    return JobRow(**values)


def job_by_id(tx: Tx, job_id: int) -> JobRow:
    """The job of that row number.

    Raises:
        UnknownThing: There is none.
    """
    row = tx.sql.execute(select(jobs).where(jobs.c.id == job_id)).first()
    if row is None:
        msg = f"no job in row {job_id}"
        raise UnknownThing(msg)
    return job_of(row)


def job_by_number(tx: Tx, job: str) -> JobRow:
    """The highest revision of a job number.

    Raises:
        UnknownThing: There is none.
    """
    newest = select(jobs).where(jobs.c.job == job).order_by(jobs.c.revision.desc()).limit(1)
    row = tx.sql.execute(newest).first()
    if row is None:
        msg = f"no job of the number {job}"
        raise UnknownThing(msg)
    return job_of(row)


def every_job(tx: Tx) -> list[JobRow]:
    """All jobs at all revisions, by day, crew and number."""
    order = (jobs.c.install_date, jobs.c.crew, jobs.c.job, jobs.c.revision)
    return [job_of(row) for row in tx.sql.execute(select(jobs).order_by(*order))]


def work_on(tx: Tx, job_id: int) -> Work:
    """What came for a job, and what was answered since."""
    came = tx.sql.execute(
        select(submissions.c.raw, submissions.c.content)
        .join(jobs, jobs.c.submission_id == submissions.c.id)
        .where(jobs.c.id == job_id)
    ).one()
    said = tx.sql.execute(select(answers).where(answers.c.job_id == job_id).order_by(answers.c.id))
    return Work(
        row=job_by_id(tx, job_id),
        raw=came.raw,
        content=came.content,
        answers=tuple(
            Answer(question=a.question, option=a.option, by=a.by, why=a.why) for a in said
        ),
    )
