"""What the office does with the ledger: submit, look, answer, withdraw, try again."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer
from rich.progress import track

from schemas.errors import BadInput, Conflict, UnknownThing
from schemas.site import Answer
from services.intake.far_days import far_day
from worker import clock, desk
from worker.agenda import crew_calendar
from worker.bootstrap import Works, build
from worker.cli.exits import Exit, exit_of
from worker.cli.one_job import Json
from worker.cli.showing import (
    err,
    out,
    show_error,
    show_json,
    show_problems,
    show_questions,
    show_table,
)
from worker.ledger import deciding
from worker.ledger.accepting import Receipt
from worker.ledger.gathering import one_line
from worker.ledger.reading import happened
from worker.ledger.records import JobRow, every_job, job_by_id, job_by_number
from worker.moving import move_job
from worker.queues import PACKS
from worker.settings import Settings
from worker.splitting import split_job

Job = Annotated[str, typer.Argument(help="Job number.", show_default=False)]
By = Annotated[str, typer.Option(help="Who decided; goes on record.")]
Why = Annotated[str, typer.Option(help="On what ground; goes on record.")]


def _near(day: datetime | None) -> datetime | None:
    """A day of work, unless it is so far away that a digit of it must be wrong."""
    today = datetime.fromtimestamp(clock.SystemClock().now_ms() / 1000, tz=UTC).date()
    if day and (far := far_day(day.date(), today=today, pointer="--for")):
        raise BadInput([far])
    return day


Day = Annotated[
    datetime | None,
    typer.Option("--for", formats=["%Y-%m-%d"], help="Day of work, ISO 8601.", callback=_near),
]


def submit(
    files: Annotated[
        list[Path],
        typer.Argument(
            help="Submissions (JSON), or tables of flat jobs (CSV).", exists=True, dir_okay=False
        ),
    ],
    *,
    now: Annotated[
        bool, typer.Option("--now", help="Make the pack as soon as a worker is free.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Take submissions in. What is accepted is on disk and will not be lost.

    Examples: dawnpack submit jobs/*.json | dawnpack submit jobs.csv
    """
    works = build(Settings.read())
    codes = {Exit.DONE}
    told = []
    for file in track(files, "taking in", console=err, disable=len(files) < 5, transient=True):
        for name, outcome in _take_in(works, file, wanted=PACKS if now else ""):
            code, words = _outcome(works, name, outcome, quiet=as_json)
            codes.add(code)
            told.append({"file": str(file), "name": name, "exit": int(code), **words})
    if as_json:
        show_json(told)
    worst = (Exit.REFUSED, Exit.CONFLICT, Exit.HELD, Exit.DONE)
    raise typer.Exit(next(code for code in worst if code in codes))


def status(
    job: Annotated[str, typer.Argument(help="Job number; none: all jobs.")] = "",
    *,
    day: Day = None,
    as_json: Json = False,
) -> None:
    """Show where jobs stand, or all that happened to one.

    Examples: dawnpack status --for 2026-12-03 | dawnpack status P-2041
    """
    works = build(Settings.read())
    if job:
        _show_job(works, job, as_json=as_json)
        return
    with works.ledger.writing() as tx:
        rows = [r for r in every_job(tx) if day is None or r.install_date == day.date()]
    if as_json:
        show_json([_summary(row) for row in rows])
        return
    show_table(
        f"{len(rows)} jobs",
        ("day", "crew", "job", "rev", "state", "code"),
        ((r.install_date, r.crew, r.job, r.revision, r.state, r.code) for r in rows),
    )


def answer(
    job: Job,
    question: Annotated[str, typer.Argument(help="Question, by its key.", show_default=False)],
    option: Annotated[str, typer.Argument(help="Option, by its key.", show_default=False)],
    *,
    by: By,
    why: Why,
) -> None:
    """Answer a question that holds a job, for the record and for the paper.

    Example: dawnpack answer P-2046 legs-do-not-close leg-b --by "A. Duty" --why "photo 12"
    """
    said = Answer(question=question, option=option, by=by, why=why)
    works = build(Settings.read())
    asks = desk.asked_after(works, job, said)
    with works.ledger.writing() as tx:
        row = deciding.answer(tx, job, said, asks=asks)
    out.print(f"{job}: answered; now {row.state}")
    if row.state == "held":
        show_questions(job, row.stops)
        raise typer.Exit(Exit.HELD)


def calendar(
    crew: Annotated[str, typer.Argument(help="Crew key; none: all crews.")] = "",
) -> None:
    """Print a crew's jobs as a calendar (iCalendar), for any calendar program.

    Example: dawnpack calendar heron > heron.ics
    """
    works = build(Settings.read())
    if crew and crew not in {known.key for known in works.library.company.crews}:
        msg = f"no crew {crew}; crews: {', '.join(c.key for c in works.library.company.crews)}"
        raise UnknownThing(msg)
    typer.echo(crew_calendar(works, crew), nl=False)


