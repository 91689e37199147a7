"""Locks in the ledger: one holder at a time, and a late one that has no say any more."""

from __future__ import annotations

import time

import pytest

from worker.bootstrap import Works
from worker.clock import SetClock
from worker.ledger.locks import give_back, holder_of_lock, insert_once, renew, take
from worker.ledger.opening import Ledger
from worker.ledger.tables import locks
from worker.night import alone as alone_module
from worker.night.alone import alone


def test_a_lock_has_one_holder(ledger: Ledger) -> None:
    """The next one waits until it is given back."""
    with ledger.writing() as tx:
        mine = take(tx, "night", holder="a", lease=60)
        assert take(tx, "night", holder="b", lease=60) is None
        assert take(tx, "another", holder="b", lease=60) is not None

    assert mine is not None
    with ledger.writing() as tx:
        assert give_back(tx, mine)
        yours = take(tx, "night", holder="b", lease=60)

    assert yours is not None
    assert yours.fence > mine.fence


def test_a_silent_holder_loses_its_lock_for_good(ledger: Ledger, clock: SetClock) -> None:
    """It can neither renew it nor give it back afterwards."""
    with ledger.writing() as tx:
        silent = take(tx, "night", holder="a", lease=60)
    clock.move(61)
    with ledger.writing() as tx:
        assert take(tx, "night", holder="b", lease=60) is not None
    assert silent is not None

    with ledger.writing() as tx:
        assert not renew(tx, silent, lease=60)
        assert not give_back(tx, silent)
        assert holder_of_lock(tx, "night") == "b"


def test_a_holder_that_renews_keeps_it(ledger: Ledger, clock: SetClock) -> None:
    """For as long as it likes."""
    with ledger.writing() as tx:
        mine = take(tx, "night", holder="a", lease=60)
    assert mine is not None

    for _ in range(5):
        clock.move(50)
        with ledger.writing() as tx:
            assert renew(tx, mine, lease=60)
            assert take(tx, "night", holder="b", lease=60) is None


def test_a_row_inserted_once_says_whether_it_was(ledger: Ledger) -> None:
    """The first time only, on each kind of ledger."""
    with ledger.writing() as tx:
        assert insert_once(tx, locks, name="night", holder="", fence=0, until_ms=0)
        assert not insert_once(tx, locks, name="night", holder="", fence=0, until_ms=0)


def test_work_done_alone_lets_go_even_when_it_fails(works: Works) -> None:
    """The next one need not wait for the lease to end."""
    with pytest.raises(ZeroDivisionError), alone(works, "night", holder="a"):
        1 / 0  # noqa: B018  # the failure is the test's

    with alone(works, "night", holder="b") as lock:
        assert lock is not None
        with alone(works, "night", holder="c") as second:
            assert second is None


def test_work_done_alone_renews_its_lock(works: Works, monkeypatch: pytest.MonkeyPatch) -> None:
    """From a thread of its own, several times a lease."""
    monkeypatch.setattr(alone_module, "LEASES", 0.2 / works.settings.lease)
    with alone(works, "night", holder="a") as lock:
        assert lock is not None
        clock = works.clock
        assert isinstance(clock, SetClock)
        for _ in range(10):
            clock.move(0.1)
            time.sleep(0.1)
            with works.ledger.writing() as tx:
                assert holder_of_lock(tx, "night") == "a"


def test_a_lock_of_a_clock_put_back_holds_up_nobody(ledger: Ledger, clock: SetClock) -> None:
    """One given back is free at any hour; one never given back, from ten leases on."""
    with ledger.writing() as tx:
        assert (mine := take(tx, "look", holder="a", lease=60)) is not None
        assert take(tx, "night", holder="a", lease=60) is not None
        assert give_back(tx, mine)

    clock.move(-9 * 60)
    with ledger.writing() as tx:
        look, soon = (take(tx, name, holder="b", lease=60) for name in ("look", "night"))
    clock.move(-61)
    with ledger.writing() as tx:
        later = take(tx, "night", holder="b", lease=60)

    assert look is not None
    assert soon is None
    assert later is not None
