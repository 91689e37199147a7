"""Printed on both sides: what is cut apart or given away has leaves of its own.

Source:
    A leaf's two sides are pages 1 and 2, 3 and 4, and so on: common practice of any printer.
"""

from __future__ import annotations

from functools import cache

import pytest

from schemas.pack import PackFile
from schemas.pages import Prose, Sheet
from schemas.plan import Plan
from services.paper.book import Part, set_book
from services.pipeline import make_pack
from tests.paper.readers import texts
from tests.paper.sample_book import imprint
from tests.planned import plan

EMPTY = "left empty"
JOBS = ["l-deck", "porch", "corner-45"]


def both_sides(name: str) -> Plan:
    """A demo job whose crew prints on both sides."""
    made = plan(name)
    crews = tuple(c.model_copy(update={"duplex": True}) for c in made.job.company.crews)
    company = made.job.company.model_copy(update={"crews": crews})
    return made.model_copy(update={"job": made.job.model_copy(update={"company": company})})


@cache
def printed(name: str) -> tuple[PackFile, tuple[str, ...]]:
    """Its pack, and what each page says."""
    pack = make_pack(both_sides(name), issued="today")
    return pack, tuple(texts(pack.pdf))


def pages_of(name: str, key: str) -> list[int]:
    """Pages of a sheet, counted from 1, empty ones left out."""
    pack, said = printed(name)
    (title,) = {title for k, title, _ in pack.sheets if k == key}
    return [n for n, page in enumerate(said, 1) if page.lstrip().startswith(title)]


@pytest.mark.parametrize("name", JOBS)
def test_nothing_is_printed_on_the_back_of_tickets(name: str) -> None:
    """They are cut apart: each page of them is a front, its back says that it is left empty."""
    _, said = printed(name)
    pages = pages_of(name, "cut-tickets")

    assert pages
    for page in pages:
        assert page % 2 == 1
        assert EMPTY in said[page]


@pytest.mark.parametrize("key", ["homeowner", "open-edge"])
@pytest.mark.parametrize("name", JOBS)
def test_what_is_given_away_takes_no_other_sheet_along(name: str, key: str) -> None:
    """It begins on a front, and its last leaf ends with it."""
    _, said = printed(name)
    pages = pages_of(name, key)

    assert pages[0] % 2 == 1
    after = pages[-1] + pages[-1] % 2
    assert all(EMPTY in page for page in said[pages[-1] : after])


@pytest.mark.parametrize("name", JOBS)
def test_pages_are_numbered_as_if_no_side_were_empty(name: str) -> None:
    """Sheet i of k counts what is printed; empty backs are not missing sheets."""
    one_sided = make_pack(plan(name), issued="today")
    pack, said = printed(name)

    full = [page for page in said if EMPTY not in page]

    assert len(full) == one_sided.pages
    assert all(f"sheet {n} of {len(full)}" in page for n, page in enumerate(full, 1))
    assert pack.code == one_sided.code


def test_one_sided_packs_have_no_empty_side() -> None:
    """A crew that prints on one side turns no leaf."""
    assert not any(EMPTY in page for page in texts(make_pack(plan("porch"), issued="today").pdf))


def test_last_leaf_of_a_file_is_left_as_it_is() -> None:
    """No empty page is added at the end, where nothing follows."""
    own = Sheet(key="a", title="A", leaf="own", blocks=(Prose(text="Text."),))

    book = set_book(parts=[Part(imprint=imprint(), sheets=(own,))], size="letter", duplex=True)

    assert book.pages == 1
