"""IPP messages in bytes.

Source:
    RFC 8010 (IPP/1.1 Encoding and Transport), 3: version, operation or status, request id,
    groups of attributes, the end tag, the document; each attribute as value tag, name, value.
"""

from __future__ import annotations

import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

OPERATION, JOB, END, PRINTER = 0x01, 0x02, 0x03, 0x04
LAST_GROUP: Final = 0x0F
"""Tags up to this one start a group."""

INTEGER, BOOLEAN, ENUM, RANGE = 0x21, 0x22, 0x23, 0x33
NAME, KEYWORD, URI, CHARSET, LANGUAGE, MIME = 0x42, 0x44, 0x45, 0x47, 0x48, 0x49
TEXTS: Final = frozenset(range(0x40, 0x60))
"""Tags of values that are text."""

Value = str | int | bytes
Group = Sequence[tuple[int, str, Sequence[Value]]]
"""Attributes: value tag, name, values."""


class NotIpp(Exception):  # named for what it is
    """Bytes that are no IPP message."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """What a printer answered."""

    status: int
    groups: tuple[tuple[int, dict[str, list[Value]]], ...]
    """Group tag, and its attributes by name."""

    def group(self, tag: int) -> dict[str, list[Value]]:
        """The first group of a kind; empty if there is none."""
        return next((found for kind, found in self.groups if kind == tag), {})

    def every(self, tag: int) -> list[dict[str, list[Value]]]:
        """All groups of a kind."""
        return [found for kind, found in self.groups if kind == tag]


def request(operation: int, number: int, groups: Mapping[int, Group]) -> bytes:
    """A request up to its end tag; the document follows it.

    Args:
        operation: Operation id.
        number: Request id, over 0.
        groups: Attributes by group tag.
    """
    message = struct.pack(">BBHi", 2, 0, operation, number)
    for tag, attributes in groups.items():
        message += bytes([tag])
        for kind, name, values in attributes:
            for place, value in enumerate(values):
                message += _attribute(kind, "" if place else name, value)
    return message + bytes([END])


def read(message: bytes) -> Reply:
    """Read a reply.

    Raises:
        NotIpp: It is cut short or none at all.
    """
    try:
        return _read(message)
    except (struct.error, IndexError, UnicodeDecodeError) as no:
        msg = f"no IPP reply: {no}"
        raise NotIpp(msg) from no


def _attribute(kind: int, name: str, value: Value) -> bytes:
    raw = value if isinstance(value, bytes) else _raw(value)
    named = name.encode("ascii")
    return struct.pack(">BH", kind, len(named)) + named + struct.pack(">H", len(raw)) + raw


def _raw(value: str | int) -> bytes:
    return value.encode() if isinstance(value, str) else struct.pack(">i", value)


def _read(message: bytes) -> Reply:
    _, _, status, _ = struct.unpack_from(">BBHi", message)
    at = 8
    groups: list[tuple[int, dict[str, list[Value]]]] = []
    name = ""
    while message[at] != END:
        tag = message[at]
        at += 1
        if tag <= LAST_GROUP:
            groups.append((tag, {}))
            continue
        named, at = _counted(message, at)
        raw, at = _counted(message, at)
        name = named.decode("ascii") or name
        groups[-1][1].setdefault(name, []).extend(_values(tag, raw))
    return Reply(status=status, groups=tuple(groups))


def _counted(message: bytes, at: int) -> tuple[bytes, int]:
    (size,) = struct.unpack_from(">H", message, at)
    end = at + 2 + size
    if end > len(message):
        msg = "cut short"
        raise IndexError(msg)
    return message[at + 2 : end], end


def _values(tag: int, raw: bytes) -> list[Value]:
    if tag in {INTEGER, ENUM}:
        return list(struct.unpack(">i", raw))
    if tag == RANGE:
        return list(struct.unpack(">ii", raw))
    if tag == BOOLEAN:
        return [raw[0]]
    return [raw.decode()] if tag in TEXTS else [raw]
