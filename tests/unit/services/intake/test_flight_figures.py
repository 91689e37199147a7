"""A flight measured in many ways: the one figure that explains all that does not agree."""

from __future__ import annotations

from math import atan2, degrees, hypot
from random import Random
from typing import Any

import pytest

from schemas.lengths import INCH
from schemas.site import Question, Stair
from services.intake.cross_checks import check_measure
from services.intake.cross_checks.flight_figures import disagreements, mends
from services.tape import nearest
from tests import builders

STEP = INCH // 16
TRUE = {
    "risers": 6, "riser": "7 1/2", "tread": "11", "total_rise": "45", "total_run": "55",
    "slope_deg": 34.3, "straightedge": "66 9/16",
}  # fmt: skip
"""Six risers of 7 1/2 on 11: five steps along the slope are 5 * 13.3135 = 66.57 in."""


def _asked(**wrong: object) -> dict[str, Question]:
    tree = builders.document("l-deck")
    stair: dict[str, Any] = tree["stairs"][0] | TRUE | wrong
    found = check_measure(builders.job(tree | {"stairs": [stair]}))
    keys = ("rise.", "run.", "slope.", "straightedge.", "riser-count.", "measures.")
    return {question.key: question for question in found if question.key.startswith(keys)}


def _one(**wrong: object) -> Question:
    (question,) = _asked(**wrong).values()
    return question


def _sets(question: Question) -> list[tuple[str, object]]:
    return [
        (o.sets[0].pointer.removeprefix("/stairs/0"), o.sets[0].value) for o in question.options
    ]


def test_a_flight_that_agrees_with_itself_is_not_asked_about() -> None:
    """All seven measures at once."""
    assert _asked() == {}


def test_a_wrong_count_is_one_question_and_not_three() -> None:
    """Five treads counted for six risers upset rise, run and straightedge."""
    question = _one(risers=5)

    assert (question.key, question.severity) == ("measures.S1", "stop")
    assert _sets(question) == [("/risers", 6)]
    assert "make 37 1/2 in, but the total rise was measured 45" in question.says
    assert "have 4 treads of 11 between them, 44 in" in question.says
    assert (
        "Only one figure would put all of that right: There are 6 risers, not 5, as when treads "
        "are counted for risers." in question.says
    )


def test_a_wrong_riser_upsets_rise_angle_and_straightedge() -> None:
    """6 1/2 read for 7 1/2."""
    assert _sets(_one(riser="6 1/2")) == [("/riser", "7 1/2 in")]


def test_a_wrong_tread_upsets_run_angle_and_straightedge() -> None:
    """10 read for 11."""
    assert _sets(_one(tread="10")) == [("/tread", "11 in")]


@pytest.mark.parametrize(
    ("field", "wrong", "key", "right"),
    [
        ("total_rise", "52 1/2", "rise.S1", "45 in"),
        ("total_run", "66", "run.S1", "55 in"),
        ("slope_deg", 38.0, "slope.S1", 34.3),
        ("straightedge", "76 9/16", "straightedge.S1", "66 9/16 in"),
    ],
)
def test_a_total_that_stands_alone_is_the_only_culprit(
    field: str, wrong: object, key: str, right: object
) -> None:
    """All others agree with each other; riser, tread and count would upset them."""
    question = _one(**{field: wrong})

    assert question.key == key
    assert _sets(question) == [(f"/{field}", right)]
    assert "Only one figure would put that right" in question.says


@pytest.mark.parametrize(
    ("field", "wrong", "slip"),
    [
        ("total_run", "66", "to the foot and not to the lowest nosing"),
        ("total_rise", "44", "just an inch off"),
        ("total_rise", "57", "just a foot off"),
        ("total_rise", "54", "as when two figures change places"),
        ("slope_deg", 55.7, "read from plumb instead of from level"),
    ],
)
def test_known_slips_are_named(field: str, wrong: object, slip: str) -> None:
    """How it comes to be misread."""
    assert slip in _one(**{field: wrong}).says


