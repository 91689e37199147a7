"""The table of flat jobs: the template works, and what is wrong is named by line and column.

Source:
    RFC 4180: lines end in CRLF, a cell with a separator, a quote or a line's end stands in
    quotes, a quote inside it is doubled.
"""

from __future__ import annotations

import csv
import io
import json

import pytest

from schemas.errors import BadInput
from schemas.submission import Submission
from services import pipeline
from services.intake import read_document
from services.intake.flat import COLUMNS, FlatJob, read_table, template
from tests.builders import library

HEADS, EXAMPLE = csv.reader(io.StringIO(template(), newline=""))


def table(*rows: dict[str, str], separator: str = ",", leave_out: str = "") -> bytes:
    """A table of example rows with these cells changed."""
    text = io.StringIO(newline="")
    sheet = csv.writer(text, delimiter=separator)
    heads = [head for head in HEADS if head != leave_out]
    sheet.writerow(heads)
    for row in rows:
        cells = dict(zip(HEADS, EXAMPLE, strict=True)) | row
        sheet.writerow([cells[head] for head in heads])
    return text.getvalue().encode()


def tree(job: FlatJob) -> dict[str, object]:
    """The submission a row makes."""
    assert not job.problems
    found = json.loads(job.raw)
    assert isinstance(found, dict)
    return found


def whole_problems(raw: bytes) -> list[tuple[str, str]]:
    """Place and words of what is wrong with a file as a whole."""
    with pytest.raises(BadInput) as refused:
        read_table(raw)
    return [(p.pointer, p.says) for p in refused.value.problems]


def row_problems(**cells: str) -> list[tuple[str, str]]:
    """Place and words of what is wrong with an example row so changed."""
    (job,) = read_table(table({head.replace("_", " "): cell for head, cell in cells.items()}))
    if job.problems:
        return [(p.pointer, p.says) for p in job.problems]
    with pytest.raises(BadInput) as refused:
        read_document(job.raw, Submission)
    return [(p.pointer, p.says) for p in map(job.in_the_table, refused.value.problems)]


def test_the_templates_own_row_is_a_job_that_asks_nothing() -> None:
    """It is planned as it stands."""
    (job,) = read_table(template().encode())

    outcome = pipeline.make_plan(read_document(job.raw, Submission), library=library())

    assert (job.line, outcome.questions) == (2, ())
    assert outcome.plan is not None
    assert [leg.name for leg in outcome.plan.job.lines[0].legs] == ["A", "B", "C"]


def test_every_place_of_a_column_is_one_the_submission_has() -> None:
    """A row with every cell filled reads, or is refused for its values and not for its fields."""
    filled = {c.head: c.example or "1" for c in COLUMNS}
    filled |= {head: "left" for head in HEADS if head.endswith(("rails", "handrail"))}
    filled |= {head: "no" for head in HEADS if head.endswith("open risers")}
    filled |= {f"{s} leg": "A" for s in ("S1", "S2")} | {f"{s} slope": "34" for s in ("S1", "S2")}
    filled |= {f"{s} stands on": "landing" for s in ("S1", "S2")}
    filled |= {f"{leg} hand": "outside" for leg in "ABCDEFGH"} | {"H turn": "", "H hand": ""}

    (job,) = read_table(table(filled))

    read = read_document(job.raw, Submission)
    assert [leg.name for leg in read.lines[0].legs] == list("ABCDEFGH")
    assert [stair.name for stair in read.stairs] == ["S1", "S2"]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_separators_and_letters_of_the_usual_programs_are_read(
    separator: str, encoding: str
) -> None:
    """Byte order marks included."""
    sent = table({"customer": 'M. Ø\'Brien; "Reed"'}, separator=separator).decode()

    (job,) = read_table(sent.encode(encoding))

    assert tree(job)["site"]["customer"] == 'M. Ø\'Brien; "Reed"'  # type: ignore[index]


def test_heads_may_be_written_with_capitals_and_underscores() -> None:
    """As programs export them."""
    raw = table({}).replace(b"install date", b"Install_Date")

    assert tree(read_table(raw)[0])["install_date"] == "2026-12-03"


