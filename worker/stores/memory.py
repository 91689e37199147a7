"""A pack store in memory: the stand-in."""

from __future__ import annotations

from dataclasses import dataclass, field

from worker.stores import Damaged, name_of, proved


@dataclass(frozen=True, slots=True)
class MemoryStore:
    """Files in a dictionary."""

    files: dict[str, bytes] = field(default_factory=dict)

    def put(self, content: bytes) -> str:
        """Keep a file; its name is its SHA-256 in hexadecimal."""
        name = name_of(content)
        self.files[name] = content
        return name

    def get(self, name: str) -> bytes:
        """The file of that name, proved.

        Raises:
            Damaged: It is not there, or is not what its name says.
        """
        if name not in self.files:
            raise Damaged(name)
        return proved(self.files[name], name)

    def tidy(self, *, now_ms: int) -> int:
        """There is never half a file."""
        assert now_ms
        return 0
