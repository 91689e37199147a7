"""A night that breaks: the others go on, it is tried again, then set aside and told."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

import pytest

from schemas.job import Library
from schemas.site import Question
from tests.stand_in import StandIn
from tests.yard import THURSDAY, Yard
from worker.bell import KeptBell
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.health import look, nights_aside
from worker.ledger.runs import STRIKES, ask, set_aside
from worker.ledger.tables import events

FIRST, LAST = date.min, date.max
"""No day before the one, none after the other: whatever reckons with their eve breaks."""


class BadPlate(StandIn):
    """A computation whose look at the whole night breaks, as a fault of ours would."""

    def check_night(self, plans: Iterable[bytes], *, library: Library) -> tuple[Question, ...]:
        """Break, whatever is shown."""
        del plans, library
        msg = "a bad plate"
        raise RuntimeError(msg)


@pytest.fixture
def yard(works: Works, clock: SetClock) -> Yard:
    """On each kind of ledger, the evening before Thursday; Wednesday's night is over."""
    yard = Yard(works, clock)
    yard.at("2026-12-02T12:00")
    for _ in range(3):
        yard.look()
    yard.at("2026-12-02T16:30")
    yard.bring("H-1")
    return yard


def asked_for(yard: Yard, *days: date) -> None:
    """Have nights asked for behind the doors, which refuse such days."""
    with yard.works.ledger.writing() as tx:
        for day in days:
            ask(tx, yard.works.library.company.key, day, patience=60)


def aside(yard: Yard) -> list[date]:
    """Days whose night is set aside."""
    with yard.works.ledger.writing() as tx:
        return [run.work_date for run in set_aside(tx, yard.works.library.company.key)]


def test_nights_that_break_stop_no_other(yard: Yard) -> None:
    """The first and the last day there are were asked for; Thursday's paper is made."""
    asked_for(yard, FIRST, LAST)

    yard.pass_by(2)

    assert ("2026-12-03", "evening", "done") in yard.runs()
    assert yard.report(THURSDAY).complete
    assert aside(yard) == [FIRST, LAST]


def test_a_broken_night_is_tried_some_looks_and_then_left_alone(yard: Yard) -> None:
    """Each try is on record with its error; after the last one nothing is tried any more."""
    yard.works = replace(yard.works, pipeline=BadPlate())
    yard.look()
    yard.look()
    states = []
    for _ in range(STRIKES + 2):
        yard.look()
        states.append(yard.runs()[1][2])
    with yard.works.ledger.writing() as tx:
        told = tx.sql.execute(events.select().where(events.c.cause.startswith("broke: "))).all()

    assert states == ["running"] * (STRIKES - 1) + ["failed"] * 3
    assert [event.cause for event in told] == ["broke: RuntimeError: a bad plate"] * STRIKES


def test_health_says_which_night_is_set_aside_until_it_is_run(yard: Yard) -> None:
    """By its day and error; well again once its cause is mended and it has been run."""
    whole, yard.works = yard.works, replace(yard.works, pipeline=BadPlate())
    for _ in range(2 + STRIKES):
        yard.look()
    parts = {part.what: part for part in look(yard.works, KeptBell())}
    yard.works = whole
    asked_for(yard, THURSDAY)
    for _ in range(3):
        yard.clock.move(60)
        yard.look()

    assert not parts["nights"].well
    assert "2026-12-03 is set aside: RuntimeError: a bad plate" in parts["nights"].says
    assert nights_aside(yard.works) == ""
    assert yard.report(THURSDAY).complete


def test_a_fault_that_mends_itself_costs_no_night(yard: Yard) -> None:
    """Fewer looks than that, and the evening's run is made as if nothing had been."""
    whole, yard.works = yard.works, replace(yard.works, pipeline=BadPlate())
    for _ in range(2 + STRIKES - 1):
        yard.look()

    yard.works = whole
    yard.pass_by(1)

    assert yard.report(THURSDAY).complete
    assert aside(yard) == []
