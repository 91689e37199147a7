"""One measured thing beside one rule: a finding.

Lengths are whole numbers, so that "equal to the limit" is decided without rounding. A
sphere equal to its limit passes through and fails; a height equal to its minimum stands.
"""

from __future__ import annotations

from schemas.code_profile import Rule
from schemas.compliance import Finding, Verdict
from schemas.wording import row, say, shipped
from services.compliance.measured import Measure
from services.compliance.wording import required
from services.wording.terms import term

_DOUBT = {
    "secondary": say("The figure of this rule was read at second hand."),
    "from memory": say("The figure of this rule is remembered (from memory)."),
}
_UNRECORDED = say("No code profile is recorded for this job; the authority says what holds.")


def compare(measure: Measure, rule: Rule, *, inside: int, step: int, asked: bool = True) -> Finding:
    """Lay one measured thing beside one rule.

    Args:
        measure: What the plan comes to.
        rule: The recorded rule.
        inside: How far the company's working limit stands inside. [1/320 mm]
        step: Mark in which the rule's figures are printed. [1/320 mm]
        asked: Whether a guard is asked for there at all; where it is not, a guard that is
            put up of free will breaks nothing, and the authority says what holds.
    """
    stands = stands_to(measure, rule)
    verdict, why = _verdict(measure, rule, stands=stands, asked=asked)
    room = _room(measure, rule)
    return Finding(
        rule=rule.id,
        clause=rule.clause,
        says=shipped(rule.says),
        place=measure.place,
        required=required(rule, inside=inside, step=step),
        found=measure.says,
        margin=room,
        verdict=verdict,
        outside=stands is False,
        working=stands is not False and (room is None or room >= inside),
        note=row(filter(None, (why, measure.note)), " "),
        source=shipped(rule.source),
    )


def unrecorded(measure: Measure) -> Finding:
    """What the plan comes to where no rules are recorded."""
    return Finding(
        rule=measure.measures.replace(".", "-").replace("_", "-"),
        clause=say("none recorded"),
        says=term(measure.measures),
        place=measure.place,
        required=say("no code profile is recorded"),
        found=measure.says,
        verdict="for the authority",
        note=row(filter(None, (_UNRECORDED, measure.note)), " "),
        source=say("none recorded"),
    )


def applies(measure: Measure, rule: Rule) -> bool | None:
    """Whether a rule holds at this drop, tread and width; none when the drop is not measured."""
    if rule.unless_tread is not None and measure.tread is not None:
        return measure.tread < rule.unless_tread
    if rule.from_width is not None and measure.width is not None:
        return measure.width >= rule.from_width
    if rule.where == "all" or rule.where_drop is None:
        return True
    if measure.drop is None:
        return None
    over = measure.drop > rule.where_drop
    return not over if rule.where == "drop-up-to" else over


def stands_to(measure: Measure, rule: Rule) -> bool | None:
    """Whether the figure stands as the rule compares; none when it is not known.

    For a rule that says when something is needed: whether nothing is needed or it is planned.
    """
    if rule.trigger:
        wanted = needed(measure, rule)
        return None if wanted is None else measure.planned or not wanted
    if rule.limit is None:
        return None if measure.number is None else rule.stands(measure.number)
    if measure.low is None or measure.top is None:
        return None
    if rule.upper is not None:
        return rule.limit <= measure.low and measure.top <= rule.upper
    worst = measure.low if rule.compare in {">", ">="} else measure.top
    return rule.stands(worst)


def needed(measure: Measure, rule: Rule) -> bool | None:
    """Whether a rule that says when something is needed says so here; none: not known."""
    figure = measure.number if rule.limit is None else measure.low
    return None if figure is None else rule.stands(figure)


def _room(measure: Measure, rule: Rule) -> int | None:
    """How far the worst figure stands inside the recorded limit; negative outside.

    None where there is no such distance: a closed riser leaves no opening to be smaller.
    """
    if (
        rule.measures == "stair.open_riser"
        or measure.low is None
        or measure.top is None
        or rule.limit is None
        or rule.trigger
    ):
        return None
    if rule.upper is not None:
        return min(measure.low - rule.limit, rule.upper - measure.top)
    return rule.limit - measure.top if rule.compare in {"<", "<="} else measure.low - rule.limit


def _verdict(
    measure: Measure, rule: Rule, *, stands: bool | None, asked: bool
) -> tuple[Verdict, str]:
    """The verdict and why; the first ground that holds decides."""
    site: Verdict = "check on site"
    authority: Verdict = "for the authority"
    unsure = say("To be read on site: {unsure}.", unsure=measure.unsure)
    drop = say("Which rule holds depends on the drop: measure it.")
    doubt = _DOUBT.get(rule.confidence, "")
    grounds: tuple[tuple[bool, Verdict, str], ...] = (
        (rule.measures.startswith("load."), authority, ""),
        (rule.compare == "as said" and bool(doubt), authority, doubt),
        (stands is None, site, ""),
        (bool(measure.unsure), site, unsure),
        (applies(measure, rule) is None, site, drop),
        (bool(doubt), authority, doubt),
        (bool(stands), "meets", ""),
        (rule.trigger, authority, say("It is asked for and not planned.")),
        (not asked, authority, say("The drop does not ask for a guard here.")),
    )
    return next(((said, why) for holds, said, why in grounds if holds), ("breaks", ""))
