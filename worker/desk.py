"""What comes over the desk: a submission in, and the answer to it.

The submission is read and planned while the office waits, so that a refusal or a question is
known at once; the plan itself is thrown away and made again by the night.
"""

from __future__ import annotations

from schemas.errors import BadInput, DawnpackError
from schemas.site import Question
from schemas.submission import Submission
from worker import clock
from worker.bootstrap import Works
from worker.fail_points import passing
from worker.ledger.accepting import Receipt, accept, refuse
from worker.logs import logger

log = logger(__name__)


def submit(
    works: Works, raw: bytes, *, came_as: str, wanted: str = "", issued: str | None = None
) -> Receipt:
    """Take a submission in.

    Args:
        works: The works.
        raw: As it came.
        came_as: File or address it came by, for the problem list.
        wanted: Queue that is to make it at once; empty: its night will.
        issued: Day printed as that of issue; none: today in the company's zone.

    Raises:
        BadInput: It cannot be read; the problem list is kept, and nothing else of it.
        Conflict: The revision is here with other content, or a higher one is.
    """
    try:
        submission = works.pipeline.read_submission(raw)
        questions = _asked(works, submission)
    except BadInput as no:
        with works.ledger.writing() as tx:
            refuse(tx, no.problems, came_as=came_as, raw=raw)
        raise
    with works.ledger.writing() as tx:
        receipt = accept(
            tx,
            submission,
            raw=raw,
            issued=issued or today(works),
            questions=questions,
            wanted=wanted,
        )
        passing("accepting")
    passing("accepted")
    return receipt


def today(works: Works) -> str:
    """The company's own day, ISO 8601."""
    return clock.day_of(works.clock.now_ms(), works.library.company.zone).isoformat()


def _asked(works: Works, submission: Submission) -> tuple[Question, ...]:
    """What planning asks; a job that cannot be planned is taken in, and fails on the record."""
    try:
        return works.pipeline.make_plan(submission, library=works.library).questions
    except BadInput:
        raise
    except DawnpackError as no:
        log.warning("taken in, but cannot be planned", job=submission.job, why=str(no))
        return ()
