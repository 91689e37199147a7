"""List the benchmarks, or run one: ``python -m tests.bench paper --json``."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

import tests.bench


def names() -> list[str]:
    """The benchmarks there are: every module of this package but this one."""
    return sorted(m.name for m in iter_modules(tests.bench.__path__) if m.name != "__main__")


def main() -> int:
    """Do what the command line asks; tells whether every target was met."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("name", nargs="?", choices=names())
    parser.add_argument("--json", action="store_true", help="one line for machines")
    asked = parser.parse_args()
    if asked.name is None:
        for name in names():
            about = import_module(f"tests.bench.{name}").__doc__ or ""
            sys.stdout.write(f"{name:12} {about.splitlines()[0]}\n")
        return 0
    report: dict[str, Any] = import_module(f"tests.bench.{asked.name}").run()
    met = all(report["met"].values())
    if asked.json:
        sys.stdout.write(json.dumps({"benchmark": asked.name, **report, "meets": met}) + "\n")
    else:
        _tell(report)
    return 0 if met else 1


def _tell(report: Mapping[str, Mapping[str, object]]) -> None:
    for part, values in report.items():
        sys.stdout.write(f"{part}\n")
        for name, value in values.items():
            sys.stdout.write(f"  {name:28} {value}\n")


if __name__ == "__main__":
    sys.exit(main())
