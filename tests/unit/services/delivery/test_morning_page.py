"""The morning page: red, yellow or green first, then every crew, then what is on no sheet."""

from __future__ import annotations

from io import BytesIO

import pypdfium2
import pytest

from schemas.delivery import NightReport
from services.pipeline import make_morning_page
from tests.builders import library
from tests.night_reports import BARE, HELD, LATE, crew, report


def pages(told: NightReport) -> list[str]:
    """The page's text, as another library reads it."""
    pdf = pypdfium2.PdfDocument(BytesIO(make_morning_page(told, library=library())))
    return [page.get_textpage().get_text_bounded() for page in pdf]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({}, "GREEN: every crew has a bundle, every job due is in one."),
        ({"exceptions": (HELD,), "excepted": 1, "jobs_due": 4}, "YELLOW:"),
        ({"late": (LATE,)}, "YELLOW:"),
        ({"unlabelled": (BARE,)}, "YELLOW:"),
        (
            {"crews": (crew("heron", state="failed"),), "complete": False},
            "RED: no bundle for heron",
        ),
        ({"complete": False, "faults": ("P-9 is due and named nowhere",)}, "RED: the night is not"),
    ],
)
def test_the_first_line_says_whether_every_crew_has_its_paper(
    changes: dict[str, object], says: str
) -> None:
    """Before any number."""
    (page,) = pages(report(**changes))

    assert says in page


def test_every_crew_job_and_code_is_named() -> None:
    """The office compares codes with what crews hold."""
    (page,) = pages(report(exceptions=(HELD,), late=(LATE,)))

    for word in ("heron", "wren", "P-1", "P-2", "P-3", "7f3a9c21bd", "c0ffee", "which leg?"):
        assert word in page


def test_a_job_without_labels_is_named_with_the_reason() -> None:
    """And what its crew cuts by instead."""
    (page,) = pages(report(unlabelled=(BARE,)))

    assert "No labels: cut by the tickets in the pack" in page
    assert "P-2 r1, crew heron: a label of 1 in is too small" in page


def test_twelve_crews_and_a_bad_night_stay_on_one_page() -> None:
    """Three jobs a crew, three held jobs, a late change; lists that are longer are counted."""
    crews = tuple(crew(f"crew-{n:02}", *(f"P-{n}{k}" for k in range(3))) for n in range(12))
    told = report(crews=crews, exceptions=(HELD,) * 3, late=(LATE,), jobs_due=39, excepted=3)

    (page,) = pages(told)
    assert all(f"{word} " in page for word in ("crew-00", "crew-11", "Sides"))
    assert "and 8 more: see the report" in "".join(pages(report(exceptions=(HELD,) * 20)))
