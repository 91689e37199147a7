"""The faults: what is struck and how. Each gets a company that has taken its jobs in."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from random import Random

from sqlalchemy import create_engine, text

from tests.faults.house import JOBS, LIMIT, NIGHT_LOCK, SLOW, WORKERS, House, begun
from worker.fail_points import COUNTED_IN, POINTS, STRIKE
from worker.ledger.opening import BUSY, Tx
from worker.ledger.tables import jobs
from worker.retries import STRIKES
from worker.stores.folder import LONG_AGO

AT_THE_DESK = ("accepting", "accepted")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One fault."""

    name: str
    done: str
    """What is done, in words for the table."""
    run: Callable[[House, Random], None]
    as_calm: bool = True
    """What is delivered is, byte for byte, that of a calm night; else the case looks itself."""


def every_case() -> list[Case]:
    """All faults, in the order of a job's life."""
    return [*_killed_at_points(), *_OTHERS]


def _killed_at_points() -> Iterator[Case]:
    for point in POINTS:
        yield Case(
            name=f"killed-{point}",
            done=f"SIGKILL to the process that passes '{point}'",
            run=_at(point),
        )


def _at(point: str) -> Callable[[House, Random], None]:
    def run(house: House, chance: Random) -> None:
        counted = house.root / "counted"
        counted.mkdir(parents=True, exist_ok=True)
        last = 1 if point in {"delivered", "reported"} else 2
        strike = {STRIKE: f"{point}:{chance.randint(1, last)}:SIGKILL", COUNTED_IN: str(counted)}
        at_desk = point in AT_THE_DESK
        house.submit(environ=strike if at_desk else None)
        house.night(environ=None if at_desk else strike)
        assert list(counted.iterdir()), f"nobody passed {point}"

    return run


def _struck(strike: Callable[[House], object]) -> Callable[[House, Random], None]:
    """A fault that strikes while workers hold jobs and others wait."""

    def run(house: House, _: Random) -> None:
        house.submit()
        house.night(strike=strike)

    return run


def _kill_worker(house: House) -> None:
    os.kill(_worker(house), signal.SIGKILL)


def _kill_worker_again(house: House) -> None:
    """A third kill would lose the same jobs a third time, and they would be set aside."""
    _kill_worker(house)
    house.gate.shut()
    house.gate.until_waiting(WORKERS, alive=lambda: True)
    _kill_worker(house)


def _stop_child_past_lease(house: House) -> None:
    """A child sleeps until its job is another's, wakes, and finishes what is no longer its own."""
    child = house.gate.waiting()[0]
    os.kill(child, signal.SIGSTOP)
    try:
        house.gate.open()
        house.until(_begun_again, "nobody takes the sleeper's job")
    finally:
        os.kill(child, signal.SIGCONT)


def _begun_again(tx: Tx) -> bool:
    return any(row.attempt > 1 for row in tx.sql.execute(jobs.select()).all())


def _worker(house: House) -> int:
    """The worker whose children wait at the gate."""
    child = house.gate.waiting()[0]
    stat = Path(f"/proc/{child}/stat").read_text(encoding="ascii")
    return int(stat.rpartition(")")[2].split()[1])


def _broker_process(house: House) -> int:
    info = house.broker().info("server")
    assert isinstance(info, dict)
    return int(info["process_id"])


def _kill_broker(house: House) -> None:
    os.kill(_broker_process(house), signal.SIGKILL)
    house.broker_killed()


def _kill_broker_and_its_memory(house: House) -> None:
    process = _broker_process(house)
    os.kill(process, signal.SIGSTOP)
    shutil.rmtree(house.broker_home / "appendonlydir", ignore_errors=True)
    os.kill(process, signal.SIGKILL)
    house.broker_killed()


