"""Findings that a person must answer for before the pack goes out."""

from __future__ import annotations

import hashlib
from collections.abc import Container, Iterable

from schemas.code_profile import Measured
from schemas.compliance import Compliance, Finding
from schemas.job import Job
from schemas.site import Answer, Option, Question
from schemas.wording import row, say

ALLOW = "allow"
"""The option with which the office records who allowed it."""
OWN_STEPS: tuple[Measured, ...] = (
    "stair.flight_rise",
    "stair.riser",
    "stair.riser_spread",
    "stair.riser_adjacent",
    "stair.tread",
    "stair.tread_spread",
    "stair.nosing",
    "stair.open_riser",
    "stair.pitch",
    "stair.twice_riser_plus_tread",
)
"""What others built and no railing makes better or worse. Source: common practice: the stair may
fail, not the rail; the pack says so and holds."""


def breaks_as_questions(compliance: Compliance, job: Job) -> tuple[Question, ...]:
    """The questions that findings outside a limit still ask, one a rule.

    What `breaks` a recorded limit stops the pack. What stands outside a figure that is left
    to the authority, and steps that others built, hold it: the pack prints with a hold point
    first. A question that the
    office has answered with ``allow`` is not asked again; the finding says who allowed it.
    The key carries a mark of the places and figures, so that an allowance never covers a
    place that it was not given for.

    Args:
        compliance: The findings.
        job: The job with the office's answers.
    """
    allowed = {answer.question for answer in job.answers if answer.option == ALLOW}
    own = {
        rule.id for rule in (job.profile.rules if job.profile else ()) if rule.measures in OWN_STEPS
    }
    questions = (_ask(of_one_rule, own=own) for of_one_rule in _by_rule(compliance.findings))
    return tuple(question for question in questions if question.key not in allowed)


def with_allowances(compliance: Compliance, *, answers: tuple[Answer, ...]) -> Compliance:
    """The findings, with a note of who allowed what stands outside a limit."""
    given = {answer.question: answer for answer in answers if answer.option == ALLOW}
    said = {
        id(finding): given[key]
        for of_one_rule in _by_rule(compliance.findings)
        if (key := question_key(of_one_rule)) in given
        for finding in of_one_rule
    }
    findings = tuple(
        _allowed(finding, said[id(finding)]) if id(finding) in said else finding
        for finding in compliance.findings
    )
    return compliance.model_copy(update={"findings": findings})


def question_key(of_one_rule: tuple[Finding, ...]) -> str:
    """A key that is the same for the same rule, places and figures, and for no other."""
    facts = "\n".join(f"{f.clause}|{f.place}|{f.required}|{f.found}" for f in of_one_rule)
    mark = hashlib.sha256(facts.encode()).hexdigest()[:6]
    return f"outside.{of_one_rule[0].rule[:24]}.{mark}"


def _by_rule(findings: Iterable[Finding]) -> tuple[tuple[Finding, ...], ...]:
    outside = [finding for finding in findings if finding.outside]
    rules = dict.fromkeys((finding.rule, finding.verdict == "breaks") for finding in outside)
    return tuple(
        tuple(f for f in outside if (f.rule, f.verdict == "breaks") == rule) for rule in rules
    )


def _ask(of_one_rule: tuple[Finding, ...], *, own: Container[str]) -> Question:
    first = of_one_rule[0]
    breaks = first.verdict == "breaks" and first.rule not in own
    every = tuple(dict.fromkeys(finding.place for finding in of_one_rule))
    places = row(every)
    if len(places) > 200:
        places = say("{first} and {count} more", first=every[0], count=len(every) - 1)
    shown = row((row((f.place, f.found), ": ") for f in of_one_rule[:8]), "; ")
    if len(of_one_rule) > 8:
        shown = say("{shown}; and {count} more", shown=shown, count=len(of_one_rule) - 8)
    says = say(
        "{rule}. Recorded limit ({clause}): {required}. Found: {found}.",
        rule=first.says, clause=first.clause, required=first.required, found=shown,
    )  # fmt: skip
    return Question(
        key=question_key(of_one_rule),
        severity="stop" if breaks else "hold",
        place=places,
        says=row((says, first.note), " ") if first.note else says,
        ask=say("Who allowed this, and on what ground? Else change the plan or the measure."),
        options=(Option(key=ALLOW, says=say("Allowed; who and why is recorded and printed")),),
    )


def _allowed(finding: Finding, answer: Answer) -> Finding:
    said = say("Allowed by {by}: {why}.", by=answer.by, why=answer.why)
    return finding.model_copy(update={"note": row(filter(None, (finding.note, said)), " ")})
