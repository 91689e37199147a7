"""The offcut rack: what hangs there; putting, taking away, bringing back; what a cut job left."""

from __future__ import annotations

from datetime import date
from typing import Annotated

import typer

from schemas.cut_plan import PlainStock, RackPiece, StockRail
from schemas.errors import BadInput, Conflict, Problem, UnknownThing
from schemas.lengths import read_length
from schemas.rail_system import RailSystem, RoutedRail
from services.tape import text_with_unit
from worker.bootstrap import Works, build
from worker.cli.office import By, Day, Why
from worker.cli.one_job import Json
from worker.cli.showing import out, show_json, show_table
from worker.ledger import rack
from worker.ledger.moves import WITH_PACK
from worker.ledger.nights import night_for
from worker.ledger.records import job_by_number
from worker.ledger.shop_cuts import shop_holder, shop_rows
from worker.settings import Settings

commands = typer.Typer(invoke_without_command=True, help="Look after the offcut rack.")

Tag = Annotated[str, typer.Argument(help="Tag on the piece.", show_default=False)]


@commands.callback()
def show(
    ctx: typer.Context,
    *,
    everything: Annotated[
        bool, typer.Option("--all", help="Also pieces that were taken or are away.")
    ] = False,
    as_json: Json = False,
) -> None:
    """List the rack, or change it with one of the commands below.

    Examples: dawnpack rack | dawnpack rack --all --json
    """
    if ctx.invoked_subcommand:
        return
    works = build(Settings.read())
    with works.ledger.writing() as tx:
        found = rack.pieces(tx)
    if not everything:
        found = [one for one in found if one.state in {rack.ON_RACK, rack.SET_ASIDE}]
    if as_json:
        show_json([_as_json(one) for one in found])
        return
    step = works.library.company.step
    show_table(
        f"{len(found)} offcuts",
        ("tag", "system", "colour", "for", "length", "end to hole", "holes", "left of", "is"),
        (_row(one, step) for one in found),
    )


def _row(one: rack.OnRack, step: int) -> tuple[object, ...]:
    stock = one.piece.stock
    state = (_home(one.piece), f"{one.state} {one.holder}".strip())
    long = text_with_unit(stock.length, step)
    if isinstance(stock, PlainStock):
        system, _, colour = stock.made_of.rpartition(" ") if stock.what == "sleeve" else ("",) * 3
        return (one.tag, system or stock.key, colour, stock.what, long, "", "", *state)
    hole = text_with_unit(stock.first_hole, step)
    return (
        one.tag, stock.system, stock.colour, stock.orientation, long, hole, stock.holes, *state
    )  # fmt: skip


@commands.command()
def put(
    *,
    system: Annotated[str, typer.Option(help="Rail system, by its key.")],
    colour: Annotated[str, typer.Option(help="Colour, by its key.")],
    length: Annotated[str, typer.Option(help="Of each rail of the pair, as the trade writes it.")],
    first_hole: Annotated[str, typer.Option(help="Left end to the centre of the first hole.")],
    holes: Annotated[int, typer.Option(min=1, max=200, help="Holes in each rail.")],
    stair: Annotated[bool, typer.Option("--stair", help="Stair rails, not level ones.")] = False,
    tag: Annotated[str, typer.Option(help="Tag on the piece; none: the next number.")] = "",
    by: By,
) -> None:
    """Hang a pair of offcuts on the rack by hand: top and bottom rail, holes alike.

    Example: dawnpack rack put --system cove --colour chalk --length "50 1/2 in"
    --first-hole "3 in" --holes 10 --by "R. Yard"
    """
    works = build(Settings.read())
    rail = _rail(works, system, colour, stair=stair)
    piece = StockRail(
        id=tag or "next",
        kit=None,
        orientation="stair" if stair else "level",
        system=system,
        colour=colour,
        length=_length(works, "length", length),
        first_hole=_length(works, "first-hole", first_hole),
        holes=holes,
        pitch=rail.hole_pitch,
        cents=0,
        supply=1,
    )
    _holes_fit(piece)
    with works.ledger.writing() as tx:
        piece = piece.model_copy(update={"id": tag or rack.next_tag(tx)})
        new = rack.put(tx, [RackPiece(stock=piece, home=None)], cause=f"{by} put it there")
    if not new:
        msg = f"the rack has a piece with the tag {tag} already"
        raise Conflict(msg)
    out.print(f"{new[0]} hangs on the rack")


@commands.command()
def away(tag: Tag, *, by: By, why: Why) -> None:
    """Take a piece off the rack for good: thrown out, lost, sold.

    Example: dawnpack rack away R0007 --by "R. Yard" --why "cracked"
    """
    works = build(Settings.read())
    with works.ledger.writing() as tx:
        rack.take_away(tx, tag, by=by, why=why)
    out.print(f"{tag} is away")


