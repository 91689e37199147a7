"""The second measurement finds what is made wrong, wherever it is made wrong."""

from collections.abc import Callable
from typing import Any

import pytest

from schemas.lengths import INCH
from schemas.plan import Plan
from services.recheck import recheck
from tests.planned import plan

Spoil = Callable[[Plan], Plan]


def level(**changed: Any) -> Spoil:  # noqa: ANN401 any field of the record
    """Spoil the first level bay."""

    def spoil(whole: Plan) -> Plan:
        first, *rest = whole.bays.level
        made = {k: v(first) if callable(v) else v for k, v in changed.items()}
        bays = whole.bays.model_copy(update={"level": (first.model_copy(update=made), *rest)})
        return whole.model_copy(update={"bays": bays})

    return spoil


def stair(**changed: Any) -> Spoil:  # noqa: ANN401 any field of the record
    """Spoil the first stair bay."""

    def spoil(whole: Plan) -> Plan:
        first, *rest = whole.bays.stair
        made = {k: v(first) if callable(v) else v for k, v in changed.items()}
        bays = whole.bays.model_copy(update={"stair": (first.model_copy(update=made), *rest)})
        return whole.model_copy(update={"bays": bays})

    return spoil


def bar(**changed: Any) -> Spoil:  # noqa: ANN401 any field of the record
    """Spoil the first piece on the first bar."""

    def spoil(whole: Plan) -> Plan:
        first, *rest = whole.cuts.bars
        placed, *others = first.pieces
        made = {k: v(placed) if callable(v) else v for k, v in changed.items()}
        spoilt = first.model_copy(update={"pieces": (placed.model_copy(update=made), *others)})
        cuts = whole.cuts.model_copy(update={"bars": (spoilt, *rest)})
        return whole.model_copy(update={"cuts": cuts})

    return spoil


SPOILT: list[tuple[str, Spoil]] = [
    (
        "lets the sphere through",
        level(marks=lambda b: b.marks[1:], balusters=lambda b: b.balusters - 1),
    ),
    ("end clearances", level(bottom_cut=lambda b: b.clear)),
    ("factory pitch", level(marks=lambda b: (*b.marks[:-1], b.marks[-1] + 508))),
    ("printed margins", level(margin_left=lambda b: b.margin_left + 508)),
    ("under the bottom rail", level(sweep_low=4 * INCH)),
    ("spacer plus section", level(top=lambda b: b.top - 508)),
    ("between its sleeves in plan", level(clear=lambda b: b.clear - INCH)),
    (
        "too low",
        stair(
            heights=lambda b: tuple(h.model_copy(update={"top": 33 * INCH}) for h in b.heights)
        ),
    ),
    ("triangle", stair(rail_over_nosing=2 * INCH)),
    ("lower post", stair(top_at_lower=lambda b: b.top_at_lower + INCH)),
    ("upper post", stair(top_at_upper=lambda b: b.top_at_upper - INCH)),
    ("stack to", stair(top_over_nosing=lambda b: b.top_over_nosing + INCH)),
    ("end clearances", stair(cut=lambda b: b.cut + 2 * INCH)),
    ("holes", bar(end=lambda p: p.end + 9 * INCH)),
    ("other margins", bar(start=lambda p: p.start + 508, end=lambda p: p.end + 508)),
    ("another hole", bar(first_hole=lambda p: p.first_hole + 1)),
    ("on no bar", bar(piece="A0-A0")),
    ("no piece of this plan", bar(piece="A0-A0")),
]  # fmt: skip


@pytest.mark.parametrize(("says", "spoil"), SPOILT)
def test_a_spoilt_number_is_found(says: str, spoil: Spoil) -> None:
    """One number changed after planning, and the breach is named."""
    good = plan("two-stair-sides")
    assert recheck(good) == ()

    breaches = recheck(spoil(good))

    assert any(says in breach for breach in breaches), breaches
