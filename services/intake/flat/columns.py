"""The columns of a flat job: head, place in the submission, how a cell is read, an example."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from schemas.errors import BadInput, Problem

LEGS: Final = "ABCDEFGH"
STAIRS: Final = ("S1", "S2")

Cell = str | int | float | bool | list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column."""

    head: str
    """As it stands in the first line."""
    place: tuple[str, ...]
    """Where its value goes: names in the submission; a leg's or stair's starts with its name."""
    read: Callable[[str], Cell]
    """From a cell's text to a value; ValueError says what is wrong; the mend."""
    example: str = ""
    """In the template's row; empty: left out there."""
    must: bool = False
    """Without this column there is no job."""
    null: bool = False
    """An empty cell says that it is unknown; elsewhere, that it is left out."""


def words(cell: str) -> str:
    """As it stands."""
    return cell


def whole(cell: str) -> int:
    """A whole number."""
    if not cell.lstrip("-").isdecimal():
        msg = "not a whole number; write digits only"
        raise ValueError(msg)
    return int(cell)


def number(cell: str) -> float:
    """A number with a point."""
    plain = cell.replace(".", "", 1).lstrip("-")
    if not (plain.isascii() and plain.isdecimal()):
        msg = "not a number; write it like 12.5, with a point"
        raise ValueError(msg)
    return float(cell)


def yes_or_no(cell: str) -> bool:
    """Yes or no."""
    answers = {"yes": True, "y": True, "true": True, "no": False, "n": False, "false": False}
    if cell.lower() not in answers:
        msg = "neither yes nor no; write yes or no, or leave it empty if unknown"
        raise ValueError(msg)
    return answers[cell.lower()]


def several(cell: str) -> list[str]:
    """Several, with semicolons between."""
    return [part.strip() for part in cell.split(";") if part.strip()]


def _must(head: str, place: str, example: str, read: Callable[[str], Cell] = words) -> Column:
    return Column(head=head, place=tuple(place.split("/")), read=read, example=example, must=True)


def _may(head: str, place: str, example: str = "", read: Callable[[str], Cell] = words) -> Column:
    return Column(head=head, place=tuple(place.split("/")), read=read, example=example)


_JOB: Final = (
    _must("job", "job", "F-1001"),
    _must("revision", "revision", "1", whole),
    _must("crew", "crew", "heron"),
    _must("install date", "install_date", "2026-12-03"),
    _must("unit", "unit", "in"),
    _must("use", "use", "one-family"),
    _must("customer", "site/customer", "P. Quill"),
    _must("street", "site/street", "3 Reed Row"),
    _must("town", "site/town", "Alder Quay"),
    _may("access", "site/access", "Gate on the left; dog", several),
    _may("hazards", "site/hazards", "Power line over leg A", several),
    _may("year built", "site/year_built", "1998", whole),
    _must("measured by", "measured/by", "R. Oyelaran"),
    _must("measured on", "measured/on", "2026-11-19"),
    _must("measured kind", "measured/kind", "final"),
    Column(head="code profile", place=("code", "profile"), read=words, example="us-irc-2021",
           must=True, null=True),
    _must("rail system", "rail/system", "cove"),
    _must("rail colour", "rail/colour", "chalk"),
    _must("rail height", "rail/height", "36"),
    _must("post core", "post/core", "3 1/2"),
    _may("post detail", "post/detail", "D-3"),
    _may("post species", "post/species", "southern pine"),
    _may("post treated", "post/treated", "yes", yes_or_no),
    _must("measured along", "lines/measured", "deck-edge"),
    _may("inset", "lines/inset", "3 1/2"),
    _may("heading", "lines/heading", "out"),
    _may("start", "lines/start/kind", "wall"),
    _may("start wall", "lines/start/substrate", "2 x 6 stud behind cedar siding, block fitted"),
    _may("end", "lines/end/kind", "wall"),
    _may("end wall", "lines/end/substrate", "2 x 6 stud behind cedar siding, block fitted"),
    _may("permit", "permit", "AQ-26-2001"),
    _may("promises", "promises", "Caps flat", several),
    _may("remove feet", "remove_feet", "0", number),
    _may("sold", "sold"),
)  # fmt: skip


def _leg(name: str) -> Iterator[Column]:
    shown = {
        "A": ("10' 0\"", "90", "outside", "30"),
        "B": ("16' 0\"", "90", "outside", "30"),
        "C": ("10' 0\"", "", "", "30"),
    }
    length, turn, hand, drop = shown.get(name, ("", "", "", ""))
    yield _may(f"{name} length", f"{name}/length", length)
    yield _may(f"{name} turn", f"{name}/corner/turn_deg", turn, number)
    yield _may(f"{name} hand", f"{name}/corner/hand", hand)
    yield _may(f"{name} drop", f"{name}/drop", drop)
    yield _may(f"{name} joists", f"{name}/joists")
    yield _may(f"{name} first joist", f"{name}/first_joist")


def _stair(name: str) -> Iterator[Column]:
    for head, place, read in (
        ("leg", "leg", words), ("start", "start", words), ("width", "width", words),
        ("risers", "risers", whole), ("riser", "riser", words), ("tread", "tread", words),
        ("total rise", "total_rise", words), ("total run", "total_run", words),
        ("nosing", "nosing", words), ("open risers", "open_risers", yes_or_no),
        ("slope", "slope_deg", number), ("rails", "rails", several),
        ("lower post", "lower_post/from_last_nose", words),
        ("stands on", "lower_post/stands_on", words),
        ("foot detail", "lower_post/detail", words),
        ("landing", "landing", words), ("handrail", "handrail", several),
    ):  # fmt: skip
        yield _may(f"{name} {head}", f"{name}/{place}", "", read)


COLUMNS: Final[tuple[Column, ...]] = (
    *_JOB,
    *(column for leg in LEGS for column in _leg(leg)),
    *(column for stair in STAIRS for column in _stair(stair)),
)


def refusal(*, where: str, value: str, says: str, mend: str) -> BadInput:
    """One thing wrong with the file as a whole."""
    return BadInput([Problem(pointer=where, value=value[:80], says=says, mend=mend)])
