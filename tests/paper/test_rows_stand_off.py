"""Rows of a table stand clear of the rules above and under them.

Source:
    At least 2 pt of white between type and a rule, about the thickness of a felt pen's
    line on a copy (own judgement).
"""

import pytest

from schemas.pages import Column, Row, Table
from tests.paper.readers import segments
from tests.paper.test_blocks import body, printed

CLEAR = 2.0
"""[pt]"""


def dense(cell: str, rows: int) -> bytes:
    """A dense table of one column."""
    columns = (Column(head="rows"), Column(head="rows"))
    return printed(
        Table(
            columns=columns, rows=tuple(Row(cells=(cell, cell)) for _ in range(rows)), size="dense"
        )
    )


def clearances(pdf: bytes) -> list[tuple[float, float]]:
    """White under and over each letter of the rows, to the nearest rules. [pt]."""
    rules = sorted({s.y0 for s in segments(pdf, 0) if s.y0 == s.y1 and s.x1 - s.x0 > 300})
    letters = [char for char in body(pdf) if char.text in "0123456789Agjy()"]
    return [
        (
            min(char.bottom - y for y in rules if y <= char.bottom + 1),
            min(y - char.top for y in rules if y >= char.top - 1),
        )
        for char in letters
    ]


@pytest.mark.parametrize("rows", [1, 5, 8, 9, 20])
def test_figures_stand_clear_of_both_rules(rows: int) -> None:
    """In the first row, the last row, and the only row; in a table of any length."""
    pairs = clearances(dense("217 1/4", rows))

    assert len(pairs) >= 10 * rows
    assert all(under >= CLEAR and over >= CLEAR for under, over in pairs)


@pytest.mark.parametrize("rows", [1, 8])
def test_letters_with_tails_stand_clear_in_a_short_table(rows: int) -> None:
    """Names and brackets hang lower than figures do."""
    pairs = clearances(dense("Agjy (5)", rows))

    assert all(under >= CLEAR and over >= CLEAR for under, over in pairs)
