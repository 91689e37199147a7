"""Who is told what a night came to: the one on duty, and crews that have their bundle by mail."""

from __future__ import annotations

from datetime import UTC, datetime
from hashlib import sha256
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import Row

from schemas.company import Company
from schemas.delivery import NightReport
from schemas.signals import Letter
from services.delivery import decisions, letter, phase_at, times_of
from worker.ledger.deliveries import delivered_as
from worker.ledger.gathering import held_of
from worker.ledger.nights import NightRow, changed_since, night_of
from worker.ledger.opening import Tx
from worker.ledger.outbox import MAIL, put
from worker.ledger.prints import Print, may_be_on_paper, want
from worker.ledger.reading import bundles_of
from worker.night.supplements import late_changes, supplement_file


def tell(tx: Tx, company: Company, night: NightRow, report: NightReport) -> None:
    """Put a night's letters into the outbox; what was told in the same words is not told again.

    Bundles go out from the last run on: those of the evening may still change.
    """
    if company.on_duty_mail:
        _tell_duty(tx, company, night, report, to=company.on_duty_mail)
    now = datetime.fromtimestamp(tx.now_ms / 1000, tz=UTC)
    if phase_at(times_of(company, night.work_date), now) == "last-run":
        want_bundles(tx, company, night)
        _to_crews(tx, company, report)


def _to_crews(tx: Tx, company: Company, report: NightReport) -> None:
    mailed = {crew.key: crew.mail for crew in company.crews if crew.mail}
    for crew in report.crews:
        if crew.state == "made" and crew.crew in mailed:
            name = f"{crew.crew}-{report.work_date}.pdf"
            body = Letter(
                to=str(mailed[crew.crew]),
                subject=f"Bundle of crew {crew.crew} for {report.work_date}, code {crew.code}",
                text=f"{crew.pages} pages. Destroy every earlier bundle for this day.\n",
                attached=((name, crew.sha256),),
            )
            _put(tx, body, message_id=f"bundle-{crew.crew}-{crew.code}")


def want_bundles(tx: Tx, company: Company, night: NightRow) -> int:
    """Have every bundle of a night printed whose crew has a printer; the number of new ones."""
    printers = {c.key for c in company.crews if c.printer or company.fallback_printer}
    return sum(
        want(tx, night, crew=row.crew, code=row.code, pdf=_paper_for(tx, night, row))
        for row in bundles_of(tx, night)
        if row.state == "made" and row.crew in printers
    )


def _paper_for(tx: Tx, night: NightRow, row: Row[Any]) -> str:
    """The supplement, where the bundle that it is told from may be on paper; else the bundle."""
    held = held_of(row)
    if held is None or not late_changes(row):
        return str(row.pdf)
    if not may_be_on_paper(tx, night, crew=row.crew, code=held.code):
        return str(row.pdf)
    return delivered_as(tx, night, supplement_file(row.crew)) or str(row.pdf)


def tell_print(tx: Tx, company: Company, row: Print) -> None:
    """Tell the one on duty of a bundle that is not on paper, or of which nobody knows."""
    if not company.on_duty_mail:
        return
    day = night_of(tx, row.night_id).work_date
    known = "may be on paper, whole or in part" if row.state == "unsure" else "is not on paper"
    text = (
        f"The bundle of crew {row.crew} for {day}, code {row.code}, {known}.\n"
        f"{row.says}\n"
        "Look at the printer. Another copy:\n"
        f"  dawnpack print --for {day} --again {row.crew} --by YOU --why REASON\n"
    )
    subject = f"Bundle of crew {row.crew} for {day}: {row.state}"
    body = Letter(to=company.on_duty_mail, subject=subject, text=text)
    _put(tx, body, message_id=f"print-{row.id}-{row.state}")


def tell_missed(tx: Tx, company: Company, day: str) -> None:
    """Tell the one on duty of a night that nobody ran."""
    if company.on_duty_mail:
        text = (
            f"No night was run for {day}, and jobs stood on it. No crew had paper for them.\n"
            f"What stood there: dawnpack status --for {day}\n"
        )
        subject = f"The night for {day} was missed"
        body = Letter(to=company.on_duty_mail, subject=subject, text=text)
        _put(tx, body, message_id=f"missed-{company.key}-{day}")


def tell_stale(tx: Tx, company: Company, night: NightRow) -> None:
    """Tell the one on duty that a crew's paper is no longer current, after the last run."""
    gone = changed_since(tx, night)
    if not gone or not company.on_duty_mail:
        return
    day = night.work_date.isoformat()
    lines = [f"{job.job} revision {job.revision}, crew {job.crew}: {job.state}" for job in gone]
    text = "\n".join(
        (
            f"Changed after the last run for {day}. The crew may hold older paper: call it.",
            *(f"  {line}" for line in lines),
            f"Make and print what has changed: dawnpack night --for {day}\n",
        )
    )
    digest = sha256(text.encode()).hexdigest()[:16]
    subject = f"{len(gone)} changed after the last run for {day}"
    body = Letter(to=company.on_duty_mail, subject=subject, text=text)
    _put(tx, body, message_id=f"stale-{day}-{digest}")


def _tell_duty(tx: Tx, company: Company, night: NightRow, report: NightReport, *, to: str) -> None:
    found = decisions(report)
    if not found:
        return
    zone = ZoneInfo(company.zone)
    times = times_of(company, night.work_date)
    now = datetime.fromtimestamp(tx.now_ms / 1000, tz=UTC)
    last_run = f"{times.last_run.astimezone(zone):%a %d %b %H:%M}"
    until = f"the last run, {last_run}" if now < times.last_run else "the crews leave"
    day = f"{night.work_date:%a %d %b %Y}"
    text = letter(found, day=day, until=until, address=company.address or "")
    subject = f"{len(found)} to decide for {day}"
    digest = sha256(text.encode()).hexdigest()[:16]
    body = Letter(to=to, subject=subject, text=text)
    _put(tx, body, message_id=f"decide-{report.work_date}-{digest}")


def _put(tx: Tx, body: Letter, *, message_id: str) -> None:
    put(tx, kind=MAIL, target=body.to, message_id=message_id[:80], body=body.model_dump_json())
