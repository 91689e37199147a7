"""Legs along post centres and what stands along them, from the measure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import cos, radians, tan

from tests.by_hand.reading import Books, Tree, down

FIRST = {"out": -90.0, "along": 0.0, "back": 90.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A leg by hand. [1/320 mm, degrees]."""

    name: str
    zero: float
    length: float
    heading: float
    mitres: tuple[float, float]
    """Of a rail at its first and at its last post."""


def legs(books: Books) -> Iterator[Line]:
    """Every leg: the edge less the inset, at a corner the inset times tan of half the turn."""
    for line in books.job["lines"]:
        inset = books.of_job(line.get("inset", 0)) if line["measured"] == "deck-edge" else 0
        heading = FIRST[line["heading"]]
        before: Tree | None = None
        for number, leg in enumerate(line["legs"]):
            last = number == len(line["legs"]) - 1
            start = line.get("start", {"kind": "post"}) if number == 0 else None
            end = line.get("end", {"kind": "post"}) if last else None
            after: Tree | None = leg.get("corner")
            zero = _taken_off(before, start, float(inset))
            yield Line(
                name=leg["name"],
                zero=zero,
                length=float(books.of_job(leg["length"])) - zero
                - _taken_off(after, end, float(inset)),
                heading=heading,
                mitres=(_mitre(before), _mitre(after)),
            )  # fmt: skip
            heading += _turn(after)
            before = after


def _taken_off(corner: Tree | None, end: Tree | None, inset: float) -> float:
    if corner is not None:
        size = inset * tan(radians(corner["turn_deg"] / 2))
        return size if corner.get("hand", "outside") == "outside" else -size
    return 0.0 if end is None or end["kind"] == "wall" else inset


def _turn(corner: Tree | None) -> float:
    if corner is None:
        return 0.0
    outside = corner.get("hand", "outside") == "outside"
    return float(corner["turn_deg"] if outside else -corner["turn_deg"])


def _mitre(corner: Tree | None) -> float:
    """Square at 90 degrees; a turned post halves the turn."""
    if corner is None or (corner["turn_deg"] == 90 and corner.get("post") != "turned"):
        return 0.0
    return float(corner["turn_deg"]) / 2


def settled(books: Books, line: Line) -> Iterator[Fraction]:
    """Centres along a leg that the measure settles: beside stairs, and posts in place."""
    half = books.of_system(books.system["sleeve"]["outside"]) / 2
    zero = Fraction(round(line.zero))
    for stair in books.job.get("stairs") or []:
        if stair["leg"] == line.name:
            start = books.of_job(stair["start"]) - zero
            yield from (start - half, start + books.of_job(stair["width"]) + half)
    at = Fraction(0)  # the demo's posts in place stand between two walls
    for opening in leg_of(books, line.name).get("clears", [])[:-1]:
        at += books.of_job(opening["bottom"]) + half
        yield at
        at += half


def leg_of(books: Books, name: str) -> Tree:
    """A leg as it was written."""
    return next(leg for line in books.job["lines"] for leg in line["legs"] if leg["name"] == name)


def opening(
    books: Books, *, centres: tuple[Fraction, Fraction], walls: tuple[bool, bool],
    mitres: tuple[float, float],
) -> Fraction:  # fmt: skip
    """Between the faces of two neighbours, down to a mark: half a sleeve over cos of the mitre."""
    half = books.of_system(books.system["sleeve"]["outside"]) / 2
    clear = centres[1] - centres[0]
    for is_wall, mitre in zip(walls, mitres, strict=True):
        if not is_wall:
            clear -= half if mitre == 0 else Fraction(float(half) / cos(radians(mitre)))
    return down(clear if mitres == (0, 0) else float(clear), books.step)


def read_twice(books: Books, leg: str, number: int) -> Mapping[str, Fraction] | None:
    """An opening between posts in place as the tape read it; none: they are to be set."""
    clears = leg_of(books, leg).get("clears", [])
    if not clears:
        return None
    bottom = books.of_job(clears[number]["bottom"])
    return {"bottom": bottom, "top": books.of_job(clears[number].get("top", 0)) or bottom}
