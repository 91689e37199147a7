"""CSV files against what is published about them.

Source:
    RFC 4180 (2005), section 2: rows 1 to 7, with its own examples.
    OWASP, CSV Injection: cells that start with =, +, -, @, tab or carriage return.
    RFC 3629: UTF-8.
"""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from services.exports.table import csv_table

FORMULAS = ("=1+2", "+1+2", "-1+2", "@SUM(1)", "\t=1", "\r=1", '=HYPERLINK("x")', " =1+2", "＝1+2")
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)


def back(raw: bytes) -> list[list[str]]:
    """The records as a reader of RFC 4180 sees them."""
    return list(csv.reader(io.StringIO(raw.decode("utf-8"), newline=""), strict=True))


def test_records_end_in_crlf_the_last_one_too() -> None:
    """Rows 1 to 3, as in the RFC's example with a header line."""
    made = csv_table(
        ("field_name", "second", "third"), [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")]
    )

    assert made == b"field_name,second,third\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"


def test_commas_quotes_and_breaks_stand_in_quotes() -> None:
    """Rows 5 to 7, as in the RFC's examples."""
    made = csv_table(("a", "b", "c"), [("aaa", "b\r\nbb", "ccc"), ("aaa", 'b"bb', "x,y")])

    assert made == b'a,b,c\r\naaa,"b\r\nbb",ccc\r\naaa,"b""bb","x,y"\r\n'


@pytest.mark.parametrize("cell", FORMULAS)
def test_no_cell_is_a_formula(cell: str) -> None:
    """An apostrophe makes it text."""
    (_, (read,)) = back(csv_table(("says",), [(cell,)]))

    assert read == f"'{cell}"


def test_numbers_stay_numbers() -> None:
    """A negative one is no formula of ours; none is an empty cell."""
    assert back(csv_table(("a", "b", "c"), [(-3, 2.5, None)]))[1] == ["-3", "2.5", ""]


def test_a_record_of_another_length_is_refused() -> None:
    """Row 4: each line has the same number of fields."""
    with pytest.raises(ValueError, match="zip"):
        csv_table(("a", "b"), [("1",)])


@given(st.lists(st.tuples(TEXT, TEXT), max_size=5))
def test_whatever_is_written_is_read_back(rows: list[tuple[str, str]]) -> None:
    """In UTF-8, with at most the apostrophe before it."""
    read = back(csv_table(("a", "b"), rows))[1:]

    assert len(read) == len(rows)
    for was, now in zip(rows, read, strict=True):
        assert all(cell in {w, f"'{w}"} for w, cell in zip(was, now, strict=True))
