"""The drop folder: whatever is put there is taken in, or refused with the reason beside it.

A file is whole when it has stood unchanged for a while, is not locked by its writer, and does
not carry an ending of files still being written. It is claimed by renaming it into `working/`,
so that only one taker has it; one left there by a taker that died is taken up again. A file
never disappears: it ends in `taken/` or `refused/`, and the same content twice is one job.
"""

from __future__ import annotations

import fcntl
import json
import os
import socket
import stat
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from schemas.errors import BadInput, Conflict, NotNow, Problem
from services.intake.flat.table import LARGEST
from worker import desk
from worker.bootstrap import Works
from worker.ledger.accepting import Receipt
from worker.ledger.records import PROBLEMS, QUESTIONS, job_by_id
from worker.logs import logger
from worker.making import holder_of
from worker.night.alone import alone
from worker.stores import name_of
from worker.stores.folder import HALF_WRITTEN, write_whole

LOOK_EVERY: Final = 2.0
"""Between two looks. [s]"""

SETTLE: Final = 5.0
"""A file unchanged for so long is whole. [s]"""

WORKING: Final = "working"
TAKEN: Final = "taken"
REFUSED: Final = "refused"

UNFINISHED: Final = (".part", ".tmp", ".filepart", ".crdownload", "~")
"""Endings under which writers keep a file until it is whole."""

KNOWN: Final = (".json", ".csv")

ROOM: Final = 255 - len(".problems.json")
"""Longest name of a file that has its answer beside it, as POSIX file systems have it. [bytes]"""

log = logger(__name__)

Outcome = Receipt | BadInput | Conflict


@dataclass(slots=True)
class DropFolder:
    """A folder looked at again and again."""

    works: Works
    folder: Path
    settle: float = SETTLE
    _seen: dict[str, tuple[tuple[int, int, int], float]] = field(default_factory=dict)
    """For each file what it looked like, and since when."""

    def look(self) -> list[tuple[str, str]]:
        """Take in all that is whole; name and end (`taken` or `refused`) of each file."""
        for name in (WORKING, TAKEN, REFUSED):
            (self.folder / name).mkdir(exist_ok=True)
        lock = f"drop {socket.gethostname()} {self.folder.resolve()}"[-120:]
        with alone(self.works, lock, holder=holder_of(os.getpid())) as ours:
            if ours is None:
                return []
            for path in self._whole():
                with suppress(FileNotFoundError):  # its writer took it away again
                    path.rename(self.folder / WORKING / path.name)
            return [done for path in self._claimed() for done in self._take(path)]

    def _whole(self) -> list[Path]:
        """Files that nobody is writing any more, the oldest first."""
        now = time.monotonic()
        seen = {}
        for path in self.folder.iterdir():
            look = _look_of(path)
            if look is not None and not (self.folder / WORKING / path.name).exists():
                before, since = self._seen.get(path.name, (None, now))
                seen[path.name] = (look, since if before == look else now)
        self._seen = seen
        still = [
            self.folder / name for name, (_, since) in seen.items() if now - since >= self.settle
        ]
        free = [path for path in still if not _is_locked(path)]
        return sorted(free, key=lambda path: (seen[path.name][0][1], path.name))

    def _claimed(self) -> list[Path]:
        return sorted(
            (self.folder / WORKING).iterdir(),
            key=lambda path: (path.lstat().st_mtime_ns, path.name),
        )

    def _take(self, path: Path) -> Iterator[tuple[str, str]]:
        """Take one file in; one that changed under our eyes, or that cannot be kept now, waits."""
        try:
            before = _look_of(path)
            raw = path.read_bytes() if before is not None and before[0] <= LARGEST else b""
            if before != _look_of(path):
                log.info("still being written", file=_shown(path))
                path.rename(self.folder / path.name)
                return
            outcomes = _outcomes(self.works, path, raw)
            refused = any(not isinstance(outcome, Receipt) for _, outcome in outcomes)
            place = self.folder / (REFUSED if refused else TAKEN)
            ending = "problems.json" if refused else "taken.json"
            name = _free_name(place, path.name, raw)
            write_whole(place / f"{name}.{ending}", _answer(self.works, outcomes))
            path.rename(place / name)
            log.info("file read", file=_shown(path), went=place.name)
            yield _shown(path), place.name
        except (NotNow, OSError) as no:
            log.warning("file waits", file=_shown(path), why=ascii(str(no)))


