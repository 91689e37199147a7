"""What runs the house: the night, the workers, the demo, and how things are."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from pathlib import Path
from typing import Annotated, Final

import typer
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn

from schemas.delivery import NightReport
from worker import audit as the_audit
from worker import clock
from worker import demo as the_demo
from worker import health as the_health
from worker.bootstrap import Works, build
from worker.cli.exits import Exit
from worker.cli.office import Day
from worker.cli.one_job import Json
from worker.cli.showing import err, out, show_json, show_questions, show_table
from worker.logs import set_up
from worker.night import Progress as HowFar
from worker.night import run_night
from worker.night.report import REPORT
from worker.processes import work_on_until
from worker.settings import Settings

QUIET: Final = "WARNING"
"""Beside a progress bar only what needs attention is logged."""


def demo(
    to: Annotated[Path, typer.Option("--out", help="Folder for everything it makes.")] = Path(
        "dawnpack-demo"
    ),
    *,
    workers: Annotated[int, typer.Option(min=1, max=64, help="Packs made at a time.")] = 2,
) -> None:
    """Run an invented company's night: eight jobs in, printed bundles for its crews out.

    Example: dawnpack demo --out /tmp/demo
    """
    if not the_demo.may_use(to):
        msg = f"{to} holds other things than a demo's; choose another folder"
        raise typer.BadParameter(msg)
    set_up(Settings.read().model_copy(update={"log_level": QUIET}))
    with _bar() as tell:
        shown = the_demo.run_demo(to, workers=workers, tell=tell)
    for receipt in shown.taken_in:
        out.print(receipt)
    for job, questions in shown.held.items():
        show_questions(job, questions)
    _show_report(shown.report, to)
    out.print(f"\nEverything is in {to.resolve()}", style="bold")
    out.print("Open these first:")
    for name in shown.open_first:
        out.print(f"  {to.resolve() / name}")


def night(
    *,
    day: Day = None,
    to: Annotated[
        Path | None, typer.Option("--out", help="Delivery folder; none: in the data folder.")
    ] = None,
    workers: Annotated[
        int | None,
        typer.Option(min=0, max=256, help="Worker processes started here; 0: they run elsewhere."),
    ] = None,
    cut_off: Annotated[float, typer.Option(min=0.01, max=24, help="Hours to wait for packs.")] = 6,
    as_json: Json = False,
) -> None:
    """Make and deliver every crew's bundle for a day: tomorrow if none is named.

    It may be run again at any time and then makes only what has changed.

    Example: dawnpack night --for 2026-12-03 --out /srv/bundles
    """
    settings = Settings.read()
    set_up(settings.model_copy(update={"log_level": QUIET}))
    works = build(settings)
    work_date = day.date() if day else _tomorrow(works)
    folder = to or settings.data / "nights" / work_date.isoformat()
    here = 0 if settings.broker_url else settings.workers
    with _bar() as tell:
        report = run_night(
            works, day=work_date, out=folder, workers=here if workers is None else workers,
            cut_off=cut_off * 3600, tell=tell,
        )  # fmt: skip
    if as_json:
        show_json(report)
    else:
        _show_report(report, folder)
    if not report.complete:
        raise typer.Exit(Exit.INCOMPLETE)


def work(
    processes: Annotated[
        int | None, typer.Argument(min=1, max=256, help="Packs made at a time.")
    ] = None,
) -> None:
    """Run workers until stopped, on DAWNPACK_BROKER_URL or a broker of their own.

    What is running when they are told to stop is finished first.

    Example: DAWNPACK_BROKER_URL=redis://queue:6379/0 dawnpack work 4
    """
    settings = Settings.read()
    set_up(settings)
    stop = threading.Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda *_: stop.set())
    work_on_until(build(settings), stop, size=processes or settings.workers)


def health(*, as_json: Json = False) -> None:
    """Say whether ledger, store, disk and broker can be used, and whether the nights are looked at.

    Exit code 7 when a worker here could not work; a silent schedule is shown and is none of that.

    Example: dawnpack health --json
    """
    found = the_health.look(build(Settings.read()))
    if as_json:
        show_json([{"what": p.what, "well": p.well, "says": p.says} for p in found])
    else:
        show_table("health", ("what", "well", ""), ((p.what, p.well, p.says) for p in found))
    if not the_health.can_work(found):
        raise typer.Exit(Exit.NOT_NOW)


def audit(
    *,
    day: Day = None,
    to: Annotated[
        Path | None, typer.Option("--out", help="Its delivery folder; none: in the data folder.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Read ledger, store and delivered files afresh, and list what does not agree.

    With a day, the night of that day is audited with its files and its report.

    Examples: dawnpack audit | dawnpack audit --for 2026-12-03
    """
    settings = Settings.read()
    folder = to or (settings.data / "nights" / day.date().isoformat() if day else None)
    found = the_audit.audit(build(settings), day=day.date() if day else None, out=folder)
    if as_json:
        show_json([{"where": fault.where, "says": fault.says} for fault in found])
    else:
        title = f"{len(found)} faults" if found else "everything agrees"
        show_table(title, ("where", ""), ((fault.where, fault.says) for fault in found))
    if found:
        raise typer.Exit(Exit.INCOMPLETE)


def _tomorrow(works: Works) -> date:
    zone = works.library.company.zone
    return clock.day_of(works.clock.now_ms(), zone) + timedelta(days=1)


@contextmanager
def _bar() -> Iterator[Callable[[HowFar], None]]:
    """A bar for packs and one for bundles, on standard error."""
    columns = (
        TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeElapsedColumn()
    )  # fmt: skip
    with Progress(*columns, console=err) as progress:
        packs = progress.add_task("packs", total=None)
        bundles = progress.add_task("bundles", total=None)

        def tell(far: HowFar) -> None:
            progress.update(packs, total=far.jobs, completed=far.jobs_done)
            progress.update(bundles, total=far.bundles, completed=far.bundles_done)

        yield tell


def _show_report(report: NightReport, folder: Path) -> None:
    show_table(
        f"Night for {report.work_date}, run {report.run}",
        ("crew", "bundle", "code", "pages", "jobs"),
        (
            (c.crew, c.file or c.state, c.code, c.pages, ", ".join(p.job for p in c.packs))
            for c in report.crews
        ),
    )
    for cutting in report.shop:
        out.print(f"shop, {cutting.pool}: {cutting.file}, {cutting.code}, {cutting.pages} pages")
    if report.exceptions:
        show_table(
            "On no day sheet",
            ("job", "crew", "why"),
            ((e.job, e.crew, e.reason) for e in report.exceptions),
        )
    for bare in report.unlabelled:
        out.print(f"no labels: {bare.job}, crew {bare.crew}: {bare.why}", style="bold")
    for asked in report.bookings:
        out.print(f"{asked.severity}: {asked.says} {asked.ask}", style="bold")
    for gone in report.called_back:
        out.print(f"crew {gone.crew}: destroy pack {gone.code} of {gone.job} ({gone.why})")
    for refused in report.refused:
        says = "; ".join(f"{p.pointer or '/'}: {p.says}" for p in refused.problems)
        out.print(f"refused: {refused.came_as}: {says}")
    proof = "every job accounted for" if report.complete else "NOT COMPLETE"
    out.print(
        f"{report.jobs_due} jobs due = {report.on_day_sheets} on day sheets "
        f"+ {report.excepted} excepted: {proof}; {report.packs_made} packs made in this run",
        style="bold" if report.complete else "bold red",
    )
    for fault in report.faults:
        out.print(f"  {fault}", style="red")
    out.print(f"report: {folder / REPORT}")
