"""What is asked of an opening, level or on a stair, that has no legal build."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from schemas.site import Correction, Option, Question
from schemas.wording import either, row, say
from services import tape


def dead_band(
    *,
    bay: str,
    opening: int,
    nearest: tuple[int | None, int | None],
    spare: int,
    step: int,
    pointers: Mapping[str, int] = MappingProxyType({}),
) -> Question:
    """No count of balusters leaves two legal ends in this opening.

    Args:
        bay: Its name.
        opening: Clear. [length]
        nearest: Nearest legal openings below and above; none: there is none.
        spare: What they leave for posts set off their places, either way; 0: nothing.
        step: Graduation.
        pointers: Where the submission gives a measured opening, at the bottom and at the top
            rail, and how much wider than at the bottom rail it is there.
    """
    below, above = nearest
    ways = [
        say(
            "{size} ({sign}{off})",
            size=tape.text_with_unit(size, step),
            sign="-" if size < opening else "+",
            off=tape.text(abs(size - opening), step),
        )
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
        says=row(
            (
                say(
                    "Bay {bay}, clear {opening}: the factory holes leave no legal pair of end "
                    "margins for any count of balusters.",
                    bay=bay,
                    opening=tape.text_with_unit(opening, step),
                ),
                _near(ways, spare=spare, step=step),
                say(
                    "The opening itself is the likely culprit: read it once more between sleeve "
                    "faces."
                ),
            ),
            " ",
        ),
        ask=say("Which post moves, or is the opening read wrong?"),
        options=tuple(options),
    )


def _near(ways: Sequence[str], *, spare: int, step: int) -> str:
    if not ways:
        return say("None nearby works.")
    if not spare:
        return say("Nearest openings that work: {ways}.", ways=either(ways))
    return say(
        "Nearest openings that work with {spare} to spare either way: {ways}.",
        spare=tape.text_with_unit(tape.up(spare, step), step),
        ways=either(ways),
    )


def _move_post(key: str, size: int, step: int, pointers: Mapping[str, int]) -> Option:
    return Option(
        key=key,
        says=say(
            "A post is moved so that the opening is {size}", size=tape.text_with_unit(size, step)
        ),
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
        says=say(
            "Bay {bay} is {found} {along} between sleeve faces; the system allows {longest}.",
            bay=bay,
            found=tape.text_with_unit(found, step),
            along=along,
            longest=tape.text_with_unit(longest, step),
        ),
        ask=say("Where may a mid post stand?"),
    )


def no_stock(*, bay: str, opening: int, longest_stock: int, step: int) -> Question:
    """No stock rail reaches with its holes where the bay needs them."""
    return Question(
        key=f"no-stock.{bay}",
        severity="stop",
        place=bay,
        says=say(
            "Bay {bay}, clear {opening}: no stock rail has both the length and its holes "
            "where this bay needs them; the longest is truly {longest_stock}.",
            bay=bay,
            opening=tape.text_with_unit(opening, step),
            longest_stock=tape.text_with_unit(longest_stock, step),
        ),
        ask=say("Move a post, or buy another length?"),
    )
