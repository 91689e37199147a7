"""A finished stair bay: its line over the nosings, marks at the posts, points of its cuts."""

from collections.abc import Mapping

import pytest

from schemas.bays import StairBay
from schemas.job import Job
from schemas.lengths import INCH
from schemas.site import LowerPost, Stair, UpperPost
from services.bays import BaysMade, make_bays
from tests.bays_by_hand import FLIGHT, inch, job, made_stair, stair_layout


def flight(update: Mapping[str, object] | None = None) -> Stair:
    """The plain flight with some facts changed."""
    return FLIGHT.model_copy(update=update)


def job_of(stair: Stair, update: Mapping[str, object] | None = None) -> Job:
    """A job with that stair only."""
    return job({"stairs": (stair,), **(update or {})})


def made(stair: Stair, update: Mapping[str, object] | None = None) -> BaysMade:
    """What becomes of a job with that stair."""
    return make_bays(job_of(stair, update), stair_layout(stair))


def bay_of(stair: Stair, update: Mapping[str, object] | None = None) -> StairBay:
    """Its one bay."""
    return made_stair(job_of(stair, update), stair_layout(stair))


def test_saw_is_set_to_the_slope() -> None:
    """7 1/2 by 10 is 36.87 degrees, for the plumb cuts too."""
    bay = bay_of(flight())

    assert bay.slope_deg == bay.saw_deg == pytest.approx(36.87, abs=0.005)


def test_long_points_are_depth_times_tan_apart() -> None:
    """Rails of 2 1/4 and 2 in on 3 in 4: 1 11/16 and 1 1/2 in from long to short point."""
    bay = bay_of(flight())

    assert bay.top_long_to_short == inch("1 11/16")
    assert bay.bottom_long_to_short == inch("1 1/2")


def test_first_holes_stand_plumb_over_each_other() -> None:
    """Placed with plain coordinates, both lower first holes have the same level distance."""
    at = job_of(flight())
    bay = bay_of(flight())
    stair_rail = at.stair_system.stair
    assert stair_rail is not None
    sin, cos = 0.6, 0.8
    # long points of the lower cuts are on the undersides; both cuts lie on one plumb line
    top_hole = bay.top_first_hole_to_long * cos
    along = bay.bottom_first_hole_to_long  # measured to the hole squared down to the underside
    bottom_hole = along * cos - stair_rail.bottom_depth * sin

    assert top_hole == pytest.approx(bottom_hole, abs=at.step / 2)


def test_last_holes_stand_plumb_over_each_other() -> None:
    """At the upper end the long points are on the upper sides, one plumb line through both."""
    at = job_of(flight())
    bay = bay_of(flight())
    stair_rail = at.stair_system.stair
    assert stair_rail is not None
    sin, cos = 0.6, 0.8

    top_hole = bay.top_last_hole_to_long * cos - stair_rail.top_depth * sin
    bottom_hole = bay.bottom_last_hole_to_long * cos

    assert top_hole == pytest.approx(bottom_hole, abs=at.step / 2)


def test_line_meets_both_posts() -> None:
    """Upper: height + 1 x 3/4; lower: height + riser - 2 x 3/4."""
    bay = bay_of(flight())

    step = job().step / 2
    assert bay.top_at_upper == pytest.approx(bay.top_over_nosing + inch("3/4"), abs=step)
    assert bay.top_at_lower == pytest.approx(bay.top_over_nosing + inch("6"), abs=step)
    assert bay.bottom_at_upper == pytest.approx(bay.rail_over_nosing + inch("3/4"), abs=step)
    assert bay.bottom_at_lower == pytest.approx(bay.rail_over_nosing + inch("6"), abs=step)


def test_upper_post_without_a_measure_follows_from_the_opening() -> None:
    """The lower post and the clear opening tell where the upper face is."""
    unmeasured = flight({"upper_post": UpperPost.model_construct(from_top_nose=None)})

    found = make_bays(job_of(unmeasured), stair_layout(flight()))

    assert found.bays is not None
    assert found.bays.stair[0].heights[0].from_upper_face == inch("1")


