"""What the commands print, for people and, with `--json`, for machines."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text

from schemas.errors import BadInput, DawnpackError, Problem
from schemas.record import Record
from schemas.site import Question

out = Console(markup=False, highlight=False, soft_wrap=True)
"""For what was asked for."""

err = Console(markup=False, highlight=False, soft_wrap=True, stderr=True)
"""For what went wrong, and how far it is."""


def show_error(error: DawnpackError, *, name: str = "") -> None:
    """A refusal in words, with its problem list."""
    lead = f"{name}: " if name else ""
    if isinstance(error, BadInput):
        err.print(f"{lead}refused, {len(error.problems)} to mend:", style="bold red")
        show_problems(error.problems)
    else:
        err.print(f"{lead}{error}", style="bold red")


def show_problems(problems: Iterable[Problem]) -> None:
    """A problem list: where, what stood there, what is wrong, what would be right."""
    for problem in problems:
        err.print(Text(f"  {problem.pointer or '/'}", style="bold"), f"= {problem.value}")
        err.print(f"      {problem.says}")
        err.print(f"      mend: {problem.mend}", style="green")


def show_questions(job: str, questions: Sequence[Question]) -> None:
    """Questions with their options, and how to answer them."""
    for question in questions:
        err.print(f"{job} asks ({question.severity}) at {question.place}:", style="bold yellow")
        err.print(f"  {question.says}")
        err.print(f"  {question.ask}", style="bold")
        for option in question.options:
            err.print(f"    {option.key}: {option.says}")
        if question.options:
            first = question.options[0].key
            err.print(
                f"  answer: dawnpack answer {job} {question.key} {first} --by WHO --why REASON"
            )


def show_table(title: str, heads: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    """A table."""
    table = Table(title=title, title_justify="left", title_style="bold")
    for head in heads:
        table.add_column(head, overflow="fold")
    for row in rows:
        table.add_row(*(Text(str(cell)) for cell in row))
    out.print(table)


def show_json(value: Record | Sequence[Record] | object) -> None:
    """Anything as JSON, and nothing else beside it."""
    if isinstance(value, Record):
        out.print(value.model_dump_json(indent=2))
    else:
        out.print(json.dumps(value, indent=2, default=_plain))


def _plain(value: object) -> object:
    return value.model_dump(mode="json") if isinstance(value, Record) else str(value)
