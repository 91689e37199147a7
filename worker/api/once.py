"""Requests with a key of their sender's choice: sent again, they are done once."""

from __future__ import annotations

from hashlib import sha256
from typing import Final

from fastapi import Header, Request

from worker.ledger.api_keys import ApiKey
from worker.ledger.requests import Asked

KEY_HEADER: Final = Header(
    alias="Idempotency-Key",
    min_length=1,
    max_length=255,
    pattern=r"^[\x21-\x7e]+$",
    description="A key of the sender's own choice. The same request with the same key is answered "
    "as it was the first time, for as long as the ledger is kept; another request is refused.",
)


def asked_as(request: Request, key: ApiKey, raw: bytes, own: str | None) -> Asked | None:
    """A request by the key it came with; none: it came without.

    Args:
        request: For its method and address.
        key: Whose it is.
        raw: Its body.
        own: The sender's key, in quotes or not.
    """
    if own is None:
        return None
    line = f"{request.method} {request.url.path}?{request.url.query}\n"
    digest = sha256(line.encode() + raw).hexdigest()
    plain = own[1:-1] if len(own) > 2 and own[0] == own[-1] == '"' else own
    return Asked(api_key_id=key.id, idempotency_key=plain, digest=digest)
