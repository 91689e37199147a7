"""A row of the table as a submission, and its problems back in the table's own words."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from schemas.errors import Problem
from services.intake.flat.columns import COLUMNS, LEGS, STAIRS, Cell, Column


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatJob:
    """One row."""

    line: int
    """Where it starts in the file, counted from 1."""
    raw: bytes
    """The submission it makes, as JSON."""
    problems: tuple[Problem, ...]
    """What is wrong with its cells; with any, there is no submission to be read."""
    heads: dict[str, str]
    """Head of the column for every place of the submission."""

    def in_the_table(self, problem: Problem) -> Problem:
        """The same problem, by line and column."""
        return problem.model_copy(update={"pointer": f"/{self.line}{self._column(problem)}"})

    def _column(self, problem: Problem) -> str:
        """The column of a place, or the first of a leg or stair; nothing for more than that."""
        where = problem.pointer
        while where:
            inside = [head for place, head in self.heads.items() if _within(place, where)]
            if inside:
                whose = {head.partition(" ")[0] for head in inside}
                return f"/{inside[0]}" if len(whose) == 1 else ""
            where = where.rpartition("/")[0]
        return ""


def flat_job(line: int, cells: Sequence[str], columns: Sequence[Column]) -> FlatJob:
    """A row as a submission.

    Args:
        line: Where the row starts in the file.
        cells: Its cells.
        columns: What they mean.
    """
    if len(cells) != len(columns):
        says = f"{len(cells)} cells under {len(columns)} heads"
        mend = "put a cell that holds a separator in quotes"
        ragged = Problem(pointer=f"/{line}", value=cells[0][:80], says=says, mend=mend)
        return FlatJob(line=line, raw=b"", problems=(ragged,), heads={})
    values: dict[tuple[str, ...], Cell | None] = {}
    problems: list[Problem] = []
    for column, cell in zip(columns, cells, strict=True):
        try:
            if cell or column.null:
                values[column.place] = _value(column, cell)
        except ValueError as no:
            says, _, mend = str(no).partition("; ")
            where = f"/{line}/{column.head}"
            problems.append(Problem(pointer=where, value=cell[:80], says=says, mend=mend))
    tree, names = _tree(values)
    raw = json.dumps(tree, ensure_ascii=False).encode()
    return FlatJob(line=line, raw=raw, problems=tuple(problems), heads=_heads(names))


def template() -> str:
    """Heads and one example row, as CSV."""
    text = io.StringIO(newline="")
    sheet = csv.writer(text)
    sheet.writerow([column.head for column in COLUMNS])
    sheet.writerow([column.example for column in COLUMNS])
    return text.getvalue()


def _value(column: Column, cell: str) -> Cell | None:
    if not cell:
        return None
    if cell[0] in "=@":
        msg = "a formula, not a value; copy the column and paste its values"
        raise ValueError(msg)
    return column.read(cell)


def _tree(values: dict[tuple[str, ...], Cell | None]) -> tuple[dict[str, Any], dict[str, str]]:
    """The submission, and where each leg and stair of it stands."""
    used = {place[0] for place in values}
    legs, stairs = ([n for n in names if n in used] for names in (LEGS, STAIRS))
    tree: dict[str, Any] = {"schema_version": 1, "lines": [{}]}
    names = {name: f"/lines/0/legs/{n}" for n, name in enumerate(legs)}
    names |= {name: f"/stairs/{n}" for n, name in enumerate(stairs)}
    parts: dict[str, dict[str, Any]] = {name: {"name": name} for name in names}
    for place, value in values.items():
        first, *rest = place
        if first == "lines":
            _put(tree["lines"][0], rest, value)
        elif first in parts:
            _put(parts[first], rest, value)
        else:
            _put(tree, list(place), value)
    tree["lines"][0]["legs"] = [parts[name] for name in legs]
    if stairs:
        tree["stairs"] = [parts[name] for name in stairs]
    return tree, names


def _put(node: dict[str, Any], path: Sequence[str], value: Cell | None) -> None:
    for step in path[:-1]:
        node = node.setdefault(step, {})
    node[path[-1]] = value


def _heads(names: dict[str, str]) -> dict[str, str]:
    starts = {"lines": "/lines/0", **names}
    found = {}
    for column in COLUMNS:
        first, *rest = column.place
        found["/".join((starts.get(first, f"/{first}"), *rest))] = column.head
    return found


def _within(place: str, where: str) -> bool:
    return place == where or place.startswith(f"{where}/")
