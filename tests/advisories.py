"""Known faults of what we install: ``python -m tests.advisories``, on the versions in use.

One request to the open database osv.dev asks about all packages of `.constraints.txt`, and about a
canary that is known to have a fault. Only an answer that knows the canary counts: where the
database cannot be reached, or something else answers in its place, nothing has been audited,
and that is what is said. Exit 0: none known, or not audited (say which by reading); 1: some.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import httpx

DATABASE: Final = "https://api.osv.dev/v1/querybatch"
CANARY: Final = ("jinja2", "2.10")
"""CVE-2019-10906, a way out of its sandbox."""
PINNED: Final = Path(__file__).parent.parent / ".constraints.txt"
PATIENCE: Final = 30.0
"""[s]"""
ACCEPTED: Final[dict[str, str]] = {}
"""Advisories that do not concern us: identifier, and why not."""

Package = tuple[str, str]


class NotAudited(Exception):
    """Nobody who knows has answered."""


def known_faults(packages: Sequence[Package], *, database: str = DATABASE) -> list[str]:
    """What is known of these versions: package, version and identifier.

    Raises:
        NotAudited: The database cannot be reached, or does not know the canary.
    """
    asked = [*packages, CANARY]
    queries = [
        {"package": {"name": name, "ecosystem": "PyPI"}, "version": version}
        for name, version in asked
    ]
    try:
        answer = httpx.post(database, json={"queries": queries}, timeout=PATIENCE)
        results = answer.raise_for_status().json()["results"]
        found = [[vuln["id"] for vuln in result.get("vulns", ())] for result in results]
    except (httpx.HTTPError, ValueError, KeyError, TypeError, AttributeError) as no:
        msg = f"{database}: {type(no).__name__} {no}"
        raise NotAudited(msg) from no
    if len(found) != len(asked) or not found[-1]:
        msg = f"{database} does not know the canary {' '.join(CANARY)}"
        raise NotAudited(msg)
    return [
        f"{name} {version}: {each}"
        for (name, version), ids in zip(packages, found, strict=False)
        for each in ids
        if each not in ACCEPTED
    ]


def pinned(text: str) -> list[Package]:
    """Names and versions of a file of pins."""
    lines = (line.partition("#")[0].strip() for line in text.splitlines())
    parts = (line.partition("==") for line in lines if line)
    return [(name, version) for name, _, version in parts]


def main() -> int:
    """Ask, and say what came of it."""
    packages = pinned(PINNED.read_text("utf-8"))
    try:
        found = known_faults(packages)
    except NotAudited as no:
        sys.stdout.write(f"dependencies NOT audited: {no}\n")
        return 0
    for line in found:
        sys.stdout.write(f"{line}\n")
    sys.stdout.write(f"{len(packages)} dependencies audited, {len(found)} known faults\n")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
