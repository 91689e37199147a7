"""The valid window and the as-measured table."""

from dataclasses import replace

from services.bays.rules import nearest_legal
from services.bays.window import as_measured, valid_window
from tests.bays_by_hand import LEVEL_RULE, SIXTEENTH, inch

OPENING = inch("69")  # 15 balusters, margins of 3


def test_window_is_bracket_room_to_next_hole() -> None:
    """From two least to two greatest margins about the pattern."""
    window = valid_window(rule=LEVEL_RULE, opening=OPENING, balusters=15)

    pattern = 14 * LEVEL_RULE.pitch
    assert window.low == pattern + 2 * LEVEL_RULE.left_least
    assert window.high == pattern + 2 * LEVEL_RULE.greatest


def test_window_ends_before_the_sphere() -> None:
    """The last opening leaves less than the limit at both posts; the next mark does not."""
    rule = replace(LEVEL_RULE, limit=inch("3 1/2"))

    window = valid_window(rule=rule, opening=OPENING, balusters=15)

    at_limit = 14 * rule.pitch + rule.width + 2 * inch("3 1/2")
    assert window.high == at_limit - 2 * SIXTEENTH


def test_table_keeps_the_planned_count_inside_the_window() -> None:
    """Every opening of the window that the table shows keeps its count; cuts follow it."""
    rows = as_measured(rule=LEVEL_RULE, opening=OPENING, balusters=15)

    assert len(rows) == 33
    assert {row.balusters for row in rows} == {15}
    assert [row.cut for row in rows] == [row.opening for row in rows]


def test_table_changes_the_count_beyond_the_window() -> None:
    """Where another count becomes legal the table shows it."""
    opening = inch("66 1/8")  # 15 are legal from 66

    rows = as_measured(rule=LEVEL_RULE, opening=opening, balusters=15)

    assert {row.balusters for row in rows if row.opening < inch("66")} == {14}
    assert {row.balusters for row in rows if row.opening >= inch("66")} == {15}


def test_table_says_call_in_a_dead_band() -> None:
    """No legal count: no cut, no margin."""
    rule = replace(LEVEL_RULE, left_least=inch("3"), right_least=inch("3"))
    opening = inch("69")

    rows = as_measured(rule=rule, opening=opening, balusters=15)

    below = [row for row in rows if row.opening < opening]
    assert {(row.cut, row.margin, row.balusters) for row in below} == {(None, None, None)}


def test_nearest_legal_openings_enclose_a_dead_band() -> None:
    """The next legal opening to each side, and nothing legal between them."""
    rule = replace(LEVEL_RULE, left_least=inch("3"), right_least=inch("3"))

    below, above = nearest_legal(rule, opening=inch("68"), longest=inch("96"), reach=2 * rule.pitch)

    assert above == inch("69")
    assert below is not None
    assert rule.fits(opening=below)
    assert not any(rule.fits(opening=at) for at in range(below + SIXTEENTH, above, SIXTEENTH))


def test_nothing_legal_above_the_longest() -> None:
    """Beyond the system's longest opening there is nothing to offer."""
    found = nearest_legal(
        replace(LEVEL_RULE, longest=inch("70")),
        opening=inch("80"),
        longest=inch("70"),
        reach=inch("9"),
    )

    assert found == (inch("70"), None)
