"""Words for what a record names by a fixed key: sides, ends, rails, kinds."""

from __future__ import annotations

from typing import Final

from schemas.wording import Said, say

TERMS: Final = {
    "top": say("top"),
    "bottom": say("bottom"),
    "left": say("left"),
    "right": say("right"),
    "pair": say("pair"),
    "line": say("line"),
    "angle": say("angle"),
    "stair": say("stair"),
    "level": say("level"),
    "hole side": say("hole side"),
    "plain side": say("plain side"),
    "post": say("post"),
    "wall": say("wall"),
}


def term(key: str) -> Said:
    """The word of a key.

    Args:
        key: As the record holds it.

    Raises:
        KeyError: A key without a word.
    """
    return TERMS[key]