def _kill_broker_and_cut_its_memory(house: House) -> None:
    process = _broker_process(house)
    os.kill(process, signal.SIGSTOP)
    for path in (house.broker_home / "appendonlydir").glob("*.aof"):
        with path.open("r+b") as file:
            file.truncate(path.stat().st_size * 2 // 3)
    os.kill(process, signal.SIGKILL)
    house.broker_killed()


def _empty_broker(house: House) -> None:
    house.broker().flushall()


def _freeze_broker(house: House) -> None:
    process = _broker_process(house)
    os.kill(process, signal.SIGSTOP)
    house.gate.open()
    time.sleep(8.0)
    os.kill(process, signal.SIGCONT)


def _cut_connections(house: House) -> None:
    for kind in ("normal", "pubsub"):
        house.broker().client_kill_filter(_type=kind, skipme=True)


def _lock_ledger(house: House) -> None:
    """Another program holds the whole ledger, as a backup or a careless session does."""
    engine = create_engine(house.settings.ledger, isolation_level="AUTOCOMMIT")
    with engine.connect() as other:
        if house.servers.postgres:
            other.execute(text("BEGIN"))
            other.execute(text("LOCK TABLE jobs, bundles, locks IN ACCESS EXCLUSIVE MODE"))
        else:
            other.execute(text(f"PRAGMA busy_timeout = {1000 * BUSY:.0f}"))
            other.execute(text("BEGIN IMMEDIATE"))
        house.gate.open()
        time.sleep(6.0)
        other.execute(text("ROLLBACK"))
    engine.dispose()


def _cut_ledger(house: House) -> None:
    assert house.servers.postgres
    house.servers.postgres.cut_off(house.settings.ledger)


def _crash_ledger(house: House) -> None:
    assert house.servers.postgres
    house.servers.postgres.crash()


def _lose_store(house: House, _: Random) -> None:
    """The store's folder is gone for a while, as when a disk is not mounted.

    It is a link, so that it goes and comes in one step, whoever writes meanwhile.
    """
    store, disk, away = house.settings.packs, house.root / "disk", house.root / "away"
    disk.mkdir(parents=True, exist_ok=True)
    store.parent.mkdir(parents=True, exist_ok=True)
    store.symlink_to(disk)

    def point_to(place: Path) -> None:
        (house.root / "link").symlink_to(place)
        (house.root / "link").replace(store)

    def strike(_: House) -> None:
        away.write_bytes(b"not a folder")
        point_to(away)
        house.gate.open()
        house.until(_given_back, "nobody misses the store")
        point_to(disk)

    house.submit()
    house.night(strike=strike)


def _given_back(tx: Tx) -> bool:
    """Whether the machine was at fault over a job: it waits for its next try."""
    return any(row.not_before_ms for row in tx.sql.execute(jobs.select()).all())


def _spoil_store(house: House) -> None:
    """One bit of each file kept so far turns over."""
    house.spoilt = True
    kept = list((house.settings.packs / "sha256").glob("*/*"))
    assert kept
    for path in kept:
        content = path.read_bytes()
        path.write_bytes(bytes([content[0] ^ 1]) + content[1:])


def _die_writing(house: House, _: Random) -> None:
    """Killed with half a file in the store, then with half a file in the crews' folder.

    The store's is tidied away by the first night an hour later, the crews' by the very next.
    """
    house.submit()
    counted = house.root / "counted"
    counted.mkdir()
    strikes = {COUNTED_IN: str(counted)}
    first = house.start("night", str(house.out), environ=strikes | {STRIKE: "written:2:SIGKILL"})
    assert first.wait(LIMIT) == 0
    (left,) = house.half_files()
    assert left.is_relative_to(house.settings.packs)
    an_hour_ago = left.stat().st_mtime - LONG_AGO - 1
    os.utime(left, (an_hour_ago, an_hour_ago))
    shutil.rmtree(house.out)
    for passed in counted.iterdir():
        passed.unlink()
    again = house.start("night", str(house.out), environ=strikes | {STRIKE: "written:3:SIGKILL"})
    assert again.wait(LIMIT) != 0
    (left,) = house.half_files()
    assert left.is_relative_to(house.out)
    time.sleep(NIGHT_LOCK)
    house.night()
    assert house.half_files() == []


def _poison(house: House, _: Random) -> None:
    """A job kills whatever works on it: after three workers it is set aside; the others go on."""
    house.submit("kill")
    house.night()
    report = house.report()
    (told,) = [one for one in report.exceptions if one.job == "H-more"]
    assert told.state == "failed", told
    packed = {pack.job for crew in report.crews for pack in crew.packs}
    assert packed == {number for number, *_, faults in JOBS if faults[0] == SLOW}
    assert {crew.state for crew in report.crews} == {"made"}
    assert begun(house, "H-more") == STRIKES


def _run_twice_at_once(house: House, chance: Random) -> None:
    """Two night processes on one company, as when two schedulers are left running."""
    house.submit()
    first = house.start("night", str(house.out))
    time.sleep(chance.random())
    second = house.start("night", str(house.out))
    first.wait(LIMIT)
    second.wait(LIMIT)
    house.night()


def _submit_twice_at_once(house: House, chance: Random) -> None:
    """The office's system sends everything twice, at the same time."""
    senders = [house.start("submit") for _ in range(3)]
    time.sleep(chance.random() * 0.1)
    assert [sender.wait(LIMIT) for sender in senders] == [0, 0, 0]
    house.night()


def _end_night_kindly(house: House) -> None:
    """SIGTERM to the worker: a deploy in mid-night."""
    os.kill(_worker(house), signal.SIGTERM)


def _on_own_disk(options: str) -> Callable[[House, Random], None]:
    """The store lies on a disk of its own, which can be written only after a while."""

    def run(house: House, _: Random) -> None:
        store = house.settings.packs
        store.mkdir(parents=True, exist_ok=True)
        _mount("-t", "tmpfs", "-o", options, "tmpfs", str(store))
        try:
            house.submit()
            night = house.start("night", str(house.out))
            house.until(_given_back, "nobody misses the disk")
            _mount("-o", "remount,rw,size=4m", str(store))
            house.runs += 1
            assert night.wait(LIMIT) == 0
            kept = house.root / "kept"
            shutil.copytree(store, kept)
        finally:
            subprocess.run(["umount", str(store)], check=True)
        shutil.copytree(kept, store, dirs_exist_ok=True)

    return run


def may_mount(folder: Path) -> bool:
    """Whether this process may mount a disk of its own."""
    place = folder / "trial"
    place.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", "size=16k", "tmpfs", str(place)]
    try:
        tried = subprocess.run(command, check=False, capture_output=True)
    except FileNotFoundError:
        return False
    if tried.returncode == 0:
        subprocess.run(["umount", str(place)], check=True)
    return tried.returncode == 0


def _mount(*arguments: str) -> None:
    subprocess.run(["mount", *arguments], check=True)


_OTHERS = (
    Case(
        name="worker-killed",
        done="SIGKILL to the worker and its children",
        run=_struck(_kill_worker),
    ),
    Case(
        name="worker-killed-again",
        done="the same to it and to the one in its place",
        run=_struck(_kill_worker_again),
    ),
    Case(
        name="worker-stopped-kindly",
        done="SIGTERM to the worker, as a deploy does",
        run=_struck(_end_night_kindly),
    ),
    Case(
        name="child-asleep-past-lease",
        done="SIGSTOP to a child until its job is another's, then SIGCONT",
        run=_struck(_stop_child_past_lease),
    ),
    Case(
        name="broker-killed",
        done="SIGKILL to the broker, its append-only file left",
        run=_struck(_kill_broker),
    ),
    Case(
        name="broker-killed-file-gone",
        done="the same, its append-only file taken away",
        run=_struck(_kill_broker_and_its_memory),
    ),
    Case(
        name="broker-killed-file-cut",
        done="the same, its append-only file cut by a third",
        run=_struck(_kill_broker_and_cut_its_memory),
    ),
    Case(name="broker-emptied", done="FLUSHALL while jobs are waiting", run=_struck(_empty_broker)),
    Case(name="broker-frozen", done="SIGSTOP for 8 s", run=_struck(_freeze_broker)),
    Case(
        name="connections-cut",
        done="all clients of the broker cut off",
        run=_struck(_cut_connections),
    ),
    Case(name="ledger-locked", done="another writer holds it for 6 s", run=_struck(_lock_ledger)),
    Case(name="store-gone", done="its folder is not there until it is missed", run=_lose_store),
    Case(
        name="store-spoilt",
        done="a bit turned over in every file kept so far",
        run=_struck(_spoil_store),
    ),
    Case(
        name="half-files",
        done="killed while writing into the store, then into the crews' folder",
        run=_die_writing,
    ),
    Case(
        name="poison",
        done="one job kills every worker that takes it",
        run=_poison,
        as_calm=False,
    ),
    Case(name="two-nights", done="two night processes at once", run=_run_twice_at_once),
    Case(
        name="sent-twice", done="three senders of the same jobs at once", run=_submit_twice_at_once
    ),
)

NEEDING_POSTGRES = (
    Case(
        name="ledger-cut",
        done="every session of the PostgreSQL ledger ended",
        run=_struck(_cut_ledger),
    ),
    Case(
        name="ledger-crashed",
        done="PostgreSQL ended at once, nothing written out, back after 2 s",
        run=_struck(_crash_ledger),
    ),
)

NEEDING_ROOT = (
    Case(
        name="disk-full",
        done="the store's disk is full (16 KiB) until it is missed",
        run=_on_own_disk("size=16k"),
    ),
    Case(
        name="disk-read-only",
        done="the store's disk may not be written until it is missed",
        run=_on_own_disk("size=4m,ro"),
    ),
)
"""They mount a disk of their own."""

IN_THE_NIGHT: dict[str, Callable[[House], object]] = {
    "worker killed": _kill_worker,
    "worker stopped kindly": _end_night_kindly,
    "broker killed": _kill_broker,
    "broker killed, file gone": _kill_broker_and_its_memory,
    "broker emptied": _empty_broker,
    "connections cut": _cut_connections,
    "ledger locked": _lock_ledger,
}
"""Strikes at a night under way, for a soak."""