def test_rail_runs_an_eighth_under_the_triangle() -> None:
    """With a 1 in nosing the ball touches at 3/4 in: 11/16 passes, and 5/8 is planned."""
    bay = bay_of(flight())

    assert bay.triangle_limit == inch("11/16")
    assert bay.rail_over_nosing == inch("5/8")


def test_rail_never_runs_a_sphere_over_the_nosings() -> None:
    """Where a place leaves the triangle open, the gap square to the nosing line still counts."""
    at = job_of(flight())
    profile = at.profile
    assert profile is not None
    rules = tuple(
        rule.model_copy(update={"limit": 12 * INCH}) if rule.id == "guard-triangle" else rule
        for rule in profile.rules
        if not rule.measures.startswith("guard.stair_height")
    )
    open_below = at.model_copy(update={"profile": profile.model_copy(update={"rules": rules})})

    bay = make_bays(open_below, stair_layout(flight())).bays

    assert bay is not None
    limit = inch("4 3/8") - at.company.sphere_margin
    assert bay.stair[0].rail_over_nosing * 0.8 < limit
    assert bay.stair[0].rail_over_nosing * 0.8 >= limit - at.step


def test_every_nosing_shows_the_same_height() -> None:
    """A true flight has one height and one gap at all its nosings, the deck edge first."""
    bay = bay_of(flight())

    assert [nose.nosing for nose in bay.heights] == [1, 2, 3, 4, 5, 6, 7]
    assert {nose.top for nose in bay.heights} == {bay.top_over_nosing}
    assert {nose.gap for nose in bay.heights} == {bay.rail_over_nosing}
    assert bay.heights[-1].from_upper_face == inch("61")


def test_uneven_riser_shows_at_its_nosings() -> None:
    """A top riser 1/4 in too high leaves the nosings below it 1/4 in further from the line."""
    risers = (*(inch("7 1/2"),) * 6, inch("7 3/4"))
    bay = bay_of(flight({"each_riser": risers}))

    assert bay.heights[1].gap - bay.heights[0].gap == inch("1/4")
    assert max(nose.gap for nose in bay.heights) <= bay.triangle_limit - inch("1/16")  # type: ignore[operator]


def test_top_rail_that_is_the_handrail_keeps_its_window() -> None:
    """Seven risers and no other handrail: 34 to 38 in, an eighth inside at both ends."""
    bay = bay_of(flight({"handrail": ()}))

    assert inch("34 1/8") <= bay.top_over_nosing <= inch("37 7/8")


def test_section_too_low_for_the_stair_is_a_stop() -> None:
    """The triangle holds the rail down; a section that then ends under 34 in is asked about."""
    section = job().stair_height
    assert section is not None
    low = section.model_copy(update={"visible": inch("27")})

    found = made(flight(), {"stair_height": low})

    assert found.bays is None
    assert [q.key for q in found.questions] == ["stair-height.S1"]


@pytest.mark.parametrize(
    "unknown", [{"nosing": None}, {"open_risers": True}, {"open_risers": None}]
)
def test_triangle_that_is_not_closed_is_a_hold(unknown: Mapping[str, object]) -> None:
    """The bay is planned low, its limit is left open, and the office is asked."""
    found = made(flight(unknown))

    assert found.bays is not None
    assert found.bays.stair[0].triangle_limit is None
    assert found.bays.stair[0].rail_over_nosing < inch("5/8")
    assert [(q.key, q.severity) for q in found.questions] == [("triangle.S1", "hold")]


def test_slope_out_of_range_names_the_ranges() -> None:
    """8 by 9 is 41.6 degrees; slots and bracket end at 40."""
    found = made(flight({"riser": 8 * INCH, "tread": 9 * INCH}))

    assert found.bays is None
    assert found.questions[0].key == "slope.S1"
    assert "41.6" in found.questions[0].says
    assert "28 to 40" in found.questions[0].says


