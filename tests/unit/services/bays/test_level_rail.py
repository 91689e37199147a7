"""Level rails: the count, the cuts and the hole pattern of an opening."""

from dataclasses import replace

from schemas.lengths import PER_MM
from schemas.rail_system import Kit
from services.bays.level_rail import LevelRule
from services.bays.margins import Fit, Margins
from tests.bays_by_hand import LEVEL_RULE, SIXTEENTH, inch


def best(rule: LevelRule, opening: str) -> Fit:
    """The first choice."""
    return rule.fits(opening=inch(opening))[0]


def test_clearance_is_lost_at_both_ends() -> None:
    """The cut is the opening less two clearances."""
    rule = replace(LEVEL_RULE, clearance=inch("1/8"))

    assert best(rule, "70").cut == inch("69 3/4")


def test_cut_is_rounded_down_to_the_tape() -> None:
    """What the tape cannot show is left off, never added."""
    rule = replace(LEVEL_RULE, clearance=inch("3/32"), step=inch("1/8"))

    assert best(rule, "70").cut == inch("69 3/4")


def test_margins_and_pitches_add_up_to_the_cut() -> None:
    """A cut of an odd number of sixteenths gives the odd one to the right margin."""
    fit = best(LEVEL_RULE, "70 1/16")

    assert fit.margins.right - fit.margins.left == SIXTEENTH
    assert fit.margins.left + (fit.balusters - 1) * LEVEL_RULE.pitch + fit.margins.right == fit.cut


def test_end_gap_near_the_regular_gap_but_not_larger_is_chosen() -> None:
    """With two legal counts the ends look like the rest, from below."""
    rule = replace(LEVEL_RULE, left_least=inch("5/8"), right_least=inch("5/8"))

    fits = rule.fits(opening=inch("68 3/4"))

    assert [(fit.balusters, fit.end_gap / inch("1")) for fit in fits] == [(15, 2.25), (16, 0.0)]


def test_larger_end_gap_is_taken_only_alone() -> None:
    """An end gap wider than the regular one stays legal while under the limit."""
    rule = replace(LEVEL_RULE, left_least=inch("2 1/4"))

    fit = best(rule, "71 1/2")

    assert fit.balusters == 15
    assert inch("3 1/4") < fit.end_gap < inch("3 15/16")


def test_gap_equal_to_the_sphere_fails() -> None:
    """Just touching passes through: the limit itself is not legal, a unit under it is."""
    opening = inch("69 1/4")  # 15 balusters: margins of 3 1/8, end gaps of 2 1/2

    at, over = (
        replace(LEVEL_RULE, pitch=inch("4 1/2"), width=inch("1 1/4"), limit=limit)
        for limit in (inch("3 1/4"), inch("3 1/4") + 1)
    )

    assert at.fit(opening=opening, balusters=15) is None
    assert over.fit(opening=opening, balusters=15) is not None


def test_end_gap_equal_to_the_sphere_fails() -> None:
    """The same at the post: 3 1/2 against 3 1/2 is no bay, a mark less at each end is one."""
    rule = replace(LEVEL_RULE, limit=inch("3 1/2"))
    opening = 14 * rule.pitch + rule.width + 2 * inch("3 1/2")

    assert rule.fit(opening=opening, balusters=15) is None
    assert rule.fit(opening=opening - 2 * SIXTEENTH, balusters=15) is not None


def test_room_left_by_rounding_counts_at_either_end() -> None:
    """A rail cut short by rounding may be pushed to one side; the sphere is held there too."""
    rule = replace(LEVEL_RULE, step=inch("1/2"), clearance=inch("1/16"), limit=inch("3 13/16"))
    opening = inch("71 1/2")  # cut 71, margins of 4: 7/16 at one post when 1/16 is at the other

    just_under = replace(rule, limit=inch("3 13/16") + 1).fit(opening=opening, balusters=15)

    assert just_under is not None
    assert just_under.cut == inch("71")
    assert rule.fit(opening=opening, balusters=15) is None


