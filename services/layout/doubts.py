"""What stops or holds a leg once its ends are known."""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

from schemas.lengths import Length
from schemas.site import Correction, GuardLine, Option, Question
from schemas.wording import say
from services.geometry.polyline import from_nearest
from services.layout.centre_line import CentreLeg
from services.layout.corners import CornerFit
from services.layout.given import Site, fit_at
from services.layout.mid_posts import faces_of, mid_posts, no_mid_post
from services.layout.naming import post_names, stairs_along
from services.layout.post_moves import LOOKS_EQUAL
from services.layout.set_posts import is_on_joist
from services.layout.stairs import no_stair_room, no_upper_post
from services.layout.stands import LegStands
from services.tape import text, text_with_unit
from services.wording.terms import term


def no_bracket(site: Site, leg: CentreLeg) -> tuple[Question, ...]:
    """Ask about a corner whose angle no bracket takes."""
    fit = fit_at(site, leg.after)
    if fit is None or (fit.bracket_before and fit.bracket_after):
        return ()
    mitre = fit.mitre_before if fit.bracket_before is None else fit.mitre_after
    assert leg.after is not None
    ways: tuple[tuple[Literal["square", "turned"], str], ...] = (
        ("square", say("The post stands square to leg {leg}", leg=leg.leg.name)),
        ("turned", say("The post halves the angle")),
    )
    options = tuple(
        Option(
            key=way,
            says=says,
            sets=(Correction(pointer=f"{leg.pointer}/corner/post", value=way),),
        )
        for way, says in ways
        if _is_held(fit_at(site, leg.after.model_copy(update={"post": way})))
    )
    return (
        Question(
            key=f"corner.{leg.leg.name}",
            severity="stop",
            place=say("Corner at the end of leg {leg}", leg=leg.leg.name),
            says=say(
                "A rail would meet the corner post at {mitre} degrees: no bracket of "
                "{system} takes that, or the rail finds no face of the post to itself.",
                mitre=f"{mitre:g}",
                system=site.job.system.title,
            ),
            ask=say("Is the corner angle right, and how is the post to stand?")
            if options
            else say(
                "Is the corner angle right? No way the post may stand takes it: measure the angle "
                "again, or name a system with a bracket for it."
            ),
            options=options,
        ),
    )


def _is_held(fit: CornerFit | None) -> bool:
    return fit is not None and bool(fit.bracket_before and fit.bracket_after)


def too_short(site: Site, leg: CentreLeg) -> tuple[Question, ...]:
    """Ask about a leg with no length left along post centres."""
    step, least = site.job.step, site.sleeve
    if leg.length > least:
        return ()
    return (
        Question(
            key=f"leg-short.{leg.leg.name}",
            severity="stop",
            place=say("Leg {leg}", leg=leg.leg.name),
            says=say(
                "Leg {leg} was measured {measured}; along post centres {left} are left, "
                "less than a sleeve ({least}).",
                leg=leg.leg.name,
                measured=text_with_unit(leg.leg.length, step),
                left=text_with_unit(leg.length, step),
                least=text(least, step),
            ),
            ask=say("Is the length right, and are the inset and the corners?"),
        ),
    )


def bad_stairs(site: Site, line: GuardLine, leg: LegStands) -> list[Question]:
    """Ask about stairs without a post for a rail, or without room between posts."""
    names = post_names(leg, line=line)
    asked: list[Question] = []
    for stair, uppers in stairs_along(leg, names=names):
        asked.extend(
            no_upper_post(stair, side=side, site=site)
            for side in stair.rails
            if uppers[side][1].where is None
        )
        top, foot = faces_of(stair, sleeve=site.sleeve, inset=line.inset)
        if foot <= top:
            asked.append(no_stair_room(stair, clear=foot - top, step=site.job.step))
        elif mid_posts(stair, site=site, top=top, foot=foot) is None:
            asked.append(no_mid_post(stair, site=site))
    return asked


