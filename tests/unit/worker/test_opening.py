"""Opening the ledger: durable on SQLite, one clock on PostgreSQL, safe under a crowd."""

from __future__ import annotations

import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from schemas.errors import Conflict, NotNow
from tests.stand_in import StandIn, submission_of
from worker.ledger.accepting import Receipt, accept
from worker.ledger.opening import Ledger, open_ledger, reach_ledger
from worker.ledger.records import every_job

CROWD = 20

SHARED = pytest.mark.parametrize("ledger_url", ["sqlite file", "postgresql"], indirect=True)
"""Ledgers that several threads may write to at once."""


def bring(ledger: Ledger, raw: bytes) -> Receipt | Conflict:
    """Bring a submission to the ledger."""
    try:
        with ledger.writing() as tx:
            submission = StandIn().read_submission(raw)
            return accept(tx, submission, raw=raw, issued="2026-12-02")
    except Conflict as no:
        return no


def test_sqlite_survives_a_power_cut(tmp_path: Path) -> None:
    """Write-ahead log and full synchronisation, as sqlite.org/pragma.html has them (2 is FULL)."""
    ledger = open_ledger(f"sqlite:///{tmp_path / 'ledger.sqlite'}")

    with ledger.writing() as tx:
        found = {
            name: tx.sql.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys")
        }
    ledger.close()

    assert found == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}


def test_what_fails_halfway_leaves_nothing(ledger: Ledger) -> None:
    """All of a change, or none of it."""
    raw = submission_of("J-1")
    submission = StandIn().read_submission(raw)

    def fail_halfway() -> None:
        with ledger.writing() as tx:
            accept(tx, submission, raw=raw, issued="2026-12-02")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail_halfway()

    with ledger.writing() as tx:
        assert every_job(tx) == []


@SHARED
def test_who_reads_sees_one_moment_and_holds_up_nobody(ledger_url: str) -> None:
    """A submission is taken in while somebody reads, who does not see it yet."""
    ledger = open_ledger(ledger_url)
    with ledger.reading() as tx:
        before = every_job(tx)

        taken_in = bring(ledger, submission_of("J-1"))

        assert isinstance(taken_in, Receipt)
        assert every_job(tx) == before == []
    with ledger.reading() as tx:
        assert [job.job for job in every_job(tx)] == ["J-1"]
    ledger.close()


def test_on_postgresql_time_is_the_servers(bare_postgres: str) -> None:
    """One clock for all hosts, in milliseconds since 1970."""
    ledger = reach_ledger(bare_postgres)

    with ledger.writing() as tx:
        now_ms = tx.now_ms
    ledger.close()

    assert ledger.clock is None
    assert abs(now_ms / 1000 - time.time()) < 60


@SHARED
def test_a_crowd_with_the_same_job_makes_one(ledger_url: str) -> None:
    """One is new; all the others are answered as it was."""
    ledger = open_ledger(ledger_url)
    raw = submission_of("J-1")

    with ThreadPoolExecutor(CROWD) as crowd:
        answers = list(crowd.map(lambda _: bring(ledger, raw), range(CROWD)))
    ledger.close()

    receipts = [answer for answer in answers if isinstance(answer, Receipt)]
    assert len(receipts) == CROWD
    assert len({receipt.job_id for receipt in receipts}) == 1
    assert sum(receipt.new for receipt in receipts) == 1


@SHARED
def test_a_crowd_of_revisions_leaves_exactly_one_to_be_made(ledger_url: str) -> None:
    """Whatever the order in which they come."""
    ledger = open_ledger(ledger_url)
    raws = [submission_of("J-1", revision=n) for n in range(1, CROWD + 1)]

    with ThreadPoolExecutor(CROWD) as crowd:
        list(crowd.map(lambda raw: bring(ledger, raw), raws))

    with ledger.writing() as tx:
        live = [job.revision for job in every_job(tx) if job.state != "replaced"]
    ledger.close()
    assert live == [CROWD]


def test_a_ledger_that_cannot_be_reached_is_not_now() -> None:
    """The caller may try again; nothing is half opened."""
    with pytest.raises(NotNow, match="the ledger cannot be used"):
        open_ledger("postgresql+psycopg://nobody@127.0.0.1:1/nothing?connect_timeout=2")
