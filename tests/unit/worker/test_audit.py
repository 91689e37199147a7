"""The auditor names what does not agree."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from sqlalchemy import insert, update

from tests.stand_in import DAY, submission_of
from worker import making
from worker.audit import audit
from worker.bootstrap import Works
from worker.desk import submit
from worker.ledger.gathering import gather
from worker.ledger.nights import open_night
from worker.ledger.opening import Tx
from worker.ledger.reading import bundles_of
from worker.ledger.tables import bundles, events, jobs, submissions
from worker.night.run import end_night


@pytest.fixture
def out(works: Works, tmp_path: Path) -> Path:
    """A delivery folder after a night of two jobs."""
    for number in ("H-1", "H-2"):
        submit(works, submission_of(number), came_as=number, issued="2026-12-02")
    with works.ledger.writing() as tx:
        night = open_night(tx, company="house", day=DAY, issued="2026-12-02")
    for job_id in (1, 2):
        making.make_pack(works, job_id, holder="here:1")
    with works.ledger.writing() as tx:
        gather(tx, night, stamp=works.stamp)
        row_ids = [row.id for row in bundles_of(tx, night)]
    for row_id in row_ids:
        making.make_bundle(works, row_id, holder="here:1")
    end_night(works, night, tmp_path / "out")
    return tmp_path / "out"


def test_a_night_as_it_should_be_has_no_faults(works: Works, out: Path) -> None:
    """Ledger, store, files and report agree."""
    assert audit(works, day=DAY, out=out) == []


LEDGER_SPOILT: list[tuple[str, Callable[[Tx], object], str]] = [
    (
        "a submission changed after it was taken in",
        lambda tx: tx.sql.execute(update(submissions).values(raw=b"{}")),
        "is not what was taken in",
    ),
    (
        "a state without its event",
        lambda tx: tx.sql.execute(update(jobs).where(jobs.c.id == 1).values(state="packed")),
        "is packed, its story ends delivered",
    ),
    (
        "an event that starts where none ended",
        lambda tx: tx.sql.execute(
            insert(events).values(
                at_ms=1, thing="job", thing_id=1, was="held", now="delivered", cause="-"
            )
        ),
        "went from delivered and came from held",
    ),
    (
        "a job left in mid-life",
        lambda tx: tx.sql.execute(update(jobs).where(jobs.c.id == 2).values(state="planned")),
        "is still planned after its night",
    ),
    (
        "a bundle named that the store does not have",
        lambda tx: tx.sql.execute(update(bundles).values(pdf="0" * 64)),
        f"stored file {'0' * 64} is missing or damaged",
    ),
]


@pytest.mark.parametrize(
    ("what", "spoil", "says"), LEDGER_SPOILT, ids=lambda value: str(value)[:40]
)
def test_a_spoilt_ledger_is_named(
    works: Works, out: Path, what: str, spoil: Callable[[Tx], object], says: str
) -> None:
    """Each column that another can prove is proved."""
    with works.ledger.writing() as tx:
        spoil(tx)

    found = audit(works, day=DAY, out=out)

    assert says in [fault.says for fault in found], what


def _half(out: Path) -> None:
    (out / "packs/.half-x").write_bytes(b"%PD")


def _unsaid(out: Path) -> None:
    (out / "bundles/owl.pdf").write_bytes(b"%PDF")


def _gone(out: Path) -> None:
    (out / "bundles/heron.pdf").unlink()


def _other(out: Path) -> None:
    (out / "bundles/heron.pdf").write_bytes(b"%PDF of yesterday")


def _recounted(out: Path) -> None:
    report = out / "night-report.json"
    report.write_text(report.read_text().replace('"jobs_due": 2', '"jobs_due": 3'))


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (_half, "is half a file"),
        (_unsaid, "stands there unsaid"),
        (_gone, "was delivered and is not there"),
        (_other, "is not the file that was delivered"),
        (_recounted, "jobs_due: says 3, counted 2"),
    ],
)
def test_spoilt_delivery_is_named(
    works: Works, out: Path, spoil: Callable[[Path], None], says: str
) -> None:
    """Files and report are read afresh."""
    spoil(out)

    found = audit(works, day=DAY, out=out)

    assert says in [fault.says for fault in found]
