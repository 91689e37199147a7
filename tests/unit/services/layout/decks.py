"""Decks for the layout's tests, as an office would submit them."""

from __future__ import annotations

from typing import Any

from schemas.job import Job
from schemas.layout import Layout
from schemas.lengths import read_length
from schemas.rail_system import BracketKind
from services.bays import asks_for
from services.layout import Asks, LaidOut, lay_out
from tests import builders

WALL = {"kind": "wall", "substrate": "stud"}
FREE = {"kind": "post"}


def corner(turn_deg: float = 90, hand: str = "outside", post: str | None = None) -> dict[str, Any]:
    """A corner at the end of a leg."""
    return {"turn_deg": turn_deg, "hand": hand, "post": post}


def leg(name: str, length: str, **more: object) -> dict[str, Any]:
    """A leg, in inches."""
    return {"name": name, "length": length, "drop": "40", **more}


def line(*legs: dict[str, Any], **more: object) -> dict[str, Any]:
    """A line along the deck edge with posts 3 1/2 in from it, free at both ends."""
    plain = {"measured": "deck-edge", "inset": "3 1/2", "heading": "along"}
    return {**plain, "start": FREE, "end": FREE, "legs": list(legs), **more}


def stair(name: str = "S1", leg: str = "A", start: str = "60", **more: object) -> dict[str, Any]:
    """Five risers of 7 1/2 on 10 1/2, 42 wide."""
    plain = {"risers": 5, "riser": "7 1/2", "tread": "10 1/2", "width": "42"}
    lower = {"from_last_nose": "2"}
    return {"name": name, "leg": leg, "start": start, **plain, "lower_post": lower, **more}


def gate(name: str = "G1", leg: str = "A", start: str = "60", width: str = "36") -> dict[str, Any]:
    """A gate."""
    return {"name": name, "leg": leg, "start": start, "width": width, "pool_barrier": False}


def job_of(*lines: dict[str, Any], **more: object) -> Job:
    """A job in inches with nothing but these lines, and what is given beside them."""
    tree = builders.document("l-deck")
    tree |= {"lines": list(lines), "stairs": [], "gates": [], "remove_feet": 0, **more}
    return builders.job(tree)


def asks(job: Job) -> Asks:
    """The layout's questions, answered by the bays themselves."""
    made = asks_for(job)
    return Asks(
        bay_works=made.bay_works,
        longest_clear=made.longest_clear,
        nearest_legal=made.nearest_legal,
        stair_works=made.stair_works,
    )


def laid_out(job: Job) -> LaidOut:
    """A job, laid out with the real rules of its bays."""
    return lay_out(job, asks=asks(job))


def layout_of(job: Job) -> Layout:
    """The layout of a job that has one."""
    out = laid_out(job)
    assert out.layout is not None, [question.says for question in out.questions]
    return out.layout


def inches(written: str) -> int:
    """A length, from inches."""
    return read_length(written, "in")


class Holes:
    """A rail that works where the opening is one of some ranges: a stand-in with dead bands."""

    def __init__(self, *, pitch: int, least: int, most: int) -> None:
        """Margins from ``least`` to ``most`` at a hole pitch."""
        self.pitch, self.least, self.most = pitch, least, most

    def works(
        self, *, clear: int, left: BracketKind, right: BracketKind, **_beside: object
    ) -> bool:
        """Whether some count of holes leaves both margins legal."""
        least = max(self._least(left), self._least(right))
        counts = range(1, clear // self.pitch + 2)
        return any(2 * least <= clear - (n - 1) * self.pitch <= 2 * self.most for n in counts)

    def nearest(
        self, *, clear: int, left: BracketKind, right: BracketKind, **_beside: object
    ) -> tuple[int | None, int | None]:
        """The nearest openings on sixteenths that work."""
        sixteenth = inches("1/16")
        reach = range(0, 2 * self.pitch, sixteenth)

        def fits(size: int) -> bool:
            return self.works(clear=size, left=left, right=right)

        below = next((clear - by for by in reach if fits(clear - by)), None)
        return below, next((clear + by for by in reach if fits(clear + by)), None)

    def _least(self, kind: BracketKind) -> int:
        return self.least if kind == "line" else self.least + inches("1/2")

    def asks(self, *, longest: int) -> Asks:
        """The layout's questions, answered by these holes."""
        return Asks(bay_works=self.works, longest_clear=longest, nearest_legal=self.nearest)
