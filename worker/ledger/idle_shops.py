"""Offcuts that a shop cutting holds and that nobody is left to cut it for."""

from __future__ import annotations

from sqlalchemy import func, or_, select

from worker.ledger.moves import WITH_PACK
from worker.ledger.opening import Tx
from worker.ledger.rack import let_go
from worker.ledger.tables import jobs, nights, shop_cuts


def free_idle_shops(tx: Tx, job_id: int) -> None:
    """Give back what is set aside for the shop cuttings of a job that went off, if it was the last.

    While another job is still cut for, its list may be in the shop's hands, and the offcuts stay
    set aside until the next run makes the list anew.

    Args:
        tx: The transaction in which the job went off.
        job_id: Its row.
    """
    job = tx.sql.execute(select(jobs).where(jobs.c.id == job_id)).one()
    lists = (
        select(shop_cuts.c.night_id, shop_cuts.c.made_for)
        .join(nights, nights.c.id == shop_cuts.c.night_id)
        .where(nights.c.work_date == job.install_date)
        .where(or_(shop_cuts.c.made_for == "night", shop_cuts.c.made_for == job.crew))
        .distinct()
    )
    for night_id, made_for in tx.sql.execute(lists).all():
        left = select(func.count()).where(
            jobs.c.install_date == job.install_date, jobs.c.state.in_(WITH_PACK)
        )
        if made_for != "night":
            left = left.where(jobs.c.crew == made_for)
        if not tx.sql.scalar(left):
            let_go(tx, holder=f"shop {night_id} {made_for}")
