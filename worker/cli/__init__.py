"""The command line: one program, `dawnpack`, and a command for each thing the office does.

In: files and words. Out: what it asked for on standard output, what went wrong on standard
error, and an exit code that a script can read (`exits`).
"""

from worker.cli.program import main

__all__ = ["main"]
