"""Mid posts of a long flight: on which treads they stand.

Level distances run downhill from the top nosing. A mid post's sleeve stands whole on one
tread; the bays between are built like any stair bay.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise

from schemas.lengths import Length
from schemas.site import Correction, Option, Question, Stair
from schemas.wording import row, say
from services.geometry.polyline import reach
from services.layout.chains import Allowed, Links, nearest_chain
from services.layout.equal_bays import equal_marks
from services.layout.given import Site
from services.tape import down, text, text_with_unit

MOST_BAYS = 8
"""No flight is parted into more. Source: common practice."""


def faces_of(stair: Stair, *, sleeve: Length, inset: Length) -> tuple[Length, Length]:
    """The faces of a flight's upper and lower post that look at each other.

    Both downhill of the top nosing.

    Args:
        stair: The flight.
        sleeve: Outside of a post sleeve. [1/320 mm]
        inset: Deck edge, which is the top nosing, back to post centres. [1/320 mm]
    """
    top = stair.upper_post.from_top_nose
    if top is None:
        top = -(-sleeve // 2) - inset
    return top, stair.run + stair.lower_post.from_last_nose


def mid_posts(stair: Stair, *, site: Site, top: Length, foot: Length) -> tuple[Length, ...] | None:
    """Centres of a flight's mid posts from the top one down; None: those wanted cannot stand.

    Args:
        stair: The flight, with the places given or left to us.
        site: For the sleeve, the tape and what a stair bay needs.
        top: Upper post's face. [1/320 mm]
        foot: Lower post's face. [1/320 mm]
    """
    if stair.mid_posts != "auto":
        given = stair.mid_posts
        return given if not given or _can_stand(given, stair, site, top, foot) else None
    if _works(stair, site)(foot - top):
        return ()
    for bays in range(2, MOST_BAYS + 1):
        if chain := _chain(stair, site, top=top, foot=foot, bays=bays):
            return tuple(mark * site.job.step for mark in chain)
    return None


def no_mid_post(stair: Stair, *, site: Site) -> Question:
    """The mid posts that were given, or left to us, cannot stand or leave no legal bay."""
    step = site.job.step
    if stair.mid_posts == "auto":
        says = say(
            "{stair}: no mid post stands whole on a tread of {tread} with its sleeve of "
            "{sleeve} and leaves bays that can be built.",
            stair=stair.name,
            tread=text_with_unit(stair.tread, step),
            sleeve=text(site.sleeve, step),
        )
    else:
        at = row(text(place, step) for place in stair.mid_posts)
        says = say(
            "{stair}: with mid posts at {at} from the top nosing a post stands across a "
            "nosing or a bay beside it cannot be built.",
            stair=stair.name,
            at=at,
        )
    auto = Option(
        key="auto",
        says=say("Mid posts stand on the treads where the rail needs them"),
        sets=(Correction(pointer=_pointer(stair, site), value="auto"),),
    )
    return Question(
        key=f"mid-post.{stair.name}",
        severity="stop",
        place=say("Stair {stair}", stair=stair.name),
        says=says,
        ask=say("Where may a mid post stand?"),
        options=() if stair.mid_posts == "auto" else (auto,),
    )


def _pointer(stair: Stair, site: Site) -> str:
    return f"/stairs/{site.job.stairs.index(stair)}/mid_posts"


def _works(stair: Stair, site: Site) -> Allowed:
    """Whether a level opening on this slope is a bay; one without a nosing in it is none."""
    asked = site.asks.stair_works

    def works(clear: Length) -> bool:
        if clear < stair.tread:
            return False
        opening = down(clear, site.job.step)
        return asked is None or asked(riser=stair.riser, tread=stair.tread, clear=opening)

    return cache(works)


def _on_one_tread(at: Length, stair: Stair, half: Length) -> bool:
    """A tread runs from under one nosing out to its own; the deck and the landing are none."""
    return any(back <= at - half and at + half <= front for back, front in pairwise(stair.noses))


def _can_stand(
    given: tuple[Length, ...], stair: Stair, site: Site, top: Length, foot: Length
) -> bool:
    half = reach(width=site.sleeve, angle_deg=0)
    works = _works(stair, site)
    faces = [top, *(face for at in given for face in (at - half, at + half)), foot]
    bays = zip(faces[::2], faces[1::2], strict=True)
    return (
        all(a < b for a, b in pairwise(faces))
        and all(_on_one_tread(at, stair, half) for at in given)
        and all(works(low - high) for high, low in bays)
    )


def _chain(
    stair: Stair, site: Site, *, top: Length, foot: Length, bays: int
) -> tuple[int, ...] | None:
    """The marks nearest to equal bays at which every post stands on a tread."""
    step, half = site.job.step, reach(width=site.sleeve, angle_deg=0)
    works = _works(stair, site)
    return nearest_chain(
        equal_marks(left=top, right=foot, bays=bays, sleeve=site.sleeve, step=step),
        links=Links(
            may_stand=lambda mark: _on_one_tread(mark * step, stair, half),
            first=lambda mark: works(mark * step - half - top),
            between=lambda marks: works(marks * step - 2 * half),
            last=lambda mark: works(foot - mark * step - half),
        ),
        farthest=2 * stair.tread // step,
    )
