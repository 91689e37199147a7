"""The findings: what was checked against the recorded rules, and what is not ours to decide."""

from __future__ import annotations

from schemas.compliance import Finding, Verdict
from schemas.lengths import Length
from schemas.pages import Block, Column, Fact, Facts, Heading, Prose, Row, Sheet, Table
from schemas.plan import Plan
from schemas.wording import row, say
from services import tape
from services.pages.wording import CLAIM, Ruler, units_note
from services.wording.terms import term

_WORST_FIRST: tuple[Verdict, ...] = (
    "breaks",
    "for the authority",
    "check on site",
    "meets",
)
_TITLES: dict[Verdict, str] = {
    "breaks": say("Breaks the recorded rule"),
    "for the authority": say("The authority or a professional decides"),
    "check on site": say("Check on site"),
    "meets": say("Meets the recorded rule, as drawn"),
}
_COLUMNS = (
    Column(head=say("Place"), share=1.7, bold=True), Column(head=say("Required"), share=1.6),
    Column(head=say("Found"), share=2.4), Column(head=say("Margin"), share=0.9, align="right"),
    Column(head=say("Verdict"), share=1.2),
)  # fmt: skip


_NOT_OURS = (
    (
        say(
            "The local authority: whether a permit is needed, the edition in force and "
            "its local changes, heights and openings, when it inspects, exceptions for "
            "handrails, pool barriers, access for the disabled, ways of escape."
        )
    ),
    say(
        "A licensed professional: post connections outside the approved details, "
        "balconies, decks over membranes, concrete of unknown quality, tall or glass "
        "rails, retaining walls."
    ),
    say(
        "The rail maker's printed instructions: how parts are put together, where "
        "they may be used, what they may carry."
    ),
)
"""What no pack may decide. Common practice."""


_FINER = say(
    "Found between two marks of the tape: shown finer here, so that it never reads as its limit. "
    "On the bay and stair sheets the same gap is rounded up to a mark, for the ball."
)


def findings(plan: Plan) -> Sheet:
    """The findings sheet.

    Args:
        plan: The finished plan.
    """
    ruler = Ruler(step=plan.job.step)
    return Sheet(
        key="findings",
        title=say("Findings"),
        place=plan.compliance.profile,
        blocks=(
            Prose(text=CLAIM),
            units_note(ruler),
            _counts(plan),
            Table(columns=_COLUMNS, rows=_rows(plan, ruler), size="dense"),
            Prose(text=_FINER, role="small"),
            *_workings(plan),
            *_doubts(plan),
            *_not_ours(),
        ),
    )


def _counts(plan: Plan) -> Facts:
    verdicts = [finding.verdict for finding in plan.compliance.findings]
    return Facts(
        facts=tuple(Fact(label=_TITLES[v], value=str(verdicts.count(v))) for v in _WORST_FIRST),
        columns=4,
    )


def _rows(plan: Plan, ruler: Ruler) -> tuple[Row, ...]:
    """One row for all places at which the same was required and found, the worst first."""
    places: dict[tuple[object, ...], list[str]] = {}
    first: dict[tuple[object, ...], Finding] = {}
    for finding in plan.compliance.findings:
        key = (finding.verdict, finding.rule, finding.required, finding.found, finding.margin)
        places.setdefault(key, []).append(finding.place)
        first.setdefault(key, finding)
    rules = list(dict.fromkeys(f.rule for f in plan.compliance.findings))
    ordered = sorted(
        first,
        key=lambda key: (_WORST_FIRST.index(first[key].verdict), rules.index(first[key].rule)),
    )
    return tuple(_row(first[key], places[key], ruler) for key in ordered)


def _row(finding: Finding, places: list[str], ruler: Ruler) -> Row:
    where = row(dict.fromkeys(places))
    margin = _margin(finding.margin, ruler)
    return Row(
        cells=(where, finding.required, _found(finding), margin, term(finding.verdict)),
        strong=finding.verdict == "breaks",
        group=say("{rule} ({clause})", rule=finding.says, clause=finding.clause),
    )


def _found(finding: Finding) -> str:
    if finding.working:
        return finding.found
    return say("{found}; outside the company's working limit", found=finding.found)


def _margin(margin: Length | None, ruler: Ruler) -> str:
    """To a mark, and never to the better side."""
    if margin is None:
        return say("none")
    if margin < 0:
        return say("outside by {margin}", margin=ruler.mark(tape.up(-margin, ruler.step)))
    return ruler.mark(tape.down(margin, ruler.step))


def _workings(plan: Plan) -> tuple[Block, ...]:
    """Arithmetic shown, doubts noted, who allowed what; each once."""
    notes = dict.fromkeys(
        say(
            "{rule}, {place}: {note} Source: {source}.",
            rule=f.says,
            place=f.place,
            note=f.note,
            source=f.source,
        )
        for f in plan.compliance.findings
        if f.note
    )
    if not notes:
        return ()
    return (
        Heading(text=say("Workings and notes")),
        *(Prose(text=note, role="small") for note in notes),
    )


def _doubts(plan: Plan) -> tuple[Block, ...]:
    if not plan.compliance.doubts:
        return ()
    lines = tuple(Prose(text=doubt) for doubt in plan.compliance.doubts)
    return (Heading(text=say("Not settled about these rules")), *lines)


def _not_ours() -> tuple[Block, ...]:
    """Who decides what, outside this pack."""
    return (
        Heading(text=say("Not for this pack to decide")),
        *(Prose(text=line) for line in _NOT_OURS),
    )
