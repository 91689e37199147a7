"""Keys of the HTTP door: shown once, kept as a digest, ended at once."""

from __future__ import annotations

import pytest
from sqlalchemy import select

from schemas.errors import Conflict, UnknownThing
from worker.ledger.api_keys import every_key, key_of, make_key, revoke
from worker.ledger.opening import Ledger
from worker.ledger.tables import api_keys


def test_a_key_opens_for_its_role_until_it_is_revoked(ledger: Ledger) -> None:
    """And never again after that."""
    with ledger.writing() as tx:
        key = make_key(tx, owner="dispatch", role="reader")
        found = key_of(tx, key)
        assert found is not None
        assert (found.owner, found.role) == ("dispatch", "reader")

        revoke(tx, found.name)

        assert key_of(tx, key) is None
        with pytest.raises(Conflict):
            revoke(tx, found.name)


def test_the_ledger_does_not_hold_the_key(ledger: Ledger) -> None:
    """Who reads the ledger cannot use what stands there."""
    with ledger.writing() as tx:
        key = make_key(tx, owner="dispatch", role="office")
        row = tx.sql.execute(select(api_keys)).one()

    secret = key.split("_", 2)[2]
    assert all(secret not in str(value) for value in row)


@pytest.mark.parametrize("spoil", [str.upper, lambda k: k[:-1], lambda k: k + "x", lambda _: ""])
def test_a_key_that_is_not_quite_one_opens_nothing(ledger: Ledger, spoil: object) -> None:
    """Not one letter may differ."""
    assert callable(spoil)
    with ledger.writing() as tx:
        key = make_key(tx, owner="dispatch", role="office")

        assert key_of(tx, spoil(key)) is None


def test_two_keys_may_live_side_by_side(ledger: Ledger) -> None:
    """So that one can be changed for the other without a gap."""
    with ledger.writing() as tx:
        one, two = (make_key(tx, owner="dispatch", role="office") for _ in range(2))

        assert one != two
        assert len(every_key(tx)) == 2
        with pytest.raises(UnknownThing, match="no key nobody"):
            revoke(tx, "nobody")