def in_keep_outs(site: Site, leg: LegStands, *, names: tuple[str, ...]) -> list[Question]:
    """Ask about posts at the leg's own ends that stand where none may."""
    measured = leg.leg.leg
    ends = ((names[0], leg.stands[0]), (names[-1], leg.stands[-1]))
    return [
        Question(
            key=f"keep-out.{name}.{measured.name}",
            severity="hold",
            place=say("Post {post}", post=name),
            says=say(
                "{post} stands {at} along leg {measured}, where no post may stand: {why}.",
                post=name,
                at=text_with_unit(stand.at + leg.leg.zero, site.job.step),
                measured=measured.name,
                why=shut.why,
            ),
            ask=say("May it stand there all the same, or does the line end or turn elsewhere?"),
            options=(Option(key="go-on", says=say("Go on; it may stand there")),),
        )
        for name, stand in ends
        for shut in measured.keep_out
        if stand.where is not None
        and not leg.in_place
        and shut.start - stand.before.reach < stand.at + leg.leg.zero < shut.end + stand.after.reach
    ]


def on_joists(site: Site, leg: LegStands, *, names: tuple[str, ...]) -> list[Question]:
    """Ask how posts are fixed that stand on a joist: chosen ones, ends and corners."""
    step = site.job.step
    chosen = [
        Question(
            key=f"on-joist.{name}",
            severity="hold",
            place=say("Post {post}", post=name),
            says=say(
                "{post} comes on a joist, {at} along leg {leg}; no legal place beside it "
                "leaves the bays looking as equal, to {near}.",
                post=name,
                at=text_with_unit(stand.at + leg.leg.zero, step),
                leg=leg.leg.leg.name,
                near=text_with_unit(LOOKS_EQUAL, step),
            ),
            ask=say("How is the post to be fixed there? The joist is not cut."),
            options=(Option(key="go-on", says=say("Go on; the lead decides at the joist")),),
        )
        for name, stand in zip(names, leg.stands, strict=True)
        if stand.at in leg.on_joists
    ]
    return [*chosen, *_ends_on_joists(site, leg, names=names)]


def _ends_on_joists(site: Site, leg: LegStands, *, names: tuple[str, ...]) -> list[Question]:
    """The first and the last post of a leg stand where its ends are, joist or not."""
    job, measured = site.job, leg.leg.leg
    ends = ((names[0], leg.stands[0]), (names[-1], leg.stands[-1]))
    return [
        Question(
            key=f"on-joist.{name}.{measured.name}",
            severity="hold",
            place=say("Post {post}", post=name),
            says=say(
                "{post} at the {end} of leg {leg} stands {at} along it, and the joist at {joist} "
                "is below.",
                post=name,
                end=term("start") if stand is leg.stands[0] else term("end"),
                leg=measured.name,
                at=text_with_unit(stand.at + leg.leg.zero, job.step),
                joist=text(_joist_at(leg, stand.at), job.step),
            ),
            ask=say("How is the post to be fixed there? The joist is not cut."),
            options=(Option(key="go-on", says=say("Go on; the lead decides at the joist")),),
        )
        for name, stand in ends
        if stand.where in {"end", "corner"}
        and not leg.in_place
        and is_on_joist(stand.at, leg=leg.leg, core=job.post.core)
    ]


def _joist_at(leg: LegStands, at: Length) -> float:
    """The nearest joist, from the leg's measured start."""
    measured = leg.leg.leg
    first, apart = measured.first_joist or 0, measured.joists or 1
    there = at + leg.leg.zero
    return there - from_nearest(there, first=first, apart=apart)


def near_walls(site: Site, leg: LegStands, *, names: tuple[str, ...]) -> list[Question]:
    """Ask about rail sections beside a wall so short that no driver gets at their brackets."""
    least, step = site.job.company.driver_room, site.job.step
    pairs = pairwise(zip(names, leg.stands, strict=True))
    return [
        Question(
            key=f"near-wall.{leg.leg.leg.name}.{right if a.where is None else left}",
            severity="hold",
            place=say("Leg {leg}", leg=leg.leg.leg.name),
            says=say(
                "Between {left} and {right} on leg {leg} only {clear} are open (W: a wall); "
                "bracket and driver want {least}.",
                left=left,
                right=right,
                leg=leg.leg.leg.name,
                clear=text_with_unit(gap.clear, step),
                least=text(least, step),
            ),
            ask=say("Can the post stand at the wall or further off, or is there a short driver?"),
            options=(Option(key="go-on", says=say("Go on; the lead has a short driver")),),
        )
        for gap, ((left, a), (right, b)) in zip(leg.gaps, pairs, strict=True)
        if gap.kind == "level" and None in {a.where, b.where} and gap.clear < least
    ]
