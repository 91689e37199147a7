"""Lengths and limits in words, rounded so that no figure looks better than it is."""

from __future__ import annotations

from math import ceil, floor

from schemas.code_profile import CodeProfile, Rule
from schemas.lengths import PER_64TH, PER_MM
from services import tape

_WORDS = {"<": "under {}", "<=": "{} or less", ">": "more than {}", ">=": "{} or more"}


def found(length: int, *, step: int, worse: str) -> str:
    """A found length with its unit, rounded to its worse side.

    A length between two marks is shown finer than the tape, so that it never reads as the
    limit itself: to 1/64 in, or to a tenth of a millimetre.

    Args:
        length: What was found. [1/320 mm]
        step: The paper's graduation; decides inches or millimetres. [1/320 mm]
        worse: Which way is worse: ``up`` for an opening, ``down`` for a height.
    """
    turn = ceil if worse == "up" else floor
    if not tape.is_metric(step):
        fine = step if length % step == 0 else PER_64TH
        return tape.text_with_unit(turn(length / fine) * fine, fine)
    return f"{turn(length * 10 / PER_MM) / 10:.12g} mm"


def graduation(profile: CodeProfile) -> int:
    """The finest mark in which a profile's own figures are printed. [1/320 mm]."""
    return PER_64TH if profile.unit in {"in", "ft"} else PER_MM


def required(rule: Rule, *, inside: int, step: int) -> str:
    """What a rule asks, with the company's stricter working limit where it has one.

    Args:
        rule: The rule.
        inside: How far the working limit stands inside the recorded one. [1/320 mm]
        step: Mark in which the profile's figures are printed. [1/320 mm]
    """
    if rule.compare == "as said":
        return "as the rule says"
    if rule.limit is None:
        return _WORDS[rule.compare].format(f"{rule.number:g} {rule.number_unit}".strip())
    recorded = _span(rule, low=rule.limit, high=rule.upper, step=step)
    if not inside:
        return recorded
    low = tape.up(rule.limit + inside, step)
    if rule.compare in {"<", "<="}:
        return f"{recorded}; working limit {tape.text(tape.down(rule.limit - inside, step), step)}"
    if rule.upper is None:
        return f"{recorded}; working limit {tape.text(low, step)}"
    high = tape.down(rule.upper - inside, step)
    return f"{recorded}; working limit {tape.text(low, step)} to {tape.text(high, step)}"


def _span(rule: Rule, *, low: int, high: int | None, step: int) -> str:
    if high is not None:
        return f"{tape.text(low, step)} to {tape.text_with_unit(high, step)}"
    return _WORDS[rule.compare].format(tape.text_with_unit(low, step))
