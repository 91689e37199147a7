"""Posts in place in a dead band: how little they would have to shift."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from schemas.lengths import Length
from schemas.site import Correction, Option, Question
from schemas.wording import counted, joined, row, say
from services.layout.given import Site
from services.layout.naming import post_names
from services.layout.rooms import opening_between
from services.layout.shifts import SHIFT, smallest_shifts
from services.layout.stands import LegStands, Stand
from services.tape import as_written, text, text_with_unit


def dead_openings(site: Site, leg: LegStands) -> Question | None:
    """Ask about openings without legal end margins where shifting posts would mend them all.

    Posts shift that stand by themselves between two railed openings and are not noted as kept;
    stair and gate openings stay. None: no opening is dead, or no shift mends it.
    """
    railed = [number for number, gap in enumerate(leg.gaps) if gap.kind == "level"]
    works = [_can_be(site, leg, number) for number in railed]
    dead = [number for number, ask in zip(railed, works, strict=True) if not ask(0)]
    if not dead:
        return None
    step = site.job.step
    shifts = smallest_shifts(
        works,
        may_move=[
            False,
            *(
                after - before == 1 and _may_move(leg.stands[after])
                for before, after in pairwise(railed)
            ),
            False,
        ],
        farthest=SHIFT // step,
    )
    if shifts is None:
        return None
    return _ask(site, leg, railed=railed, dead=dead, moved=[shift * step for shift in shifts])


def _may_move(stand: Stand) -> bool:
    return stand.where == "line" and (stand.standing is None or stand.standing.keep is not True)


def _can_be(site: Site, leg: LegStands, number: int) -> Callable[[int], bool]:
    """Whether an opening can be built so many marks wider."""
    gap, a, b = leg.gaps[number], leg.stands[number], leg.stands[number + 1]
    step = site.job.step

    def works(wider: int) -> bool:
        clear = gap.clear + wider * step
        more = gap.clear_top - gap.clear
        if not 0 < clear <= site.asks.longest_clear >= clear + more:
            return False
        there = opening_between(clear, a.after, b.before, step=step, wider=more)
        return site.asks.bay_works(
            clear=there.clear,
            left=there.left,
            right=there.right,
            top_more=there.top_more,
            leans=there.leans,
            left_deg=there.left_deg,
            right_deg=there.right_deg,
        )

    return works


def _ask(
    site: Site,
    leg: LegStands,
    *,
    railed: Sequence[int],
    dead: Sequence[int],
    moved: Sequence[Length],
) -> Question:
    step, name = site.job.step, leg.leg.leg.name
    names = post_names(leg, line=site.job.lines[leg.leg.line])
    sizes = [
        say(
            "{number} ({size})",
            number=number + 1,
            size=text(leg.gaps[number].clear, step),
        )
        for number in dead
    ]
    told = joined(
        say(
            "{post} shifts {by} toward {other}",
            post=names[at],
            by=text_with_unit(abs(by), step),
            other=names[at + (1 if by > 0 else -1)],
        )
        for at, by in zip(railed[1:], moved[1:], strict=False)
        if by
    )
    found = counted(
        "Leg {leg}: opening {sizes} leaves the rail no legal end margins for any count of "
        "balusters.",
        "Leg {leg}: openings {sizes} leave the rail no legal end margins for any count of "
        "balusters.",
        count=len(dead),
        leg=name,
        sizes=joined(sizes),
    )
    smallest = say(
        "The smallest shift of posts that makes every bay of the leg legal: {shift}. Read the "
        "opening once more between sleeve faces first.",
        shift=told,
    )
    return Question(
        key=f"dead-band.{name}",
        severity="stop",
        place=say("Leg {leg}", leg=name),
        says=row((found, smallest), " "),
        ask=say("Is an opening read wrong, or may the posts shift so far?"),
        options=(
            Option(
                key="shift",
                says=told,
                sets=tuple(_sets(leg, railed=railed, moved=moved, step=step)),
            ),
        ),
    )


def _sets(
    leg: LegStands, *, railed: Sequence[int], moved: Sequence[Length], step: Length
) -> list[Correction]:
    """Every opening that changes, at both heights where both were read."""
    found: list[Correction] = []
    for number, left, right in zip(railed, moved, moved[1:], strict=False):
        clear = leg.leg.leg.clears[number]
        sizes = {"bottom": clear.bottom, "top": clear.top}
        found.extend(
            Correction(
                pointer=f"{leg.leg.pointer}/clears/{number}/{height}",
                value=as_written(size + right - left, step),
            )
            for height, size in sizes.items()
            if size is not None and right != left
        )
    return found
