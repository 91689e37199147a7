"""Night reports made by hand."""

from __future__ import annotations

from schemas.delivery import (
    CrewNight,
    DeliveredPack,
    LateChange,
    NightException,
    NightReport,
    Unlabelled,
)

HELD = NightException(
    job="P-4", revision=1, crew="wren", state="held", reason="held: A2: which leg?", questions=()
)
BARE = Unlabelled(job="P-2", revision=1, crew="heron", why="a label of 1 in is too small")
LATE = LateChange(job="P-1", revision=1, crew="heron", came="Wed 16:45", after="hard cut-off")


def crew(key: str, *jobs: str, state: str = "made") -> CrewNight:
    """A crew with these jobs' packs."""
    packs = tuple(
        DeliveredPack(
            job=job, revision=1, code="7f3a9c21bd", pages=40, replaces="", file="x", sha256="x"
        )
        for job in jobs
    )
    return CrewNight.model_validate(
        {
            "crew": key, "state": state, "code": "c0ffee", "pages": 80, "file": "x",
            "sha256": "x", "packs": packs, "error": "",
        }
    )  # fmt: skip


def report(**changes: object) -> NightReport:
    """A good night's report."""
    plain: dict[str, object] = {
        "company": "saltmarsh", "work_date": "2026-12-03", "issued": "2026-12-02", "run": 2,
        "started": "2026-12-03T08:00:00Z", "ended": "2026-12-03T08:04:00Z", "jobs_due": 3,
        "on_day_sheets": 3, "excepted": 0, "complete": True, "faults": (), "packs_made": 3,
        "crews": (crew("heron", "P-1", "P-2"), crew("wren", "P-3")), "exceptions": (),
        "bookings": (), "called_back": (), "refused": (),
    }  # fmt: skip
    return NightReport.model_validate(plain | changes)
