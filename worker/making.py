"""Making a pack or a bundle: load, call, save, under a claim that is renewed meanwhile.

In: a row's number. Out: a finished row, or the row given back or set aside with what went
wrong. A row that somebody else holds or has finished is left alone.
"""

from __future__ import annotations

import socket
import threading
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from json import dumps
from typing import Final

import structlog
from pydantic import ValidationError
from sqlalchemy import Table

from schemas.bundle import Stop
from schemas.errors import BadInput, NotNow
from schemas.pack import Outcome, PackFile
from schemas.plan import Plan
from schemas.submission import Submission
from schemas.wording import WHOLE
from worker.bootstrap import Works
from worker.fail_points import passing
from worker.ledger import finishing, gathering
from worker.ledger.claims import Claim, claim, let_go, renew, set_aside
from worker.ledger.codes import plan_of_code
from worker.ledger.gathering import Packed, contents_of
from worker.ledger.nights import make_again, night_of
from worker.ledger.rack import Offcut, holder_of_job, offer, settle
from worker.ledger.rack import let_go as let_offcuts_go
from worker.ledger.reading import bundle
from worker.ledger.records import Work, job_by_id, work_on
from worker.ledger.tables import bundles, jobs
from worker.logs import logger
from worker.retries import is_final, is_outside
from worker.stores import Damaged

RENEWALS: Final = 4
"""A living worker renews its lease so many times before it would end."""

NOTHING: Final = "nothing"
"""What a pack replaces that replaces none."""

log = logger(__name__)


def make_pack(works: Works, job_id: int, *, holder: str) -> None:
    """Plan a job and print its pack, or hold it at its questions."""
    held = _take(works, jobs, job_id, holder=holder)
    if held is None:
        return
    passing("claimed")
    with _answering_for(works, held):
        with works.ledger.reading() as tx:
            work = work_on(tx, job_id)
        submission = works.pipeline.read_submission(work.raw)
        outcome = works.pipeline.make_plan(
            submission,
            library=works.library,
            answers=work.answers,
            rack=_offered(works, work, submission),
        )
        passing("computed")
        _save(works, held, work, outcome)


def make_bundle(works: Works, bundle_id: int, *, holder: str) -> None:
    """Print a crew's day: the packs there are, and what is missing."""
    held = _take(works, bundles, bundle_id, holder=holder)
    if held is None:
        return
    with _answering_for(works, held):
        with works.ledger.reading() as tx:
            row = bundle(tx, bundle_id)
            night = night_of(tx, row.night_id)
        contents = contents_of(row)
        made = works.pipeline.make_bundle(
            decided=contents.decided,
            crew=contents.crew,
            day=night.work_date,
            stops=[stop_of(works, pack) for pack in contents.packs],
            missing=[*contents.missing, *contents.recalled],
            library=works.library,
            issued=contents.issued,
        )
        passing("set")
        pdf = works.store.put(made.pdf)
        with works.ledger.writing() as tx:
            gathering.bundled(tx, held, contents, pdf=pdf, code=made.code, pages=made.pages)
        passing("bundled")


def made_from(works: Works, work: Work) -> str:
    """A digest of all that a job's pack is made from."""
    said = [answer.model_dump() for answer in work.answers]
    return sha256(dumps([work.content, said, work.row.issued, works.stamp]).encode()).hexdigest()


def kinds_of(submission: Submission) -> set[tuple[str, str]]:
    """Of which a job can use offcuts: systems and colours, its core's size, its handrail."""
    rails = submission.rail
    systems = {rails.system, rails.stair_system or rails.system}
    sticks = {
        ("core", f"{submission.post.core}"),
        ("stiffener", f"{rails.system} level"),
        ("stiffener", f"{rails.stair_system or rails.system} stair"),
    }
    if any(stair.handrail for stair in submission.stairs):
        sticks.add(("handrail", rails.stair_system or rails.system))
    return {(system, rails.colour) for system in systems} | sticks


def _offered(works: Works, work: Work, submission: Submission) -> tuple[Offcut, ...]:
    """Offcuts for a job cut by itself; where jobs are cut together, the rack is the shop's."""
    if works.library.company.cut_for != "job":
        return ()
    with works.ledger.writing() as tx:
        return offer(
            tx, holder=holder_of_job(work.row.id), inputs=made_from(works, work),
            kinds=kinds_of(submission),
        )  # fmt: skip


def holder_of(process: int) -> str:
    """Who holds a claim: this host, and the worker process whose child works."""
    return f"{socket.gethostname()}:{process}"


