"""Foot blocks of a whole job keep off the gaps between its deck boards, where they are known."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from schemas.lengths import INCH, read_length
from schemas.plan import Plan
from services.pipeline import make_plan
from tests.builders import document, library, submission
from tests.planned import plan


@cache
def _with_boards(board: str, first: str) -> Plan:
    tree: dict[str, Any] = document("l-deck")
    for line in tree["lines"]:
        for leg in line["legs"]:
            leg |= {"board": board, "first_gap": first}
    made = make_plan(submission(tree), library=library())
    assert made.plan is not None, [question.says for question in made.questions]
    return made.plan


def _over_gaps(whole: Plan, board: int, first: int) -> list[str]:
    """Bays with a block over a gap, by walking the gaps from the leg's measured start."""
    legs = {leg.name: leg for leg in whole.layout.legs}
    laid = {bay.name: bay for bay in whole.layout.bays}
    half = whole.job.system.foot_block.width / 2
    clearance = whole.job.system.level.end_clearance
    over = []
    for bay in whole.bays.level:
        start = legs[bay.leg].zero + laid[bay.name].left.face + clearance
        gaps = [first + n * board for n in range(-10, 200)]
        at = [start + mark for mark in bay.foot_blocks]
        if any(abs(place - gap) < half for place in at for gap in gaps):
            over.append(bay.name)
    return over


@pytest.mark.parametrize("first", ["0", "1", "2", "3", "4", "5"])
def test_no_block_stands_in_a_gap_or_the_paper_says_so(first: str) -> None:
    """Boards of 5 1/2 in with a gap of 3/16, from anywhere."""
    whole = _with_boards("5 11/16", first)

    over = _over_gaps(whole, read_length("5 11/16 in"), read_length(f"{first} in"))

    told = {q.place for q in whole.job.questions if q.key.startswith("foot-block.")}
    assert set(over) <= told


def test_blocks_do_move_for_the_boards() -> None:
    """Somewhere along the deck a block would have stood in a gap."""
    bare = plan("l-deck")
    plain = [bay.foot_blocks for bay in bare.bays.level]
    moved = [[b.foot_blocks for b in _with_boards("5 11/16", str(n)).bays.level] for n in range(6)]

    assert any(blocks != plain for blocks in moved)
    assert all(
        abs(one - other) <= bay.pitch + INCH // 16
        for blocks in moved
        for mine, theirs, bay in zip(blocks, plain, bare.bays.level, strict=True)
        for one, other in zip(mine, theirs, strict=True)
    )
