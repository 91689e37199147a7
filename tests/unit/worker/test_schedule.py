"""The schedule on a set clock: nights start, end, catch up, and never run twice at once."""

from __future__ import annotations

import threading
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from schemas.errors import NotNow
from tests.yard import THURSDAY, ZONE, Yard
from worker.bell import KeptBell
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.ledger.moves import locked
from worker.ledger.nights import Overtaken, close_night, night_for
from worker.ledger.tables import night_runs, nights
from worker.night.alone import alone, night_lock
from worker.night.delivery import deliver_to
from worker.night.run import end_night, run_night, start_night
from worker.schedule import tick

MEMORY = pytest.mark.parametrize("ledger_url", ["sqlite in memory"], indirect=True)
SERVERS = pytest.mark.parametrize("ledger_url", ["sqlite file", "postgresql"], indirect=True)


@pytest.fixture
def yard(works: Works, clock: SetClock) -> Yard:
    """On each kind of ledger."""
    return Yard(works, clock)


def test_a_night_runs_by_itself_in_the_evening_and_again_before_dawn(yard: Yard) -> None:
    """What came in between is made by the last run, and nothing else is made again."""
    yard.at("2026-12-02T16:00")
    yard.bring("H-1")
    yard.pass_by(2)
    evening = yard.report(THURSDAY)
    yard.bring("H-2")
    yard.pass_by(12)
    last = yard.report(THURSDAY)

    assert (evening.run, evening.jobs_due, evening.packs_made) == (1, 1, 1)
    assert (last.run, last.jobs_due, last.packs_made, last.complete) == (2, 2, 1, True)
    assert [run for run in yard.runs() if run[0] == "2026-12-03"] == [
        ("2026-12-03", "evening", "done"),
        ("2026-12-03", "last", "done"),
    ]


@MEMORY
@pytest.mark.parametrize("sunday", [date(2026, 3, 8), date(2026, 11, 1)])
def test_on_both_daylight_saving_nights_each_run_starts_once(yard: Yard, sunday: date) -> None:
    """A job stands on the Sunday in whose night the clock is moved; its last run is at 03:00."""
    yard.at(f"{sunday - timedelta(days=2)}T12:00")
    yard.bring("H-1", day=sunday)

    yard.pass_by(48)

    assert [run for run in yard.runs() if run[0] == str(sunday)] == [
        (str(sunday), "evening", "done"),
        (str(sunday), "last", "done"),
    ]
    with yard.works.ledger.writing() as tx:
        last = tx.sql.execute(
            night_runs.select().where(night_runs.c.work_date == sunday, night_runs.c.kind == "last")
        ).one()
    started = datetime.fromtimestamp(last.started_ms / 1000, tz=ZONE)
    assert started.strftime("%H:%M") == "03:00"
    assert yard.report(sunday).complete


def test_after_a_day_of_downtime_the_missed_night_is_made_at_once(yard: Yard) -> None:
    """Its evening run is not made up for besides."""
    yard.at("2026-12-02T12:00")
    yard.bring("H-1")
    yard.look()
    yard.at("2026-12-03T12:00")

    yard.pass_by(2)

    thursday = [run for run in yard.runs() if run[0] == "2026-12-03"]
    assert thursday == [("2026-12-03", "last", "done")]
    assert [p.job for crew in yard.report(THURSDAY).crews for p in crew.packs] == ["H-1"]


def test_a_late_run_still_waits_for_its_packs(yard: Yard) -> None:
    """Started hours after bundles should have lain ready, nothing counts as missing at once."""
    yard.at("2026-12-03T12:00")
    yard.bring("H-1")

    yard.look()
    yard.look()
    yard.clock.move(60)
    yard.look()

    assert yard.report(THURSDAY).on_day_sheets == 1


def test_packs_that_never_come_do_not_hold_up_the_report(yard: Yard) -> None:
    """With every worker gone, the last run ends by itself and says what is missing."""
    yard.at("2026-12-03T02:50")
    yard.bring("H-1")
    for _ in range(9):
        yard.clock.move(1200)
        tick(yard.works, KeptBell(), holder="host:1")

    report = yard.report(THURSDAY)
    assert [(e.job, e.reason) for e in report.exceptions] == [
        ("H-1", "not finished by the cut-off")
    ]
    assert report.faults == ("crew heron has no bundle",)


