"""The pack store: finished files, named by what is in them.

In: bytes. Out: the same bytes, proved by their SHA-256, or a refusal. A file is there
whole or not at all; the same file twice is one file.
"""

from __future__ import annotations

from hashlib import sha256
from typing import Protocol

from schemas.errors import NotNow


class Damaged(NotNow):
    """A stored file is gone or not what its name says; what it came from is still in the ledger."""

    def __init__(self, name: str) -> None:
        """Keep which file it is."""
        super().__init__(f"stored file {name} is missing or damaged")
        self.name = name


class Store(Protocol):
    """Keeps finished files."""

    def put(self, content: bytes) -> str:
        """Keep a file; its name is its SHA-256 in hexadecimal."""

    def get(self, name: str) -> bytes:
        """The file of that name.

        Raises:
            Damaged: It is not there, or is not what its name says.
        """

    def tidy(self, *, now_ms: int) -> int:
        """Take away what dead writers left half written long ago; the number of files."""


def name_of(content: bytes) -> str:
    """The name a file goes by."""
    return sha256(content).hexdigest()


def proved(content: bytes, name: str) -> bytes:
    """The content, if it is what its name says.

    Raises:
        Damaged: It is not.
    """
    if name_of(content) != name:
        raise Damaged(name)
    return content
