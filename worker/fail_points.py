"""Named points of a job's life at which a test may strike: a kill there must cost nothing.

Nothing happens unless the environment names a point. A counter kept in files makes the strike
fall once, at the pass asked for, whichever process comes to it: restarted work goes on unhurt.
"""

from __future__ import annotations

import os
import signal
from pathlib import Path
from typing import Final

STRIKE: Final = "DAWNPACK_TEST_STRIKE"
"""`POINT:PASS:SIGNAL`, such as `renamed:3:SIGKILL`; SIGNAL goes to the process that passes."""

COUNTED_IN: Final = "DAWNPACK_TEST_COUNTED_IN"
"""Folder of the passes counted so far."""

POINTS: Final = (
    "accepting",  # the job's row is written, not yet committed
    "accepted",  # committed, not yet answered
    "claimed",  # attempt counted, nothing done
    "computed",  # plan in memory
    "planned",  # plan in the store and in the ledger
    "written",  # a file is whole beside its place
    "renamed",  # it stands in its place, and the ledger does not know
    "packing",  # the pack's row is written, not yet committed
    "packed",  # committed, the bundle's bell not yet rung
    "set",  # bundle in memory
    "bundled",  # bundle committed
    "delivering",  # some of the night's files stand at their target
    "delivered",  # all do, and the ledger does not know
    "reported",  # the report stands, the night is still open
)


def passing(point: str) -> None:
    """Go by a point; strike if it is the one, and this the pass."""
    asked = os.environ.get(STRIKE)
    if asked is None:
        return
    name, number, sign = asked.split(":")
    if name == point and _pass(Path(os.environ[COUNTED_IN]), point) == int(number):
        os.kill(os.getpid(), signal.Signals[sign])


def _pass(folder: Path, point: str) -> int:
    """The number of this pass, counted over all processes: one file each."""
    number = 1
    while True:
        try:
            (folder / f"{point}.{number}").touch(exist_ok=False)
        except FileExistsError:
            number += 1
        else:
            return number
