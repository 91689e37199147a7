"""Faults of the schedule, the clock and the printers: nights that nobody starts by hand.

The keeper (`dawnpack serve`'s or `schedule`'s inside: scheduler, workers, post) runs as a process
of its own, on a clock that stands at the evening before the work day, or at the last run.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from random import Random
from typing import Final

from sqlalchemy import select

from tests.faults.cases import Case
from tests.faults.house import EVENING, LIMIT, WORKERS, ZONE, House
from tests.gate import waited
from tests.printers import PaperTray, paper_tray
from tests.stand_in import DAY
from worker.fail_points import COUNTED_IN, STRIKE
from worker.ledger.opening import Tx
from worker.ledger.tables import night_runs, prints
from worker.library import DEMO

LAST_RUN: Final = datetime(2026, 12, 3, 3, 30, tzinfo=ZONE)
HOUR: Final = 3600.0


def every_case() -> list[Case]:
    """All of them."""
    return [*_SCHEDULE, *_CLOCK, *_PRINTERS]


@contextmanager
def _kept(
    house: House, at: datetime, *, gated: bool = True, environ: dict[str, str] | None = None
) -> Iterator[subprocess.Popen[bytes]]:
    """The house kept from a moment on, its workers at the gate."""
    house.root.mkdir(parents=True, exist_ok=True)
    house.clock.put(at.timestamp() - time.time())
    house.delivers_to = house.settings.nights / DAY.isoformat()
    house.submit()
    with _keeping(house, gated=gated, environ=environ) as keeper:
        yield keeper


@contextmanager
def _keeping(
    house: House, *, gated: bool, environ: dict[str, str] | None = None
) -> Iterator[subprocess.Popen[bytes]]:
    house.runs += 1
    if gated:
        house.gate.shut()
    environ = {**(environ or {}), **(house.gate.environ if gated else {})}
    keeper = house.start("keep", environ=environ)
    try:
        if gated:
            house.gate.until_waiting(WORKERS, alive=lambda: keeper.poll() is None)
        yield keeper
    finally:
        house.gate.open()
        keeper.terminate()
        keeper.wait(LIMIT)


def _done(kind: str) -> Callable[[Tx], bool]:
    """Whether the schedule's run of that kind for the day has ended."""

    def looked(tx: Tx) -> bool:
        day = night_runs.c.work_date == DAY, night_runs.c.kind == kind
        return tx.sql.scalar(select(night_runs.c.state).where(*day)) == "done"

    return looked


def _kill_schedulers(house: House, _: Random) -> None:
    """The scheduler dies twice while the night is under way; its keeper replaces it."""
    with _kept(house, EVENING) as keeper:
        for _turn in range(2):
            _kill_scheduler(keeper)
        house.gate.open()
        house.until(_done("evening"), "the evening's run does not end")


def _kill_scheduler(keeper: subprocess.Popen[bytes]) -> None:
    waited(lambda: _scheduler(keeper), "there is no scheduler")
    beat = _scheduler(keeper)
    os.kill(beat, signal.SIGKILL)
    waited(lambda: _scheduler(keeper) not in {0, beat}, "no scheduler in its place")


def _scheduler(keeper: subprocess.Popen[bytes]) -> int:
    """The scheduler's process; 0 for none."""
    for path in Path(f"/proc/{keeper.pid}/task").glob("*/children"):
        for child in path.read_text("ascii").split():
            try:
                said = Path(f"/proc/{child}/cmdline").read_bytes().split(b"\0")
            except FileNotFoundError:
                continue
            if b"beat" in said and b"worker.leash" not in said:
                return int(child)
    return 0


def _kill_keeper(house: House, _: Random) -> None:
    """All of it dies at once, as when the machine's memory is gone; it is started again."""
    with _kept(house, EVENING) as keeper:
        keeper.kill()
        keeper.wait()
    with _keeping(house, gated=False):
        house.until(_done("evening"), "the evening's run does not end")


