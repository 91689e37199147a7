"""Signals: what others are told when something happens, and who is told.

In: the company's list of receivers. Out: short messages with identities in them, no measures
and no names of customers: whoever may know more asks for it.
"""

from __future__ import annotations

import base64
import binascii
from typing import Annotated, Final, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from schemas.record import Key, Line, Record

Topic = Literal[
    "job.received", "job.held", "job.refused", "job.packed", "job.delivered", "job.failed",
    "job.withdrawn", "job.replaced", "bundle.made", "bundle.failed", "night.closed",
    "run.missed", "file.refused",
]  # fmt: skip
"""What happened, by thing and new state."""

MARK: Final = "whsec_"
"""How the written form of a signing secret starts."""


def _a_secret(written: str) -> str:
    try:
        size = len(base64.b64decode(written.removeprefix(MARK), validate=True))
    except binascii.Error:
        size = 0
    if not written.startswith(MARK) or not 24 <= size <= 64:
        msg = f"not a signing secret; write {MARK} and 24 to 64 random bytes in base64"
        raise ValueError(msg)
    return written


Secret = Annotated[str, AfterValidator(_a_secret)]


class Receiver(Record):
    """One address that is told."""

    key: Key
    """Short name."""
    url: Annotated[str, Field(pattern=r"^https?://[^\s@]+$", max_length=400)]
    """Where messages are posted."""
    secrets: Annotated[tuple[Secret, ...], Field(min_length=1, max_length=4)]
    """Signing secrets; while one replaces another, both."""
    topics: tuple[Topic, ...] = ()
    """What it is told of; nothing: all."""
    on_site: bool = False
    """It stands in the company's own network, where plain http and private addresses are right."""

    @model_validator(mode="after")
    def _is_private_or_secure(self) -> Self:
        if not self.on_site and not self.url.startswith("https://"):
            msg = f"{self.key}: outside the company's own network only https is right"
            raise ValueError(msg)
        return self


class Receivers(Record):
    """The list of receivers."""

    schema_version: Literal[1] = 1
    """Version of this document's form; 1."""
    receivers: tuple[Receiver, ...]
    """Each with a key of its own."""

    @model_validator(mode="after")
    def _keys_differ(self) -> Self:
        keys = [receiver.key for receiver in self.receivers]
        if twice := sorted({key for key in keys if keys.count(key) > 1}):
            msg = f"every receiver has a key of its own; twice: {', '.join(twice)}"
            raise ValueError(msg)
        return self


class Signal(Record):
    """What is posted to a receiver."""

    type: Topic
    """What happened."""
    timestamp: Line
    """When, RFC 3339, UTC."""
    data: dict[str, str | int]
    """Whose state it is: job, revision, crew, day, content code, whichever it has."""


class Letter(Record):
    """A letter by mail."""

    to: str
    """Mail address."""
    subject: Line
    """Its head."""
    text: str
    """What it says."""
    attached: tuple[tuple[str, str], ...] = ()
    """File name, and name in the pack store, of what goes with it."""
