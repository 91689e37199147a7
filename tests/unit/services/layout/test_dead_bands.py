"""Stretches without a legal layout: asked about with the nearest that would work."""

from __future__ import annotations

from copy import deepcopy
from itertools import accumulate, product
from random import Random
from typing import Any

import pytest

from schemas.site import Correction, Question
from services.layout import LaidOut, lay_out
from tests import builders
from tests.unit.services.layout.decks import WALL, Holes, gate, inches, job_of, leg, line

DEAD = Holes(pitch=inches("5"), least=inches("2 3/4"), most=inches("4 1/2"))
SLEEVE = inches("4 1/2")


def _asked(*legs: dict[str, object], longest: str = "94", **more: object) -> tuple[Question, ...]:
    out = lay_out(job_of(line(*legs, **more)), asks=DEAD.asks(longest=inches(longest)))
    assert out.layout is None
    return out.questions


def test_nearest_openings_are_named() -> None:
    """A wall-to-wall opening of 10 in is dead; 9 and 10 1/2 would work."""
    (question,) = _asked(leg("A", "10"), start=WALL, end=WALL)

    assert question.key == "dead-band.A"
    assert question.severity == "stop"
    assert "opening of 10 in leaves the rail no legal end margins" in question.says
    assert "9 in (1 narrower) or 10 1/2 in (1/2 wider)" in question.says
    assert question.options == ()


def test_free_end_is_offered_to_move() -> None:
    """The end post may go in or out: its inset is the figure that changes."""
    opening, inset = inches("10"), inches("3 1/2")
    length = opening + SLEEVE // 2 + inset
    end = {"kind": "post", "inset": "3 1/2"}

    (question,) = _asked(leg("A", f"{length / inches('1')}"), start=WALL, end=end)

    assert [option.key for option in question.options] == ["end-in", "end-out"]
    assert [option.sets for option in question.options] == [
        (Correction(pointer="/lines/0/end/inset", value="4 1/2 in"),),
        (Correction(pointer="/lines/0/end/inset", value="3 in"),),
    ]


def test_answer_gives_a_layout() -> None:
    """With the offered inset the job is laid out."""
    length = f"{(inches('10') + SLEEVE // 2 + inches('3 1/2')) / inches('1')}"

    for inset in ("4 1/2", "3"):
        job = job_of(line(leg("A", length), start=WALL, end={"kind": "post", "inset": inset}))
        assert lay_out(job, asks=DEAD.asks(longest=inches("94"))).layout is not None


def test_keep_out_that_leaves_no_place_says_so() -> None:
    """Two bays are asked for and the middle is shut: the reason is not the holes."""
    shut = {"start": "20", "end": "80", "why": "double door"}

    (question,) = _asked(leg("A", "100", keep_out=[shut]), longest="52", start=WALL, end=WALL)

    assert "no posts may stand where they must" in question.says


def test_second_stretch_has_its_own_key() -> None:
    """Two dead stretches of one leg are two questions."""
    first, second = _asked(
        leg("A", f"{10 + 4.5 + 10}", fixed_posts=[f"{10 + 2.25}"]), start=WALL, end=WALL
    )

    assert (first.key, second.key) == ("dead-band.A", "dead-band.A.2")


def _with_option(tree: dict[str, Any], question: Question, key: str) -> dict[str, Any]:
    """The submission with an answer's figures put in."""
    changed = deepcopy(tree)
    (option,) = (one for one in question.options if one.key == key)
    for put in option.sets:
        *path, last = put.pointer.strip("/").split("/")
        node: Any = changed
        for name in path:
            node = node[int(name)] if isinstance(node, list) else node[name]
        node[int(last) if isinstance(node, list) else last] = put.value
    return changed


def _laid(tree: dict[str, Any]) -> LaidOut:
    return lay_out(builders.job(tree), asks=DEAD.asks(longest=inches("94")))


def _tree(*legs: dict[str, object], **more: object) -> dict[str, Any]:
    whole = {"lines": [line(*legs, start=WALL, end=WALL)], "stairs": [], "gates": []}
    return builders.document("l-deck") | whole | {"remove_feet": 0} | more


def test_fixed_post_shifts_as_little_as_makes_both_sides_legal() -> None:
    """Two openings of 10 in are dead; 9 and 11 are legal, and nothing nearer: 1 in."""
    tree = _tree(leg("A", f"{10 + 4.5 + 10}", fixed_posts=[f"{10 + 2.25}"]))

    first, second = _laid(tree).questions

    for question in (first, second):
        assert "makes every bay of the leg legal: fixed post 1 shifts 1 in toward" in question.says
        assert _laid(_with_option(tree, question, "shift")).layout is not None


