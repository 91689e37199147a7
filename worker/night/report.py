"""The night report and its proof: every due job on exactly one day sheet, or excepted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any, Final
from zoneinfo import ZoneInfo

from sqlalchemy import Row

from schemas.bundle import DecidedBooking
from schemas.company import Company
from schemas.delivery import (
    CalledBack,
    CrewNight,
    DeliveredPack,
    Late,
    LateChange,
    NightException,
    NightReport,
    RefusedFile,
    ShopCutting,
    Unlabelled,
)
from schemas.errors import UnprintableText
from schemas.site import Question
from services.delivery import Phase, phase_at, times_of
from worker import clock
from worker.bootstrap import Works
from worker.ledger.booking_answers import decided
from worker.ledger.gathering import Contents, contents_of, last_line, one_line, reason_of
from worker.ledger.moves import WITH_PACK
from worker.ledger.nights import NightRow, due_jobs, recalled
from worker.ledger.opening import Tx
from worker.ledger.reading import bundles_of, packed_since, promised, refusals_since, taken_in_at
from worker.ledger.records import JobRow
from worker.ledger.shop_cuts import ShopRow, shop_rows
from worker.logs import logger
from worker.night.delivery import bundle_file, pack_file, shop_file
from worker.night.supplements import late_changes, supplement_file
from worker.stores import Damaged
from worker.stores.folder import write_whole

REPORT: Final = "night-report.json"
MORNING: Final = "morning-page.pdf"
"""The same for people, on one page."""

log = logger(__name__)


def report_on(
    works: Works, night: NightRow, out: Path, *, unlabelled: tuple[Unlabelled, ...] = ()
) -> NightReport:
    """Write the night's report into the delivery folder, for machines and as the morning page.

    Args:
        works: The ledger and what the company keeps.
        night: The night that is reported.
        out: The delivery folder.
        unlabelled: Whose labels could not be made when the folder was filled.
    """
    with works.ledger.writing() as tx:
        planned = [job.plan for job in due_jobs(tx, night) if job.state in WITH_PACK]
    booked = works.pipeline.check_night(_plans(works, planned), library=works.library)
    with works.ledger.writing() as tx:
        given = decided(tx, night)
        late = tuple(_late(tx, works.library.company, night))
        report = _report(tx, night, booked, late, given)
    report = report.model_copy(update={"unlabelled": unlabelled})
    write_whole(out / REPORT, report.model_dump_json(indent=2).encode())
    try:
        page = works.pipeline.make_morning_page(report, library=works.library)
        write_whole(out / MORNING, page)
    except UnprintableText:
        log.exception("no morning page")
    return report


def _plans(works: Works, names: list[str]) -> Iterator[bytes]:
    """Plans out of the store; one that has gone bad since leaves the others their check."""
    for name in names:
        try:
            yield works.store.get(name)
        except Damaged as no:
            log.warning("stored plan damaged", why=str(no))


def _report(
    tx: Tx, night: NightRow, booked: tuple[Question, ...], late: tuple[LateChange, ...],
    given: tuple[DecidedBooking, ...],
) -> NightReport:  # fmt: skip
    rows = bundles_of(tx, night)
    jobs = due_jobs(tx, night)
    crews = tuple(_crew(row) for row in rows)
    sheets = [pack.job for crew in crews for pack in crew.packs]
    exceptions = tuple(_exceptions(jobs, rows))
    due = promised(tx, night.work_date)
    cut = shop_rows(tx, night)
    faults = (*_faults(due, sheets, [e.job for e in exceptions], crews), *_not_cut(cut))
    return NightReport(
        company=night.company,
        work_date=night.work_date.isoformat(),
        issued=night.issued,
        run=night.runs,
        started=clock.text(night.opened_ms),
        ended=clock.text(tx.now_ms),
        jobs_due=len(due),
        on_day_sheets=len(sheets),
        excepted=len(exceptions),
        complete=not faults,
        faults=faults,
        packs_made=packed_since(tx, night),
        crews=crews,
        shop=_shop(cut),
        exceptions=exceptions,
        bookings=tuple(q for q in booked if not any(_answers(d, q) for d in given)),
        decided=tuple(d for d in given if any(_answers(d, q) for q in booked)),
        called_back=tuple(_called_back(tx, night, rows, jobs)),
        late=late,
        refused=tuple(
            RefusedFile(came_as=r.came_as, problems=r.problems) for r in refusals_since(tx, night)
        ),
    )


def _answers(made: DecidedBooking, asked: Question) -> bool:
    return (made.question, made.says) == (asked.key, asked.says)


def _shop(rows: list[ShopRow]) -> tuple[ShopCutting, ...]:
    return tuple(
        ShopCutting(
            pool=row.pool, code=row.code, pages=row.pages, file=shop_file(row.pool), sha256=row.pdf
        )
        for row in rows
        if row.pool
    )  # fmt: skip


def _not_cut(rows: list[ShopRow]) -> Iterator[str]:
    """Packs count on rails that the shop was to cut and has no list for."""
    for row in rows:
        if row.error:
            yield one_line(f"no shop cutting for {row.made_for}, cut on site: {row.error}")


def _crew(row: Row[Any]) -> CrewNight:
    made = row.state == "made"
    packs = contents_of(row).packs if made else ()
    return CrewNight(
        crew=row.crew,
        state=row.state,
        code=row.code if made else "",
        pages=row.pages if made else 0,
        file=bundle_file(row.crew) if made else "",
        sha256=row.pdf if made else "",
        packs=tuple(
            DeliveredPack(
                job=pack.job,
                revision=pack.revision,
                code=pack.code,
                pages=pack.pages,
                replaces=pack.replaces,
                file=pack_file(pack.job, pack.revision, pack.code),
                sha256=pack.pdf,
            )
            for pack in packs
        ),
        supplement=supplement_file(row.crew) if late_changes(row) else "",
        error=one_line(last_line(row.error)) if row.state == "failed" else "",
    )


def _exceptions(jobs: list[JobRow], rows: list[Row[Any]]) -> Iterator[NightException]:
    """Due jobs without a pack, and those whose crew has no bundle."""
    contents = {row.crew: contents_of(row) for row in rows if row.state == "made"}
    failed = {row.crew: row for row in rows if row.state != "made"}
    for job in jobs:
        sheet = contents.get(job.crew)
        if sheet and any(pack.job_id == job.id for pack in sheet.packs):
            continue
        yield NightException(
            job=job.job,
            revision=job.revision,
            crew=job.crew,
            state=job.state,
            reason=_reason(job, sheet, failed.get(job.crew)),
            questions=job.stops if job.state == "held" else (),
        )


def _reason(job: JobRow, sheet: Contents | None, bundle: Row[Any] | None) -> str:
    if sheet:
        told = [missing.why for missing in sheet.missing if missing.job == job.job]
        return told[0] if told else "not on its crew's day sheet"
    if job.state not in WITH_PACK or bundle is None:
        return one_line(reason_of(job))
    return one_line(f"its crew's bundle is {bundle.state}: {last_line(bundle.error)}")


def _faults(
    due: set[str], sheets: list[str], excepted: list[str], crews: tuple[CrewNight, ...]
) -> Iterator[str]:
    """All that breaks the proof."""
    named = Counter(sheets) + Counter(excepted)
    yield from (f"{job} is due and named nowhere" for job in sorted(due - named.keys()))
    yield from (f"{job} is named and not due" for job in sorted(named.keys() - due))
    yield from (f"{job} is named {n} times" for job, n in sorted(named.items()) if n > 1)
    yield from (
        f"crew {crew.crew} has no bundle"
        for crew in crews
        if crew.state not in {"made", "withdrawn"}
    )


AFTER: Final[dict[Phase, Late]] = {
    "asked": "soft cut-off",
    "closed": "hard cut-off",
    "last-run": "start of the last run",
}


def _late(tx: Tx, company: Company, night: NightRow) -> Iterator[LateChange]:
    """Jobs of the day taken in after a cut-off."""
    times = times_of(company, night.work_date)
    zone = ZoneInfo(company.zone)
    for job in due_jobs(tx, night):
        came = datetime.fromtimestamp(taken_in_at(tx, job.id) / 1000, tz=zone)
        after = AFTER.get(phase_at(times, came))
        if after:
            yield LateChange(
                job=job.job,
                revision=job.revision,
                crew=job.crew,
                came=f"{came:%a %Y-%m-%d %H:%M %Z}",
                after=after,
            )


def _called_back(
    tx: Tx, night: NightRow, rows: list[Row[Any]], jobs: list[JobRow]
) -> Iterator[CalledBack]:
    for job in jobs:
        if job.replaces:
            yield CalledBack(
                job=job.job,
                revision=job.revision,
                crew=job.crew,
                code=job.replaces,
                why=f"replaced by {job.code or 'a pack still to come'}",
            )
    for row in rows:
        for gone in recalled(tx, day=night.work_date, crew=row.crew):
            yield CalledBack(
                job=gone.job,
                revision=gone.revision,
                crew=gone.crew,
                code=gone.code,
                why=gone.why,
            )
