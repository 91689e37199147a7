"""What runs by itself: the schedule of the nights, and the folder that jobs are dropped into."""

from __future__ import annotations

import os
import signal
import threading
import time
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Annotated, Final
from zoneinfo import ZoneInfo

import typer

from schemas.errors import UnknownThing
from schemas.site import Answer
from services.delivery import NightTimes, is_work_day, times_of
from worker import clock
from worker.bell import QueueBell
from worker.bookings import Bookings, answer_booking, bookings_of
from worker.bootstrap import Works, build
from worker.celery_app import make_app
from worker.cli.exits import Exit
from worker.cli.office import By, Day, Why
from worker.cli.one_job import Json
from worker.cli.showing import out, show_json, show_table
from worker.drop import LOOK_EVERY, SETTLE, DropFolder
from worker.health import SILENT, nights_aside, since_last_look
from worker.ledger import outbox, prints
from worker.ledger.nights import NightRow, night_for
from worker.ledger.prints import Print
from worker.ledger.runs import days_with_jobs
from worker.logs import set_up
from worker.making import holder_of
from worker.night.telling import want_bundles
from worker.printers.round import go_round as print_round
from worker.processes import broker_of
from worker.schedule import keep_until, tick
from worker.settings import Settings

AHEAD: Final = 14
"""Days shown by `--list`."""

HEADS: Final = ("work day", "soft cut-off", "hard cut-off", "last run", "bundles by")


def schedule(
    *,
    once: Annotated[bool, typer.Option("--once", help="Look once at the nights and end.")] = False,
    listing: Annotated[
        bool, typer.Option("--list", help="Show the coming nights' hours and end.")
    ] = False,
    alive: Annotated[
        bool, typer.Option("--alive", help="Say whether anybody has looked lately, and end.")
    ] = False,
    workers: Annotated[
        int | None,
        typer.Option(min=0, max=256, help="Packs made at a time here; 0: workers run elsewhere."),
    ] = None,
    as_json: Json = False,
) -> None:
    """Run every night by itself, at the company's hours in its own time zone, until stopped.

    Nights missed while it was down are caught up with. Any number may run: no night runs twice
    at once.

    Examples: dawnpack schedule | dawnpack schedule --list
    """
    settings = Settings.read()
    set_up(settings)
    works = build(settings)
    if listing:
        _list(works, as_json=as_json)
    elif once:
        _look_once(works)
    elif alive:
        _say_alive(works)
    else:
        _keep(works, workers)


def drop(
    folder: Annotated[Path, typer.Argument(help="The folder.", exists=True, file_okay=False)],
    *,
    once: Annotated[bool, typer.Option("--once", help="Look once and end.")] = False,
    settle: Annotated[
        float, typer.Option(min=0, max=3600, help="A file unchanged for so long is whole. [s]")
    ] = SETTLE,
) -> None:
    """Take in whatever is put into a folder: submissions (JSON) and tables of flat jobs (CSV).

    A file goes to taken/ or to refused/, the answer beside it. Write a file under another ending,
    like .part, and rename it when it is whole; or write it in one go.

    Example: dawnpack drop /srv/inbox
    """
    settings = Settings.read()
    set_up(settings)
    door = DropFolder(build(settings), folder, settle=settle)
    if once:
        for name, state in door.look():
            out.print(f"{name}: {state}")
        return
    stop = _told_to_stop()
    while not stop.wait(LOOK_EVERY):
        door.look()


def print_bundles(
    *,
    day: Day = None,
    again: Annotated[
        str, typer.Option(help="Crew whose bundle is to be printed once more.", metavar="CREW")
    ] = "",
    by: Annotated[str, typer.Option(help="Who asks for that.")] = "",
    why: Annotated[str, typer.Option(help="On what ground.")] = "",
    wait: Annotated[float, typer.Option(min=0, max=86400, help="For paper. [s]")] = 60,
    as_json: Json = False,
) -> None:
    """Print a day's bundles now, or one once more; show what became of each.

    A bundle is printed once a content code; only `--again` makes another copy.

    Examples: dawnpack print --for 2026-12-03 | dawnpack print --again heron --by Duty --why torn
    """
    settings = Settings.read()
    set_up(settings.model_copy(update={"log_level": "WARNING"}))
    works = build(settings)
    work_date = (
        day.date() if day else clock.day_of(works.clock.now_ms(), works.library.company.zone)
    )
    if again and not (by and why):
        msg = "another copy goes on record: say --by whom and --why"
        raise typer.BadParameter(msg)
    night = _night_for(works, work_date)
    with works.ledger.writing() as tx:
        if again:
            prints.again(tx, night, again, by=by, why=why)
        else:
            want_bundles(tx, works.library.company, night)
    shown = _printed(works, night, wait)
    rows = [(p.crew, p.code, p.copy, p.state, p.printer, p.says) for p in shown]
    heads = ("crew", "code", "copy", "state", "printer", "says")
    if as_json:
        show_json([dict(zip(heads, row, strict=True)) for row in rows])
    else:
        show_table(f"Prints for {work_date}", heads, rows)
    if any(p.state != "printed" for p in shown if p.state != "overtaken"):
        raise typer.Exit(Exit.INCOMPLETE)