def _save(works: Works, held: Claim, work: Work, outcome: Outcome) -> None:
    if outcome.plan is None:
        with works.ledger.writing() as tx:
            if finishing.held(tx, held, outcome.questions):
                let_offcuts_go(tx, holder=holder_of_job(held.row_id))
        return
    plan = works.store.put(outcome.plan.model_dump_json(context=WHOLE).encode())
    with works.ledger.writing() as tx:
        if not finishing.planned(tx, held, plan=plan, questions=outcome.questions):
            return
        taken = works.pipeline.off_rack(outcome.plan)
        settle(tx, holder=holder_of_job(held.row_id), taken=taken)
    passing("planned")
    pack, replaces = _print(works, work, outcome)
    pdf = works.store.put(pack.pdf)
    with works.ledger.writing() as tx:
        finishing.packed(
            tx, held, made_from=made_from(works, work), pdf=pdf,
            code=pack.code, pages=pack.pages, replaces=replaces,
        )  # fmt: skip
        passing("packing")
    passing("packed")


def _print(works: Works, work: Work, outcome: Outcome) -> tuple[PackFile, str]:
    """A pack that came out differently calls back the one a crew may hold."""
    assert outcome.plan is not None
    row = work.row
    replaces = row.replaces
    pack = works.pipeline.make_pack(
        outcome.plan, issued=row.issued, replaces=replaces or NOTHING,
        before=_before(works, row.job, replaces),
    )  # fmt: skip
    if row.on_paper and row.on_paper != pack.code:
        replaces = row.on_paper
        pack = works.pipeline.make_pack(
            outcome.plan, issued=row.issued, replaces=replaces,
            before=_before(works, row.job, replaces),
        )  # fmt: skip
    return pack, replaces


def _before(works: Works, job: str, code: str) -> Plan | None:
    """The plan behind a code that is to be destroyed, unless the ledger or the store lost it."""
    if not code:
        return None
    with works.ledger.reading() as tx:
        name = plan_of_code(tx, code, job=job)
    if not name:
        return None
    try:
        return works.pipeline.read_plan(works.store.get(name))
    except (Damaged, ValidationError):
        log.warning("plan of a replaced pack not readable", job=job, code=code, plan=name)
        return None


def stop_of(works: Works, pack: Packed) -> Stop:
    """A job for the day sheet; a damaged file sends its job back to be made again."""
    try:
        works.store.get(pack.pdf)
        plan = works.pipeline.read_plan(works.store.get(pack.plan))
    except Damaged as gone:
        with works.ledger.writing() as tx:
            make_again(tx, pack.job_id, cause=str(gone))
        raise
    return Stop(
        plan=plan,
        code=pack.code,
        replaces=pack.replaces or NOTHING,
        before=_before(works, pack.job, pack.replaces),
        open_questions=pack.open_questions,
    )


def _take(works: Works, table: Table, row_id: int, *, holder: str) -> Claim | None:
    with works.ledger.writing() as tx:
        held = claim(tx, table, row_id, holder=holder, lease=works.settings.lease)
    if held is None:
        log.info("nothing to claim", table=table.name, row=row_id)
    return held


@contextmanager
def _answering_for(works: Works, held: Claim) -> Iterator[None]:
    """Renew the claim while the work lasts, and write down how it went wrong."""
    done = threading.Event()
    beat = threading.Thread(target=_keep, args=(works, held, done), daemon=True)
    beat.start()
    with structlog.contextvars.bound_contextvars(**_names(works, held)):
        try:
            yield
        except Exception as error:
            log.exception("not made", table=held.table.name, row=held.row_id)
            _write_down(works, held, error)
        finally:
            done.set()
            beat.join()


def _names(works: Works, held: Claim) -> dict[str, object]:
    """What every line logged meanwhile is about: the job, or the night and its crew."""
    with works.ledger.reading() as tx:
        if held.table is jobs:
            row = job_by_id(tx, held.row_id)
            return {"job": row.job, "revision": row.revision}
        day_of = bundle(tx, held.row_id)
        return {"night": str(night_of(tx, day_of.night_id).work_date), "crew": day_of.crew}


def _write_down(works: Works, held: Claim, error: Exception) -> None:
    text = "".join(traceback.format_exception(error))
    with works.ledger.writing() as tx:
        if isinstance(error, BadInput) and held.table is jobs:
            if finishing.refused(tx, held, error.problems):
                let_offcuts_go(tx, holder=holder_of_job(held.row_id))
        elif is_final(error):
            failed = set_aside(tx, held.table, held.row_id, error=text, fence=held.attempt)
            if failed and held.table is jobs:
                let_offcuts_go(tx, holder=holder_of_job(held.row_id))
        else:
            let_go(tx, held, error=text, counts=not is_outside(error))


def _keep(works: Works, held: Claim, done: threading.Event) -> None:
    lease = works.settings.lease
    while not done.wait(lease / RENEWALS):
        try:
            with works.ledger.writing() as tx:
                renew(tx, held, lease=lease)
        except NotNow as no:
            log.warning("lease not renewed", why=str(no))
