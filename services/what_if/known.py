"""Names that are tried, held against what the company has; a name it has not is a slip."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from difflib import get_close_matches

from schemas.errors import BadInput, Problem
from schemas.job import Library
from schemas.rail_system import RailSystem
from schemas.what_if import Try


def check_names(
    tries: Sequence[Try], *, library: Library, system: str, stair_system: str | None
) -> None:
    """Refuse tries that name a system, height, colour or kit which is nowhere to be had.

    What exists and does not suit the job is no slip: that alternative shows why it is refused.

    Args:
        tries: All that is tried.
        library: The company's documents.
        system: Key of the job's rail system as it stands.
        stair_system: Of its stairs; none: the same.

    Raises:
        BadInput: With every such name, and the nearest that there is.
    """
    if wrong := [
        problem for tried in tries for problem in _unknown(tried, library, system, stair_system)
    ]:
        raise BadInput(wrong)


def _unknown(tried: Try, library: Library, now: str, stair_now: str | None) -> Iterator[Problem]:
    bought = {one.key: one for one in library.systems if one.key in library.company.systems}
    if tried.system is not None and tried.system not in bought:
        yield _no("rail system that the company buys", tried.system, bought)
        return
    system = bought.get(tried.system or now)
    if system is None:
        return
    heights = [height.name for height in system.level.heights]
    if tried.height is not None and tried.height not in heights:
        yield _no(f"height of {system.key}", tried.height, heights)
    if tried.colour is not None and tried.colour not in system.colours:
        yield _no(f"colour of {system.key}", tried.colour, system.colours)
    stair = bought.get(stair_now or "", system)
    kits = list(dict.fromkeys(_kits((system, stair))))
    yield from (
        _no("kit of the job's rail systems", key, kits) for key in tried.stock if key not in kits
    )


def _kits(systems: Sequence[RailSystem]) -> Iterator[str]:
    for system in systems:
        for rail in (system.level, system.stair):
            if rail is not None:
                yield from (kit.key for kit in rail.kits)


def _no(what: str, name: str, known: Collection[str]) -> Problem:
    near = get_close_matches(name, known, n=1, cutoff=0.5)
    there = f"there are {', '.join(known)}"
    return Problem(
        pointer="/try",
        value=name[:80],
        says=f"there is no {what} named {name!r}",
        mend=f"did you mean {near[0]}? {there}" if near else there,
    )
