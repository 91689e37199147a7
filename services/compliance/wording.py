"""Lengths and limits in words, rounded so that no figure looks better than it is."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor

from schemas.code_profile import CodeProfile, Rule
from schemas.lengths import PER_64TH, PER_MM
from schemas.wording import Said, row, say, shipped
from services import tape

_LINE = 200
"""The longest line that a record takes."""


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


def required(rule: Rule, *, inside: int, step: int) -> Said:
    """What a rule asks, with the company's stricter working limit where it has one.

    Args:
        rule: The rule.
        inside: How far the working limit stands inside the recorded one. [1/320 mm]
        step: Mark in which the profile's figures are printed. [1/320 mm]
    """
    if rule.compare == "as said":
        return say("as the rule says")
    if rule.limit is None:
        number = row((f"{rule.number:g}", shipped(rule.number_unit)), " ")
        return _compared(rule, number if rule.number_unit else f"{rule.number:g}")
    recorded = _span(rule, low=rule.limit, high=rule.upper, step=step)
    if not inside:
        return recorded
    low = tape.up(rule.limit + inside, step)
    working: str = tape.text(low, step)
    if rule.compare in {"<", "<="}:
        working = tape.text(tape.down(rule.limit - inside, step), step)
    elif rule.upper is not None:
        high = tape.text(tape.down(rule.upper - inside, step), step)
        working = say("{low} to {high}", low=working, high=high)
    return say("{recorded}; working limit {working}", recorded=recorded, working=working)


def _span(rule: Rule, *, low: int, high: int | None, step: int) -> Said:
    if high is not None:
        upper = tape.text_with_unit(high, step)
        return say("{low} to {high}", low=tape.text(low, step), high=upper)
    return _compared(rule, tape.text_with_unit(low, step))


def _compared(rule: Rule, limit: str) -> Said:
    return {
        "<": say("under {limit}", limit=limit),
        "<=": say("{limit} or less", limit=limit),
        ">": say("more than {limit}", limit=limit),
        ">=": say("{limit} or more", limit=limit),
    }[rule.compare]


def posts_words(names: Sequence[str]) -> Said:
    """Posts by name, as far as a line holds them."""
    place = say("posts {posts}", posts=row(names))
    if len(place) <= _LINE:
        return place
    return say("{count} posts, {first} first", count=len(names), first=names[0])
