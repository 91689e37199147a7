"""What the ledger says of a change, without the names of our hosts, processes and folders."""

from __future__ import annotations

import re
from typing import Final

_BY: Final = re.compile(r"^claimed by \S+(, attempt \d+)$")
_OURS: Final = ("to ", "given back: ", "set aside: ")
"""How causes begin that the machinery wrote; what people wrote is shown as they wrote it."""
_PLACES: Final = re.compile(
    r"[a-z][a-z0-9+.-]*://\S+"  # an address with its scheme
    r"|(?<![\w/])(?:/[\w.@+-]+)+/?"  # a path
    r"|\b[\w-]+(?:\.[\w-]+)*:\d{2,5}\b"  # host and port, host and process
    r"|\b\d{1,3}(?:\.\d{1,3}){3}\b"
)


def stripped(cause: str) -> str:
    """A cause as others may read it."""
    if cause.startswith("to /"):
        return "to its folder"
    cause = _BY.sub(r"claimed\1", cause)
    return without_places(cause) if cause.startswith(_OURS) else cause


def without_places(text: str) -> str:
    """A text with every path and host replaced by dots."""
    return _PLACES.sub("...", text)