def _keep_twice(house: House, _: Random) -> None:
    """Two keepers, each with scheduler and workers, on one ledger and store."""
    with _kept(house, EVENING):
        second = house.start("keep")
        try:
            time.sleep(3.0)
            assert second.poll() is None
            house.gate.open()
            house.until(_done("evening"), "the evening's run does not end")
        finally:
            second.terminate()
            second.wait(LIMIT)


def _look_killed(point: str) -> Callable[[House, Random], None]:
    """The worker that looks at the nights dies while it ends one."""

    def run(house: House, _: Random) -> None:
        counted = house.root / "counted"
        counted.mkdir(parents=True, exist_ok=True)
        strike = {STRIKE: f"{point}:1:SIGKILL", COUNTED_IN: str(counted)}
        with _kept(house, EVENING, gated=False, environ=strike):
            house.until(_done("evening"), "the evening's run does not end")
        assert list(counted.iterdir()), f"nobody passed {point}"

    return run


def _jump(seconds: float, *, kill: bool = False) -> Callable[[House, Random], None]:
    """The clock jumps while two jobs are held and others wait; a worker may be lost as well."""

    def run(house: House, _: Random) -> None:
        house.root.mkdir(parents=True, exist_ok=True)
        house.clock.put(EVENING.timestamp() - time.time())
        house.submit()

        def strike(house: House) -> None:
            house.clock.put(seconds)
            if kill:
                os.kill(_parent(house.gate.waiting()[0]), signal.SIGKILL)

        house.night(strike=strike)

    return run


def _parent(process: int) -> int:
    stat = Path(f"/proc/{process}/stat").read_text(encoding="ascii")
    return int(stat.rpartition(")")[2].split()[1])


def _jump_and_lose_night(house: House, _: Random) -> None:
    """The clock is put back a day and the night's process dies: its lock ends tomorrow."""
    house.root.mkdir(parents=True, exist_ok=True)
    house.clock.put(EVENING.timestamp() - time.time())
    house.submit()
    night = house.stopped_night()
    night.kill()
    night.wait()
    house.clock.put(-24 * HOUR)
    house.gate.open()
    house.night()


def _put_back_scheduled(house: House, _: Random) -> None:
    """An hour back while the schedule's night is under way: looks go on, and the night ends."""
    with _kept(house, EVENING):
        house.clock.put(-HOUR)
        house.gate.open()
        house.until(_done("evening"), "the evening's run does not end")


@contextmanager
def _printing(house: House) -> Iterator[PaperTray]:
    """Two crews with a printer, at the hour of the last run."""
    with paper_tray() as tray:
        folder = house.root / "library"
        shutil.copytree(str(DEMO), folder)
        company = json.loads((folder / "company.json").read_bytes())
        first = company["crews"][0]
        company["crews"] = [
            {**first, "key": key, "printer": tray.uri} for key in ("heron", "finch")
        ]
        (folder / "company.json").write_text(json.dumps(company))
        house.library = folder
        yield tray


def _states(tx: Tx) -> list[str]:
    return sorted(tx.sql.scalars(select(prints.c.state)).all())


def _print_slowly(house: House, _: Random) -> None:
    """Each job stays in the printer's list for seconds before it is done."""
    with _printing(house) as tray:
        tray.mood = "slow"
        with _kept(house, LAST_RUN, gated=False):
            house.until(lambda tx: _states(tx) == ["printing"] * 2, "nothing is sent to print")
            time.sleep(4.0)
            for sheet in tray.printed:
                sheet.state = 9
            house.until(lambda tx: _states(tx) == ["printed"] * 2, "the printer's end is not seen")
        _once_each(house, tray)


