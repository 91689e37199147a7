"""Webhook signatures against the text that defines them and its own reference library.

Source:
    Standard Webhooks, specification 1.0.0 (standardwebhooks.com), and `standardwebhooks` 1.x, its
    reference library for Python: it verifies what we sign.
    The secret, id, timestamp, body and signature of the one fixed example are those of the
    reference libraries' own tests.
"""

from __future__ import annotations

import base64
import json
from datetime import UTC, datetime

import pytest
from standardwebhooks import Webhook, WebhookVerificationError

from worker.post.signing import headers

OLD = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"
NEW = "whsec_" + base64.b64encode(bytes(range(48))).decode()


def test_the_published_example_is_signed_as_printed() -> None:
    """To the last character."""
    signed = headers(
        message_id="msg_p5jXN8AQM9LWM0D4loKWxJek",
        timestamp=1614265330,
        body=b'{"test": 2432232314}',
        secrets=[OLD],
    )

    assert signed["webhook-signature"] == "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE="


@pytest.mark.parametrize("known", [OLD, NEW])
def test_while_a_secret_is_replaced_a_receiver_may_know_either(known: str) -> None:
    """The reference library finds the signature it can verify."""
    body = b'{"type": "night.closed"}'
    now = int(datetime.now(tz=UTC).timestamp())
    signed = headers(message_id="evt_1", timestamp=now, body=body, secrets=[OLD, NEW])

    assert Webhook(known).verify(body.decode(), signed) == json.loads(body)


def test_a_changed_body_is_not_taken_for_ours() -> None:
    """By the reference library."""
    now = int(datetime.now(tz=UTC).timestamp())
    signed = headers(message_id="evt_1", timestamp=now, body=b'{"n": 1}', secrets=[OLD])

    with pytest.raises(WebhookVerificationError):
        Webhook(OLD).verify('{"n": 2}', signed)
