"""Keys of the HTTP door: made here, shown once, kept as a digest.

A key is a name and 32 random bytes. So much chance cannot be guessed, which is why a plain
SHA-256 keeps it: a slow hash is for passwords that people choose.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from hashlib import sha256
from hmac import compare_digest
from typing import Any, Literal, get_args

from sqlalchemy import Row, insert, select, update

from schemas.errors import Conflict, UnknownThing
from worker.ledger.opening import Tx
from worker.ledger.tables import api_keys

Role = Literal["office", "reader"]
"""Office: may submit, decide and run nights. Reader: may look."""

PREFIX = "dawnpack"


@dataclass(frozen=True, slots=True, kw_only=True)
class ApiKey:
    """A key as the ledger knows it, without its secret."""

    id: int
    name: str
    """The part that may be shown and logged."""
    owner: str
    role: Role
    made_ms: int
    revoked_ms: int
    """0: it is good."""


def make_key(tx: Tx, *, owner: str, role: Role) -> str:
    """Make a key and keep its digest; the key itself is only in what this returns."""
    name = secrets.token_hex(4)
    key = f"{PREFIX}_{name}_{secrets.token_urlsafe(32)}"
    tx.sql.execute(
        insert(api_keys).values(
            name=name, sha256=_digest(key), owner=owner, role=role, made_ms=tx.now_ms
        )
    )
    return key


def every_key(tx: Tx) -> list[ApiKey]:
    """All keys, in the order in which they were made."""
    return [_key(row) for row in tx.sql.execute(select(api_keys).order_by(api_keys.c.id))]


def revoke(tx: Tx, name: str) -> ApiKey:
    """End a key; what came by it stays.

    Raises:
        UnknownThing: No key of that name.
        Conflict: It is revoked already.
    """
    known = {key.name: key for key in every_key(tx)}
    if name not in known:
        msg = f"no key {name}; there are: {', '.join(known) or 'none'}"
        raise UnknownThing(msg)
    if known[name].revoked_ms:
        msg = f"key {name} is revoked already"
        raise Conflict(msg)
    ended = update(api_keys).where(api_keys.c.name == name).values(revoked_ms=tx.now_ms)
    tx.sql.execute(ended)
    return known[name]


def key_of(tx: Tx, shown: str) -> ApiKey | None:
    """The good key that somebody shows; none if it is not one."""
    _, _, rest = shown.partition("_")
    name, _, _ = rest.partition("_")
    row = tx.sql.execute(select(api_keys).where(api_keys.c.name == name)).first()
    if row is None or row.revoked_ms or not compare_digest(row.sha256, _digest(shown)):
        return None
    return _key(row)


def _digest(key: str) -> str:
    return sha256(key.encode()).hexdigest()


def _key(row: Row[Any]) -> ApiKey:
    assert row.role in get_args(Role)
    return ApiKey(
        id=row.id, name=row.name, owner=row.owner, role=row.role,
        made_ms=row.made_ms, revoked_ms=row.revoked_ms,
    )  # fmt: skip
