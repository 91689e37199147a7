"""A finished level bay: its heights, brackets, tables and questions."""

import pytest

from schemas.lengths import INCH
from schemas.site import ClearOpening
from services import tape
from services.bays import make_bays
from tests.bays_by_hand import inch, job, level_layout, made_level


def test_bay_adds_up_to_its_opening() -> None:
    """Clearances, margins and pitches together are the clear opening."""
    bay = made_level(job(), level_layout(clear=inch("72 5/16")))

    clearance = job().system.level.end_clearance
    pattern = (bay.balusters - 1) * bay.pitch
    assert bay.clear == 2 * clearance + bay.margin_left + pattern + bay.margin_right
    balusters = bay.balusters * job().system.level.baluster_width
    gaps = bay.gap_left + (bay.balusters - 1) * bay.gap_between + bay.gap_right
    assert bay.clear == balusters + gaps


def test_heights_stand_on_the_spacer_block() -> None:
    """Spacer block, bottom rail, seen balusters, top rail."""
    at = job()

    bay = made_level(at, level_layout(clear=inch("72")))

    rail = at.system.level
    assert bay.sweep == bay.sweep_low == at.system.spacer_block
    assert bay.top == bay.sweep + rail.bottom_depth + at.level_height.visible + rail.top_depth


def test_falling_deck_opens_the_sweep_at_the_low_end() -> None:
    """The rail is level off its high side; the bay's share of the fall shows at the other."""
    layout = level_layout(clear=inch("72"), fall=inch("1/16"))

    bay = made_level(job(), layout)

    low = {fit.height for fit in bay.brackets if fit.end == "right" and fit.rail == "bottom"}
    assert bay.sweep_low == bay.sweep + inch("1/16")
    assert low == {bay.sweep_low}


def test_sweep_that_lets_the_sphere_under_is_a_stop() -> None:
    """A fall that brings the low side to the opening's limit is asked about."""
    made = make_bays(job(), level_layout(clear=inch("72"), fall=inch("1")))

    assert [(q.key, q.severity) for q in made.questions] == [
        ("sweep.A1-A2", "stop"),
        ("fall.A", "note"),
    ]


def test_brackets_are_hidden_under_their_rails() -> None:
    """Two an end; the top rail's on the hole side, the bottom rail's on the plain side."""
    bay = made_level(job(), level_layout(clear=inch("72"), kinds=("line", "line")))

    assert {(fit.rail, fit.side) for fit in bay.brackets} == {
        ("top", "hole side"),
        ("bottom", "plain side"),
    }
    assert len(bay.brackets) == 4


def test_top_rail_is_cut_for_its_own_opening() -> None:
    """A wall 1/4 in out of plumb gives a longer top rail under the same pattern."""
    layout = level_layout(clear=inch("72"), clear_top=inch("72 1/4"), walls=(True, False))

    bay = made_level(job(), layout)

    assert bay.top_cut - bay.bottom_cut == inch("1/4")
    assert bay.top_margin_left - bay.margin_left == inch("1/4")
    assert bay.top_margin_right == bay.margin_right
    shift = {top - bottom for top, bottom in zip(bay.top_marks, bay.marks, strict=True)}
    assert shift == {inch("1/4")}


def test_drain_holes_keep_clear() -> None:
    """Each side of a block one hole, off the block, the brackets and every baluster hole."""
    at = job()

    bay = made_level(at, level_layout(clear=inch("72")))

    system, rail = at.system, at.system.level
    apart = (rail.baluster_width + system.drain_hole) / 2
    assert len(bay.drain_holes) == 2 * len(bay.foot_blocks)
    assert all(abs(d - mark) >= apart for d in bay.drain_holes for mark in bay.marks)
    assert all(
        min(abs(d - block) for block in bay.foot_blocks)
        >= (system.foot_block.width + system.drain_hole) / 2
        for d in bay.drain_holes
    )


def test_foot_blocks_stand_under_balusters() -> None:
    """As many as the system asks for that opening, each at a hole."""
    bay = made_level(job(), level_layout(clear=inch("80")))

    assert len(bay.foot_blocks) == 2
    assert set(bay.foot_blocks) <= set(bay.marks)


def test_dead_band_asks_with_the_nearest_openings() -> None:
    """Margins of 2 1/4 to 3 in only: the office hears how far a post must move either way."""
    base = job()
    rail = base.system.level.model_copy(update={"greatest_margin": inch("3")})
    narrow = job({"system": base.system.model_copy(update={"level": rail})})
    layout = level_layout(clear=inch("66 7/8"), kinds=("angle", "angle"), mitres=(22.5, 22.5))

    made = make_bays(narrow, layout)

    assert made.bays is None
    (asked,) = made.questions
    assert (asked.key, asked.severity) == ("dead-band.A1-A2", "stop")
    assert "clear 66 7/8 in" in asked.says
    assert "with 1/8 in to spare either way: 64 3/4 in (-2 1/8) or 68 in (+1 1/8)" in asked.says


