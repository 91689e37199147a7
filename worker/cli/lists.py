"""What to load, cut and buy, for people and as files for other programs."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import click
import typer

from schemas.plan import Plan
from services.tape import text_with_unit
from worker import clock
from worker.bootstrap import choose_library
from worker.cli.one_job import File, Json, planned, show_bounds
from worker.cli.showing import out, show_json, show_table
from worker.settings import Settings
from worker.stores.folder import write_whole

Csv = Annotated[bool, typer.Option("--csv", help="CSV (RFC 4180, UTF-8) on standard output.")]
Prices = Annotated[
    bool, typer.Option("--prices", help="With what it costs. For the office, never for the field.")
]


def takeoff(
    file: File, *, as_csv: Csv = False, prices: Prices = False, as_json: Json = False
) -> None:
    """Count what a job loads, in truck order, with what each count comes from.

    Examples: dawnpack takeoff job.json | dawnpack takeoff job.json --csv > takeoff.csv
    """
    pipeline, outcome = planned(file)
    assert outcome.plan is not None
    if as_csv:
        click.echo(pipeline.list_takeoff(outcome.plan, prices=prices), nl=False)
    elif as_json:
        show_json(outcome.plan.takeoff)
    else:
        _show_takeoff(outcome.plan, prices=prices)


def cuts(file: File, *, as_csv: Csv = False, as_json: Json = False) -> None:
    """List every piece to cut, with its stock, its place on it and its saw settings.

    Example: dawnpack cuts job.json --csv > cuts.csv
    """
    pipeline, outcome = planned(file)
    assert outcome.plan is not None
    if as_csv:
        click.echo(pipeline.list_cuts(outcome.plan), nl=False)
    elif as_json:
        show_json(outcome.plan.cuts)
    else:
        _show_cuts(outcome.plan)


def order(
    files: Annotated[
        list[Path], typer.Argument(help="Submissions (JSON).", exists=True, dir_okay=False)
    ],
    to: Annotated[Path, typer.Option("--out", "-o", help="Folder for the files.")],
    *,
    issued: Annotated[
        str, typer.Option(help="Day of the order, ISO 8601; today if not given.")
    ] = "",
) -> None:
    """Add up what several jobs load: one CSV of totals, one UBL Order a supplier.

    The night leaves the same files for all its jobs in the folder `orders`. Prices stand in them.

    Example: dawnpack order jobs/*.json -o orders
    """
    library = choose_library(Settings.read())
    made = [planned(file) for file in files]
    plans = [outcome.plan for _, outcome in made if outcome.plan is not None]
    today = clock.day_of(clock.SystemClock().now_ms(), library.company.zone)
    issue_day = _day(issued) if issued else today
    written = made[0][0].purchase(
        (plan.model_dump_json().encode() for plan in plans),
        library=library,
        day=min(plan.job.install_date for plan in plans),
        issued=issue_day,
    )
    for name, content in written.items():
        write_whole(to / name, content)
        out.print(str(to / name))


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as no:
        msg = f"{text!r} is no day; write it like 2026-12-02"
        raise typer.BadParameter(msg) from no


def _show_takeoff(plan: Plan, *, prices: bool) -> None:
    taken = plan.takeoff
    heads: tuple[str, ...] = ("load", "pieces", "spare in it", "packages", "kg", "counted from")
    rows: list[tuple[object, ...]] = [
        (
            line.named, line.needed + line.spare, line.spare, f"{line.packages} x {line.package}",
            f"{line.grams / 1000:.1f}", line.why,
        )
        for line in taken.lines
    ]  # fmt: skip
    if prices:
        heads = (*heads, "cost")
        rows = [
            (*row, f"{line.cents / 100:.2f}") for row, line in zip(rows, taken.lines, strict=True)
        ]
    show_table(f"{plan.job.job} revision {plan.job.revision}: takeoff", heads, rows)
    out.print(f"{taken.grams / 1000:.0f} kg of {taken.truck_grams / 1000:.0f} kg")
    for hours in taken.hours:
        out.print(f"  {hours.hours:5.2f} h  {hours.task}: {hours.count:g} x {hours.each:g}")
    out.print(f"  {taken.crew_hours:5.2f} crew-hours; the day has {taken.day_hours:g}")
    if prices:
        cost = taken.cost
        out.print(f"material {cost.material_cents / 100:.2f}, of it {_waste(plan)}")


def _waste(plan: Plan) -> str:
    cost = plan.takeoff.cost
    rails, sticks = cost.waste_cents / 100, cost.stick_waste_cents / 100
    return f"{rails:.2f} is rail stock cut to waste, {sticks:.2f} ends of sleeves, cores, handrail"


def _show_cuts(plan: Plan) -> None:
    step = plan.job.step
    rails = [
        (bar.number, bar.stock.id, placed.piece, text_with_unit(placed.end - placed.start, step),
         placed.first_hole)
        for bar in plan.cuts.bars
        for placed in bar.pieces
    ]  # fmt: skip
    sticks = [
        (bar.number, bar.stock, name, text_with_unit(end - start, step), "")
        for bar in plan.cuts.plain
        for name, start, end in bar.pieces
    ]
    title = f"{plan.job.job} revision {plan.job.revision}: cuts"
    show_table(title, ("bar", "stock", "piece", "length", "first hole"), [*rails, *sticks])
    show_bounds(plan.cuts)
    out.print(f"rails: {plan.cuts.method}")
    out.print(f"sleeves, cores, handrail: {plan.cuts.plain_method}")
