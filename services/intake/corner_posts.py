"""Corner posts: which way one stands where the measure leaves it open, and why it cannot.

A post stands square to the leg before, or is turned to halve the angle. Each rail needs a
bracket that takes its angle and a face of the post to itself, and must meet that face well
inside its edges.
"""

from __future__ import annotations

from collections.abc import Iterator

from schemas.lengths import INCH
from schemas.rail_system import Bracket, RailSystem
from schemas.site import Corner, GuardLine
from schemas.wording import joined, say
from services.geometry.polyline import SQUARE, beside_middle, face_angles
from services.tape import text_with_unit

EDGE = INCH // 2
"""The middle of a rail meets a face so far inside its edge, or the bracket's screws miss the
sleeve. Source: common practice."""
WORDS = {"square": say("square to the leg before"), "turned": say("turned to halve the angle")}


def usual(corner: Corner) -> str:
    """How a post stands unless something speaks against it."""
    return "square" if corner.turn_deg == SQUARE else "turned"


def stood(lines: tuple[GuardLine, ...], *, system: RailSystem) -> tuple[GuardLine, ...]:
    """The same lines, each corner post with the way it stands.

    Where the measure leaves it open: square at 90 degrees, else turned; the other way where
    only that one can be built.
    """
    return tuple(
        line.model_copy(
            update={
                "legs": tuple(
                    leg.model_copy(update={"corner": _standing(leg.corner, system=system)})
                    for leg in line.legs
                )
            }
        )
        for line in lines
    )


def _standing(corner: Corner | None, *, system: RailSystem) -> Corner | None:
    if corner is None or corner.post is not None:
        return corner
    ways = sorted(WORDS, key=lambda way: way != usual(corner))
    both = [corner.model_copy(update={"post": way}) for way in ways]
    return next((one for one in both if not why_not(one, system=system, step=1)), both[0])


def why_not(corner: Corner, *, system: RailSystem, step: int) -> str | None:
    """Why a corner post cannot stand as it should; none where it can.

    Args:
        corner: With the way its post stands.
        system: For its brackets and its sleeve.
        step: The tape's graduation. [1/320 mm]
    """
    return next(_against(corner, system=system, step=step), None)


def _against(corner: Corner, *, system: RailSystem, step: int) -> Iterator[str]:
    turned = corner.post == "turned"
    worst = max(face_angles(turn_deg=corner.turn_deg, halved=turned))
    if corner.turn_deg > (SQUARE if turned else SQUARE + SQUARE / 2):
        yield say(
            "both rails would come onto the same face of the post, and each needs a face to itself"
        )
    if not any(b.least_deg <= worst <= b.greatest_deg for b in brackets(system)):
        yield say(
            "a rail would meet its face {worst} degrees off square; brackets of {system} take "
            "{ranges}",
            worst=f"{worst:g}",
            system=system.title,
            ranges=_ranges(system),
        )
    sleeve = system.sleeve.outside
    beside = beside_middle(width=sleeve, angle_deg=worst)
    if beside > sleeve / 2 - EDGE:
        inside = int(sleeve / 2 - beside) // step * step
        where = say("{inside} from the sleeve's edge", inside=text_with_unit(inside, step))
        yield say(
            "the middle of a rail would meet the post {where}, and its bracket needs {edge}",
            where=where if inside > 0 else say("at the sleeve's very edge"),
            edge=text_with_unit(EDGE // step * step or EDGE, step),
        )


def brackets(system: RailSystem) -> tuple[Bracket, ...]:
    """The brackets of its level rail."""
    return tuple(filter(None, (system.level.bracket, system.level.angle_bracket)))


def _ranges(system: RailSystem) -> str:
    return joined(
        say("{least} to {most} degrees", least=f"{b.least_deg:g}", most=f"{b.greatest_deg:g}")
        for b in brackets(system)
    )
