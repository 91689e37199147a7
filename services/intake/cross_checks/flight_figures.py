"""A flight's measures against each other, and the one figure that would make them agree.

Redundant figures are compared, never averaged. Which figure is wrong shows where one alone,
put right, makes every measure of the flight agree.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import atan2, degrees, hypot, radians, sqrt, tan

from schemas.lengths import INCH, Length
from schemas.site import Stair
from schemas.wording import Said, say
from services.tape import nearest, text, text_with_unit

RISE_OFF = INCH // 4
"""Risers and total rise may differ by so much. Source: common practice."""
RUN_OFF = INCH // 2
"""Treads and total run may differ by so much. Source: common practice."""
ANGLE_OFF = 1.0
"""Read and computed slope may differ by so much. Source: common practice. [degrees]"""
EDGE_OFF = INCH // 4
"""Straightedge and computed length along the slope. Source: common practice."""
MOST_RISERS = 40

Figure = Length | float


@dataclass(frozen=True, slots=True, kw_only=True)
class Disagreement:
    """Two ways of measuring one thing that do not agree."""

    key: str
    says: str
    between: frozenset[str]
    """Fields of the stair that it is made of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """One figure put right."""

    field: str
    pointer: str
    """Below the stair, e.g. ``/riser``."""
    value: Figure
    says: str
    slip: str = ""
    """How it comes to be misread, where the trade knows."""


def disagreements(stair: Stair, *, step: Length) -> tuple[Disagreement, ...]:
    """Everything in a flight's measures that does not agree."""
    found = (check(stair, step) for check in _CHECKS)
    return tuple(one for one in found if one is not None)


def mends(stair: Stair, *, step: Length, leaves: frozenset[str] = frozenset()) -> tuple[Mend, ...]:
    """Every single figure which, put right, leaves no disagreement, the likeliest first.

    Likely is a known slip, then the figure that most of the disagreements have in common.

    Args:
        stair: As measured.
        step: The tape's graduation. [1/320 mm]
        leaves: Keys of disagreements that may stay.
    """
    broken = disagreements(stair, step=step)
    found: dict[str, Mend] = {}
    for mend in _candidates(stair, step=step):
        still = {one.key for one in disagreements(_with(stair, mend), step=step)}
        if mend.pointer not in found and still <= leaves:
            found[mend.pointer] = mend

    def rank(mend: Mend) -> tuple[bool, int, int]:
        shared = sum(mend.field in one.between for one in broken)
        return (not mend.slip, -shared, _ORDER.index(mend.field))

    return tuple(sorted(found.values(), key=rank))


_ORDER = (
    "risers", "riser", "each_riser", "tread", "total_rise", "total_run", "slope_deg",
    "straightedge",
)  # fmt: skip


def _with(stair: Stair, mend: Mend) -> Stair:
    value: object = mend.value
    if mend.field == "each_riser":
        at = int(mend.pointer.rsplit("/", 1)[-1])
        value = (*stair.each_riser[:at], int(mend.value), *stair.each_riser[at + 1 :])
    return stair.model_copy(update={mend.field: value})


def _each(stair: Stair) -> bool:
    return len(stair.each_riser) == stair.risers


def _made_rise(stair: Stair) -> Length:
    return sum(stair.each_riser) if _each(stair) else stair.risers * stair.riser


def _made_run(stair: Stair) -> Length:
    return stair.run


def _made_edge(stair: Stair) -> float:
    """Along the slope: sqrt(rise**2 + run**2) from the lowest nosing to the top one."""
    rise = sum(stair.each_riser[1:]) if _each(stair) else (stair.risers - 1) * stair.riser
    return hypot(rise, _made_run(stair))


def _made_slope(stair: Stair) -> float:
    return degrees(atan2(stair.riser, stair.tread))


def _count(stair: Stair, _step: Length) -> Disagreement | None:
    if not stair.each_riser or _each(stair):
        return None
    return Disagreement(
        key="riser-count",
        says=say(
            "it has {risers} risers, but {each_riser} were measured one by one; counting "
            "treads for risers gives one too few",
            risers=stair.risers,
            each_riser=len(stair.each_riser),
        ),
        between=frozenset({"risers"}),
    )


def _treads_counted(stair: Stair, _step: Length) -> Disagreement | None:
    if not stair.each_tread or len(stair.each_tread) == stair.risers - 1:
        return None
    return Disagreement(
        key="tread-count",
        says=say(
            "{risers} risers have {treads} treads between them, but {each_tread} were measured one "
            "by one",
            risers=stair.risers,
            treads=stair.risers - 1,
            each_tread=len(stair.each_tread),
        ),
        between=frozenset({"risers"}),
    )


