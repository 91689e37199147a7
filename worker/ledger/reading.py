"""What the office asks the ledger: how things stand, and what happened."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Row, func, select

from schemas.errors import Problem
from worker.ledger.nights import NightRow
from worker.ledger.opening import Tx
from worker.ledger.records import PROBLEMS
from worker.ledger.tables import bundles, due, events, jobs, nights, refusals


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One change."""

    at_ms: int
    was: str
    now: str
    cause: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """A file that was not taken in."""

    came_as: str
    problems: tuple[Problem, ...]


def happened(tx: Tx, thing: str, thing_id: int) -> list[Event]:
    """All that happened to a job, bundle or night, in order."""
    rows = (
        select(events)
        .where(events.c.thing == thing, events.c.thing_id == thing_id)
        .order_by(events.c.id)
    )
    return [
        Event(at_ms=row.at_ms, was=row.was, now=row.now, cause=row.cause)
        for row in tx.sql.execute(rows)
    ]


def bundles_of(tx: Tx, night: NightRow) -> list[Row[Any]]:
    """A night's bundles, by crew."""
    rows = select(bundles).where(bundles.c.night_id == night.id).order_by(bundles.c.crew)
    return list(tx.sql.execute(rows).all())


def bundle(tx: Tx, bundle_id: int) -> Row[Any]:
    """One bundle."""
    return tx.sql.execute(select(bundles).where(bundles.c.id == bundle_id)).one()


def promised(tx: Tx, day: date) -> set[str]:
    """Job numbers whose highest revision is due on a day and not withdrawn.

    Counted from what was accepted, not from the night's own list: the list is what is proved.
    """
    newest = select(jobs.c.job, func.max(jobs.c.revision).label("top")).group_by(jobs.c.job)
    top = newest.subquery()
    rows = (
        select(jobs.c.job)
        .join(top, (jobs.c.job == top.c.job) & (jobs.c.revision == top.c.top))
        .where(jobs.c.install_date == day, jobs.c.state != "withdrawn")
    )
    return set(tx.sql.scalars(rows))


def counts(tx: Tx, night: NightRow) -> dict[str, int]:
    """How many jobs of a night are in which state."""
    rows = (
        select(jobs.c.state, func.count())
        .join(due, due.c.job_id == jobs.c.id)
        .where(due.c.night_id == night.id)
        .group_by(jobs.c.state)
    )
    return {state: int(number) for state, number in tx.sql.execute(rows)}


def packed_since(tx: Tx, night: NightRow) -> int:
    """Packs of a night made since it was opened."""
    rows = (
        select(func.count(func.distinct(events.c.thing_id)))
        .join(due, due.c.job_id == events.c.thing_id)
        .where(
            due.c.night_id == night.id,
            events.c.thing == "job",
            events.c.now == "packed",
            events.c.at_ms >= night.opened_ms,
        )
    )
    return int(tx.sql.execute(rows).scalar_one())


def refusals_since(tx: Tx, night: NightRow) -> list[Refusal]:
    """Files refused since the night before this one was opened."""
    before = (
        select(func.coalesce(func.max(nights.c.opened_ms), 0))
        .where(nights.c.company == night.company, nights.c.work_date < night.work_date)
        .scalar_subquery()
    )
    rows = select(refusals).where(refusals.c.at_ms >= before).order_by(refusals.c.id)
    return [
        Refusal(came_as=row.came_as, problems=PROBLEMS.validate_json(row.problems))
        for row in tx.sql.execute(rows)
    ]


def taken_in_at(tx: Tx, job_id: int) -> int:
    """When a job's revision was accepted, in milliseconds since 1970."""
    first = select(func.min(events.c.at_ms)).where(
        events.c.thing == "job", events.c.thing_id == job_id
    )
    return int(tx.sql.execute(first).scalar_one())
