"""Signatures of webhooks.

Source:
    Standard Webhooks, specification 1.0: HMAC-SHA256 over `id.timestamp.body`, in base64 after
    `v1,`; with several secrets, several signatures with a space between.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
from collections.abc import Sequence

from schemas.signals import MARK


def headers(
    *, message_id: str, timestamp: int, body: bytes, secrets: Sequence[str]
) -> dict[str, str]:
    """The three headers by which a receiver knows a message for ours, fresh and not seen before.

    Args:
        message_id: The same at every try.
        timestamp: Of this try. [s since 1970]
        body: As it is sent.
        secrets: As written, `whsec_...`.
    """
    signed = f"{message_id}.{timestamp}.".encode() + body
    signatures = [f"v1,{_signature(signed, secret)}" for secret in secrets]
    return {
        "webhook-id": message_id,
        "webhook-timestamp": str(timestamp),
        "webhook-signature": " ".join(signatures),
    }


def _signature(signed: bytes, secret: str) -> str:
    key = base64.b64decode(secret.removeprefix(MARK))
    return base64.b64encode(hmac.new(key, signed, hashlib.sha256).digest()).decode()
