"""Spares: how many more than counted go along, by the company's rule."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from schemas.company import Spare
from schemas.part_rule import SpareKind


def spare_for(kind: SpareKind | None, count: int, rules: Iterable[Spare], *, a_set: int = 0) -> int:
    """How many spares go along with so many.

    One for each ``one_in``, rounded up, but at least ``least``, and full sets on top; none
    under the rule's own threshold, and none without a rule.

    Args:
        kind: Kind of part; none has no spares.
        count: What the rule goes by.
        rules: The company's.
        a_set: How many of it a full set has.
    """
    rule = next((rule for rule in rules if rule.kind == kind), None)
    if kind is None or rule is None or count < rule.not_under:
        return 0
    return max(ceil(count / rule.one_in), rule.least) + rule.sets * a_set
