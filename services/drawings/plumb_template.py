"""The lower end of a stair's rails in full size: to set a bevel by and lay a rail on.

Both rails lie with their lower edge on one line and their long point at its zero. It is
left out where a rail is too deep, or its first hole too far off, for a sheet.
"""

from __future__ import annotations

from math import radians, tan

from schemas.bays import StairBay
from schemas.drawings import TALLEST, WIDEST, Drawing
from schemas.lengths import Length
from schemas.rail_system import RoutedRail
from services.drawings.dimensions import At, along
from services.drawings.finish import finish
from services.drawings.lines import Mark, line, word
from services.drawings.scale import Scale
from services.tape import angle, text
from services.wording import Words

_PAST = 26.0
"""The rails' edges go on so far past the last hole. [pt]"""
_CROSS = 5.0


def plumb_template(
    bay: StairBay, *, rail: RoutedRail, step: Length, metric: bool, title: str, words: Words
) -> tuple[Drawing, ...]:
    """Draw both rails' lower ends over each other, one to one.

    Args:
        bay: The stair bay.
        rail: Its rails' sizes.
        step: Graduation of the job's paper. [1/320 mm]
        metric: Whether it is in millimetres.
        title: What it is of, in words.
        words: The crew's.
    """
    full = Scale(ratio=1, metric=metric)
    deep = full.points(max(rail.top_depth, rail.bottom_depth))
    lean = deep * tan(radians(bay.saw_deg))
    holes = (bay.top_first_hole_to_long, bay.bottom_first_hole_to_long)
    right = max(lean, *map(full.points, holes)) + _PAST
    marks: list[Mark] = [
        line((0, 0), (right, 0), weight="heavy"), line((0, 0), (lean, deep), weight="heavy"),
    ]  # fmt: skip
    low = full.points(rail.bottom_depth)
    below = words.say(
        "top rail: holes below, long to short point {short}",
        short=text(bay.top_long_to_short, step),
    )
    above = words.say(
        "bottom rail: holes above, long to short point {short}",
        short=text(bay.bottom_long_to_short, step),
    )
    for depth, hole, hole_y, away, says in (
        (rail.top_depth, holes[0], 0.0, -1, below), (rail.bottom_depth, holes[1], low, 1, above),
    ):  # fmt: skip
        high, x = full.points(depth), full.points(hole)
        marks.append(line((high * tan(radians(bay.saw_deg)), high), (right, high), weight="wide"))
        marks.append(line((x, hole_y - _CROSS), (x, hole_y + _CROSS), weight="heavy"))
        stops = [At(at=0, says="0"), At(at=x, says=text(hole, step))]
        y = -14.0 if away < 0 else deep + 14.0
        run = along(stops, y=y, away=away, lane=f"hole{away}", feet=8, upright=True)
        far = y + away * run.reach
        marks += run.marks
        marks.append(word(0, far - 12 if away < 0 else far + 5, says, bold=True, lane="what"))
    saw = words.say("saw {angle}", angle=angle(bay.saw_deg))
    marks.append(word(lean / 2 + 14, deep / 2 - 4, saw, bold=True, lane="saw"))
    drawn = finish(
        marks,
        name=f"template-{bay.name}",
        title=words.say("{bay}: lower ends in full size, to set a bevel by", bay=title),
        said=words.say("Lower ends of both rails in full size with plumb cut and first holes."),
        scale=full,
    )
    return (drawn,) if drawn.width <= WIDEST and drawn.height <= TALLEST else ()