def test_fewer_measures_leave_more_suspects() -> None:
    """With rise and run alone and both a step more, the count explains both."""
    bare = {"slope_deg": None, "straightedge": None}

    both = _one(total_rise="52 1/2", total_run="66", **bare)
    rise_only = _one(total_rise="52 1/2", total_run=None, **bare)

    assert _sets(both) == [("/risers", 7)]
    assert _sets(rise_only) == [
        ("/risers", 7),
        ("/riser", "8 3/4 in"),
        ("/total_rise", "45 in"),
    ]
    assert "The likely culprit: There are 7 risers, not 6" in rise_only.says


def test_two_wrong_figures_are_asked_about_apart() -> None:
    """A total rise and an angle, each off by itself: nothing explains both."""
    found = _asked(total_rise="47", slope_deg=38.0)

    assert set(found) == {"rise.S1", "slope.S1"}
    assert _sets(found["rise.S1"]) == [("/total_rise", "45 in")]
    assert _sets(found["slope.S1"]) == [("/slope_deg", 34.3)]


@pytest.mark.parametrize(("edge", "asked"), [("66 13/16", False), ("66 7/8", True)])
def test_straightedge_to_a_quarter_inch(edge: str, asked: bool) -> None:  # noqa: FBT001
    """66.57 in along the slope; framing square: 13.3135 in for 7 1/2 on 11."""
    assert ("straightedge.S1" in _asked(straightedge=edge)) == asked


def test_the_odd_riser_of_those_measured_one_by_one_is_the_culprit() -> None:
    """6 1/2 among 7 1/2: with an inch more the total agrees and it is like the others."""
    each = ["7 1/2", "7 1/2", "6 1/2", "7 1/2", "7 1/2", "7 1/2"]

    question = _one(each_riser=each, straightedge=None)

    assert ("/each_riser/2", "7 1/2 in") in _sets(question)
    assert "Riser 3 from the bottom is 7 1/2 in" in [o.says for o in question.options]


def test_a_riser_left_out_is_a_question_of_the_count() -> None:
    """Five figures for six risers: nothing but a sixth figure, or five risers, would agree."""
    question = _asked(each_riser=["7 1/2"] * 5)["riser-count.S1"]

    assert question.options == ()
    assert "two or more were misread" in question.says


@pytest.mark.parametrize(
    "field", ["risers", "riser", "tread", "total_rise", "total_run", "slope_deg", "straightedge"]
)
def test_any_one_figure_misread_is_found_again(field: str) -> None:
    """Of a hundred flights with all measures, one of them misread by a tenth or a step."""
    for seed in range(100):
        true = _flight(Random(seed))
        good = getattr(true, field)
        off = {"risers": 1, "slope_deg": 4.0}.get(field, nearest(good / 10, STEP))
        wrong = true.model_copy(update={field: good + (off if seed % 2 else -off)})

        found = mends(wrong, step=STEP)

        assert disagreements(true, step=STEP) == ()
        assert disagreements(wrong, step=STEP), seed
        back = [mend.value for mend in found if mend.field == field]
        assert back, (seed, wrong)
        assert abs(back[0] - good) <= _near(field), seed


def _near(field: str) -> float:
    """What the checks themselves cannot tell apart."""
    if field in {"risers", "slope_deg"}:
        return {"risers": 0, "slope_deg": 1.0}[field]
    return INCH / 2 if field.startswith("total") or field == "straightedge" else INCH / 8


def _flight(dice: Random) -> Stair:
    """A flight whose measures agree, read to the sixteenth and the half degree."""
    risers = dice.randint(4, 14)
    riser, tread = dice.randint(16 * 6, 16 * 8) * STEP, dice.randint(16 * 10, 16 * 12) * STEP
    edge = nearest((risers - 1) * hypot(riser, tread), STEP)
    made = {
        "risers": risers,
        "riser": riser,
        "tread": tread,
        "total_rise": risers * riser,
        "total_run": (risers - 1) * tread,
        "slope_deg": round(2 * degrees(atan2(riser, tread))) / 2,
        "straightedge": edge,
    }
    return builders.submission("l-deck").stairs[0].model_copy(update=made)
