"""What a worker reports of a job it holds: held, refused, planned, packed."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import update

from schemas.errors import Problem
from schemas.site import Question
from schemas.wording import WHOLE
from worker.ledger.claims import Claim
from worker.ledger.codes import remember_code
from worker.ledger.moves import UNFINISHED, WITH_PACK, locked, move, note
from worker.ledger.opening import Tx
from worker.ledger.records import PROBLEMS, QUESTIONS, JobRow, job_by_id
from worker.ledger.tables import jobs

DONE = {"strikes": 0, "lease_until_ms": 0, "error": ""}


def held(tx: Tx, claim: Claim, questions: Sequence[Question]) -> bool:
    """The job stops at questions."""
    kept = QUESTIONS.dump_json(tuple(questions), context=WHOLE).decode()
    asked = ", ".join(q.key for q in questions if q.severity == "stop")
    return _report(tx, claim, to="held", cause=f"asks {asked}", questions=kept, **DONE)


def refused(tx: Tx, claim: Claim, problems: Sequence[Problem]) -> bool:
    """The job cannot be read any more, as the library now stands."""
    kept = PROBLEMS.dump_json(tuple(problems)).decode()
    cause = f"{len(problems)} problems: {problems[0].says}"
    return _report(tx, claim, to="refused", cause=cause, problems=kept, **DONE)


def planned(tx: Tx, claim: Claim, *, plan: str, questions: Sequence[Question]) -> bool:
    """The plan is in the store; the pack is being drawn."""
    kept = QUESTIONS.dump_json(tuple(questions), context=WHOLE).decode()
    return _report(tx, claim, to="planned", cause="planned", plan=plan, questions=kept)


def packed(
    tx: Tx, claim: Claim, *, made_from: str, pdf: str, code: str, pages: int, replaces: str
) -> bool:
    """The pack is in the store.

    Args:
        tx: The transaction.
        claim: Under which it was made.
        made_from: Digest of all that went into it.
        pdf: Its name in the store.
        code: Its content code.
        pages: Its sheets.
        replaces: Code it says is to be destroyed; empty for none.
    """
    done = _report(
        tx, claim, to="packed", cause=f"packed as {code}",
        made_from=made_from, pdf=pdf, code=code, pages=pages, replaces=replaces, **DONE,
    )  # fmt: skip
    if done:
        plan = job_by_id(tx, claim.row_id).plan
        remember_code(tx, thing="job", thing_id=claim.row_id, code=code, plan=plan)
    return done


def fetched(tx: Tx, row: JobRow) -> bool:
    """A pack was handed out, and may be on paper from now on; false if it is no longer the job's.

    Args:
        tx: The transaction.
        row: The job as its pack was looked up.
    """
    now = locked(tx, jobs, row.id)
    if now is None or now.state not in WITH_PACK or now.code != row.code:
        return False
    if now.on_paper != now.code:
        tx.sql.execute(update(jobs).where(jobs.c.id == row.id).values(on_paper=now.code))
        cause = f"pack {now.code} was fetched, and may be on paper"
        note(tx, thing="job", thing_id=row.id, was=now.state, now=now.state, cause=cause)
    return True


def _report(tx: Tx, claim: Claim, *, to: str, cause: str, **values: object) -> bool:
    return move(
        tx, jobs, claim.row_id, start=UNFINISHED, to=to, cause=cause, fence=claim.attempt,
        **values,
    )  # fmt: skip