def _rise(stair: Stair, step: Length) -> Disagreement | None:
    total, made = stair.total_rise, _made_rise(stair)
    if total is None or abs(total - made) <= RISE_OFF:
        return None
    each = _each(stair)
    plain = say("{risers} risers of {riser}", risers=stair.risers, riser=text(stair.riser, step))
    by = say("the risers measured one by one") if each else plain
    return Disagreement(
        key="rise",
        says=say(
            "{by} make {made}, but the total rise was measured {total}: {off} {more}",
            by=by,
            made=text_with_unit(made, step),
            total=text(total, step),
            off=text(abs(total - made), step),
            more=say("more") if total > made else say("less"),
        ),
        between=frozenset({"total_rise", *(("each_riser",) if each else ("risers", "riser"))}),
    )


def _run(stair: Stair, step: Length) -> Disagreement | None:
    total, made = stair.total_run, _made_run(stair)
    if total is None or abs(total - made) <= RUN_OFF:
        return None
    if len(stair.each_tread) == stair.risers - 1:
        return Disagreement(
            key="run",
            says=say(
                "the treads measured one by one make {made}, but the total run was measured "
                "{total}",
                made=text_with_unit(made, step),
                total=text(total, step),
            ),
            between=frozenset({"total_run"}),
        )
    return Disagreement(
        key="run",
        says=say(
            "{risers} risers have {treads} treads of {tread} between them, {made}, but "
            "the total run was measured {total}",
            risers=stair.risers,
            treads=stair.risers - 1,
            tread=text(stair.tread, step),
            made=text_with_unit(made, step),
            total=text(total, step),
        ),
        between=frozenset({"risers", "tread", "total_run"}),
    )


def _slope(stair: Stair, _step: Length) -> Disagreement | None:
    if stair.slope_deg is None or abs(stair.slope_deg - _made_slope(stair)) <= ANGLE_OFF:
        return None
    return Disagreement(
        key="slope",
        says=say(
            "riser and tread make {made_slope} degrees, but {slope_deg} was read on the "
            "straightedge",
            made_slope=f"{_made_slope(stair):.1f}",
            slope_deg=f"{stair.slope_deg:g}",
        ),
        between=frozenset({"riser", "tread", "slope_deg"}),
    )


def _straightedge(stair: Stair, step: Length) -> Disagreement | None:
    read, made = stair.straightedge, _made_edge(stair)
    if read is None or abs(read - made) <= EDGE_OFF:
        return None
    return Disagreement(
        key="straightedge",
        says=say(
            "along the slope {risers} risers and treads make {made} from nosing to "
            "nosing, but the straightedge shows {read}",
            risers=stair.risers - 1,
            made=text_with_unit(made, step),
            read=text(read, step),
        ),
        between=frozenset({"risers", "riser", "tread", "straightedge"}),
    )


_CHECKS = (_count, _treads_counted, _rise, _run, _slope, _straightedge)


def _candidates(stair: Stair, *, step: Length) -> Iterator[Mend]:
    """Each figure with every value that some measure asks of it."""
    for count in dict.fromkeys(_counts(stair)):
        if count != stair.risers and 1 <= count <= MOST_RISERS:
            yield _recount(stair, count)
    yield from _on_tape(stair, "riser", _risers(stair), step, _say_riser)
    yield from _one_of_each(stair, step=step)
    yield from _on_tape(stair, "tread", _treads(stair), step, _say_tread)
    made = _made_rise(stair), _made_run(stair), _made_edge(stair)
    for field, value in zip(("total_rise", "total_run", "straightedge"), made, strict=True):
        if getattr(stair, field) is not None and nearest(value, step) > 0:
            yield _total(stair, field, value, step=step)
    if stair.slope_deg is not None:
        yield _read_again(stair)


def _recount(stair: Stair, count: int) -> Mend:
    one_less = count == stair.risers + 1
    return Mend(
        field="risers",
        pointer="/risers",
        value=count,
        says=say("There are {count} risers, not {risers}", count=count, risers=stair.risers),
        slip=say("as when treads are counted for risers") if one_less else "",
    )


