"""The forty-two checks of a measure, each tripped and each just not, through the whole program."""

from __future__ import annotations

import pytest

from tests import builders
from tests.check_rows import ROWS, Case, planned

CASES = [
    pytest.param(number, case, id=f"{number}-{case.key}-{place}")
    for number, (_, cases) in ROWS.items()
    for place, case in enumerate(cases, start=1)
]


def test_the_table_is_whole() -> None:
    """Forty-two checks, none left out, each with something that trips it."""
    assert list(ROWS) == list(range(1, 43))
    assert all(what and cases for what, cases in ROWS.values())


@pytest.mark.parametrize(("number", "case"), CASES)
def test_a_check_is_tripped_and_just_not(number: int, case: Case) -> None:
    """At one side of its border the question stands with its severity, at the other it does not."""
    asks = case.asks or planned
    books = case.books or builders.library()

    tripped = asks(case.trips, books)
    near = asks(case.near, case.near_books or books)

    assert tripped.get(case.key) == case.severity, (number, tripped)
    assert near.get(case.key) == case.otherwise, (number, near)
