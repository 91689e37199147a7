"""Stair bays: one on each side that carries a rail, from the lower post up to the deck."""

from __future__ import annotations

from dataclasses import dataclass

from schemas.layout import Bay, BayEnd, PlanPoint, Post, Where
from schemas.lengths import Length
from schemas.site import Correction, GuardLine, Option, Question, Side, Stair
from schemas.wording import say
from services.geometry.polyline import reach
from services.layout.given import Site
from services.layout.mid_posts import faces_of, mid_posts
from services.layout.naming import as_point
from services.layout.placing import PlacedLeg
from services.layout.stands import Stand
from services.tape import down, text_with_unit
from services.wording.terms import term


@dataclass(frozen=True, slots=True, kw_only=True)
class StairSide:
    """A side of a stair with its rail, from the lower end up."""

    posts: tuple[Post, ...]
    """The lower one, then mid posts."""
    bays: tuple[Bay, ...]


def stair_clear(stair: Stair, *, sleeve: Length, inset: Length) -> Length:
    """Level opening between a stair's upper and lower post.

    clear = (risers - 1) * tread + from_last_nose - from_top_nose. Where the upper
    post's place was not measured, it stands on the line of post centres:
    from_top_nose = sleeve / 2 - inset.

    Args:
        stair: The flight.
        sleeve: Outside of a post sleeve. [1/320 mm]
        inset: Deck edge, which is the top nosing, back to post centres. [1/320 mm]

    Source:
        Common practice: the last riser ends at the landing, so treads are one fewer.
    """
    upper, lower = faces_of(stair, sleeve=sleeve, inset=inset)
    return lower - upper


def sides_of(
    stair: Stair,
    *,
    site: Site,
    line: GuardLine,
    leg: PlacedLeg,
    uppers: dict[Side, tuple[str, Stand]],
) -> tuple[StairSide, ...]:
    """The lower and mid posts and the bays of a stair, left before right as seen going up."""
    top, foot = faces_of(stair, sleeve=site.sleeve, inset=line.inset)
    centres = mid_posts(stair, site=site, top=top, foot=foot) or ()
    half = reach(width=site.sleeve, angle_deg=0)
    sides = []
    for side in (side for side in ("left", "right") if side in stair.rails):
        upper, stand = uppers[side]
        name = f"{stair.name}-{side[0].upper()}"
        rising: list[tuple[str, Where, Length, Length]] = [
            (name, "stair-lower", 0, foot + half),
            *(
                (f"{name}M{number}", "stair-mid", at, at)
                for number, at in enumerate(reversed(centres), start=1)
            ),
        ]
        posts = tuple(
            _post(
                post,
                where,
                stair=stair,
                site=site,
                at=at,
                point=as_point(leg.at(stand.at, outward=centre - top + half)),
            )
            for post, where, at, centre in rising
        )
        marks = [(post, foot - centre) for post, _, _, centre in rising]
        sides.append(
            StairSide(
                posts=posts,
                bays=_bays(
                    name,
                    stair=stair,
                    step=site.job.step,
                    ends=[(post, at - half, at + half) for post, at in marks],
                    last=(upper, foot - top),
                ),
            )
        )
    return tuple(sides)


def _post(
    name: str, where: Where, *, stair: Stair, site: Site, at: Length, point: PlanPoint
) -> Post:
    return Post(
        name=name,
        where=where,
        in_place=False,
        leg=stair.name,
        at=at,
        point=point,
        sleeve=site.sleeve,
        core=site.job.post.core,
    )


def _bays(
    name: str,
    *,
    stair: Stair,
    step: Length,
    ends: list[tuple[str, Length, Length]],
    last: tuple[str, Length],
) -> tuple[Bay, ...]:
    """From the lower post up; one bay alone carries no number."""
    uphill = [*((post, down_face) for post, down_face, _ in ends[1:]), last]
    bays = []
    for number, ((low, _, start), (high, end)) in enumerate(
        zip(ends, uphill, strict=True), start=1
    ):
        clear = down(end - start, step)
        bays.append(
            Bay(
                name=f"{name}{number}" if len(ends) > 1 else name,
                kind="stair",
                leg=stair.name,
                left=BayEnd(post=low, face=start, mitre_deg=0, bracket="stair"),
                right=BayEnd(post=high, face=end, mitre_deg=0, bracket="stair"),
                clear=clear,
                clear_top=clear,
                measured=False,
            )
        )
    return tuple(bays)


def no_upper_post(stair: Stair, *, side: Side, site: Site) -> Question:
    """A stair is to have a rail on a side where its opening ends at the wall."""
    others = tuple(one for one in stair.rails if one != side)
    rails = Correction(pointer=f"/stairs/{site.job.stairs.index(stair)}/rails", value=others)
    none = Option(key="wall-side", says=say("That side has no rail: the wall is there"),
                  sets=(rails,))  # fmt: skip
    return Question(
        key=f"stair-rail.{stair.name}.{side}",
        severity="stop",
        place=say("Stair {stair}", stair=stair.name),
        says=say(
            "{stair} is to have a rail on its {side} side (as seen going up), but there "
            "its opening ends at the wall, so no post can carry it.",
            stair=stair.name,
            side=term(side),
        ),
        ask=say("Is that side a wall side without a rail, or does a post stand before the wall?"),
        options=(none,) if others else (),
    )


def no_stair_room(stair: Stair, *, clear: Length, step: Length) -> Question:
    """The posts of a stair would touch or change places."""
    return Question(
        key=f"stair-clear.{stair.name}",
        severity="stop",
        place=say("Stair {stair}", stair=stair.name),
        says=say(
            "{risers} risers with treads of {tread} leave {clear} between the upper and "
            "the lower post.",
            risers=stair.risers,
            tread=text_with_unit(stair.tread, step),
            clear=text_with_unit(clear, step),
        ),
        ask=say("Where do the upper and the lower posts of this stair stand?"),
    )