def withdraw(job: Job, *, by: By, why: Why) -> None:
    """Take a job off; a pack that may be on paper is called back by the crew's day sheet.

    Example: dawnpack withdraw P-2041 --by "A. Duty" --why "customer called"
    """
    _decide(deciding.withdraw, job, by=by, why=why)


def move(
    job: Job,
    *,
    day: Day = None,
    crew: Annotated[str | None, typer.Option(help="Crew key; none: as it is.")] = None,
    by: By,
    why: Why,
) -> None:
    """Give a job another day or crew: its next revision, with the answers it had.

    Example: dawnpack move P-2041 --for 2026-12-04 --by "A. Duty" --why "rain on Thursday"
    """
    works = build(Settings.read())
    row = move_job(works, job, install_date=day.date() if day else None, crew=crew, by=by, why=why)
    out.print(
        f"{job} is now revision {row.revision}, crew {row.crew} on {row.install_date}: {row.state}"
    )


def split(
    job: Job,
    *,
    second: Annotated[
        str, typer.Option(help="By area: legs of part 2, whole guard lines, e.g. C,D.")
    ] = "",
    by_day: Annotated[
        bool, typer.Option("--by-day", help="Posts on its own day, rails on that of part 2.")
    ] = False,
    day: Day = None,
    crew: Annotated[str | None, typer.Option(help="Crew of part 2; none: the same.")] = None,
    by: By,
    why: Why,
) -> None:
    """Make two jobs of one, by area or by day: its number with -1 and -2; itself is withdrawn.

    Examples: dawnpack split P-2050 --second C,D --for 2026-12-04 --by "A. Duty" --why "long"
    | dawnpack split P-2050 --by-day --for 2026-12-04 --by "A. Duty" --why "posts first"
    """
    works = build(Settings.read())
    parts = split_job(
        works, job, by_day=by_day,
        second=[leg.strip() for leg in second.split(",") if leg.strip()],
        install_date=day.date() if day else None, crew=crew, by=by, why=why,
    )  # fmt: skip
    for part in parts:
        out.print(f"{part.job}: crew {part.crew} on {part.install_date}: {part.state}")


def retry(job: Job, *, by: By, why: Why) -> None:
    """Give a failed or refused job another try.

    Example: dawnpack retry P-2041 --by "A. Duty" --why "company file mended"
    """
    _decide(deciding.release, job, by=by, why=why)


def _decide(decision: Callable[..., JobRow], job: str, *, by: str, why: str) -> None:
    works = build(Settings.read())
    with works.ledger.writing() as tx:
        row = decision(tx, job, by=by, why=why)
    out.print(f"{job} revision {row.revision}: {row.state}")


def _take_in(
    works: Works, file: Path, *, wanted: str
) -> list[tuple[str, Receipt | BadInput | Conflict]]:
    """A file's jobs: the rows of a CSV table, or the one of a JSON document."""
    raw = file.read_bytes()
    try:
        if file.suffix.lower() == ".csv":
            return desk.submit_table(works, raw, came_as=file.name, wanted=wanted)
        return [(file.name, desk.submit(works, raw, came_as=file.name, wanted=wanted))]
    except (BadInput, Conflict) as no:
        return [(file.name, no)]


def _outcome(
    works: Works, name: str, outcome: Receipt | BadInput | Conflict, *, quiet: bool
) -> tuple[Exit, dict[str, object]]:
    if not isinstance(outcome, Receipt):
        if not quiet:
            show_error(outcome, name=name)
        problems = list(outcome.problems) if isinstance(outcome, BadInput) else []
        return exit_of(outcome), {"state": "refused", "says": str(outcome), "problems": problems}
    with works.ledger.writing() as tx:
        row = job_by_id(tx, outcome.job_id)
    if not quiet:
        known = "" if outcome.new else " (it was here before)"
        out.print(f"{name}: {row.job} revision {row.revision} is {row.state}{known}")
        if row.state == "held":
            show_questions(row.job, row.stops)
    code = Exit.HELD if row.state == "held" else Exit.DONE
    return code, {**_summary(row), "new": outcome.new, "questions": list(row.questions)}


def _show_job(works: Works, number: str, *, as_json: bool) -> None:
    with works.ledger.writing() as tx:
        row = job_by_number(tx, number)
        story = happened(tx, "job", row.id)
    if as_json:
        lines = [{"at": clock.text(e.at_ms), "state": e.now, "cause": e.cause} for e in story]
        show_json({**_summary(row), "questions": list(row.stops), "events": lines})
        return
    show_table(
        f"{row.job} revision {row.revision}, crew {row.crew} on {row.install_date}: {row.state}",
        ("when", "state", "cause"),
        ((clock.text(e.at_ms), e.now, e.cause) for e in story),
    )
    if row.state == "held":
        show_questions(row.job, row.stops)
    show_problems(row.problems)
    if row.error:
        err.print(row.error)


def _summary(row: JobRow) -> dict[str, object]:
    return {
        "job": row.job,
        "revision": row.revision,
        "crew": row.crew,
        "install_date": row.install_date.isoformat(),
        "state": row.state,
        "code": row.code,
        "pages": row.pages,
        "error": one_line(row.error)[-200:],
    }
