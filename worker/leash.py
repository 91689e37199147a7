"""A process that ends with the one that started it: `python -m worker.leash SIGNAL COMMAND...`.

Nobody is left behind when the starter is killed: on Linux the kernel sends the signal
(prctl(2), PR_SET_PDEATHSIG; it outlives execve(2)). Elsewhere the command simply runs.
"""

from __future__ import annotations

import ctypes
import os
import signal
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

PR_SET_PDEATHSIG: Final = 1
"""Linux, include/uapi/linux/prctl.h."""


def start(
    command: Sequence[str],
    *,
    end_with: signal.Signals,
    log: Path,
    environ: Mapping[str, str] | None = None,
    keep: Sequence[int] = (),
) -> subprocess.Popen[bytes]:
    """Start a command on a leash; its output is appended to a log file.

    Args:
        command: Program and arguments.
        end_with: Signal it gets when this process dies.
        log: File for what it says.
        environ: Added to this process's environment.
        keep: File descriptors it inherits.
    """
    log.parent.mkdir(parents=True, exist_ok=True)
    leash = [sys.executable, "-m", "worker.leash", str(os.getpid()), end_with.name, *command]
    with log.open("ab") as out:
        return subprocess.Popen(  # noqa: S603  # our own interpreter, arguments as a list
            leash,
            stdin=subprocess.DEVNULL,
            stdout=out,
            stderr=out,
            env={**os.environ, **(environ or {}), "PYTHONPATH": os.pathsep.join(sys.path)},
            pass_fds=keep,
            start_new_session=True,
        )


def stop(process: subprocess.Popen[bytes], *, patience: float) -> None:
    """Ask a process to end, and end it when it does not within so many seconds."""
    if process.poll() is None:
        process.terminate()
    try:
        process.wait(timeout=patience)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


def main(arguments: Sequence[str]) -> None:
    """Put this process on the leash and become the command."""
    parent, name, *command = arguments
    if sys.platform == "linux":
        ctypes.CDLL(None, use_errno=True).prctl(PR_SET_PDEATHSIG, int(signal.Signals[name]))
        if os.getppid() != int(parent):  # it died before the leash was on
            sys.exit(1)
    os.execvp(command[0], command)  # noqa: S606  # becoming the command is the purpose


if __name__ == "__main__":
    main(sys.argv[1:])
