"""Foot blocks under level rails and the drain holes beside them."""

from dataclasses import replace

from schemas.rail_system import BlockRule
from services.bays.foot_blocks import BoardGaps, DrainRoom, block_count, drain_holes, level_blocks
from services.bays.running_marks import nearest_marks, running_marks
from tests.bays_by_hand import inch

RULES = tuple(
    BlockRule.model_construct(up_to=up_to, count=count) for up_to, count in ((240, 0), (720, 1))
)
MARKS = running_marks(margin=20, pitch=45, balusters=8)  # 20 to 335
ROOM = DrainRoom(
    cut=355, marks=MARKS, hole_width=12, drain=4, block_width=14, from_block=10,
    bracket_left=10, bracket_right=10, step=1,
)  # fmt: skip


def test_count_changes_beyond_the_rule() -> None:
    """Up to and including its opening a rule holds; beyond the last, the last."""
    counts = [block_count(rules=RULES, clear=clear) for clear in (240, 241, 720, 800)]

    assert counts == [0, 1, 1, 1]


def test_two_blocks_stand_near_the_thirds() -> None:
    """118 and 237 are the thirds of 355; the nearest balusters take the load."""
    assert level_blocks(cut=355, marks=MARKS, count=2) == (110, 245)


def test_a_tie_goes_to_the_left() -> None:
    """With a gap at mid-length one block stands under the baluster left of it."""
    assert level_blocks(cut=355, marks=MARKS, count=1) == (155,)


def test_no_baluster_carries_two_blocks() -> None:
    """Places that share a nearest mark are spread over two."""
    assert nearest_marks(wanted=(21, 22), marks=(20, 40)) == (20, 40)
    assert nearest_marks(wanted=(1, 2, 3), marks=(20, 40)) == (20, 40)


def test_drains_stand_at_both_sides_of_the_block() -> None:
    """Half the block and the ordinary distance from its centre."""
    assert drain_holes(blocks=(155,), room=ROOM) == (138, 172)


def test_drain_moves_away_from_a_baluster_hole() -> None:
    """Where the ordinary place meets the next hole, the drain goes beyond it."""
    room = replace(ROOM, from_block=36)  # 43 from the centre: 198 is in the hole at 200

    assert drain_holes(blocks=(155,), room=room) == (102, 208)


def test_drain_is_left_out_where_there_is_no_place() -> None:
    """A bracket that takes the rail to the block leaves one drain at the other side."""
    room = replace(ROOM, bracket_left=150)

    assert drain_holes(blocks=(155,), room=room) == (172,)


GAPS = BoardGaps(first=inch("2"), apart=inch("5 1/2"), block=inch("1 1/2"))
"""Gaps at 2, 7 1/2, 13 ... in from the rail's left end."""


def test_a_block_stands_on_a_board_and_not_in_a_gap() -> None:
    """The middle baluster stands over a gap: the next one takes the block."""
    marks = running_marks(margin=inch("4"), pitch=inch("4 1/2"), balusters=5)

    assert level_blocks(cut=inch("26"), marks=marks, count=1) == (inch("13"),)
    assert level_blocks(cut=inch("26"), marks=marks, count=1, gaps=GAPS) == (inch("8 1/2"),)


def test_a_block_touches_a_gap_only_within_half_its_width() -> None:
    """The border: half a block beside the gap's centre it stands on the board."""
    gap = inch("13")

    assert GAPS.meets(gap + inch("3/4") - 1)
    assert not GAPS.meets(gap + inch("3/4"))
    assert not GAPS.meets(gap - inch("3/4"))


def test_a_block_does_not_wander_for_the_sake_of_a_board() -> None:
    """Where every baluster within a space stands over a gap, the even place is kept."""
    marks = [inch(f"{n}") for n in (2, 7, 12, 17, 22)]
    gaps = BoardGaps(first=inch("2"), apart=inch("5"), block=inch("1 1/2"))

    assert level_blocks(cut=inch("24"), marks=marks, count=1, gaps=gaps) == (inch("12"),)
