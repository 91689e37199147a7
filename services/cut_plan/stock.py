"""The stock to cut from: kits on sale, offcuts on the rack, plain lengths."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from schemas.company import CoreStock
from schemas.cut_plan import Piece, PlainKind, PlainStock, StockRail
from schemas.errors import NoLayout, UnknownThing
from schemas.job import Job
from schemas.lengths import Length
from schemas.rail_system import RailSystem, RoutedRail
from schemas.record import Cents, Key
from services.cut_plan.lattice import check_piece, first_place, last_place, pair_end


def stock_rails(job: Job, offcuts: Iterable[StockRail] = ()) -> tuple[StockRail, ...]:
    """Stock pairs for the job's rails: every kit of its systems, and the offcuts that match.

    Args:
        job: With its systems, colour and company.
        offcuts: What is on the rack; other systems, colours and pitches are passed over.

    Raises:
        UnknownThing: A kit is missing from the price book.
    """
    level = _kits(job, job.system, job.system.level, "level")
    rail = job.stair_system.stair
    stair = _kits(job, job.stair_system, rail, "stair") if rail else ()
    sold = (*level, *stair)
    match = {_same(kit) for kit in sold}
    return (*sold, *(offcut for offcut in offcuts if _same(offcut) in match))


def with_boxed(
    stock: Iterable[StockRail], pieces: Iterable[Piece], *, job: Job
) -> tuple[StockRail, ...]:
    """The stock with what the brackets in its boxes are worth to these pieces.

    A kit spares the job the brackets boxed with it, but no more than every bar of the plan
    could use if all took a kit: then no plan counts a bracket twice, whichever kits it takes.
    Boxed balusters and foot blocks count nothing: a kit holds more than its own holes need.
    """
    pieces = tuple(pieces)
    return tuple(_with_boxed(one, pieces, job) for one in stock)


def _with_boxed(one: StockRail, pieces: tuple[Piece, ...], job: Job) -> StockRail:
    system, rail = job.system, job.system.level
    if one.orientation == "stair" and job.stair_system.stair:
        system, rail = job.stair_system, job.stair_system.stair
    kit = next((kit for kit in rail.kits if kit.key == one.kit), None)
    same = [piece for piece in pieces if _serves(one, piece)]
    if kit is None or system.key != one.system or not same:
        return one
    bays = len({(piece.job, piece.bay) for piece in same})
    used = min(kit.brackets, sum(piece.brackets for piece in same) // bays)
    cents = min(one.cents, used * _loose(job, rail.bracket.key))
    return one.model_copy(update={"boxed_cents": cents})


def _loose(job: Job, key: Key) -> Cents:
    """What one piece saves when it need not be bought: its share of a package, rounded down."""
    found = [item for item in job.company.price_book if item.key == key]
    return found[0].cents // found[0].package if found else 0


def _same(stock: StockRail) -> tuple[str, str, str, int]:
    return (stock.orientation, stock.system, stock.colour, stock.pitch)


def _kits(
    job: Job, system: RailSystem, rail: RoutedRail, orientation: Literal["level", "stair"]
) -> tuple[StockRail, ...]:
    trim = job.company.end_trim
    return tuple(
        StockRail(
            id=kit.key,
            kit=kit.key,
            orientation=orientation,
            system=system.key,
            colour=job.colour,
            length=kit.length,
            first_hole=kit.first_hole,
            holes=kit.holes,
            pitch=rail.hole_pitch,
            trim_left=trim,
            trim_right=trim,
            cents=price_of_one(job, kit.key),
        )
        for kit in rail.kits
    )


def price_of_one(job: Job, key: Key) -> Cents:
    """Price of one piece by the company's book; a package's share, rounded up.

    Raises:
        UnknownThing: The book has no such key.
    """
    for item in job.company.price_book:
        if item.key == key:
            return -(-item.cents // item.package)
    msg = f"stock {key} is not in the price book of {job.company.key}"
    raise UnknownThing(msg)


def core_stock(job: Job) -> tuple[CoreStock, ...]:
    """Lengths on sale of the core that the job was measured for; none when not listed."""
    return tuple(stock for stock in job.company.cores if stock.core == job.post.core)


def plain_stock(job: Job, rests: Iterable[PlainStock] = ()) -> tuple[PlainStock, ...]:
    """Core and sleeve lengths on sale and the handrail's stick; their ends squared like rails'.

    Args:
        job: With its systems, colour and company.
        rests: What is left of sticks on the rack; others than the job's are passed over.

    Raises:
        UnknownThing: One of them is missing from the price book.
    """
    rail = job.stair_system.handrail if job.stairs else None
    stair = job.stair_system.stair if job.stairs else None
    inside = (
        (job.system.level.stiffener, f"{job.system.key} level"),
        (stair.stiffener if stair else None, f"{job.stair_system.key} stair"),
    )
    sold = (
        *(_sold(job, "core", stock.key, stock.length) for stock in core_stock(job)),
        *(_sold(job, "sleeve", key, length) for key, length in job.system.sleeve.stock),
        *([_sold(job, "handrail", rail.key, rail.stock)] if rail else []),
        *(
            _sold(job, "stiffener", one.key, one.stock).model_copy(update={"made_of": made})
            for one, made in inside
            if one
        ),
    )
    match = {(one.what, one.made_of) for one in sold}
    return (*sold, *(rest for rest in rests if (rest.what, rest.made_of) in match))


def made_of(job: Job, what: PlainKind) -> str:
    """Which sticks a piece of that kind may come from."""
    if what == "sleeve":
        return f"{job.system.key} {job.colour}"
    return f"{job.post.core}" if what == "core" else job.stair_system.key


def _sold(job: Job, what: PlainKind, key: Key, length: Length) -> PlainStock:
    trim = job.company.end_trim
    return PlainStock(
        what=what,
        key=key,
        length=length,
        cents=price_of_one(job, key),
        trim_left=trim,
        trim_right=trim,
        made_of=made_of(job, what),
    )


def fits_stock(piece: Piece, stock: Iterable[StockRail]) -> bool:
    """Whether some stock of the piece's system, colour and orientation can give it.

    Raises:
        GeometryError: The piece's own numbers contradict one another.
    """
    same = [one for one in stock if _serves(one, piece)]
    for one in same:
        check_piece(piece, pitch=one.pitch)
    return any(fits_on(piece, one) for one in same)


def _serves(stock: StockRail, piece: Piece) -> bool:
    return (stock.orientation, stock.system, stock.colour) == (
        piece.orientation,
        piece.system,
        piece.colour,
    )


def fits_on(piece: Piece, stock: StockRail) -> bool:
    """Whether this stock can give the piece when nothing else is cut from it."""
    first = first_place(stock=stock, left=pair_end((piece,), "left"))
    return first + piece.holes - 1 <= last_place(stock=stock, right=pair_end((piece,), "right"))


def longest_with(*, stock: StockRail, holes: int, reach: int = 0) -> Length | None:
    """The longest symmetrical piece with so many holes that this stock gives.

    Both margins are the lesser of what stands free before its first and after its last hole,
    and stay under the pitch. Not every shorter length fits: margins shrink with the length,
    but the next lower count of holes starts over with wide ones.

    Args:
        stock: The stock.
        holes: Holes the piece takes. [> 0]
        reach: Long point beyond each end. [length, >= 0]
    """
    best = 0
    for first in range(stock.holes - holes + 1):
        left = stock.first_hole + first * stock.pitch - stock.trim_left
        right = stock.length - stock.trim_right - stock.first_hole
        right -= (first + holes - 1) * stock.pitch
        best = max(best, min(left - reach, right - reach, stock.pitch - 1))
    return 2 * best + (holes - 1) * stock.pitch if best > 0 else None


def no_stock(piece: Piece, stock: Iterable[StockRail]) -> NoLayout:
    """The refusal of a piece that no stock gives, with the nearest lengths that would do."""
    same = [one for one in stock if _serves(one, piece)]
    if not same:
        msg = f"piece {piece.id}: no stock of {piece.system} {piece.colour} {piece.orientation}"
        return NoLayout(msg)
    reach = max(piece.reach_left, piece.reach_right)
    near: list[str] = []
    for holes in (piece.holes - 1, piece.holes, piece.holes + 1):
        found = [longest_with(stock=one, holes=holes, reach=reach) for one in same if holes > 0]
        if lengths := [length for length in found if length is not None]:
            near.append(f"{holes} holes: up to {max(lengths) / 320:.1f} mm")
    msg = (
        f"piece {piece.id} of {piece.holes} holes and {piece.length / 320:.1f} mm fits no stock; "
        f"it gives {'; '.join(near) or 'no piece of about so many holes'}"
    )
    return NoLayout(msg)
