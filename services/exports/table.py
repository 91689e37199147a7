"""A table as CSV that any spreadsheet reads and none is taken over by.

Source:
    RFC 4180: records end in CRLF, a field with comma, quote or line break stands in double
    quotes, a quote in it is doubled, all records have the same number of fields.
    OWASP, CSV Injection: a cell that starts with ``=``, ``+``, ``-``, ``@``, tab or carriage
    return is a formula to a spreadsheet; a quote mark before it makes it text.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

Cell = str | int | float | None

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""The last four are the full-width forms, which some spreadsheets read alike."""


def csv_table(heads: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """The table in UTF-8, its heads first.

    Numbers are written as they are; text that a spreadsheet would take for a formula gets an
    apostrophe before it. None is an empty cell.

    Raises:
        ValueError: A row of another length than the heads.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(heads)
    for row in rows:
        writer.writerow([_safe(cell) for _, cell in zip(heads, row, strict=True)])
    return text.getvalue().encode()


def _safe(cell: Cell) -> Cell:
    if isinstance(cell, str) and cell.lstrip(" ").startswith(_FORMULA_STARTS):
        return f"'{cell}"
    return cell


def money(cents: int) -> str:
    """An amount with its hundredths, e.g. ``1234.50``."""
    return f"{cents // 100}.{cents % 100:02d}"