def test_gate_shifts_with_both_its_posts() -> None:
    """10 in before a gate are dead, 13 behind it are not: half an inch mends it, and 12 1/2 too."""
    gates = [gate(start=f"{10 + 4.5}", width="36")]
    tree = _tree(leg("A", f"{10 + 4.5 + 36 + 4.5 + 13}"), gates=gates)

    (question,) = _laid(tree).questions

    assert question.options[0].sets == (Correction(pointer="/gates/0/start", value="15 in"),)
    assert "G1 with its posts shifts 1/2 in toward the leg's end" in question.options[0].says
    assert _laid(_with_option(tree, question, "shift")).layout is not None


def test_no_shift_is_offered_where_none_helps() -> None:
    """Wall to wall nothing is there that could shift."""
    (question,) = _asked(leg("A", "10"), start=WALL, end=WALL)

    assert [option.key for option in question.options] == []
    assert "smallest shift" not in question.says


def _stood(*clears: str, **more: object) -> dict[str, Any]:
    total = sum(float(clear) for clear in clears) + 4.5 * (len(clears) - 1)
    found = [{"bottom": clear} for clear in clears]
    return _tree(leg("A", f"{total}", clears=found, **more))


def test_posts_in_place_shift_as_little_as_makes_the_leg_legal() -> None:
    """Openings of 10, 23 and 17 1/2: with half an inch from the second the first is legal."""
    tree = _stood("10", "23", "17.5")

    (question,) = _laid(tree).questions

    assert (question.key, question.severity) == ("dead-band.A", "stop")
    assert "opening 1 (10) leaves the rail no legal end margins" in question.says
    assert "A1 shifts 1/2 in toward A2" in question.says
    assert question.options[0].sets == (
        Correction(pointer="/lines/0/legs/0/clears/0/bottom", value="10 1/2 in"),
        Correction(pointer="/lines/0/legs/0/clears/1/bottom", value="22 1/2 in"),
    )
    assert _laid(_with_option(tree, question, "shift")).layout is not None


def test_post_that_is_kept_does_not_shift() -> None:
    """A post noted as staying stands fast; the bay itself is then asked about by its sizes."""
    stays = {"standing": [{"number": 1, "sleeve": "4 1/2", "keep": True}]}

    assert _laid(_stood("10", "23")).layout is None
    assert _laid(_stood("10", "23", **stays)).layout is not None


@pytest.mark.parametrize("seed", range(12))
def test_no_smaller_shift_of_standing_posts_would_do(seed: int) -> None:
    """All shifts of one or two posts tried, eighth by eighth up to the one that is offered."""
    dice = Random(seed)
    clears = [dice.randint(10 * 8, 40 * 8) / 8 for _ in range(dice.choice((2, 3)))]
    tree = _stood(*(f"{clear}" for clear in clears))
    out = _laid(tree)
    if out.layout is not None:
        assert all(_legal(clear) for clear in clears) or not _any_shift(clears, 6)
        return

    (question,) = out.questions
    eighths = max(abs(a - b) for a, b in _moves(tree, _with_option(tree, question, "shift")))

    assert _any_shift(clears, eighths)
    assert not _any_shift(clears, eighths - 1 / 8)
    assert _laid(_with_option(tree, question, "shift")).layout is not None


def _legal(clear: float) -> bool:
    sides = {"left": "line", "right": "line"}
    return DEAD.works(clear=inches(f"{clear}"), **sides)  # type: ignore[arg-type]


def _any_shift(clears: list[float], most: float) -> bool:
    """Whether some shift of the inner posts by so much at most makes all openings legal."""
    moves = [n / 8 for n in range(int(-8 * most), int(8 * most) + 1)]
    for shifts in product(moves, repeat=len(clears) - 1):
        ends = (0.0, *shifts, 0.0)
        if all(_legal(c + b - a) for c, a, b in zip(clears, ends, ends[1:], strict=False)):
            return True
    return False


def _moves(before: dict[str, Any], after: dict[str, Any]) -> list[tuple[float, float]]:
    """Where each inner post stood and stands."""

    def posts(tree: dict[str, Any]) -> list[float]:
        clears = tree["lines"][0]["legs"][0]["clears"]
        sizes = (inches(clear["bottom"].removesuffix(" in")) / inches("1") for clear in clears)
        return list(accumulate(sizes))[:-1]

    return list(zip(posts(before), posts(after), strict=True))
