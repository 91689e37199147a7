"""Names that a submission uses and does not have: looked for in the tree as it came.

A document with a length that cannot be read may name a crew that there is none of too. What is
unreadable is passed over here, so that the office is told of both at once.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Any, Final

from schemas.errors import Problem
from schemas.job import Library
from schemas.rail_system import RailSystem, RoutedRail
from schemas.submission import Submission
from schemas.wording import say

Tree = dict[str, Any]
Told = Iterator[Problem]

NAMED: Final = ("crew", "rail", "code", "post", "extras", "stairs")
"""Fields of a submission in which the company's own things are named."""


def named_in(submission: Submission) -> Tree:
    """A submission's names as they stand in its tree."""
    return submission.model_dump(include=set(NAMED), mode="python")


def lost_names(tree: Tree) -> Told:
    """Legs, stairs and gates named twice, or named where there are none."""
    legs = [
        (f"/lines/{n}/legs/{m}/name", _text(leg, "name"))
        for n, line in _rows(tree, "lines")
        for m, leg in _rows(line, "legs")
    ]
    stairs = [(f"/stairs/{n}/name", _text(one, "name")) for n, one in _rows(tree, "stairs")]
    gates = [(f"/gates/{n}/name", _text(one, "name")) for n, one in _rows(tree, "gates")]
    yield from _twice([*legs, *stairs, *gates])
    known = [name for _, name in legs if name]
    for kind in ("stairs", "gates", "open_edges"):
        for number, one in _rows(tree, kind):
            leg = _text(one, "leg")
            if leg and leg not in known:
                says = f"{_text(one, 'name') or 'it'} names a leg that is not in the list"
                yield _lost(f"/{kind}/{number}/leg", leg, says, known)
    flights = [name for _, name in stairs if name]
    for number, one in _rows(tree, "gates"):
        stair = _text(one, "stair")
        if stair and stair not in flights:
            says = f"{_text(one, 'name') or 'it'} hangs at a stair that is not in the list"
            yield _lost(f"/gates/{number}/stair", stair, says, flights)


def strange_names(tree: Tree, *, library: Library) -> Told:
    """Crews, systems, colours, heights, details, profiles, rules, extras that there are none of."""
    company = library.company
    yield from there_is_no(_text(tree, "crew"), (c.key for c in company.crews), "/crew", "crew")
    yield from _strange_code(_part(tree, "code"), library)
    details = [detail.key for detail in company.details]
    for pointer, detail in _fixings(tree):
        yield from there_is_no(detail, details, pointer, say("approved fixing detail"))
    yield from _strange_rail(tree, library)


def _fixings(tree: Tree) -> Iterator[tuple[str, str]]:
    """Details named for the posts along the legs, for feet, and for mid posts."""
    yield "/post/detail", _text(_part(tree, "post"), "detail")
    for number, stair in _rows(tree, "stairs"):
        foot = _text(_part(stair, "lower_post"), "detail")
        yield f"/stairs/{number}/lower_post/detail", foot
        yield f"/stairs/{number}/mid_detail", _text(stair, "mid_detail")


def _strange_rail(tree: Tree, library: Library) -> Told:
    rail, bought = _part(tree, "rail"), _bought(library)
    what = say("rail system that the company buys")
    for field in ("system", "stair_system"):
        yield from there_is_no(_text(rail, field), bought, f"/rail/{field}", what)
    system = bought.get(_text(rail, "system"))
    stairs_by = bought.get(_text(rail, "stair_system")) if rail.get("stair_system") else system
    if system:
        colour = say("colour of {system}", system=system.key)
        yield from there_is_no(_text(rail, "colour"), system.colours, "/rail/colour", colour)
    flights = bool(_rows(tree, "stairs"))
    if flights and stairs_by and stairs_by.stair is None:
        yield Problem(
            pointer="/rail/system",
            value=_text(rail, "system"),
            says=f"{stairs_by.key} has no stair rail, but the job has stairs",
            mend="name another system in stair_system",
        )
    rails = [system.level if system else None, stairs_by.stair if flights and stairs_by else None]
    yield from _strange_height(_text(rail, "height"), rails)
    if system:
        yield from _strange_extras(tree, library, [system, *([stairs_by] if stairs_by else [])])


def _strange_extras(tree: Tree, library: Library, systems: Iterable[RailSystem]) -> Told:
    rules = [*library.company.extras, *(rule for system in systems for rule in system.parts)]
    sold = sorted({rule.sold_as for rule in rules if rule.sold_as})
    for number, extra in enumerate(_list(tree, "extras")):
        if isinstance(extra, str):
            what = say("extra in the part rules")
            yield from there_is_no(extra, sold, f"/extras/{number}", what)


def _strange_height(name: str, rails: Iterable[RoutedRail | None]) -> Told:
    """The first rail that has no section of that height."""
    for rail in rails:
        heights = [height.name for height in rail.heights] if rail else [name]
        if found := list(there_is_no(name, heights, "/rail/height", say("height of that system"))):
            yield from found
            return


def _strange_code(code: Tree, library: Library) -> Told:
    profiles = {profile.key: profile for profile in library.profiles}
    key = _text(code, "profile")
    yield from there_is_no(key, profiles, "/code/profile", say("code profile"))
    if key in profiles:
        ids = [rule.id for rule in profiles[key].rules]
        what = say("rule of {profile}", profile=key)
        for number, change in _rows(code, "local_changes"):
            where = f"/code/local_changes/{number}/rule"
            yield from there_is_no(_text(change, "rule"), ids, where, what)


def there_is_no(key: str, known: Iterable[str], pointer: str, what: str) -> Told:
    """A name that is none of the known; an empty one is another's to tell."""
    names = list(known)
    if key and key not in names:
        mend = f"one of {', '.join(names) or 'none'}"  # all: a guess at a detail is dangerous
        yield Problem(
            pointer=pointer, value=key[:80], says=f"there is no {what} {key[:80]!r}", mend=mend
        )


def _bought(library: Library) -> dict[str, RailSystem]:
    return {s.key: s for s in library.systems if s.key in library.company.systems}


def _twice(names: list[tuple[str, str]]) -> Told:
    times = Counter(name for _, name in names if name)
    first: set[str] = set()
    for pointer, name in names:
        if times[name] > 1 and name in first:
            says = "every leg, stair and gate has a name of its own; this one is taken"
            yield Problem(pointer=pointer, value=name, says=says, mend="give it another name")
        first.add(name)


def _lost(pointer: str, value: str, says: str, known: list[str]) -> Problem:
    mend = f"one of {', '.join(dict.fromkeys(known))}" if known else "put it into the list"
    return Problem(pointer=pointer, value=value[:80], says=says, mend=mend)


def _text(node: Tree, field: str) -> str:
    value = node.get(field)
    return value if isinstance(value, str) else ""


def _part(node: Tree, field: str) -> Tree:
    value = node.get(field)
    return value if isinstance(value, dict) else {}


def _list(node: Tree, field: str) -> list[Any]:
    value = node.get(field)
    return list(value) if isinstance(value, (list, tuple)) else []


def _rows(node: Tree, field: str) -> list[tuple[int, Tree]]:
    return [(n, row) for n, row in enumerate(_list(node, field)) if isinstance(row, dict)]
