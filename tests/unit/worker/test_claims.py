"""Claims: one worker a job, counted before the work, fenced after a lease ran out."""

from __future__ import annotations

import pytest

from tests.stand_in import submission_of
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.desk import submit
from worker.ledger import finishing
from worker.ledger.claims import Claim, claim, free, let_go, renew, set_aside
from worker.ledger.opening import Ledger
from worker.ledger.records import JobRow, job_by_id
from worker.ledger.sweeping import rung, to_ring
from worker.ledger.tables import jobs

LEASE = 60.0


@pytest.fixture
def job_id(works: Works) -> int:
    """A job that waits to be made at once."""
    return submit(works, submission_of("J-1"), came_as="J-1.json", wanted="packs").job_id


def take(ledger: Ledger, job_id: int, holder: str = "host:1") -> Claim | None:
    """Claim a job."""
    with ledger.writing() as tx:
        return claim(tx, jobs, job_id, holder=holder, lease=LEASE)


def surely(held: Claim | None) -> Claim:
    """A claim that was given."""
    assert held is not None
    return held


def row(ledger: Ledger, job_id: int) -> JobRow:
    """How the job stands."""
    with ledger.writing() as tx:
        return job_by_id(tx, job_id)


def pack(ledger: Ledger, held: Claim, code: str = "c1") -> bool:
    """Report a pack under a claim."""
    with ledger.writing() as tx:
        return finishing.packed(tx, held, made_from="m", pdf="p", code=code, pages=3, replaces="")


def test_a_message_that_comes_twice_finds_nothing_to_claim(ledger: Ledger, job_id: int) -> None:
    """One worker at a time; after the pack is made, none."""
    held = surely(take(ledger, job_id))

    assert take(ledger, job_id) is None
    assert pack(ledger, held)
    assert take(ledger, job_id) is None


def test_a_lost_workers_job_is_free_when_its_lease_has_run_out(
    ledger: Ledger, job_id: int, clock: SetClock
) -> None:
    """Not a moment earlier."""
    take(ledger, job_id)

    clock.move(LEASE - 0.001)
    assert take(ledger, job_id) is None
    clock.move(0.001)
    assert surely(take(ledger, job_id)).attempt == 2


def test_a_renewed_lease_lasts_from_the_renewal(
    ledger: Ledger, job_id: int, clock: SetClock
) -> None:
    """A worker that lives keeps its job."""
    held = surely(take(ledger, job_id))

    clock.move(50)
    with ledger.writing() as tx:
        assert renew(tx, held, lease=LEASE)
    clock.move(50)
    assert take(ledger, job_id) is None


def test_a_worker_given_up_for_lost_changes_nothing_when_it_comes_back(
    ledger: Ledger, job_id: int, clock: SetClock
) -> None:
    """The pack of the second worker stands."""
    late = surely(take(ledger, job_id))
    clock.move(LEASE)
    second = surely(take(ledger, job_id, "host:2"))

    with ledger.writing() as tx:
        assert not renew(tx, late, lease=LEASE)
        assert not let_go(tx, late, error="late", counts=True)
        assert not set_aside(tx, jobs, job_id, error="late", fence=late.attempt)
    assert not pack(ledger, late, "late")
    assert pack(ledger, second, "second")
    assert not pack(ledger, late, "late")
    assert row(ledger, job_id).code == "second"


def test_three_lost_workers_set_the_job_aside(ledger: Ledger, job_id: int, clock: SetClock) -> None:
    """A job that kills its workers stops doing so."""
    for _ in range(3):
        surely(take(ledger, job_id))
        clock.move(LEASE)

    assert take(ledger, job_id) is None
    assert row(ledger, job_id).state == "failed"
    assert row(ledger, job_id).error == "3 workers were lost over it"


def test_the_third_error_sets_the_job_aside_and_is_kept(
    ledger: Ledger, job_id: int, clock: SetClock
) -> None:
    """With longer rests in between."""
    for rest in (2, 4, None):
        held = surely(take(ledger, job_id))
        with ledger.writing() as tx:
            let_go(tx, held, error="Traceback:\nValueError: odd", counts=True)
        if rest:
            clock.move(rest - 0.001)
            assert take(ledger, job_id) is None
            clock.move(0.001)

    assert row(ledger, job_id).state == "failed"
    assert row(ledger, job_id).error.endswith("ValueError: odd")


