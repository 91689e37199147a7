"""The jobs of a crew, or of all, as entries of a calendar."""

from __future__ import annotations

from datetime import UTC, datetime

from services.delivery.crew_calendar import Entry, calendar
from worker.bootstrap import Works
from worker.ledger.opening import Tx
from worker.ledger.reading import happened
from worker.ledger.records import JobRow, every_job, work_on


def crew_calendar(works: Works, crew: str = "") -> str:
    """The calendar of a crew's jobs as they stand, in iCalendar's form.

    Args:
        works: The works.
        crew: Its key; empty: all crews.
    """
    company = works.library.company
    with works.ledger.reading() as tx:
        rows = [row for row in _highest(tx) if crew in {"", row.crew}]
        entries = [_entry(works, tx, row) for row in rows]
    name = next((c.name for c in company.crews if c.key == crew), company.name)
    return calendar(entries, company=company.key, name=name)


def _highest(tx: Tx) -> list[JobRow]:
    """Each job at its highest revision, by day, crew and number."""
    top: dict[str, JobRow] = {}
    for row in every_job(tx):
        if row.job not in top or row.revision > top[row.job].revision:
            top[row.job] = row
    return sorted(top.values(), key=lambda row: (row.install_date, row.crew, row.job))


def _entry(works: Works, tx: Tx, row: JobRow) -> Entry:
    site = works.pipeline.read_submission(work_on(tx, row.id).raw).site
    changed = max(event.at_ms for event in happened(tx, "job", row.id))
    return Entry(
        job=row.job, revision=row.revision, crew=row.crew, day=row.install_date, state=row.state,
        customer=site.customer, street=site.street, town=site.town,
        changed=datetime.fromtimestamp(changed / 1000, tz=UTC),
    )  # fmt: skip