def test_a_night_nobody_ran_is_written_down_as_missed(yard: Yard) -> None:
    """After two days of downtime; today's is made all the same."""
    yard.at("2026-12-02T12:00")
    yard.bring("H-1", day=date(2026, 12, 3))
    yard.bring("H-2", day=date(2026, 12, 4))
    yard.at("2026-12-04T04:00")

    yard.pass_by(1)

    assert yard.runs() == [
        ("2026-12-03", "missed", "missed"),
        ("2026-12-04", "last", "done"),
    ]


def test_a_look_that_died_in_the_middle_is_gone_on_with(yard: Yard) -> None:
    """The night was opened and the run not yet written down as running: it is opened again."""
    yard.at("2026-12-02T16:30")
    yard.bring("H-1")
    start_night(yard.works, day=THURSDAY, issued="2026-12-02")

    yard.pass_by(1)

    assert ("2026-12-03", "evening", "done") in yard.runs()
    assert yard.report(THURSDAY).complete


def test_while_somebody_runs_a_night_by_hand_the_schedule_leaves_it_alone(yard: Yard) -> None:
    """And takes it up when they are gone."""
    yard.at("2026-12-02T16:30")
    yard.bring("H-1")
    with alone(yard.works, night_lock(yard.works, THURSDAY), holder="office:9"):
        yard.look()
        assert ("2026-12-03", "evening", "due") in yard.runs()

    yard.pass_by(1)

    assert ("2026-12-03", "evening", "done") in yard.runs()


def test_a_night_cannot_be_run_by_hand_twice_at_once(yard: Yard, tmp_path: Path) -> None:
    """The second is told who runs it."""
    with (
        alone(yard.works, night_lock(yard.works, THURSDAY), holder="office:9"),
        pytest.raises(NotNow, match=r"the night for 2026-12-03 is being run by office:9"),
    ):
        run_night(yard.works, day=THURSDAY, out=tmp_path, workers=0)


def test_a_run_that_was_overtaken_delivers_and_closes_nothing(yard: Yard, tmp_path: Path) -> None:
    """It lost its lock, another run started, and it comes back late."""
    yard.bring("H-1")
    lost = start_night(yard.works, day=THURSDAY, issued="2026-12-02")
    start_night(yard.works, day=THURSDAY, issued="2026-12-02")

    for late in (
        lambda: deliver_to(yard.works, lost, tmp_path),
        lambda: end_night(yard.works, lost, tmp_path),
    ):
        with pytest.raises(Overtaken, match="run 1 for 2026-12-03 was overtaken by run 2"):
            late()
    with pytest.raises(Overtaken), yard.works.ledger.writing() as tx:
        close_night(tx, lost, report="")
    with yard.works.ledger.writing() as tx:
        row = locked(tx, nights, lost.id)
    assert row is not None
    assert (row.state, row.runs) == ("open", 2)


@SERVERS
def test_many_schedulers_at_the_same_moment_start_a_run_once(yard: Yard) -> None:
    """Eight threads look together; the night has one run."""
    yard.at("2026-12-02T16:30")
    yard.bring("H-1")
    looks = [
        threading.Thread(target=tick, args=(yard.works, KeptBell()), kwargs={"holder": f"host:{n}"})
        for n in range(8)
    ]
    for look in looks:
        look.start()
    for look in looks:
        look.join()

    with yard.works.ledger.writing() as tx:
        night = night_for(tx, company="saltmarsh", day=THURSDAY)
    assert night is not None
    assert night.runs == 1


@MEMORY
def test_over_a_fortnight_with_holidays_every_work_day_has_its_night(yard: Yard) -> None:
    """Looked at every four hours from 21 December to 4 January, with a job on every day."""
    yard.at("2026-12-20T12:00")
    days = [date(2026, 12, 21) + timedelta(days=n) for n in range(12)]
    for day in days:
        yard.bring(f"H-{day:%m%d}", day=day)

    yard.pass_by(13 * 24, step=timedelta(hours=4))

    for day in days:
        assert [p.job for c in yard.report(day).crews for p in c.packs] == [f"H-{day:%m%d}"]
        assert (str(day), "last", "done") in yard.runs()
