"""Words of every language find the room that the sheets and drawings keep for them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from functools import cache

import pytest

from schemas.bundle import Missing, Stop
from schemas.company import Crew
from schemas.job import Library
from schemas.pages import Sheet, Table
from schemas.plan import Plan
from schemas.wording import say
from services import bundle, drawings, pipeline
from services.drawings.boxes import outside, overlapping
from services.paper.book import Part, set_book
from services.paper.frame import SIZES, PaperSize, inside_margins
from services.paper.type import BOLD, CUT, REGULAR, width
from services.wording import LANGUAGES, tell, tell_sheets, words_for
from tests.builders import JOBS, document, library, submission
from tests.paper.readers import texts
from worker.splitting import days_of

PLANNED = [name for name in JOBS if name not in {"held", "refused"}]
TOLD = [(name, language) for name in PLANNED for language in LANGUAGES]
MEASURE = re.compile(r"\d+ \d+/\d+")
DAY = date(2026, 12, 3)
LEAST = 9
"""Smallest type of a head: anything smaller is not read outdoors. [pt]"""


def books(language: str) -> Library:
    """The demo's library with all crews of one language, on the paper that the demo gives them."""
    demo = library()
    crews = tuple(crew.model_copy(update={"language": language}) for crew in demo.company.crews)
    return demo.model_copy(update={"company": demo.company.model_copy(update={"crews": crews})})


@cache
def planned(name: str, language: str) -> Plan:
    """A demo job for a crew of that language."""
    plan = pipeline.make_plan(submission(name), library=books(language)).plan
    assert plan is not None
    return plan


def on_paper(plan: Plan, size: PaperSize) -> Plan:
    """The same job for a crew that prints on that paper."""
    crews = tuple(crew.model_copy(update={"paper": size}) for crew in plan.job.company.crews)
    company = plan.job.company.model_copy(update={"crews": crews})
    return plan.model_copy(update={"job": plan.job.model_copy(update={"company": company})})


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("name", "language"), TOLD)
def test_nothing_printed_is_cut_short(name: str, language: str, size: PaperSize) -> None:
    """No text of a pack ends in the sign that says it was too long for its place."""
    pack = pipeline.make_pack(on_paper(planned(name, language), size), issued="2026-12-02")

    assert [page for page, text in enumerate(texts(pack.pdf), 1) if CUT in text] == []


@pytest.mark.parametrize(("name", "language"), TOLD)
def test_no_label_of_a_ticket_is_cut_short(name: str, language: str) -> None:
    """Nor does a line of it fall off the company's label stock: that would be refused."""
    labels = pipeline.make_labels(planned(name, language), issued="2026-12-02")

    assert [page for page, text in enumerate(texts(labels.content), 1) if CUT in text] == []


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("language", LANGUAGES)
def test_the_day_sheet_is_not_cut_short(language: str, size: PaperSize) -> None:
    """A day of two stops, one of which replaces an older pack, and a job without a pack."""
    sheets = day_sheets(language)
    stamp = bundle.day_imprint(
        company=books(language).company, crew=team(language), day=DAY, code="7K2M-Q9DX",
        issued="2026-12-02",
    )  # fmt: skip

    printed = set_book(
        parts=(Part(imprint=tell(stamp, words_for(team(language).language)), sheets=sheets),),
        size=size,
    )

    assert [page for page, text in enumerate(texts(printed.pdf), 1) if CUT in text] == []
    assert broken_heads(sheets) == set()


@pytest.mark.parametrize(("name", "language"), TOLD)
def test_labels_of_drawings_keep_apart(name: str, language: str) -> None:
    """Longer words move their neighbours, never cover them."""
    drawn = drawings.draw(planned(name, language))

    met = {
        drawing.name: [(one.text, other.text) for one, other in overlapping(drawing)]
        for drawing in drawn
        if overlapping(drawing) or outside(drawing)
    }
    assert met == {}


@pytest.mark.parametrize(("name", "language"), TOLD)
def test_no_word_of_a_head_is_broken(name: str, language: str) -> None:
    """The longest word of every head fits its column at the smallest type that is read."""
    assert broken_heads(pipeline.make_sheets(planned(name, language))) == set()


@pytest.mark.parametrize(("name", "language"), TOLD)
def test_no_measure_is_broken(name: str, language: str) -> None:
    """A whole number and its fraction stand in one line of their cell."""
    sheets = pipeline.make_sheets(planned(name, language))

    broken = {
        f"{sheet.key}: {cell}"
        for sheet in sheets
        for table in tables(sheet)
        for row in table.rows
        for column, cell, room in zip(table.columns, row.cells, rooms(table), strict=True)
        if MEASURE.fullmatch(cell)
        and width(cell, LEAST, BOLD if column.bold or row.strong else REGULAR) > room
    }
    assert broken == set()


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("number", [1, 2])
def test_a_day_of_a_split_job_is_not_cut_short(number: int, language: str) -> None:
    """Its hand-over sheet among them, with heads and measures whole."""
    tree = days_of(document("l-deck"), day=DAY.replace(day=9), crew="wren")[number - 1]
    plan = pipeline.make_plan(submission(tree), library=books(language)).plan
    assert plan is not None

    pack = pipeline.make_pack(plan, issued="2026-12-02")

    assert [page for page, text in enumerate(texts(pack.pdf), 1) if CUT in text] == []
    assert broken_heads(pipeline.make_sheets(plan)) == set()


def team(language: str) -> Crew:
    """The crew whose day it is."""
    return next(crew for crew in books(language).company.crews if crew.key == "plover")


def day_sheets(language: str) -> tuple[Sheet, ...]:
    """What lies on top of that crew's packs."""
    stops = [
        Stop(plan=planned("l-deck", language), code="7K2M-Q9DX", replaces="4R0W-HJMS"),
        Stop(plan=planned("two-stair-sides", language), code="7TCN-PE3S", replaces="nothing"),
    ]
    missing = [Missing(job="P-2046", revision=1, why=say("held: {asks}", asks="S1"))]
    english = bundle.day_sheets(
        company=books(language).company, crew=team(language), day=DAY, stops=stops,
        missing=missing,
        booked=pipeline.check_day([s.plan for s in stops], library=books(language)),
    )  # fmt: skip
    return tell_sheets(english, words_for(team(language).language))


def broken_heads(sheets: Iterable[Sheet]) -> set[str]:
    """Words of heads that are wider than their column at the smallest type."""
    return {
        f"{sheet.key}: {word}"
        for sheet in sheets
        for table in tables(sheet)
        for column, room in zip(table.columns, rooms(table), strict=True)
        for word in re.split(r"\s+", str(column.head))
        if width(word, LEAST, BOLD) > room
    }


def tables(sheet: Sheet) -> list[Table]:
    """The tables of a sheet."""
    return [block for block in sheet.blocks if isinstance(block, Table)]


def rooms(table: Table) -> list[float]:
    """Width of each column's words on the narrower paper. [pt]."""
    frame = min(inside_margins("letter").width, inside_margins("a4").width)
    shares = sum(column.share for column in table.columns)
    sides = 6 if table.size == "dense" else 8
    return [frame * column.share / shares - sides for column in table.columns]