def test_a_full_disk_is_not_counted_against_the_job(
    ledger: Ledger, job_id: int, clock: SetClock
) -> None:
    """It is tried again for as long as it takes."""
    for _ in range(10):
        held = surely(take(ledger, job_id))
        with ledger.writing() as tx:
            let_go(tx, held, error="disk full", counts=False)
        clock.move(2)

    assert row(ledger, job_id).state == "received"
    assert row(ledger, job_id).strikes == 0


def test_a_dead_process_frees_what_it_held_and_nothing_else(
    works: Works, ledger: Ledger, job_id: int
) -> None:
    """The night need not wait for a lease when it saw its worker die."""
    other = submit(works, submission_of("J-2"), came_as="J-2.json").job_id
    take(ledger, job_id, "host:1")
    take(ledger, other, "host:2")

    with ledger.writing() as tx:
        freed = free(tx, holder="host:1")

    assert freed == 1
    assert take(ledger, job_id) is not None
    assert take(ledger, other) is None


def due(ledger: Ledger, *, idle: bool) -> list[int]:
    """Rows whose bell is due now; rung for."""
    with ledger.writing() as tx:
        rings = to_ring(tx, idle=idle, lease=LEASE)
        rung(tx, rings)
    return [ring.row_id for ring in rings]


def test_a_job_rings_once_and_again_only_when_its_message_must_be_lost(
    ledger: Ledger, job_id: int, clock: SetClock
) -> None:
    """With messages waiting, minutes pass first; with an empty queue, seconds."""
    assert due(ledger, idle=True) == [job_id]
    clock.move(1.9)
    assert due(ledger, idle=True) == []
    clock.move(0.1)
    assert due(ledger, idle=False) == []
    assert due(ledger, idle=True) == [job_id]
    clock.move(299.9)
    assert due(ledger, idle=False) == []
    clock.move(0.1)
    assert due(ledger, idle=False) == [job_id]


def test_a_held_lease_keeps_the_bell_still_and_a_lost_one_rings_it(
    ledger: Ledger, job_id: int, clock: SetClock
) -> None:
    """Whoever works is not disturbed."""
    due(ledger, idle=True)
    take(ledger, job_id)

    clock.move(LEASE - 0.001)
    assert due(ledger, idle=True) == []
    clock.move(0.001)
    assert due(ledger, idle=False) == [job_id]


def test_a_job_that_nobody_asked_for_now_waits_for_its_night(works: Works, ledger: Ledger) -> None:
    """Accepting rings no bell by itself."""
    submit(works, submission_of("J-1"), came_as="J-1.json")

    assert due(ledger, idle=True) == []


@pytest.mark.parametrize("back", [11 * LEASE, 24 * 3600.0])
def test_a_clock_put_back_does_not_keep_a_lost_workers_job(
    ledger: Ledger, job_id: int, clock: SetClock, back: float
) -> None:
    """Its lease would end tomorrow; it is rung for and taken at once, under a new number."""
    due(ledger, idle=True)
    lost = take(ledger, job_id)
    assert lost is not None
    clock.move(-back)

    rung_for = due(ledger, idle=True)
    found = take(ledger, job_id, "host:2")

    assert rung_for == [job_id]
    assert found is not None
    assert found.attempt == lost.attempt + 1


def test_a_clock_put_back_a_little_leaves_a_living_workers_job(
    ledger: Ledger, job_id: int, clock: SetClock
) -> None:
    """Within ten leases the holder's renewal comes first."""
    take(ledger, job_id)
    clock.move(-9 * LEASE)

    assert take(ledger, job_id, "host:2") is None


def test_a_wait_or_message_of_a_clock_put_back_is_forgotten(
    ledger: Ledger, job_id: int, clock: SetClock
) -> None:
    """A job that rests two seconds does not rest a day and two seconds."""
    due(ledger, idle=True)
    held = take(ledger, job_id)
    assert held is not None
    with ledger.writing() as tx:
        let_go(tx, held, error="the disk is full", counts=False)
    clock.move(-24 * 3600)

    assert due(ledger, idle=True) == [job_id]
    clock.move(-24 * 3600)
    assert due(ledger, idle=False) == [job_id]
    assert take(ledger, job_id) is not None
