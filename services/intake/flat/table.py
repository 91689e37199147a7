"""The table itself: its letters, its separator, its heads, its lines."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Iterator
from difflib import get_close_matches
from typing import Final

from schemas.errors import BadInput, Problem
from services.intake.flat.columns import COLUMNS, Column, refusal
from services.intake.flat.rows import FlatJob, flat_job

LARGEST: Final = 5 * 1_048_576
"""Greatest size of a file. [bytes]"""

MOST: Final = 2000
"""Greatest number of rows of a file."""

MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
"""Byte order marks, and what they say."""


def read_table(raw: bytes) -> tuple[FlatJob, ...]:
    """Read a table of flat jobs.

    Args:
        raw: CSV as RFC 4180 has it, separated by commas, semicolons or tabs; UTF-8, or UTF-16
            with its mark; the first line holds the heads.

    Returns:
        A job a row, in order; rows without anything in them are passed over. A row that cannot
        be read carries its problems.

    Raises:
        BadInput: The file as a whole cannot be read.
    """
    lines = _lines(_text(raw))
    heads = next(lines, (0, []))[1]
    columns = _columns(heads)
    jobs = [flat_job(line, cells, columns) for line, cells in lines if any(cells)]
    if not jobs:
        raise refusal(where="", value="", says="no row under the heads", mend="add a row a job")
    return tuple(jobs)


def _text(raw: bytes) -> str:
    if len(raw) > LARGEST:
        raise refusal(where="", value=f"{len(raw)} bytes", says="over 5 MiB", mend="split it")
    encoding = next((name for mark, name in MARKS if raw.startswith(mark)), "utf-8")
    try:
        return raw.decode(encoding)
    except UnicodeDecodeError as no:
        line = raw[: no.start].count(b"\n") + 1
        says = f"line {line} is not {encoding.upper()} text"
        raise refusal(where="", value="", says=says, mend="save it as CSV UTF-8") from None


def _lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Line number and cells of every row, ends of cells trimmed."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text), strict=True)
    start = 1
    try:
        for count, row in enumerate(reader):
            if count > MOST:
                mend = "split it"
                raise refusal(where="", value="", says=f"over {MOST} rows", mend=mend)
            yield start, [cell.strip() for cell in row]
            start = reader.line_num + 1
    except csv.Error as no:
        says = f"no table from line {start} on: {no}"
        mend = "close every quote, and double one inside a cell"
        raise refusal(where="", value="", says=says, mend=mend) from None


def _separator(text: str) -> str:
    """What parts the heads: whichever of the three is there most."""
    first = text.partition("\n")[0]
    return max((",", ";", "\t"), key=first.count)


def _columns(heads: list[str]) -> list[Column]:
    if len(heads) > 2 * len(COLUMNS):
        says = f"{len(heads)} columns; there are {len(COLUMNS)}"
        mend = "leave out the others; see `dawnpack template`"
        raise refusal(where="/1", value=heads[0][:80], says=says, mend=mend)
    known = {_plain(column.head): column for column in COLUMNS}
    problems = [*_strange(heads, known), *_twice(heads), *_lacking(heads)]
    if problems:
        raise BadInput(problems)
    return [known[_plain(head)] for head in heads]


def _plain(head: str) -> str:
    return " ".join(head.replace("_", " ").lower().split())


def _strange(heads: list[str], known: dict[str, Column]) -> Iterator[Problem]:
    for head in heads:
        if _plain(head) not in known:
            near = get_close_matches(_plain(head), known, n=1)
            mend = f"did you mean {known[near[0]].head!r}?" if near else "leave the column out"
            yield Problem(pointer="/1", value=head[:80], says="no such column", mend=mend)


def _twice(heads: list[str]) -> Iterator[Problem]:
    plain = [_plain(head) for head in heads]
    for head in sorted({head for head in plain if plain.count(head) > 1}):
        mend = "keep one of them"
        yield Problem(pointer="/1", value=head[:80], says="a column twice", mend=mend)


def _lacking(heads: list[str]) -> Iterator[Problem]:
    plain = {_plain(head) for head in heads}
    for column in COLUMNS:
        if column.must and _plain(column.head) not in plain:
            says = f"the column {column.head!r} is missing"
            yield Problem(pointer="/1", value="", says=says, mend="add it; see `dawnpack template`")