def test_each_end_has_its_own_least_margin() -> None:
    """An angle bracket at one end needs more room than the line bracket at the other."""
    angled = replace(LEVEL_RULE, right_least=inch("2 1/4"))
    opening = 14 * LEVEL_RULE.pitch + 2 * inch("2")

    assert LEVEL_RULE.fit(opening=opening, balusters=15) is not None
    assert angled.fit(opening=opening, balusters=15) is None


def test_saw_never_meets_the_next_hole() -> None:
    """A margin over the greatest is refused even where the sphere would allow it."""
    rule = replace(LEVEL_RULE, limit=inch("6"), greatest=inch("4 1/4"))

    assert rule.fit(opening=14 * rule.pitch + inch("8 1/2"), balusters=15)
    assert rule.fit(opening=14 * rule.pitch + inch("8 5/8"), balusters=15) is None


def test_out_of_plumb_wall_lengthens_the_top_rail_at_that_end() -> None:
    """The holes of both rails stay plumb: only the end that leans takes the difference."""
    rule = replace(LEVEL_RULE, top_more=inch("1/4"), leans="right")

    fit = best(rule, "70")

    assert fit.top_cut - fit.cut == inch("1/4")
    assert fit.top_margins.left == fit.margins.left
    assert fit.top_margins.right - fit.margins.right == inch("1/4")


def test_unknown_lean_is_halved() -> None:
    """Where nobody knows which post leans, each end takes half."""
    rule = replace(LEVEL_RULE, top_more=-inch("1/4"))

    fit = best(rule, "70")

    assert fit.margins.left - fit.top_margins.left == inch("1/8")
    assert fit.margins.right - fit.top_margins.right == inch("1/8")


def test_top_margin_must_be_legal_too() -> None:
    """A bottom rail that fits does not carry a top rail with no room for its bracket."""
    rule = replace(LEVEL_RULE, top_more=-inch("1/2"), leans="left")
    opening = 14 * rule.pitch + 2 * inch("1 3/4")

    assert LEVEL_RULE.fit(opening=opening, balusters=15) is not None
    assert rule.fit(opening=opening, balusters=15) is None


def test_metric_tape_rounds_to_millimetres() -> None:
    """On a metric tape the cut and the left margin are whole millimetres."""
    rule = replace(
        LEVEL_RULE,
        step=PER_MM,
        pitch=110 * PER_MM,
        width=25 * PER_MM,
        clearance=3 * PER_MM,
        limit=98 * PER_MM,
        greatest=105 * PER_MM,
    )

    fit = rule.fits(opening=1500 * PER_MM)[0]

    assert fit.cut == 1494 * PER_MM
    assert fit.margins.left % PER_MM == 0


def test_longer_than_the_system_allows_is_no_bay() -> None:
    """The longest clear opening is legal, a mark more is not."""
    rule = replace(LEVEL_RULE, longest=inch("70"))

    assert rule.fits(opening=inch("70"))
    assert not rule.fits(opening=inch("70 1/16"))


def test_a_mitre_s_long_point_must_come_from_the_stock_too() -> None:
    """A rail as long as its stock fits with square ends, and no longer with a point outstanding."""
    stock = Kit.model_construct(
        key="72", length=inch("72"), first_hole=inch("2 1/4"), holes=16, balusters=16, brackets=4
    )
    rule = replace(LEVEL_RULE, kits=(stock,), clearance=0, left_least=inch("2"))
    pointed = Margins(left=0, right=1)

    square = rule.fit(opening=inch("72"), balusters=16)

    assert square
    assert square.cut == stock.length
    assert replace(rule, points=pointed).fit(opening=inch("72"), balusters=16) is None
    assert replace(rule, top_points=pointed).fit(opening=inch("72"), balusters=16) is None
