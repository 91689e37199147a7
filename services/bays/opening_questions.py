"""What is asked of an opening, level or on a stair, that has no legal build."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from schemas.site import Correction, Option, Question
from services import tape


def dead_band(
    *,
    bay: str,
    opening: int,
    nearest: tuple[int | None, int | None],
    step: int,
    pointers: Mapping[str, int] = MappingProxyType({}),
) -> Question:
    """No count of balusters leaves two legal ends in this opening.

    Args:
        bay: Its name.
        opening: Clear. [length]
        nearest: Nearest legal openings below and above; none: there is none.
        step: Graduation.
        pointers: Where the submission gives a measured opening, at the bottom and at the top
            rail, and how much wider than at the bottom rail it is there.
    """
    below, above = nearest
    ways = [
        f"{tape.text_with_unit(size, step)} ({'-' if size < opening else '+'}"
        f"{tape.text(abs(size - opening), step)})"
        for size in (below, above)
        if size is not None
    ]
    options = [
        _move_post(key, size, step, pointers)
        for key, size in (("narrower", below), ("wider", above))
        if size is not None and pointers
    ]
    return Question(
        key=f"dead-band.{bay}",
        severity="stop",
        place=bay,
        says=f"Bay {bay}, clear {tape.text_with_unit(opening, step)}: the factory holes leave no "
        "legal pair of end margins for any count of balusters. "
        + (f"Nearest openings that work: {' or '.join(ways)}." if ways else "None nearby works.")
        + " The opening itself is the likely culprit: read it once more between sleeve faces.",
        ask="Which post moves, or is the opening read wrong?",
        options=tuple(options),
    )


def _move_post(key: str, size: int, step: int, pointers: Mapping[str, int]) -> Option:
    return Option(
        key=key,
        says=f"A post is moved so that the opening is {tape.text_with_unit(size, step)}",
        sets=tuple(
            Correction(pointer=pointer, value=tape.text_with_unit(size + more, step))
            for pointer, more in pointers.items()
        ),
    )


def too_long(*, bay: str, found: int, longest: int, step: int, along: str) -> Question:
    """The opening is longer than the system allows."""
    return Question(
        key=f"mid-post.{bay}",
        severity="stop",
        place=bay,
        says=f"Bay {bay} is {tape.text_with_unit(found, step)} {along} between sleeve faces; the "
        f"system allows {tape.text_with_unit(longest, step)}.",
        ask="Where may a mid post stand?",
    )


def no_stock(*, bay: str, opening: int, longest_stock: int, step: int) -> Question:
    """No stock rail reaches with its holes where the bay needs them."""
    return Question(
        key=f"no-stock.{bay}",
        severity="stop",
        place=bay,
        says=f"Bay {bay}, clear {tape.text_with_unit(opening, step)}: no stock rail has both the "
        f"length and its holes where this bay needs them; the longest is truly "
        f"{tape.text_with_unit(longest_stock, step)}.",
        ask="Move a post, or buy another length?",
    )
