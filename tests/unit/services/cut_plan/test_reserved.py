"""Stock set aside for a job, against what its cut plan takes."""

from __future__ import annotations

from collections import Counter

import pytest

from schemas.site import Question
from services.cut_plan import beyond_reserved
from services.intake.cross_checks import check_measure
from services.pipeline import make_plan
from tests import builders, planned

PLAN = planned.plan("l-deck")
TAKEN = Counter(bar.stock.kit for bar in PLAN.cuts.bars if bar.stock.kit)
KIT = min(TAKEN)


def _asked(**fewer: int) -> tuple[Question, ...]:
    """All that is taken is set aside, but for so many of one kit."""
    reserved = [
        {"kit": kit, "count": count - fewer.get(kit, 0)}
        for kit, count in TAKEN.items()
        if count > fewer.get(kit, 0)
    ]
    tree = builders.document("l-deck") | {"reserved": reserved}
    return make_plan(builders.submission(tree), library=builders.library()).questions


def test_one_kit_fewer_than_taken_stops() -> None:
    """Just as many as the plan takes are enough; one fewer is named and stops."""
    enough = [question.key for question in _asked()]
    (short,) = (q for q in _asked(**{KIT: 1}) if q.key == "reserved.short")

    assert "reserved.short" not in enough
    assert short.severity == "stop"
    assert f"{TAKEN[KIT]} {KIT}, {TAKEN[KIT] - 1} reserved" in short.says


def test_a_job_that_reserves_nothing_by_kit_is_not_asked_about() -> None:
    """The demo's jobs do not."""
    assert beyond_reserved(PLAN.job, PLAN.cuts) == ()


@pytest.mark.parametrize(
    ("lots", "asked"), [(("7A", "7A"), False), (("7A", "7B"), True), (("7A", None), False)]
)
def test_two_colour_lots_hold(lots: tuple[str | None, ...], asked: bool) -> None:  # noqa: FBT001
    """Boxes of one lot, or without a lot read, are not asked about."""
    reserved = [{"kit": KIT, "count": 9, "lot": lot} for lot in lots]
    job = builders.job(builders.document("l-deck") | {"reserved": reserved})

    found = {question.key: question.severity for question in check_measure(job)}

    assert (found.get("reserved.lots") == "hold") == asked
