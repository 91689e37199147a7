"""Stair bays: one on each side that carries a rail, from the lower post up to the deck."""

from __future__ import annotations

from dataclasses import dataclass

from schemas.layout import Bay, BayEnd, Post
from schemas.lengths import Length
from schemas.site import GuardLine, Question, Side, Stair
from services.layout.given import Site
from services.layout.naming import as_point
from services.layout.placing import PlacedLeg
from services.layout.stands import Stand
from services.tape import down, text_with_unit


@dataclass(frozen=True, slots=True, kw_only=True)
class StairSide:
    """A side of a stair with its rail."""

    lower: Post
    bay: Bay


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
    top = stair.upper_post.from_top_nose
    if top is None:
        top = -(-sleeve // 2) - inset
    return (stair.risers - 1) * stair.tread + stair.lower_post.from_last_nose - top


def sides_of(
    stair: Stair,
    *,
    site: Site,
    line: GuardLine,
    leg: PlacedLeg,
    uppers: dict[Side, tuple[str, Stand]],
) -> tuple[StairSide, ...]:
    """The lower posts and bays of a stair, left before right as seen going up."""
    exact = stair_clear(stair, sleeve=site.sleeve, inset=line.inset)
    clear = down(exact, site.job.step)
    sides = []
    for side in (side for side in ("left", "right") if side in stair.rails):
        upper, stand = uppers[side]
        name = f"{stair.name}-{side[0].upper()}"
        lower = Post(
            name=name,
            where="stair-lower",
            in_place=False,
            leg=stair.name,
            at=0,
            point=as_point(leg.at(stand.at, outward=exact + site.sleeve)),
            sleeve=site.sleeve,
            core=site.job.post.core,
        )
        bay = Bay(
            name=name,
            kind="stair",
            leg=stair.name,
            left=BayEnd(post=name, face=0, mitre_deg=0, bracket="stair"),
            right=BayEnd(post=upper, face=exact, mitre_deg=0, bracket="stair"),
            clear=clear,
            clear_top=clear,
            measured=False,
        )
        sides.append(StairSide(lower=lower, bay=bay))
    return tuple(sides)


def no_upper_post(stair: Stair, *, side: Side) -> Question:
    """A stair is to have a rail on a side where its opening ends at the wall."""
    return Question(
        key=f"stair-rail.{stair.name}.{side}",
        severity="stop",
        place=f"Stair {stair.name}",
        says=(
            f"{stair.name} is to have a rail on its {side} side (as seen going up), but there "
            f"its opening ends at the wall, so no post can carry it."
        ),
        ask="Is that side a wall side without a rail, or does a post stand before the wall?",
    )


def no_stair_room(stair: Stair, *, clear: Length, step: Length) -> Question:
    """The posts of a stair would touch or change places."""
    return Question(
        key=f"stair-clear.{stair.name}",
        severity="stop",
        place=f"Stair {stair.name}",
        says=(
            f"{stair.risers} risers with treads of {text_with_unit(stair.tread, step)} leave "
            f"{text_with_unit(clear, step)} between the upper and the lower post."
        ),
        ask="Where do the upper and the lower posts of this stair stand?",
    )