@commands.command()
def returned(tag: Tag, *, by: By, why: Why) -> None:
    """Hang a piece back that was written off as taken or away and is whole after all.

    Example: dawnpack rack returned P-2041-1-3a --by "R. Yard" --why "came back uncut"
    """
    works = build(Settings.read())
    with works.ledger.writing() as tx:
        rack.bring_back(tx, tag, by=by, why=why)
    out.print(f"{tag} hangs on the rack")


@commands.command()
def cut(
    job: Annotated[str, typer.Argument(help="Job number; none: a shop cutting.")] = "",
    *,
    day: Day = None,
    pool: Annotated[str, typer.Option(help="Whose shop cutting of that day.")] = "night",
    by: By,
) -> None:
    """Write down that a job's rails were cut: its offcuts are used up, what it left is hung.

    Done in the evening, from the crew's return sheet. Doing it twice changes nothing.
    With a day and no job it is the shop's cutting for that day.

    Examples: dawnpack rack cut P-2041 --by "R. Yard" |
    dawnpack rack cut --for 2026-12-03 --by "R. Yard"
    """
    works = build(Settings.read())
    if bool(job) == (day is not None):
        msg = "name either a job, or the day of a shop cutting"
        raise typer.BadParameter(msg)
    done = _job_cut(works, job, by) if day is None else _shop_cut(works, day.date(), pool, by)
    out.print(f"{len(done[0])} offcuts used up, {len(done[1])} new on the rack")
    for name in done[1]:
        out.print(f"  {name}")


def _job_cut(works: Works, job: str, by: str) -> tuple[list[str], list[str]]:
    with works.ledger.writing() as tx:
        row = job_by_number(tx, job)
    if row.state not in WITH_PACK:
        msg = f"{job} is {row.state}: it has no pack to be cut by"
        raise Conflict(msg)
    plan = works.pipeline.read_plan(works.store.get(row.plan))
    left = works.pipeline.left_for_rack(plan.cuts, stem=f"{row.job}-{row.revision}", cut_in="site")
    with works.ledger.writing() as tx:
        return rack.cut(tx, holder=rack.holder_of_job(row.id), left=left, by=by)


def _shop_cut(works: Works, day: date, pool: str, by: str) -> tuple[list[str], list[str]]:
    with works.ledger.writing() as tx:
        night = night_for(tx, company=works.library.company.key, day=day)
        rows = shop_rows(tx, night) if night else []
        found = [row for row in rows if row.made_for == pool and row.pool]
    if night is None or not found:
        msg = f"the shop cuts nothing ahead for {pool} on {day}"
        raise UnknownThing(msg)
    left = [
        piece
        for row in found
        for piece in works.pipeline.left_for_rack(
            works.pipeline.read_shop(works.store.get(row.plan)).cuts,
            stem=f"S{day:%y%m%d}-{row.pool}"[:30],
            cut_in="shop",
        )
    ]
    with works.ledger.writing() as tx:
        return rack.cut(tx, holder=shop_holder(night, pool), left=left, by=by)


def _rail(works: Works, system: str, colour: str, *, stair: bool) -> RoutedRail:
    found = {one.key: one for one in works.library.systems}
    if system not in found:
        msg = f"no rail system {system}; there are: {', '.join(found)}"
        raise UnknownThing(msg)
    sheet: RailSystem = found[system]
    if colour not in sheet.colours:
        msg = f"{system} has no colour {colour}; it has: {', '.join(sheet.colours)}"
        raise UnknownThing(msg)
    rail = sheet.stair if stair else sheet.level
    if rail is None:
        msg = f"{system} has no stair rails"
        raise UnknownThing(msg)
    return rail


def _length(works: Works, name: str, written: str) -> int:
    try:
        return read_length(written, works.library.company.unit)
    except ValueError as no:
        raise BadInput([_problem(name, written, str(no))]) from no


def _holes_fit(piece: StockRail) -> None:
    """A wrong phase would spoil a rail: the last hole must lie on the piece."""
    last = piece.first_hole + (piece.holes - 1) * piece.pitch
    if piece.first_hole <= 0 or last >= piece.length:
        says = f"{piece.holes} holes from there do not lie on the piece"
        raise BadInput([_problem("holes", str(piece.holes), says)])


def _problem(name: str, value: str, says: str) -> Problem:
    mend = "measure the left end to the centre of its first hole, and count the holes"
    return Problem(pointer=f"/{name}", value=value[:80], says=says, mend=mend)


def _home(piece: RackPiece) -> str:
    return f"{piece.home} rev {piece.home_revision}" if piece.home else "by hand"


def _as_json(one: rack.OnRack) -> dict[str, object]:
    return {"tag": one.tag, "state": one.state, "holder": one.holder,
            "home": one.piece.home, "home_revision": one.piece.home_revision,
            "stock": one.piece.stock.model_dump(mode="json")}  # fmt: skip
