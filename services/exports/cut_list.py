"""The cut list as CSV: one record a piece, bar by bar, rails first."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.cut_plan import Bar, Piece, PlacedPiece, PlainBar
from schemas.lengths import INCH, PER_MM
from schemas.plan import Plan
from services import tape
from services.exports.table import Cell, csv_table

_HEADS = (
    "job", "revision", "kind", "bar", "stock", "piece", "bay", "rails", "unit", "length", "tape",
    "start", "end", "holes", "first_hole", "margin_left", "margin_right", "saw_left_deg",
    "saw_right_deg", "long_left", "long_right",
)  # fmt: skip


def cut_list_csv(plan: Plan) -> bytes:
    """Every piece to cut, with its stock, its place on it and its saw settings.

    Lengths are decimals of the unit that the record names; `tape` is the length as it stands
    on the sheets, with its unit, so that no spreadsheet takes a fraction for a date.
    """
    return csv_table(_HEADS, (*_rails(plan), *_plain(plan)))


def _rails(plan: Plan) -> Iterator[tuple[Cell, ...]]:
    pieces = {piece.id: piece for piece in plan.cuts.pieces}
    for bar in plan.cuts.bars:
        for placed in bar.pieces:
            yield _rail(plan, bar, placed, pieces[placed.piece])


def _rail(plan: Plan, bar: Bar, placed: PlacedPiece, piece: Piece) -> tuple[Cell, ...]:
    step = plan.job.step
    return (
        piece.job, piece.revision, f"{piece.orientation} rail", bar.number, bar.stock.id, piece.id,
        piece.bay, piece.rails, *_lengths(piece.length, step), _in_unit(placed.start, step),
        _in_unit(placed.end, step), piece.holes, placed.first_hole,
        _in_unit(piece.margin_left, step), _in_unit(piece.margin_right, step),
        round(piece.saw_left_deg, 1), round(piece.saw_right_deg, 1), piece.long_left,
        piece.long_right,
    )  # fmt: skip


def _plain(plan: Plan) -> Iterator[tuple[Cell, ...]]:
    for bar in plan.cuts.plain:
        for name, start, end in bar.pieces:
            yield _stick(plan, bar, name, start, end)


def _stick(plan: Plan, bar: PlainBar, name: str, start: int, end: int) -> tuple[Cell, ...]:
    job, step = plan.job, plan.job.step
    return (
        job.job, job.revision, bar.what, bar.number, bar.tag or bar.stock, name, None, None,
        *_lengths(end - start, step), _in_unit(start, step), _in_unit(end, step), None, None,
        None, None, None, None, None, None,
    )  # fmt: skip


def _lengths(length: int, step: int) -> tuple[Cell, ...]:
    unit = "mm" if tape.is_metric(step) else "in"
    return unit, _in_unit(length, step), tape.text_with_unit(length, step)


def _in_unit(length: int, step: int) -> float:
    """In millimetres or inches; marks of the tape come out exactly."""
    return round(length / (PER_MM if tape.is_metric(step) else INCH), 6)
