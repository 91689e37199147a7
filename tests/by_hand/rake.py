"""A stair side from its steps: cut, count, margins, points, triangle, heights, handrail."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import atan2, ceil, cos, degrees, hypot, sin

from tests.by_hand.level import middle
from tests.by_hand.reading import INCH, Books, Tree, down, nearest, up


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """A flight and its two post faces, level from the top nosing downhill. [1/320 mm]."""

    riser: Fraction
    tread: Fraction
    risers: int
    nosing: Fraction
    upper: Fraction
    lower: Fraction

    @property
    def secant(self) -> float:
        """Along the slope for each level unit."""
        return hypot(self.riser, self.tread) / float(self.tread)


def steps(books: Books, stair: Tree) -> Steps:
    """The flight as measured: the upper face follows from the inset, the lower from its nosing."""
    line = next(
        line for line in books.job["lines"] if stair["leg"] in {leg["name"] for leg in line["legs"]}
    )
    half = books.of_system(books.system["sleeve"]["outside"]) / 2
    riser, tread = books.of_job(stair["riser"]), books.of_job(stair["tread"])
    lower = (stair["risers"] - 1) * tread + books.of_job(stair["lower_post"]["from_last_nose"])
    clear = down(lower - (half - books.of_job(line["inset"])), books.step)
    return Steps(
        riser=riser, tread=tread, risers=stair["risers"], nosing=books.of_job(stair["nosing"]),
        upper=lower - clear, lower=lower,
    )  # fmt: skip


def side(books: Books, stair: Tree) -> Tree:
    """Everything the sheet of a stair bay says that follows from its steps; floats are exact."""
    flight, rail, step = steps(books, stair), books.system["stair"], books.step
    clear = flight.lower - flight.upper
    clearance = books.of_system(rail["end_clearance"])
    cut = down(float(clear) * flight.secant - float(2 * clearance), step)
    found = sorted(_fits(books, flight, clear, cut), key=lambda fit: fit["rank"])
    best = found[0]
    fall = flight.riser / flight.tread
    top_depth, bottom_depth = (books.of_system(rail[k]) for k in ("top_depth", "bottom_depth"))
    points = {"top": nearest(top_depth * fall, step), "bottom": nearest(bottom_depth * fall, step)}
    under = _underside(books, flight)
    seen = next(h for h in rail["heights"] if h["name"] == books.job["rail"]["height"])
    depth = float(top_depth + bottom_depth) * flight.secant
    pitch, width = books.of_system(rail["hole_pitch"]), books.of_system(rail["baluster_width"])
    left, right = best["margin_lower"], best["margin_upper"]
    return {key: value for key, value in best.items() if key != "rank"} | {
        "clear": clear,
        "cut": cut,
        "pitch": pitch,
        "others": tuple(sorted(fit["balusters"] for fit in found[1:])),
        "marks": tuple(left + n * pitch for n in range(best["balusters"])),
        "slope_deg": degrees(atan2(flight.riser, flight.tread)),
        "level_gap": float(pitch) / flight.secant - float(width),
        "gap_lower": float(clearance + left) / flight.secant - float(width) / 2,
        "gap_upper": float(clear) - float(clearance + cut - right) / flight.secant
        - float(width) / 2,
        "top_long_to_short": points["top"],
        "bottom_long_to_short": points["bottom"],
        "top_first_hole_to_long": left,
        "bottom_first_hole_to_long": left + points["bottom"],
        "top_last_hole_to_long": right + points["top"],
        "bottom_last_hole_to_long": right,
        "triangle_limit": up(_touches(flight, books.limit("guard.triangle")), step) - step,
        "rail_over_nosing": under,
        "top_over_nosing": float(under) + depth + float(books.of_system(seen["visible"])),
    }  # fmt: skip


def at_posts(books: Books, flight: Steps, *, under: Fraction, top: Fraction) -> Tree:
    """Both rails at both faces, above what each post stands on, on the nearest mark."""
    fall, rise = flight.riser / flight.tread, flight.risers * flight.riser
    return {
        f"{rail}_at_{post}": nearest(line - face * fall + foot, books.step)
        for rail, line in (("top", top), ("bottom", under))
        for post, face, foot in (
            ("upper", flight.upper, Fraction(0)), ("lower", flight.lower, rise),
        )
    }  # fmt: skip


def handrail(books: Books, flight: Steps, *, top: Fraction) -> Tree:
    """From over the top nosing to over the lowest; brackets; height in the middle of its window.

    Where the guard's top stands under that middle, and a margin inside, it goes as high as that.
    """
    sold, step = books.system["handrail"], books.step
    length = up((flight.risers - 1) * hypot(flight.riser, flight.tread), step)
    apart, stick = (books.of_system(sold[key]) for key in ("bracket_apart", "stock"))
    low, high = (books.limit("handrail.height", part=part) for part in ("limit", "upper"))
    middle, sure = down((low + high) / 2, step), low + books.of_company(
        books.company["height_margin"]
    )  # fmt: skip
    guard = down(top, step)
    return {
        "handrail": length,
        "handrail_brackets": ceil(length / apart) + 1 + ceil(length / stick) - 1,
        "handrail_height": guard if up(sure, step) <= guard < middle else middle,
    }


def _touches(flight: Steps, sphere: Fraction) -> float:
    """Height over the nosings at which a sphere on tread and riser just touches the underside."""
    radius, slope = float(sphere) / 2, atan2(flight.riser, flight.tread)
    x, y = radius - float(flight.nosing), radius - float(flight.riser)
    return y + (radius + x * sin(slope)) / cos(slope)


def _underside(books: Books, flight: Steps) -> Fraction:
    """As high as the triangle lets it: 1/8 in under, inside the working sphere, on a mark."""
    margin = books.of_company(books.company["sphere_margin"])
    triangle = books.limit("guard.triangle")
    gap = books.limit("guard.stair_opening", "guard.opening") - margin - 1
    highest = min(
        _touches(flight, triangle) - INCH / 8,
        _touches(flight, triangle - margin) - 1,
        float(gap) * flight.secant,
    )
    return down(highest, books.step)


def _fits(books: Books, flight: Steps, clear: Fraction, cut: Fraction) -> Iterator[Tree]:
    rail, step, secant = books.system["stair"], books.step, flight.secant
    pitch, width, clearance, greatest = (
        books.of_system(rail[key])
        for key in ("hole_pitch", "baluster_width", "end_clearance", "greatest_margin")
    )
    least = books.of_system(rail["bracket"]["least_margin"])
    margin = books.of_company(books.company["sphere_margin"])
    limit = float(books.limit("guard.stair_opening", "guard.opening") - margin)
    depth = max(books.of_system(rail["top_depth"]), books.of_system(rail["bottom_depth"]))
    point = ceil(depth * flight.riser / flight.tread)
    between = float(pitch) / secant - float(width)
    most = int(cut / pitch) + 1
    for count in range(max(1, most - 3), most + 1):
        spare = cut - (count - 1) * pitch
        left = middle(spare, step)
        right = spare - left
        far = max(left, right)
        last = float(clear) - float(clearance + cut - far) / secant - float(width) / 2
        legal = min(left, right) >= least and far <= greatest and max(between, last) < limit
        if legal and _from_stock(books, count, left + point, right + point):
            over = float(clearance + far) / secant - float(width) / 2 - between
            yield {
                "balusters": count, "margin_lower": left, "margin_upper": right,
                "rank": (over > 0, abs(over), count),
            }  # fmt: skip


def _from_stock(books: Books, count: int, left: Fraction, right: Fraction) -> bool:
    rail = books.system["stair"]
    pitch = books.of_system(rail["hole_pitch"])
    return any(
        at - left >= books.trim
        and at + (count - 1) * pitch + right <= books.of_system(kit["length"]) - books.trim
        for kit in rail["kits"]
        for at in (
            books.of_system(kit["first_hole"]) + n * pitch for n in range(kit["holes"] - count + 1)
        )
    )
