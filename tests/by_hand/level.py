"""A level bay from its opening: count, cuts, margins, gaps, window, heights."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, radians, tan

from tests.by_hand.reading import Books, Tree, down, up


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """Where a bay is to stand. [1/320 mm, degrees]."""

    clear: Fraction
    wider: Fraction
    """At the top."""
    leans: str
    """Which end makes it wider."""
    mitres: tuple[float, float]


def bay(books: Books, opening: Opening) -> Tree:
    """Everything the sheet of a level bay says that follows from its opening."""
    found = sorted(_fits(books, opening), key=lambda fit: fit["rank"])
    best, rail = found[0], books.system["level"]
    pitch, width, clearance = (
        books.of_system(rail[key]) for key in ("hole_pitch", "baluster_width", "end_clearance")
    )
    cut, top_cut = best["bottom_cut"], best["top_cut"]
    holes = range(best["balusters"])
    longest = max(cut, top_cut)
    grams = ceil(longest * books.system["rail_grams_per_m"] / Fraction(320_000))
    heavy = grams > books.company["two_people_over"] or longest > books.of_company(
        books.company["two_people_longer"]
    )
    spread = books.system["hottest_degf"] - books.system["coldest_degf"]
    free = longest * Fraction(str(books.system["expansion_per_degf"])) * spread
    lefts = max(best["margin_left"], best["top_margin_left"])
    rights = max(
        opening.clear - cut + best["margin_right"],
        opening.clear + opening.wider - top_cut + best["top_margin_right"],
    )
    return (
        {key: value for key, value in best.items() if key != "rank"}
        | {
            "clear": opening.clear,
            "clear_top": opening.clear + opening.wider,
            "others": tuple(sorted(fit["balusters"] for fit in found[1:])),
            "pitch": pitch,
            "marks": tuple(best["margin_left"] + n * pitch for n in holes),
            "top_marks": tuple(best["top_margin_left"] + n * pitch for n in holes),
            "gap_between": pitch - width,
            "gap_left": ceil(clearance + lefts - width / 2),
            "gap_right": ceil(rights - clearance - width / 2),
            "parity": "hole at mid-length" if best["balusters"] % 2 else "gap at mid-length",
            "sweep": books.of_system(books.system["spacer_block"]),
            "top": top(books),
            "weight": grams,
            "people": 2 if heavy else 1,
            "window_low": _window(books, opening, best["balusters"], -1),
            "window_high": _window(books, opening, best["balusters"], 1),
        }
        | {"moves": up(free, books.step)}
    )


def top(books: Books) -> Fraction:
    """Spacer block, bottom rail, what is seen of the balusters, top rail."""
    rail = books.system["level"]
    seen = next(h for h in rail["heights"] if h["name"] == books.job["rail"]["height"])
    parts = (books.system["spacer_block"], rail["bottom_depth"], seen["visible"], rail["top_depth"])
    return sum((books.of_system(part) for part in parts), Fraction(0))


def _window(books: Books, opening: Opening, count: int, way: int) -> Fraction:
    """Mark by mark, as long as the count still fits."""
    at = opening.clear
    while True:
        beyond = at + way * books.step
        moved = Opening(
            clear=beyond, wider=opening.wider, leans=opening.leans, mitres=opening.mitres
        )
        if count not in [fit["balusters"] for fit in _fits(books, moved)]:
            return at
        at = beyond


def _fits(books: Books, opening: Opening) -> Iterator[Tree]:
    """Every count that both rails can be made with, and how it looks beside the others."""
    rail, step = books.system["level"], books.step
    pitch, width, clearance, greatest, longest = (
        books.of_system(rail[key])
        for key in (
            "hole_pitch", "baluster_width", "end_clearance", "greatest_margin", "longest_clear",
        )
    )  # fmt: skip
    limit = books.limit("guard.opening") - books.of_company(books.company["sphere_margin"])
    cut = down(opening.clear - 2 * clearance, step)
    top_cut = down(opening.clear + opening.wider - 2 * clearance, step)
    most = int(cut / pitch) + 1
    for count in range(max(1, most - 3), most + 1):
        spare = cut - (count - 1) * pitch
        left = middle(spare, step)
        more = top_cut - cut
        at_left = {"left": more, "right": Fraction(0), "both": down(more / 2, step)}
        top_left = left + at_left[opening.leans]
        ends = (left, spare - left)
        top_ends = (top_left, top_cut - (count - 1) * pitch - top_left)
        slack = opening.clear - cut - 2 * clearance
        top_slack = opening.clear + opening.wider - top_cut - 2 * clearance
        room = [_least(books, mitre) for mitre in opening.mitres]
        legal = (
            opening.clear + max(opening.wider, Fraction(0)) <= longest
            and pitch - width < limit
            and all(
                min(a - room[0], b - room[1]) >= 0
                and max(a, b) <= greatest
                and clearance + lost + max(a, b) - width / 2 < limit
                for (a, b), lost in ((ends, slack), (top_ends, top_slack))
            )
            and _from_stock(books, opening, count, ends, top_ends)
        )
        if legal:
            end_gap = clearance + max(ends[0], ends[1] + slack) - width / 2
            over = end_gap - (pitch - width)
            yield {
                "balusters": count, "bottom_cut": cut, "top_cut": top_cut,
                "margin_left": ends[0], "margin_right": ends[1],
                "top_margin_left": top_ends[0], "top_margin_right": top_ends[1],
                "rank": (over > 0, abs(over), count),
            }  # fmt: skip


def middle(spare: Fraction, step: Fraction) -> Fraction:
    """The mark nearest to half of it; of two as near the lower."""
    below = down(spare / 2, step)
    return min((below, below + step), key=lambda mark: (abs(spare - 2 * mark), mark))


def _least(books: Books, mitre: float) -> Fraction:
    """Room for the bracket: the line one while it takes the angle."""
    rail = books.system["level"]
    plain = mitre <= rail["bracket"]["greatest_deg"]
    return books.of_system(rail["bracket" if plain else "angle_bracket"]["least_margin"])


def _from_stock(
    books: Books, opening: Opening, count: int, ends: tuple[Fraction, Fraction],
    top_ends: tuple[Fraction, Fraction],
) -> bool:  # fmt: skip
    """Some kit has so many holes in a row with both ends of both rails, points and all."""
    rail = books.system["level"]
    pitch = books.of_system(rail["hole_pitch"])
    left, right = (
        max(
            margin + ceil(float(books.of_system(rail[width])) * tan(radians(mitre)) / 2 - 1e-9)
            for margin, width in (
                (ends[side], "bottom_width"), (top_ends[side], "top_width"),
            )
        )
        for side, mitre in enumerate(opening.mitres)
    )  # fmt: skip
    for kit in rail["kits"]:
        length, first = books.of_system(kit["length"]), books.of_system(kit["first_hole"])
        for number in range(kit["holes"] - count + 1):
            at = first + number * pitch
            end = at + (count - 1) * pitch + right
            if at - left >= books.trim and end <= length - books.trim:
                return True
    return False