def bookings(*, day: Day = None, as_json: Json = False) -> None:
    """Show what the last run asks about who works where when, and what was answered.

    Example: dawnpack bookings --for 2026-12-03
    """
    works = build(Settings.read())
    found = bookings_of(works, day.date() if day else _today(works))
    if as_json:
        show_json({"day": found.day.isoformat(), "run": found.run,
                   "open": list(found.open), "decided": list(found.decided)})  # fmt: skip
    else:
        _show_bookings(found)
    if found.open:
        raise typer.Exit(Exit.HELD)


def decide(
    question: Annotated[str, typer.Argument(help="Question, by its key.", show_default=False)],
    option: Annotated[str, typer.Argument(help="Option, by its key.", show_default=False)],
    *,
    day: Day = None,
    by: By,
    why: Why,
) -> None:
    """Answer a question about a day's bookings, for the record and for the day sheet.

    Example: dawnpack decide day-full.heron go-on --for 2026-12-03 --by "A. Duty" --why "agreed"
    """
    works = build(Settings.read())
    said = Answer(question=question, option=option, by=by, why=why)
    found = answer_booking(works, day.date() if day else _today(works), said)
    out.print(f"{question}: answered; {len(found.open)} still open; run the night again")


def _show_bookings(found: Bookings) -> None:
    for asked in found.open:
        out.print(f"{asked.severity}: {asked.key}: {asked.says} {asked.ask}", style="bold")
        for option in asked.options:
            out.print(f"  {option.key}: {option.says}")
    for made in found.decided:
        out.print(f"decided: {made.question}: {made.option}, {made.by}: {made.why}")
    if not found.open:
        out.print(f"nothing is open about the bookings of {found.day}")


def told(
    *,
    on: Annotated[
        str, typer.Option(help="Tell a receiver again that wanted no more.", metavar="KEY")
    ] = "",
    as_json: Json = False,
) -> None:
    """Show what was told to others by webhook and mail: waiting, taken, given up.

    Examples: dawnpack told | dawnpack told --on office
    """
    works = build(Settings.read())
    with works.ledger.writing() as tx:
        if on and not outbox.turn_on(tx, on):
            msg = f"no receiver {on} has wanted no more"
            raise UnknownThing(msg)
        found = [(kind, state, number) for (kind, state), number in outbox.counts(tx).items()]
    if as_json:
        show_json([{"kind": kind, "state": state, "count": n} for kind, state, n in found])
    else:
        show_table("Told to others", ("kind", "state", "count"), sorted(found))


def _printed(works: Works, night: NightRow, wait: float) -> list[Print]:
    """Go round the printers until nothing is open, or the time is over."""
    end = time.monotonic() + wait
    while True:
        print_round(works, holder=holder_of(os.getpid()))
        with works.ledger.writing() as tx:
            found = prints.prints_of(tx, night)
        if time.monotonic() > end or not any(p.state in prints.OPEN for p in found):
            return found
        time.sleep(1)


def _today(works: Works) -> date:
    return clock.day_of(works.clock.now_ms(), works.library.company.zone)


def _night_for(works: Works, day: date) -> NightRow:
    with works.ledger.writing() as tx:
        night = night_for(tx, company=works.library.company.key, day=day)
    if night is None:
        msg = f"no night was run for {day}"
        raise UnknownThing(msg)
    return night


def _keep(works: Works, workers: int | None) -> None:
    stop = _told_to_stop()
    here = 0 if works.settings.broker_url else works.settings.workers
    keep_until(works, stop, size=here if workers is None else workers)


def _told_to_stop() -> threading.Event:
    stop = threading.Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda *_: stop.set())
    return stop


def _say_alive(works: Works) -> None:
    """Look from outside: a process that runs proves nothing, a look in the ledger does."""
    ago = since_last_look(works)
    out.print(f"last look {ago:.0f} s ago")
    if broken := nights_aside(works):
        out.print(broken)  # and no exit code: whoever restarts what is not alive mends no night
    if ago > SILENT:
        raise typer.Exit(Exit.NOT_NOW)


def _look_once(works: Works) -> None:
    with broker_of(works.settings) as (url, _):
        queue = make_app(works.settings.model_copy(update={"broker_url": url}))
        tick(works, QueueBell(queue), holder=holder_of(os.getpid()))


def _list(works: Works, *, as_json: bool) -> None:
    zone = ZoneInfo(works.library.company.zone)
    as_day, as_hour = (
        ("%Y-%m-%d", "%Y-%m-%dT%H:%M%z") if as_json else ("%a %d %b", "%a %d %b %H:%M")
    )
    rows = [
        (f"{night.work_date:{as_day}}", *(f"{m:{as_hour}}" for m in _moments(night, zone)))
        for night in _coming(works)
    ]
    if as_json:
        show_json([dict(zip(HEADS, row, strict=True)) for row in rows])
    else:
        show_table(f"Nights, {zone}", HEADS, rows)


def _moments(night: NightTimes, zone: ZoneInfo) -> list[datetime]:
    moments = (night.soft, night.hard, night.last_run, night.bundles_by)
    return [moment.astimezone(zone) for moment in moments]


def _coming(works: Works) -> Iterator[NightTimes]:
    company = works.library.company
    today = _today(works)
    with works.ledger.reading() as tx:
        taken = days_with_jobs(tx, since=today)
    days = (today + timedelta(days=step) for step in range(AHEAD + 1))
    return (times_of(company, day) for day in days if day in taken or is_work_day(company, day))
