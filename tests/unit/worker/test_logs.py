"""Logs: one JSON object a line, bound to the row at work, without payloads."""

from __future__ import annotations

import json
import logging
from collections.abc import Iterator
from io import StringIO

import pytest
import structlog

from worker.logs import logger, set_up
from worker.settings import Settings


@pytest.fixture
def lines() -> Iterator[StringIO]:
    """What is logged from here on."""
    written = StringIO()
    set_up(Settings(log="json"), to=written)
    yield written
    set_up(Settings(log="json"))


def last(lines: StringIO) -> dict[str, object]:
    """The last line, read."""
    line: dict[str, object] = json.loads(lines.getvalue().splitlines()[-1])
    return line


def test_an_event_carries_its_keys_and_the_row_it_is_bound_to(
    lines: StringIO,
) -> None:
    """Bound at task start, gone at its end."""
    with structlog.contextvars.bound_contextvars(row=7):
        logger("worker.test").warning("not made", why="odd")
    inside = last(lines)
    logger("worker.test").warning("later")

    assert (inside["event"], inside["why"], inside["row"]) == ("not made", "odd", 7)
    assert "row" not in last(lines)


def test_the_librarys_own_loggers_come_out_the_same_way(
    lines: StringIO,
) -> None:
    """The queue's lines too, whatever stands in them."""
    logging.getLogger("celery").error('two\nlines {"level": "x"}')

    assert last(lines)["event"] == 'two\nlines {"level": "x"}'


def test_a_traceback_shows_no_values_of_variables(lines: StringIO) -> None:
    """A customer's name does not end in a log file."""
    customer = "M. Castellane"
    try:
        int(f"13 {customer.upper()}"[:2] + "x")
    except ValueError:
        logger("worker.test").exception("not made")

    text = lines.getvalue()
    assert "ValueError" in text
    assert "Castellane" not in text
