"""Heights of level rails and of posts.

All heights stand on what the post or the rail stands on. A sleeve hides the post up to
the cap; between the highest rail and the cap it shows the reveal.
"""

from __future__ import annotations

from dataclasses import dataclass

from schemas.bays import FaceMark, PostHeight
from schemas.rail_system import RoutedRail, SectionHeight, Sleeve
from services import tape


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelHeights:
    """A level bay's rails above the walking surface at its high side."""

    sweep: int
    """Underside of the bottom rail: the spacer block."""
    top_underside: int
    top: int
    """Top of the top rail."""


def level_heights(*, rail: RoutedRail, section: SectionHeight, spacer: int) -> LevelHeights:
    """Spacer block, bottom rail, what is seen of the balusters, top rail."""
    underside = spacer + rail.bottom_depth + section.visible
    return LevelHeights(sweep=spacer, top_underside=underside, top=underside + rail.top_depth)


def fall_within(*, fall: int, span: int, length: int, step: int) -> int:
    """A bay's share of the deck's fall along its leg, rounded up to a mark."""
    return tape.up(fall * span / length, step) if fall and length else 0


def post_height(
    *, post: str, faces: tuple[FaceMark, ...], otherwise: int, sleeve: Sleeve, step: int
) -> PostHeight:
    """A post's sleeve and where its core may end.

    sleeve = highest rail + reveal + cap depth, up to a mark; the core ends above the rail, so
    that the top bracket's screws find wood, and under the cap's inner tab.

    Args:
        post: Its name.
        faces: What the rails mark on it.
        otherwise: Height of rail for a post that carries none.
        sleeve: Of the system, with the reveal wanted.
        step: Graduation.

    Source:
        Common practice.
    """
    rail_top = max((mark.topside for mark in faces), default=otherwise)
    length = tape.up(rail_top + sleeve.reveal + sleeve.cap_depth, step)
    return PostHeight(
        post=post,
        rail_top=rail_top,
        sleeve=length,
        core_least=tape.up(rail_top, step),
        core_most=tape.down(length - sleeve.cap_tab, step),
        reveal=length - sleeve.cap_depth - rail_top,
        faces=faces,
    )
