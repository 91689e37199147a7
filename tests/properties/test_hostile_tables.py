"""The CSV door under hostile tables: a problem list or jobs, in bounded time and memory.

Source:
    RFC 4180 for what a table is; the cells of the list below are such as spreadsheet programs
    take for formulas, and the usual tricks with letters, numbers and names.
"""

from __future__ import annotations

import csv
import io
import resource
import subprocess
import sys
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from schemas.errors import BadInput, Problem
from services.intake.flat import read_table, template
from services.intake.flat.table import LARGEST, MOST
from services.intake.reading import read_submission

HEADS, EXAMPLE = list(csv.reader(io.StringIO(template(), newline="")))[:2]
NASTY = (
    "=cmd|'/c calc'!A1", "@SUM(A1)", "+1+1", "-2+3", "\t=1", "NaN", "-inf", "1e999", "9" * 400,
    "-0", "0x10", "1_000", "१२", "½", "10' 0\"", "10' 13\"", "../../etc/passwd", "C:\\CON", "a\0b",
    "\u202e12", "\u200b", "\ufeff", "<b>", "[[x]]", "{}", "null", "true", "[1]", '"', "'", " ",
    "1,5", "2026-13-40", "e\u0301" * 300, "x" * 5000, "A1\r\nB2",
)  # fmt: skip
CELLS = st.one_of(st.sampled_from(NASTY), st.text(max_size=30), st.floats().map(str))


def table(rows: list[list[str]]) -> bytes:
    """Rows under the template's heads, as CSV."""
    text = io.StringIO(newline="")
    csv.writer(text).writerows([HEADS, *rows])
    return text.getvalue().encode("utf-8", "replace")


def read(raw: bytes) -> str:
    """How a table ends; anything but a problem list or jobs is an error."""
    try:
        jobs = read_table(raw)
    except BadInput:
        return "refused"
    for job in jobs:
        told = job.problems or _problems(job.raw)
        assert all(job.in_the_table(problem).pointer for problem in told)
    return "read"


def _problems(raw: bytes) -> tuple[Problem, ...]:
    try:
        read_submission(raw)
    except BadInput as no:
        return no.problems
    return ()


@given(
    row=st.lists(st.tuples(st.integers(0, len(HEADS) - 1), CELLS), min_size=1, max_size=6),
)
@settings(max_examples=150, deadline=2000)
def test_a_row_with_hostile_cells_is_a_job_or_a_problem_list(row: list[tuple[int, str]]) -> None:
    """The other cells are those of the template's own row."""
    cells = list(EXAMPLE)
    for number, cell in row:
        cells[number] = cell

    assert read(table([cells])) in {"read", "refused"}


@given(raw=st.one_of(st.binary(max_size=2000), st.text(max_size=800).map(lambda t: t.encode())))
@settings(max_examples=150, deadline=2000)
def test_any_bytes_end_in_words(raw: bytes) -> None:
    """Under the template's heads, and without."""
    assert read(raw) == "refused"
    assert read(template().splitlines(keepends=True)[0].encode() + raw) in {"read", "refused"}


BOMBS: dict[str, Any] = {
    "heads": lambda: b"," * (LARGEST - 10) + b"\n1\n",
    "strange heads": lambda: b",".join(b"h%d" % n for n in range(600_000)) + b"\n1\n",
    "cells": lambda: template().encode() + b"x" + b"," * (LARGEST - 10_000),
    "one cell": lambda: template().encode() + b"x" * (LARGEST - 10_000) + b"\n",
    "quote never closed": lambda: template().encode() + b'"' + b"x\n" * (LARGEST // 2 - 9000),
    "rows": lambda: template().encode() + b"1\n" * (LARGEST // 2 - 9000),
    "empty rows": lambda: b"\n" * LARGEST,
    "wrong rows": lambda: table([["=1"] * len(HEADS)] * (MOST - 1)),
    "utf-16": lambda: ("a," * (LARGEST // 4 - 10)).encode("utf-16"),
    "too large": lambda: b"," * (20 * LARGEST),
}
"""Tables that cost the most; none may cost a worker."""

MEMORY_MIB, CPU_S = 700, 20
"""Of the process that reads one, its program included."""

READ_ONE = (
    "from tests.properties.test_hostile_tables import BOMBS, bounded; import sys;"
    "bounded(BOMBS[sys.argv[1]])"
)


def bounded(bomb: Any) -> None:  # noqa: ANN401  # makes bytes
    """Read a bomb in this process, which dies of it where it takes too much."""
    raw = bomb()
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_MIB * 2**20, MEMORY_MIB * 2**20))
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S))
    try:
        problems = sum(len(job.problems) for job in read_table(raw))
    except BadInput as no:
        problems = len(no.problems)
    assert 1 <= problems <= MOST * len(HEADS)


@pytest.mark.parametrize("name", BOMBS)
def test_a_table_made_to_cost_is_refused_cheaply(name: str) -> None:
    """In a process that may take so much memory and time, and no more."""
    done = subprocess.run(
        [sys.executable, "-c", READ_ONE, name],
        env={"PYTHONPATH": ":".join(sys.path), "PATH": ""},
        capture_output=True,
        check=False,
    )

    assert done.returncode == 0, done.stderr.decode()[-600:]
