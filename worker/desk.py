"""What comes over the desk: a submission in, and the answer to it.

A submission is read and planned while the office waits, so that a refusal or a question is
known at once; the plan itself is thrown away and made again by the night.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from schemas.errors import BadInput, Conflict, DawnpackError, Problem
from schemas.site import Answer, Question
from schemas.submission import Submission
from services.intake.far_days import far_day, far_days
from services.intake.flat import FlatJob, read_table
from worker import clock
from worker.bootstrap import Works
from worker.fail_points import passing
from worker.ledger.accepting import Receipt, accept, refuse
from worker.ledger.deciding import check_asked
from worker.ledger.opening import Tx
from worker.ledger.records import job_by_number, work_on
from worker.logs import logger

log = logger(__name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class Came:
    """A submission that has been read and looked through, and is not in the ledger yet."""

    raw: bytes
    submission: Submission
    questions: tuple[Question, ...]
    """What planning asks."""


def submit(
    works: Works,
    raw: bytes,
    *,
    came_as: str,
    wanted: str = "",
    issued: str | None = None,
    say: Callable[[Problem], Problem] = lambda problem: problem,
) -> Receipt:
    """Take a submission in.

    Args:
        works: The works.
        raw: As it came.
        came_as: File or address it came by, for the problem list.
        wanted: Queue that is to make it at once; empty: its night will.
        issued: Day printed as that of issue; none: today in the company's zone.
        say: Puts a problem into the words of what it came as.

    Raises:
        BadInput: It cannot be read; the problem list is kept, and nothing else of it.
        Conflict: The revision is here with other content, or a higher one is.
    """
    came = read(works, raw, came_as=came_as, issued=issued, say=say)
    with works.ledger.writing() as tx:
        receipt = take_in(works, tx, came, wanted=wanted, issued=issued)
    passing("accepted")
    return receipt


def read(
    works: Works,
    raw: bytes,
    *,
    came_as: str,
    issued: str | None = None,
    say: Callable[[Problem], Problem] = lambda problem: problem,
) -> Came:
    """Read a submission and look it through; take it in with `take_in`.

    Raises:
        BadInput: It cannot be read; the problem list is kept, and nothing else of it.
    """
    try:
        return look_through(works, raw, issued=issued)
    except BadInput as no:
        said = BadInput([say(problem) for problem in no.problems])
        _refuse(works, said, came_as=came_as, raw=raw)
        raise said from None


def look_through(
    works: Works, raw: bytes, *, answers: tuple[Answer, ...] = (), issued: str | None = None
) -> Came:
    """Read a submission and find out what planning asks; nothing is kept.

    Raises:
        BadInput: It cannot be read, or its day is out of reach.
    """
    try:
        submission = works.pipeline.read_submission(raw, library=works.library)
        questions = _asked(works, submission, answers)
    except BadInput as no:
        raise BadInput((*no.problems, *_far(works, raw, issued))) from None
    if far := _far(works, raw, issued):
        raise BadInput(far)
    return Came(raw=raw, submission=submission, questions=questions)


def within_reach(works: Works, day: date, *, pointer: str) -> date:
    """A day that somebody named, if it is not too far from today.

    Raises:
        BadInput: It is.
    """
    if far := far_day(day, today=date.fromisoformat(today(works)), pointer=pointer):
        raise BadInput([far])
    return day


def _far(works: Works, raw: bytes, issued: str | None) -> tuple[Problem, ...]:
    try:
        tree = json.loads(raw)
    except (ValueError, RecursionError):
        return ()
    return far_days(tree, today=date.fromisoformat(issued or today(works)))


def asked_after(works: Works, job: str, answered: Answer) -> tuple[Question, ...]:
    """What planning still asks of a job once an answer counts, for `deciding.answer`.

    Raises:
        UnknownThing: No such job.
        BadInput: It does not ask that, or cannot be read with the answer.
    """
    with works.ledger.reading() as tx:
        row = job_by_number(tx, job)
        check_asked(row, answered)
        work = work_on(tx, row.id)
    return look_through(works, work.raw, answers=(*work.answers, answered)).questions


def take_in(
    works: Works, tx: Tx, came: Came, *, wanted: str, issued: str | None = None,
    cause: str = "accepted",
) -> Receipt:  # fmt: skip
    """Take in what was read; the caller's transaction keeps it, or nothing.

    Raises:
        Conflict: The revision is here with other content, or a higher one is.
    """
    receipt = accept(
        tx,
        came.submission,
        raw=came.raw,
        issued=issued or today(works),
        questions=came.questions,
        wanted=wanted,
        cause=cause,
    )
    passing("accepting")
    return receipt


def submit_table(
    works: Works, raw: bytes, *, came_as: str, wanted: str = ""
) -> list[tuple[str, Receipt | BadInput | Conflict]]:
    """Take a table of flat jobs in, each row for itself.

    Args:
        works: The works.
        raw: CSV, as it came.
        came_as: Name of the file.
        wanted: Queue that is to make the jobs at once; empty: their nights will.

    Returns:
        Name and outcome of every row: a bad one keeps no other from being taken in.

    Raises:
        BadInput: The file as a whole cannot be read; the problem list is kept.
    """
    try:
        rows = read_table(raw)
    except BadInput as no:
        _refuse(works, no, came_as=came_as, raw=raw)
        raise
    named = [(f"{came_as} line {row.line}", row) for row in rows]
    return [(name, _submit_row(works, row, name, wanted)) for name, row in named]


def _submit_row(
    works: Works, row: FlatJob, name: str, wanted: str
) -> Receipt | BadInput | Conflict:
    if row.problems:
        no = BadInput((*row.problems, *_further(works, row)))
        _refuse(works, no, came_as=name, raw=row.raw)
        return no
    try:
        return submit(works, row.raw, came_as=name, wanted=wanted, say=row.in_the_table)
    except (BadInput, Conflict) as no:
        return no


def _further(works: Works, row: FlatJob) -> Iterator[Problem]:
    """What else is wrong with a row of which a cell cannot be read."""
    told = {problem.pointer for problem in row.problems}
    try:
        if row.heads:
            look_through(works, row.raw)
    except BadInput as no:
        found = (row.in_the_table(problem) for problem in no.problems)
        yield from (problem for problem in found if problem.pointer not in told)


def _refuse(works: Works, no: BadInput, *, came_as: str, raw: bytes) -> None:
    with works.ledger.writing() as tx:
        refuse(tx, no.problems, came_as=came_as, raw=raw)


def today(works: Works) -> str:
    """The company's own day, ISO 8601."""
    return clock.day_of(works.clock.now_ms(), works.library.company.zone).isoformat()


def _asked(
    works: Works, submission: Submission, answers: tuple[Answer, ...]
) -> tuple[Question, ...]:
    """What planning asks; a job that cannot be planned is taken in, and fails on the record."""
    try:
        plan = works.pipeline.make_plan(submission, library=works.library, answers=answers)
    except BadInput:
        raise
    except DawnpackError as no:
        log.warning("taken in, but cannot be planned", job=submission.job, why=str(no))
        return ()
    except Exception:  # a fault of ours must not turn a good submission away
        log.exception("taken in, but planning broke", job=submission.job)
        return ()
    return plan.questions
