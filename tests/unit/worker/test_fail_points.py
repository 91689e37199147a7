"""A strike falls once, at the pass asked for."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from worker.fail_points import COUNTED_IN, POINTS, STRIKE

THREE_PASSES = "from worker.fail_points import passing\nfor _ in range(3): passing('renamed')"


def passes(tmp_path: Path, strike: str) -> int:
    """How a process ends that goes by a point three times."""
    environ = {STRIKE: strike, COUNTED_IN: str(tmp_path)}
    return subprocess.run(
        [sys.executable, "-c", THREE_PASSES],
        env=environ, cwd=Path(__file__).parents[3], check=False,
    ).returncode  # fmt: skip


@pytest.mark.parametrize(("number", "ends"), [(1, -9), (3, -9), (4, 0)])
def test_the_pass_asked_for_is_struck_and_no_other(tmp_path: Path, number: int, ends: int) -> None:
    """The third of three passes is the last that can be struck."""
    assert passes(tmp_path, f"renamed:{number}:SIGKILL") == ends


def test_passes_are_counted_over_processes(tmp_path: Path) -> None:
    """Restarted work is not struck again."""
    first = passes(tmp_path, "renamed:2:SIGTERM")
    second = passes(tmp_path, "renamed:2:SIGTERM")

    assert (first, second) == (-signal.SIGTERM, 0)


def test_points_have_names_of_their_own() -> None:
    """One name, one place."""
    assert len(set(POINTS)) == len(POINTS)
