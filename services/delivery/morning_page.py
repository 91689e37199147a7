"""The office's morning page: whether every crew has its paper, and what is not on any.

The question that is asked first stands first: is any crew without a ready bundle.
"""

from __future__ import annotations

from datetime import date

from schemas.delivery import CrewNight, NightReport
from schemas.pages import Block, Column, Fact, Facts, Heading, Prose, Row, Sheet, Table

MOST = 12
"""Rows of a list that are printed; the rest is counted."""


def morning_sheet(report: NightReport) -> Sheet:
    """The page.

    Args:
        report: Of the night's last run.
    """
    day = date.fromisoformat(report.work_date)
    return Sheet(
        key="morning",
        title=f"{day:%A} {report.work_date}",
        place=f"Run {report.run}, ended {report.ended}",
        blocks=(
            _ready(report),
            _counts(report),
            *_crews(report),
            *_excepted(report),
            *_list("No labels: cut by the tickets in the pack", _unlabelled(report)),
            *_list("Late changes: does the crew know?", _late(report)),
            *_list("Old paper to be destroyed", _called_back(report)),
            *_list("Bookings to look at", [f"{q.place}: {q.says}" for q in report.bookings]),
            *_list("Bookings decided", [f"{d.says} {d.by}: {d.why}" for d in report.decided]),
            *_list("Files refused at the door", [r.came_as for r in report.refused]),
            *_list("The proof does not hold", list(report.faults)),
        ),
    )


def _ready(report: NightReport) -> Block:
    without = [crew.crew for crew in report.crews if crew.state not in {"made", "withdrawn"}]
    if without:
        return Prose(text=f"RED: no bundle for {', '.join(without)}.", role="lead")
    if not report.complete:
        return Prose(text="RED: the night is not complete; see the end of the page.", role="lead")
    if (
        report.exceptions
        or report.unlabelled
        or report.late
        or any(q.severity != "note" for q in report.bookings)
    ):
        return Prose(text="YELLOW: every crew has a bundle; see what else there is.", role="lead")
    return Prose(text="GREEN: every crew has a bundle, every job due is in one.", role="lead")


def _counts(report: NightReport) -> Block:
    return Facts(
        facts=(
            Fact(label="Jobs due", value=str(report.jobs_due), big=True),
            Fact(label="On day sheets", value=str(report.on_day_sheets), big=True),
            Fact(label="Not on any", value=str(report.excepted), big=True),
            Fact(label="Made in this run", value=str(report.packs_made)),
        ),
        columns=4,
    )


def _crews(report: NightReport) -> tuple[Block, ...]:
    columns = (
        Column(head="Crew", share=1.15, bold=True),
        Column(head="Bundle", share=0.95),
        Column(head="Code", share=1.1, bold=True),
        Column(head="Sides", share=0.8, align="right"),
        Column(head="Jobs, each with its pack's code", share=6),
        Column(head="Taken", share=0.8, box=True),
    )
    rows = tuple(_crew(crew) for crew in report.crews)
    if not rows:
        return (Heading(text="Crews"), Prose(text="No crew has work or paper for this day."))
    return (Heading(text="Crews"), Table(columns=columns, rows=rows, size="small"))


def _crew(crew: CrewNight) -> Row:
    jobs = "; ".join(f"{p.job} r{p.revision} {p.code}" for p in crew.packs) or "none"
    ready = crew.state == "made"
    return Row(
        cells=(crew.crew, "ready" if ready else crew.state, crew.code, str(crew.pages), jobs, ""),
        strong=not ready,
    )


def _excepted(report: NightReport) -> tuple[Block, ...]:
    if not report.exceptions:
        return ()
    columns = (
        Column(head="Job", share=1, bold=True),
        Column(head="Crew", share=0.8),
        Column(head="Why it is on no day sheet", share=5),
    )
    rows = [
        Row(cells=(f"{e.job} r{e.revision}", e.crew, e.reason)) for e in report.exceptions[:MOST]
    ]
    if more := len(report.exceptions) - MOST:
        rows += [Row(cells=("", "", f"and {more} more: see the report"))] if more > 0 else []
    head = Heading(text="On no day sheet")
    return (head, Table(columns=columns, rows=tuple(rows), size="dense"))


def _unlabelled(report: NightReport) -> list[str]:
    return [f"{u.job} r{u.revision}, crew {u.crew}: {u.why}" for u in report.unlabelled]


def _late(report: NightReport) -> list[str]:
    return [
        f"{late.job} r{late.revision}, crew {late.crew}: came {late.came}, after the {late.after}"
        for late in report.late
    ]


def _called_back(report: NightReport) -> list[str]:
    return [
        f"crew {gone.crew}: {gone.code} of {gone.job}; {gone.why}" for gone in report.called_back
    ]


def _list(head: str, lines: list[str]) -> tuple[Block, ...]:
    if not lines:
        return ()
    shown = [Prose(text=line) for line in lines[:MOST]]
    if len(lines) > MOST:
        shown.append(Prose(text=f"and {len(lines) - MOST} more: see the report"))
    return (Heading(text=head), *shown)
