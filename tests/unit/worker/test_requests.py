"""A request asked again with its own key is answered as before; another with that key is not."""

from __future__ import annotations

import pytest

from worker.ledger.api_keys import every_key, make_key
from worker.ledger.opening import Ledger, Tx
from worker.ledger.requests import Answered, Asked, KeyUsedOtherwise, answered_before, keep_answer

ANSWER = Answered(status=202, location="/v1/jobs/J-1", body='{"job": "J-1"}')
OTHER = Answered(status=202, location="/v1/jobs/J-2", body='{"job": "J-2"}')


def asked(tx: Tx, digest: str = "a" * 64) -> Asked:
    """A request under one office's key."""
    if not every_key(tx):
        make_key(tx, owner="dispatch", role="office")
    return Asked(api_key_id=every_key(tx)[0].id, idempotency_key="7", digest=digest)


def test_the_first_answer_stands(ledger: Ledger) -> None:
    """Whoever is late with another gets the first."""
    with ledger.writing() as tx:
        assert answered_before(tx, asked(tx)) is None

        assert keep_answer(tx, asked(tx), ANSWER) == ANSWER
        assert keep_answer(tx, asked(tx), OTHER) == ANSWER
        assert answered_before(tx, asked(tx)) == ANSWER


def test_another_request_with_the_same_key_is_refused(ledger: Ledger) -> None:
    """A key stands for one request."""
    with ledger.writing() as tx:
        keep_answer(tx, asked(tx), ANSWER)

        with pytest.raises(KeyUsedOtherwise):
            answered_before(tx, asked(tx, "b" * 64))
        with pytest.raises(KeyUsedOtherwise):
            keep_answer(tx, asked(tx, "b" * 64), OTHER)


def test_one_offices_keys_say_nothing_about_anothers(ledger: Ledger) -> None:
    """The same text is another key there."""
    with ledger.writing() as tx:
        keep_answer(tx, asked(tx), ANSWER)
        make_key(tx, owner="another", role="office")
        theirs = Asked(api_key_id=every_key(tx)[1].id, idempotency_key="7", digest="b" * 64)

        assert answered_before(tx, theirs) is None