def _say_total(field: str, size: str) -> Said:
    return {
        "total_rise": say("The total rise is {size}", size=size),
        "total_run": say("The total run is {size}", size=size),
        "straightedge": say("The length along the slope is {size}", size=size),
    }[field]


def _total(stair: Stair, field: str, value: float, *, step: Length) -> Mend:
    read = getattr(stair, field)
    off = abs(read - value)
    slip = ""
    if field == "total_run" and abs(off - stair.tread) <= RUN_OFF:
        slip = say("one tread off, as when it is taken to the foot and not to the lowest nosing")
    elif abs(off - 12 * INCH) <= INCH // 8:
        slip = say("just a foot off")
    elif abs(off - INCH) <= INCH // 16:
        slip = say("just an inch off")
    elif abs(off - 9 * INCH) <= INCH // 16:
        slip = say("nine inches off, as when two figures change places (67 for 76)")
    size = round(value) if field != "straightedge" else nearest(value, step)
    return Mend(
        field=field,
        pointer=f"/{field}",
        value=size,
        says=_say_total(field, text_with_unit(size, step)),
        slip=slip,
    )


def _read_again(stair: Stair) -> Mend:
    made = _made_slope(stair)
    assert stair.slope_deg is not None
    plumb = abs(90 - stair.slope_deg - made) <= ANGLE_OFF
    return Mend(
        field="slope_deg",
        pointer="/slope_deg",
        value=round(made, 1),
        says=say("Riser and tread are right; the slope is {made} degrees", made=f"{made:.1f}"),
        slip=say("it looks read from plumb instead of from level") if plumb else "",
    )


def _counts(stair: Stair) -> Iterator[int]:
    if stair.each_riser:
        yield len(stair.each_riser)
    if stair.each_tread:
        yield len(stair.each_tread) + 1
    if stair.total_rise is not None:
        yield round(stair.total_rise / stair.riser)
    if stair.total_run is not None:
        yield round(stair.total_run / stair.tread) + 1
    if stair.straightedge is not None:
        yield round(stair.straightedge / hypot(stair.riser, stair.tread)) + 1


def _risers(stair: Stair) -> Iterator[float]:
    if stair.total_rise is not None and not _each(stair):
        yield stair.total_rise / stair.risers
    if stair.slope_deg is not None:
        yield stair.tread * tan(radians(stair.slope_deg))
    yield from _other_leg(stair, stair.tread)


def _treads(stair: Stair) -> Iterator[float]:
    if stair.total_run is not None and stair.risers > 1:
        yield stair.total_run / (stair.risers - 1)
    if stair.slope_deg is not None:
        yield stair.riser / tan(radians(stair.slope_deg))
    yield from _other_leg(stair, stair.riser)


def _other_leg(stair: Stair, leg: Length) -> Iterator[float]:
    """The other side of the right triangle of one step, by the straightedge."""
    if stair.straightedge is not None and stair.risers > 1:
        square = (stair.straightedge / (stair.risers - 1)) ** 2 - leg**2
        if square > 0:
            yield sqrt(square)


def _on_tape(
    stair: Stair,
    field: str,
    sizes: Iterator[float],
    step: Length,
    says: Callable[[Stair, str], str],
) -> Iterator[Mend]:
    for size in dict.fromkeys(nearest(one, step) for one in sizes):
        if size > 0 and size != getattr(stair, field):
            told = says(stair, text_with_unit(size, step))
            yield Mend(field=field, pointer=f"/{field}", value=size, says=told)


def _say_riser(stair: Stair, size: str) -> str:
    return say("One riser is {size}, {risers} of them", size=size, risers=stair.risers)


def _say_tread(_: Stair, size: str) -> str:
    return say("One tread runs {size}", size=size)


def _one_of_each(stair: Stair, *, step: Length) -> Iterator[Mend]:
    """One riser of those measured one by one, where the total makes it like the others."""
    if not _each(stair) or stair.total_rise is None or stair.risers < 3:
        return
    missing = stair.total_rise - sum(stair.each_riser)
    for at, size in enumerate(stair.each_riser):
        others = [*stair.each_riser[:at], *stair.each_riser[at + 1 :]]
        low, high = min(others) - RISE_OFF, max(others) + RISE_OFF
        if not low <= size <= high and low <= size + missing <= high:
            yield Mend(
                field="each_riser",
                pointer=f"/each_riser/{at}",
                value=size + missing,
                says=say(
                    "Riser {at} from the bottom is {size}",
                    at=at + 1,
                    size=text_with_unit(size + missing, step),
                ),
            )
