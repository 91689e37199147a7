"""Stored files that went bad: found before they are delivered, and made again."""

from __future__ import annotations

from sqlalchemy import update

from worker.bootstrap import Works
from worker.ledger.gathering import gather
from worker.ledger.moves import WITH_PACK
from worker.ledger.nights import NightRow, due_jobs, make_again
from worker.ledger.reading import bundles_of
from worker.ledger.tables import bundles
from worker.logs import logger
from worker.stores import Damaged

log = logger(__name__)


def send_back_damaged(works: Works, night: NightRow) -> bool:
    """Send back what the store no longer has whole; whether there was any."""
    with works.ledger.writing() as tx:
        packs = [job for job in due_jobs(tx, night) if job.state in WITH_PACK]
        made = [row for row in bundles_of(tx, night) if row.state == "made"]
    bad_jobs = [job.id for job in packs if not (_whole(works, job.pdf) and _whole(works, job.plan))]
    bad_bundles = [row.id for row in made if not _whole(works, row.pdf)]
    with works.ledger.writing() as tx:
        for job_id in bad_jobs:
            make_again(tx, job_id, cause="its stored file is missing or damaged")
        forget = update(bundles).where(bundles.c.id.in_(bad_bundles)).values(made_from="")
        tx.sql.execute(forget)
        if bad_jobs or bad_bundles:
            gather(tx, night, stamp=works.stamp, again=True)
    return bool(bad_jobs or bad_bundles)


def _whole(works: Works, name: str) -> bool:
    try:
        works.store.get(name)
    except Damaged as no:
        log.warning("stored file damaged", why=str(no))
        return False
    return True