def _look_of(path: Path) -> tuple[int, int, int] | None:
    """Size, time and number of a regular file that is not being written; none for all else."""
    name = path.name.lower()
    if name.startswith((".", HALF_WRITTEN)) or name.endswith(UNFINISHED):
        return None
    try:
        found = path.lstat()
    except FileNotFoundError:
        return None
    if not stat.S_ISREG(found.st_mode):
        return None
    return found.st_size, found.st_mtime_ns, found.st_ino


def _is_locked(path: Path) -> bool:
    """Whether its writer holds a lock on it, or it may not be opened at all."""
    try:
        with path.open("rb") as file:
            fcntl.flock(file, fcntl.LOCK_SH | fcntl.LOCK_NB)
    except OSError as no:
        log.info("file is locked", file=_shown(path), why=ascii(str(no)))
        return True
    return False


def _shown(path: Path) -> str:
    """A file's name as text: bytes of it that are none are written out."""
    return os.fsencode(path.name).decode("utf-8", "backslashreplace")


def _outcomes(works: Works, path: Path, raw: bytes) -> list[tuple[str, Outcome]]:
    name = _shown(path)
    try:
        _check_kind(path)
        if path.suffix.lower() == ".csv":
            return list(desk.submit_table(works, raw, came_as=name))
        return [(name, desk.submit(works, raw, came_as=name))]
    except (BadInput, Conflict) as no:
        return [(name, no)]


def _check_kind(path: Path) -> None:
    if path.suffix.lower() not in KNOWN:
        raise BadInput([_whole(path, "is neither JSON nor CSV", "send .json or .csv")])
    if path.stat().st_size > LARGEST:
        raise BadInput([_whole(path, "is over 5 MiB", "split it")])


def _whole(path: Path, says: str, mend: str) -> Problem:
    return Problem(pointer="", value=_shown(path)[:80], says=f"the file {says}", mend=mend)


def _answer(works: Works, outcomes: list[tuple[str, Outcome]]) -> bytes:
    told = [_told(works, name, outcome) for name, outcome in outcomes]
    return json.dumps(told, indent=2, ensure_ascii=False).encode()


def _told(works: Works, name: str, outcome: Outcome) -> dict[str, object]:
    if isinstance(outcome, Receipt):
        with works.ledger.writing() as tx:
            row = job_by_id(tx, outcome.job_id)
        asked = QUESTIONS.dump_python(row.stops, mode="json")
        return {
            "came_as": name, "job": row.job, "revision": row.revision, "state": row.state,
            "new": outcome.new, "questions": asked,
        }  # fmt: skip
    listed = outcome.problems if isinstance(outcome, BadInput) else ()
    problems = PROBLEMS.dump_python(tuple(listed), mode="json")
    return {"came_as": name, "state": "refused", "says": str(outcome), "problems": problems}


def _free_name(place: Path, name: str, raw: bytes) -> str:
    """The file's own name, or one with its content's where that is too long or taken by another."""
    there = place / name
    fits = len(os.fsencode(name)) <= ROOM
    if fits and (not there.exists() or there.read_bytes() == raw):
        return name
    path = Path(name)
    suffix = path.suffix if path.suffix.lower() in KNOWN else ""
    ending = f".{name_of(raw if fits else os.fsencode(name) + raw)[:12]}{suffix}"
    return os.fsdecode(os.fsencode(path.stem)[: ROOM - len(ending)]) + ending
