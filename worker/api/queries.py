"""What may stand in an address: a day as ISO 8601 writes it, and only names that are known."""

from __future__ import annotations

import re
from datetime import date
from difflib import get_close_matches
from typing import Annotated, Any, Final

from fastapi import Request
from pydantic import BeforeValidator

from schemas.errors import BadInput, Problem
from worker.bootstrap import Works
from worker.desk import within_reach

_WRITTEN: Final = re.compile(r"\d{4}-\d{2}-\d{2}")


def _as_written(value: object) -> object:
    """Refuse what a lenient reader takes for a day: `0` is not the first of January 1970."""
    if isinstance(value, str) and not _WRITTEN.fullmatch(value):
        msg = "write the day as YYYY-MM-DD"
        raise ValueError(msg)
    return value


IsoDay = Annotated[date, BeforeValidator(_as_written)]
"""A day, ISO 8601."""


class UnknownQuery(BadInput):
    """What stands after the `?` and is none; a misspelt filter must not show everything."""


class FarDay(BadInput):
    """A day of an address that is out of reach."""


def reached(works: Works, day: date, *, query: bool = False) -> date:
    """A day of an address, of its path or after the `?`, if it is not too far from today.

    Raises:
        FarDay, UnknownQuery: It is.
    """
    try:
        return within_reach(works, day, pointer="/day")
    except BadInput as no:
        raise (UnknownQuery if query else FarDay)(no.problems) from None


def only_known(request: Request) -> None:
    """Refuse names after the `?` that the address does not know.

    Raises:
        UnknownQuery: With the nearest known name.
    """
    route: Any = request.scope.get("route")
    known = [field.alias for field in route.dependant.query_params]
    strange = [name for name in request.query_params if name not in known]
    if strange:
        raise UnknownQuery([_problem(name, known) for name in strange])


def _problem(name: str, known: list[str]) -> Problem:
    near = get_close_matches(name, known, n=1)
    mend = f"did you mean {near[0]}?" if near else f"known: {', '.join(known) or 'none'}"
    return Problem(pointer=f"/{ascii(name)[1:-1]}", value="", says="no such parameter", mend=mend)