def test_flight_too_long_asks_for_a_mid_post() -> None:
    """Fourteen risers run over 95 in along the slope."""
    found = made(flight({"risers": 14}))

    assert [q.key for q in found.questions] == ["mid-post.S1-L"]
    assert "along the slope" in found.questions[0].says


def test_post_far_back_leaves_a_gap_over_the_deck() -> None:
    """Six inches back the rail is over 4 in above the deck at the post."""
    back = UpperPost.model_construct(from_top_nose=-inch("6"))

    found = made(flight({"upper_post": back, "risers": 6}))

    assert [q.key for q in found.questions] == ["gap-at-upper.S1-L"]


@pytest.mark.parametrize(("downhill", "asked"), [("3/4", []), ("7/8", ["buried-at-upper.S1-L"])])
def test_bottom_rail_stays_above_the_deck_at_its_post(downhill: str, asked: list[str]) -> None:
    """Over the nosing by 5/8 in the rail falls 3 in 4: at 3/4 in a mark is left, at 7/8 none."""
    face = UpperPost.model_construct(from_top_nose=inch(downhill))

    found = made(flight({"upper_post": face}))

    assert [q.key for q in found.questions if q.severity == "stop"] == asked


def test_foot_block_stands_whole_on_a_tread() -> None:
    """Under a baluster, within reach, half its width or more back from the nose."""
    at, bay = job_of(flight()), bay_of(flight())
    (block,) = bay.foot_blocks

    foot = at.stair_system.foot_block
    from_lower = (block + inch("1/8")) * 0.8
    downhill = inch("62") - from_lower  # from the top nosing: six treads and 2 in
    back_from_nose = inch("10") - downhill % inch("10")
    gap = bay.rail_over_nosing + back_from_nose * 0.75
    assert block in bay.marks
    assert foot.width / 2 <= back_from_nose <= inch("10") - foot.width / 2
    assert gap <= foot.reach


def test_foot_block_out_of_reach_is_a_hold() -> None:
    """A block that spans next to nothing finds no place on any tread."""
    at = job_of(flight())
    short = at.stair_system.foot_block.model_copy(update={"reach": inch("1")})
    system = at.stair_system.model_copy(update={"foot_block": short})

    found = made(flight(), {"stair_system": system})

    assert [(q.key, q.severity) for q in found.questions] == [("foot-block.S1-L", "hold")]


def test_handrail_runs_from_top_to_lowest_nosing() -> None:
    """Six treads of 12 1/2 in along the slope; brackets at most 48 in apart."""
    bay = bay_of(flight())

    assert bay.handrail == inch("75")
    assert bay.handrail_brackets == 3


def test_side_without_handrail_has_none() -> None:
    """The left bay carries none when it is asked for on the right."""
    bay = bay_of(flight({"handrail": ("right",)}))

    assert (bay.handrail, bay.handrail_brackets) == (None, 0)


def test_system_without_stair_rail_is_a_stop() -> None:
    """Nothing is made up for a system that has no stair rail."""
    system = job().stair_system.model_copy(update={"stair": None})

    found = made(flight(), {"stair_system": system, "stair_height": None})

    assert found.bays is None
    assert [q.key for q in found.questions] == ["stair-rail.S1"]


def test_lower_post_on_a_tread_stands_no_riser_lower() -> None:
    """On the lowest tread the mark is one riser less than from the landing."""
    on_tread = LowerPost.model_construct(from_last_nose=-inch("6"), stands_on="tread")
    on_landing = on_tread.model_copy(update={"stands_on": "landing"})

    tread, landing = (bay_of(flight({"lower_post": p})) for p in (on_tread, on_landing))

    assert landing.top_at_lower - tread.top_at_lower == inch("7 1/2")
