"""Logs: one JSON object a line, bound to the row at work, without payloads."""

from __future__ import annotations

import json
import logging
import sys
from collections.abc import Iterator
from io import StringIO

import pytest
import structlog

from tests.stand_in import submission_of
from worker.bootstrap import Works
from worker.desk import submit
from worker.logs import logger, set_up
from worker.making import make_pack
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


def test_a_swapped_standard_error_that_was_closed_breaks_no_later_line(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A command run inside another program has its own for a while; a thread logs on after it."""
    lent, own = StringIO(), StringIO()
    monkeypatch.setattr(sys, "stderr", lent)
    set_up(Settings(log="json"))
    logger("worker.test").warning("first")
    monkeypatch.setattr(sys, "stderr", own)
    lent.close()

    logging.getLogger("mail.log").warning("later")

    assert json.loads(own.getvalue())["event"] == "later"


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


def test_what_goes_wrong_with_a_pack_is_logged_with_its_job(works: Works, lines: StringIO) -> None:
    """And the job's name is gone from the lines after it."""
    job_id = submit(works, submission_of("J-1", "raise"), came_as="J-1", wanted="packs").job_id

    make_pack(works, job_id, holder="host:1")
    inside = last(lines)
    logger("worker.test").warning("later")

    assert (inside["event"], inside["job"], inside["revision"]) == ("not made", "J-1", 1)
    assert "job" not in last(lines)