def test_an_empty_cell_leaves_a_field_out_and_an_unknown_code_is_null() -> None:
    """Null is the way to say unknown."""
    (job,) = read_table(table({"permit": "", "code profile": ""}))

    assert "permit" not in tree(job)
    assert tree(job)["code"] == {"profile": None}


def test_rows_are_counted_by_lines_of_the_file_not_by_rows() -> None:
    """A cell may hold a line's end; empty rows are passed over."""
    raw = table({"job": "F-1", "access": "gate\nleft"}, {"job": "F-2"})
    raw += b",,,\r\n"

    assert [job.line for job in read_table(raw)] == [2, 4]


def test_a_row_with_too_few_cells_names_its_line() -> None:
    """And keeps no other from being read."""
    raw = table({"job": "F-1"}) + b"F-2,1,heron\r\n"

    good, ragged = read_table(raw)

    assert not good.problems
    assert [(p.pointer, p.says) for p in ragged.problems] == [
        ("/3", f"3 cells under {len(HEADS)} heads")
    ]


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"", "the column 'job' is missing"),
        (template().encode().replace(b"F-1001", b'"F-1001'), "no table from line 2 on"),
        (template().encode().replace(b"P. Quill", b"P. Qu\xefll"), "line 2 is not UTF-8 text"),
        (table(), "no row under the heads"),
        (table(*[{}] * 2001), "over 2000 rows"),
        (b"x" * (5 * 1_048_576 + 1), "over 5 MiB"),
        (table({}, leave_out="crew"), "the column 'crew' is missing"),
        (table({}).replace(b"street", b"town", 1), "a column twice"),
        (table({}).replace(b"street", b"stret", 1), "no such column"),
    ],
)
def test_a_file_that_is_no_such_table_says_why(raw: bytes, says: str) -> None:
    """Before any row of it is taken in."""
    assert any(says in said for _, said in whole_problems(raw))


def test_a_head_nearly_right_is_named() -> None:
    """With the one that was meant."""
    with pytest.raises(BadInput) as refused:
        read_table(table({}).replace(b"street", b"stret", 1))

    assert any(p.mend == "did you mean 'street'?" for p in refused.value.problems)


def test_a_cell_that_does_not_read_is_named_by_line_and_column() -> None:
    """All of a row's at once."""
    assert row_problems(revision="one", A_turn="9O", post_treated="maybe", remove_feet="12,5") == [
        ("/2/revision", "not a whole number"),
        ("/2/post treated", "neither yes nor no"),
        ("/2/remove feet", "not a number"),
        ("/2/A turn", "not a number"),
    ]


def test_a_formula_is_no_value() -> None:
    """A sheet's formula that came along is refused, not sent on to other sheets."""
    assert row_problems(customer="=HYPERLINK(1)") == [("/2/customer", "a formula, not a value")]


@pytest.mark.parametrize(
    ("cells", "where"),
    [
        ({"A_length": "ten foot"}, "/2/A length"),
        ({"install_date": "3 December"}, "/2/install date"),
        ({"B_length": ""}, "/2/B length"),  # its turn and drop are there
        ({"A_turn": "", "A_hand": ""}, "/2"),  # no one column is at fault
        ({"S1_risers": "6"}, "/2/S1 leg"),
        ({"rail_system": "no such / thing"}, "/2/rail system"),
    ],
)
def test_a_problem_of_the_submission_points_at_its_column(
    cells: dict[str, str], where: str
) -> None:
    """In the table's words, not in those of a document the office never wrote."""
    assert where in [place for place, _ in row_problems(**cells)]


@pytest.mark.parametrize("more", [0, 1])
def test_more_than_twice_the_columns_are_not_looked_at_one_by_one(more: int) -> None:
    """At the border every strange head is named; beyond it only that there are too many."""
    count = 2 * len(COLUMNS) + more
    with pytest.raises(BadInput) as no:
        read_table(b",".join(b"strange%d" % n for n in range(count)) + b"\n1\n")

    told = no.value.problems
    assert (len(told) > count) is not bool(more)
    assert f"{count} columns" in told[0].says or not more