def _print_and_hang_up(house: House, _: Random) -> None:
    """The printer takes each bundle and dies before it answers; then it lists what it has."""
    with _printing(house) as tray:
        tray.mood = "takes-and-hangs-up"
        with _kept(house, LAST_RUN, gated=False):
            house.until(lambda tx: _states(tx) == ["sending"] * 2, "nothing is sent to print")
            tray.mood = "well"
            house.clock.put(30.0)  # the wait before the printer's list is asked
            house.until(lambda tx: _states(tx) == ["printed"] * 2, "what it took is not found")
        _once_each(house, tray)


def _print_half(house: House, _: Random) -> None:
    """The printer gives each bundle up in the middle: a human is asked, nothing is sent again."""
    with _printing(house) as tray:
        tray.mood = "aborts-midway"
        with _kept(house, LAST_RUN, gated=False):
            house.until(lambda tx: _states(tx) == ["unsure"] * 2, "nobody is asked")
            tray.mood = "well"
            house.clock.put(60.0)
            time.sleep(3.0)
            house.until(lambda tx: _states(tx) == ["unsure"] * 2, "it is not left to a human")
        assert len(tray.printed) == 2


def _print_and_die(house: House, _: Random) -> None:
    """All dies while the printer is at its answer: started again, it asks what the printer has."""
    with _printing(house) as tray:
        tray.hold.clear()
        try:
            with _kept(house, LAST_RUN, gated=False) as keeper:
                waited(lambda: len(tray.printed) == 1, "nothing is sent to print")
                keeper.kill()
                keeper.wait()
        finally:
            tray.hold.set()
        with _keeping(house, gated=False):
            house.until(lambda tx: "printed" in _states(tx), "the first is not followed up")
            house.until(lambda tx: _states(tx) == ["printed"] * 2, "not all is printed")
        _once_each(house, tray)


def _once_each(house: House, tray: PaperTray) -> None:
    """Every delivered bundle came out of the printer once, whole."""
    delivered = sorted(path.read_bytes() for path in (house.out / "bundles").glob("*.pdf"))
    assert sorted(sheet.pdf for sheet in tray.printed) == delivered


_SCHEDULE = (
    Case(
        name="scheduler-killed",
        done="SIGKILL to the scheduler, and to the one in its place",
        run=_kill_schedulers,
    ),
    Case(
        name="keeper-killed",
        done="SIGKILL to what keeps scheduler and workers; started again",
        run=_kill_keeper,
    ),
    Case(
        name="two-schedulers", done="two keepers with scheduler and workers each", run=_keep_twice
    ),
    *(
        Case(
            name=f"look-killed-{point}",
            done=f"SIGKILL to the schedule's look that passes '{point}'",
            run=_look_killed(point),
        )
        for point in ("delivering", "delivered", "reported")
    ),
)
_CLOCK = (
    *(
        Case(name=f"clock-{name}", done=f"the clock put {says} in mid-night", run=_jump(seconds))
        for name, says, seconds in (
            ("hour-on", "an hour forward", HOUR),
            ("hour-back", "an hour back", -HOUR),
            ("day-on", "a day forward", 24 * HOUR),
            ("day-back", "a day back", -24 * HOUR),
        )
    ),
    Case(
        name="clock-back-worker-lost",
        done="the clock put a day back, and the worker killed",
        run=_jump(-24 * HOUR, kill=True),
    ),
    Case(
        name="clock-back-night-lost",
        done="the night killed, then the clock put a day back",
        run=_jump_and_lose_night,
    ),
    Case(
        name="clock-back-scheduled",
        done="the clock put an hour back in a night of the schedule",
        run=_put_back_scheduled,
    ),
)
_PRINTERS = tuple(
    Case(name=name, done=done, run=run, as_calm=False)
    for name, done, run in (
        ("printer-slow", "each job takes the printer seconds", _print_slowly),
        ("printer-dies", "it takes each bundle and dies before it answers", _print_and_hang_up),
        ("printer-gives-up", "it gives each bundle up in the middle", _print_half),
        ("killed-printing", "SIGKILL to all while the printer is at its answer", _print_and_die),
    )
)
