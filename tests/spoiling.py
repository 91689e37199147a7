"""Every number and every word of a choice in a finished plan, found by walking its records.

The walk goes by the fields that the records have, so a new one is walked from the day it is
added. Each is spoilt as a slip would spoil it: a length by a quarter inch, a count by one, an
angle by a degree, a switch to its other side, a choice to each of its other words.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin

from annotated_types import Ge
from pydantic import BaseModel

from schemas.lengths import INCH, LONGEST
from schemas.plan import Plan

WALKED = ("layout", "bays", "cuts", "takeoff", "compliance", "sequence")
"""What was computed. The job is what it was computed from: it is the measure of the rest."""

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaf:
    """One value that can be spoilt."""

    path: Path
    value: Any
    kind: Any
    """Its annotation; a length is known by its bounds."""

    @property
    def field(self) -> str:
        """Its place without numbers, e.g. ``bays.level.[].clear``."""
        return ".".join("[]" if isinstance(step, int) else step for step in self.path)

    @property
    def spoils(self) -> tuple[object, ...]:
        """Values that it must not be able to take unseen."""
        if isinstance(self.value, bool):
            return (not self.value,)
        if isinstance(self.value, int):
            by = INCH // 4 if _is_length(self.kind) else 1
            return (self.value + by, self.value - by)
        if isinstance(self.value, float):
            by = INCH if self.path[-1] in {"x", "y"} else 1
            return (self.value + by, self.value - by)
        if self.value is None:
            return (INCH,) if _is_length(self.kind) else ()
        return tuple(word for word in _words(self.kind) if word != self.value)


def leaves(plan: Plan) -> Iterator[Leaf]:
    """Everything in a plan that was computed and can be spoilt."""
    for part in WALKED:
        for leaf in _under(getattr(plan, part), None, (part,)):
            if leaf.spoils:
                yield leaf


def _under(value: object, kind: Any, path: Path) -> Iterator[Leaf]:  # noqa: ANN401 annotation
    if isinstance(value, BaseModel):
        for name, info in type(value).model_fields.items():
            own: Any = info.annotation
            for extra in info.metadata:
                own = _Marked(kind=own, extra=extra)
            yield from _under(getattr(value, name), own, (*path, name))
    elif isinstance(value, tuple):
        kinds = get_args(kind) if get_origin(kind) is tuple else ()
        for number, one in enumerate(value):
            its = kinds[number] if number < len(kinds) and ... not in kinds else (*kinds, None)[0]
            yield from _under(one, its, (*path, number))
    else:
        yield Leaf(path=path, value=value, kind=kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Marked:
    """An annotation with one of its bounds, which pydantic keeps apart from it."""

    kind: Any
    extra: Any


def _is_length(kind: Any) -> bool:  # noqa: ANN401 any annotation
    if isinstance(kind, _Marked):
        return kind.extra == Ge(-LONGEST) or _is_length(kind.kind)
    return any(
        _is_length(part) or part == Ge(-LONGEST) or _bounds(part)
        for part in get_args(kind)
    )  # fmt: skip


def _bounds(part: object) -> bool:
    return any(bound == Ge(-LONGEST) for bound in getattr(part, "metadata", ()))


def _words(kind: Any) -> tuple[str, ...]:  # noqa: ANN401 any annotation
    if isinstance(kind, _Marked):
        return _words(kind.kind)
    if get_origin(kind) is Literal:
        return get_args(kind)
    if get_origin(kind) in {Union, UnionType}:
        return tuple(word for part in get_args(kind) for word in _words(part))
    return ()


def by_field(plan: Plan) -> dict[str, list[Leaf]]:
    """The leaves of a plan, those of one field together."""
    found: dict[str, list[Leaf]] = defaultdict(list)
    for leaf in leaves(plan):
        found[leaf.field].append(leaf)
    return found


def spoilt(plan: Plan, leaf: Leaf, value: object) -> Plan:
    """The plan with one value put in place of another."""
    made = _put(plan, leaf.path, value)
    assert isinstance(made, Plan)
    return made


def _put(thing: Any, path: Path, value: object) -> Any:  # noqa: ANN401 record, tuple or value
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(step, int):
        return (*thing[:step], _put(thing[step], rest, value), *thing[step + 1 :])
    return thing.model_copy(update={step: _put(getattr(thing, step), rest, value)})
