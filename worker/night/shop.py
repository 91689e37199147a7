"""Cutting ahead in the shop: the night's pooled cut plans, made when all its packs are.

A crew's day or the whole night is cut together, as the company file says. A cutting that would
come out as it is stays. One that fails is a fault on the report and stops nothing else: the
jobs' own plans are whole without it.
"""

from __future__ import annotations

from hashlib import sha256
from json import dumps

from schemas.errors import DawnpackError
from worker.bootstrap import Works
from worker.ledger import rack
from worker.ledger.codes import remember_code
from worker.ledger.gathering import one_line
from worker.ledger.moves import WITH_PACK
from worker.ledger.nights import NightRow, due_jobs, hold_fence
from worker.ledger.records import JobRow, work_on
from worker.ledger.shop_cuts import ShopRow, keep_shop_rows, shop_holder, shop_rows
from worker.logs import logger
from worker.making import kinds_of
from worker.stores import Damaged

log = logger(__name__)


def cut_ahead(works: Works, night: NightRow) -> None:
    """Bring a night's shop cuttings in line with its packs.

    Raises:
        Overtaken: A later run of the night has started.
    """
    with works.ledger.writing() as tx:
        hold_fence(tx, night)
        pools = _pools(works, [job for job in due_jobs(tx, night) if job.state in WITH_PACK])
        before = shop_rows(tx, night)
        for gone in {row.made_for for row in before} - pools.keys():
            keep_shop_rows(tx, night, gone, [])
            rack.let_go(tx, holder=shop_holder(night, gone))
    for made_for, jobs in pools.items():
        made_from = _made_from(works, night, made_for, jobs)
        known = [row for row in before if row.made_for == made_for]
        if not known or any(not _stands(works, row, made_from) for row in known):
            rows = _made(works, night, made_for, jobs, made_from)
            with works.ledger.writing() as tx:
                hold_fence(tx, night)
                keep_shop_rows(tx, night, made_for, rows)
                for row in rows:
                    if row.code:
                        remember_code(tx, thing="shop", thing_id=night.id, code=row.code)


def _pools(works: Works, packed: list[JobRow]) -> dict[str, list[JobRow]]:
    """Jobs that are cut together, by crew or all; none where each is cut by itself."""
    pools: dict[str, list[JobRow]] = {}
    cut_for = works.library.company.cut_for
    for job in packed if cut_for != "job" else ():
        pools.setdefault(job.crew if cut_for == "crew-day" else "night", []).append(job)
    return pools


def _made_from(works: Works, night: NightRow, made_for: str, jobs: list[JobRow]) -> str:
    """A digest of all that a cutting is made from, the rack aside."""
    said = [night.issued, made_for, works.stamp, sorted(job.plan for job in jobs)]
    return sha256(dumps(said).encode()).hexdigest()


def _stands(works: Works, row: ShopRow, made_from: str) -> bool:
    if row.made_from != made_from or row.error:
        return False
    try:
        return all(works.store.get(name) for name in (row.plan, row.pdf) if name)
    except Damaged as no:
        log.warning("stored file damaged", why=str(no))
        return False


def _made(
    works: Works, night: NightRow, made_for: str, jobs: list[JobRow], made_from: str
) -> list[ShopRow]:
    """The cuttings; one row without any where nothing is to be cut ahead, or where it failed."""
    holder = shop_holder(night, made_for)
    with works.ledger.writing() as tx:
        kinds = {
            kind
            for job in jobs
            for kind in kinds_of(works.pipeline.read_submission(work_on(tx, job.id).raw))
        }
        offered = rack.offer(tx, holder=holder, inputs=made_from, kinds=kinds)
    try:
        made = works.pipeline.make_shop(
            [works.pipeline.read_plan(works.store.get(job.plan)) for job in jobs],
            pool=made_for, day=night.work_date, library=works.library, issued=night.issued,
            rack=offered,
        )  # fmt: skip
    except DawnpackError as no:
        log.exception("shop cutting not made", pool=made_for)
        with works.ledger.writing() as tx:
            rack.let_go(tx, holder=holder)
        error = one_line(str(no)) or type(no).__name__
        return [ShopRow(made_for=made_for, pool="", made_from=made_from, error=error)]
    taken = {tag for one in made for tag in works.pipeline.tags_taken(one.plan.cuts)}
    with works.ledger.writing() as tx:
        rack.settle(tx, holder=holder, taken=taken)
    return [
        ShopRow(
            made_for=made_for,
            pool=one.plan.pool,
            made_from=made_from,
            plan=works.store.put(one.plan.model_dump_json().encode()),
            pdf=works.store.put(one.pdf),
            code=one.code,
            pages=one.pages,
        )
        for one in made
    ] or [ShopRow(made_for=made_for, pool="", made_from=made_from)]