def test_measured_opening_in_a_dead_band_can_be_put_right() -> None:
    """Posts in place: each way out carries the correction of that very opening."""
    base = job()
    opening = ClearOpening.model_construct(bottom=inch("66"), top=inch("66 1/8"))
    leg = base.lines[0].legs[0].model_copy(update={"name": "A", "clears": (opening,)})
    line = base.lines[0].model_copy(update={"legs": (leg,)})
    rail = base.system.level.model_copy(update={"greatest_margin": inch("2 1/4")})
    system = base.system.model_copy(update={"level": rail})
    dead = base.model_copy(update={"lines": (line,), "system": system})

    made = make_bays(dead, level_layout(clear=inch("66"), clear_top=inch("66 1/8"), measured=True))

    (asked,) = made.questions
    assert asked.key == "dead-band.A1-A2"
    at = "/lines/0/legs/0/clears/0"  # margins of 1 9/16 to 2 1/4, an eighth more at the top
    assert [[(change.pointer, change.value) for change in o.sets] for o in asked.options] == [
        [(f"{at}/bottom", "63 1/8 in"), (f"{at}/top", "63 1/4 in")],
        [(f"{at}/bottom", "66 5/8 in"), (f"{at}/top", "66 3/4 in")],
    ]


def test_bay_too_long_asks_for_a_mid_post() -> None:
    """One mark over the longest clear opening is not built."""
    longest = job().system.level.longest_clear

    made = make_bays(job(), level_layout(clear=longest + job().step))

    assert made.bays is None
    assert [q.key for q in made.questions] == ["mid-post.A1-A2"]


def test_stock_that_does_not_reach_is_named() -> None:
    """A legal pattern that no stock rail holds is a matter of stock, not of the opening."""
    system = job().system
    short = tuple(kit for kit in system.level.kits if kit.length <= 72 * INCH)
    level = system.level.model_copy(update={"kits": short})
    at = job({"system": system.model_copy(update={"level": level})})

    made = make_bays(at, level_layout(clear=inch("80")))

    assert [q.key for q in made.questions] == ["no-stock.A1-A2"]
    assert "72 in" in made.questions[0].says


@pytest.mark.parametrize(("mitre", "works"), [(5.0, True), (50.0, True), (50.5, False)])
def test_angle_bracket_takes_only_its_range(mitre: float, *, works: bool) -> None:
    """A mitre outside the bracket's angles is asked about, with the angles."""
    layout = level_layout(clear=inch("73"), kinds=("line", "angle"), mitres=(0, mitre))

    made = make_bays(job(), layout)

    assert [q.key for q in made.questions] == ([] if works else ["bracket-angle.A1-A2"])


def test_movement_is_held_against_both_gaps() -> None:
    """The whole range of temperature on the longer rail; printed rounded up."""
    at = job()

    bay = made_level(at, level_layout(clear=inch("72")))

    system = at.system
    free = bay.bottom_cut * system.expansion_per_degf * (system.hottest_degf - system.coldest_degf)
    assert free <= bay.movement.free < free + at.step
    assert bay.movement.room == 2 * system.level.end_clearance
    assert bay.movement.fits == (free <= bay.movement.room)


def test_heavy_section_takes_two() -> None:
    """Over the company's weight or length for one, two people lift."""
    at = job()
    light = at.model_copy(
        update={
            "company": at.company.model_copy(
                update={"two_people_over": 10**6, "two_people_longer": inch("200")}
            )
        }
    )
    heavy = at.model_copy(
        update={"company": at.company.model_copy(update={"two_people_over": 1000})}
    )
    layout = level_layout(clear=inch("72"))

    assert made_level(light, layout).people == 1
    assert made_level(heavy, layout).people == 2


def test_unknown_rules_are_assumed_and_said() -> None:
    """Without a code profile openings are held under 100 mm and the pack says so."""
    made = make_bays(job({"profile": None}), level_layout(clear=inch("72")))

    assert made.bays is not None
    assert [(q.key, q.severity) for q in made.questions] == [("openings.assumed", "note")]


def test_opening_between_marks_is_read_down() -> None:
    """An opening that the tape cannot show is taken at the mark below."""
    bay = made_level(job(), level_layout(clear=inch("72") + 100, clear_top=inch("72") + 100))

    assert tape.text(bay.clear, job().step) == "72"
    assert bay.clear == inch("72")
