"""A deck with two flights and a landing between them, as an office would submit it."""

from __future__ import annotations

from typing import Any

from tests.builders import document

Tree = dict[str, Any]


def two_flights(*, lower: Tree | None = None, upper: Tree | None = None, **line: object) -> Tree:
    """A flight down to a landing, then left under it: 7 risers, a landing, 5 risers.

    Going up, the lower flight S2 heads to the right of the plan and turns left into S1. The
    landing is walked from the post at the turn: its west edge F with S2, its south edge G, its
    east edge H up to the other foot of S1.

    Args:
        lower: Changes to the lower flight.
        upper: Changes to the upper one.
        line: Changes to the landing's line.
    """
    tree = document("two-stair-sides")
    first = tree["stairs"][0] | {"goes_on": "left", "landing": "framed landing"} | (upper or {})
    second = tree["stairs"][0] | {
        "name": "S2", "leg": "F", "start": "2 1/4", "width": "42",
        "risers": 5, "total_rise": "37 1/2", "total_run": "42",
        "upper_post": {"from_top_nose": "-1 1/4"},
        "from_landing": {"stair": "S1", "turn": "left", "shared": "left", "guard": "legs"},
    } | (lower or {})  # fmt: skip
    turn = {"turn_deg": 90}
    landing = {
        "measured": "post-centre", "heading": "out",
        "start": {"kind": "post"}, "end": {"kind": "post", "same_as": "S1-R"},
        "legs": [
            {"name": "F", "length": "46 1/2", "corner": turn, "drop": "37 1/2", "fall": "0"},
            {"name": "G", "length": "52 1/2", "corner": turn, "drop": "37 1/2", "fall": "0"},
            {"name": "H", "length": "46 1/2", "drop": "37 1/2", "fall": "0"},
        ],
    } | line  # fmt: skip
    tree["lines"][0]["legs"][0]["drop"] = "90"
    return tree | {"lines": [*tree["lines"], landing], "stairs": [first, second]}
