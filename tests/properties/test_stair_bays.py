# mypy: disable-error-code="no-untyped-call"
# shapely publishes no types.
"""Every stair bay keeps its limits when it is built from plain coordinates and measured.

The rails are laid between the post faces as polygons, the balusters stand plumb on the
marks, and the gaps, heights and the sphere under the rail are measured on that drawing.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import atan2, cos, hypot, sin

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn
from shapely.affinity import translate
from shapely.geometry import Point, Polygon, box

from schemas.bays import StairBay
from schemas.lengths import INCH, PER_MM
from schemas.site import LowerPost, Stair, UpperPost
from services.bays import make_bays
from services.bays.margins import Fit
from services.bays.stair_rail import StairRule
from services.bays.window import valid_window
from services.geometry.slope import Slope
from tests.bays_by_hand import FLIGHT, STAIR_RULE, job, stair_layout

FLOAT = 1e-4
"""What plain coordinates may lose, of a unit of 1/320 mm."""


@st.composite
def rules(draw: DrawFn) -> StairRule:
    """Stairs from 4/14 to 9/9 with rails of all sorts."""
    step = draw(st.sampled_from([INCH // 8, INCH // 16, PER_MM]))
    width = draw(st.integers(INCH // 2, 2 * INCH))
    pitch = width + draw(st.integers(INCH, 5 * INCH))
    greatest = draw(st.integers(pitch // 2, pitch - 1))
    return replace(
        STAIR_RULE,
        slope=Slope(
            rise=draw(st.integers(4 * INCH, 9 * INCH)), run=draw(st.integers(9 * INCH, 14 * INCH))
        ),
        step=step,
        width=width,
        pitch=pitch,
        clearance=draw(st.integers(0, INCH // 2)),
        least=draw(st.integers(width // 2, greatest)),
        greatest=greatest,
        limit=draw(st.integers(3 * INCH, 5 * INCH)),
    )


def openings(rule: StairRule) -> st.SearchStrategy[int]:
    """Level openings on tape marks."""
    return st.integers(12 * INCH // rule.step, 80 * INCH // rule.step).map(lambda k: k * rule.step)


def level_gaps(rule: StairRule, opening: int, fit: Fit, *, start: float) -> list[float]:
    """Gaps between faces and balusters drawn plumb, the rail beginning so far along the slope."""
    angle = atan2(rule.slope.rise, rule.slope.run)
    tall = opening * 10
    things = [box(-1, -tall, 0, tall)]
    for k in range(fit.balusters):
        centre = (start + fit.margins.left + k * rule.pitch) * cos(angle)
        things.append(box(centre - rule.width / 2, -tall, centre + rule.width / 2, tall))
    things.append(box(opening, -tall, opening + 1, tall))
    return [a.distance(b) for a, b in pairwise(things)]


@given(st.data())
def test_sphere_is_stopped_wherever_the_rail_is_pushed(data: st.DataObject) -> None:
    """Hard down and hard up the slope, every level gap stays under the limit."""
    rule = data.draw(rules())
    opening = data.draw(openings(rule))
    along = opening / cos(atan2(rule.slope.rise, rule.slope.run))

    for fit in rule.fits(opening=opening):
        for start in (rule.clearance, along - rule.clearance - fit.cut):
            gaps = level_gaps(rule, opening, fit, start=start)
            assert max(gaps) < rule.limit + FLOAT


@given(st.data())
def test_cut_fits_between_the_faces(data: st.DataObject) -> None:
    """Both clearances are left and less than a mark is lost; the margins are legal."""
    rule = data.draw(rules())
    opening = data.draw(openings(rule))
    along = opening / cos(atan2(rule.slope.rise, rule.slope.run))

    for fit in rule.fits(opening=opening):
        lost = along - fit.cut - 2 * rule.clearance
        assert -FLOAT <= lost < rule.step + FLOAT
        margins = (fit.margins.left, fit.margins.right)
        assert rule.least <= min(margins) <= max(margins) <= rule.greatest
        assert max(margins) - min(margins) <= rule.step
        assert along <= rule.longest + FLOAT


@given(st.data())
def test_no_legal_count_is_missed(data: st.DataObject) -> None:
    """Trying every count from one to a hundred finds no more than the offered ones."""
    rule = data.draw(rules())
    opening = data.draw(openings(rule))

    offered = {fit.balusters for fit in rule.fits(opening=opening)}
    tried = {n for n in range(1, 101) if rule.fit(opening=opening, balusters=n)}

    assert offered == tried


@given(st.data())
def test_window_edges_are_legal_and_a_mark_further_is_not(data: st.DataObject) -> None:
    """Every mark of the window is legal, the next one to either side is not."""
    rule = data.draw(rules())
    opening = data.draw(openings(rule))
    fits = rule.fits(opening=opening)
    assume(fits)
    count = fits[0].balusters

    window = valid_window(rule=rule, opening=opening, balusters=count)

    inside = range(window.low, window.high + 1, rule.step)
    assert all(rule.fit(opening=at, balusters=count) for at in inside)
    assert rule.fit(opening=window.low - rule.step, balusters=count) is None
    assert rule.fit(opening=window.high + rule.step, balusters=count) is None


@st.composite
def flights(draw: DrawFn) -> Stair:
    """Ordinary closed stairs inside the demo system's range of slopes."""
    return FLIGHT.model_copy(
        update={
            "risers": draw(st.integers(3, 7)),
            "riser": draw(st.integers(7 * 16, 8 * 16)) * INCH // 16,
            "tread": draw(st.integers(10 * 16, 11 * 16)) * INCH // 16,
            "nosing": draw(st.integers(0, 20)) * INCH // 16,
            "upper_post": UpperPost.model_construct(
                from_top_nose=draw(st.integers(-40, 20)) * INCH // 16
            ),
            "lower_post": LowerPost.model_construct(
                from_last_nose=draw(st.integers(16, 64)) * INCH // 16, stands_on="landing"
            ),
        }
    )


def drawn_rail(bay: StairBay, *, depth: float, start: float, underside: float) -> Polygon:
    """A rail as a parallelogram with plumb ends, its underside's lower corner at that place."""
    angle = atan2(bay.riser, bay.tread)
    run, rise = bay.cut * cos(angle), bay.cut * sin(angle)
    tall = depth / cos(angle)
    x = start * cos(angle)
    return Polygon(
        [
            (x, underside),
            (x + run, underside + rise),
            (x + run, underside + rise + tall),
            (x, underside + tall),
        ]
    )


@settings(max_examples=60)
@given(flights())
def test_drawn_stair_has_the_printed_heights(stair: Stair) -> None:
    """Rails drawn from the lower post's mark pass over each nosing at the printed heights."""
    at = job({"stairs": (stair,)})
    bays = make_bays(at, stair_layout(stair)).bays
    assume(bays is not None)
    assert bays is not None
    bay = bays.stair[0]
    rail = at.stair_system.stair
    assert rail is not None
    slope = bay.riser / bay.tread
    start = rail.end_clearance
    # x from the lower face uphill, y above the landing
    underside = bay.bottom_at_lower + start * cos(atan2(bay.riser, bay.tread)) * slope
    bottom = drawn_rail(bay, depth=rail.bottom_depth, start=start, underside=underside)
    rails_apart = bay.top_at_lower - bay.bottom_at_lower
    top_tall = rail.top_depth / cos(atan2(bay.riser, bay.tread))
    top = translate(
        drawn_rail(bay, depth=rail.top_depth, start=start, underside=underside),
        yoff=rails_apart - top_tall,
    )

    landing = stair.risers * stair.riser
    for nose in bay.heights:
        x = bay.clear - nose.from_upper_face
        y = landing - (nose.nosing - 1) * stair.riser
        plumb = box(x - 0.5, -9 * landing, x + 0.5, 9 * landing)
        if not bottom.intersects(plumb):
            continue  # a nosing behind a post has no rail over it
        low, high = bottom.intersection(plumb).bounds[1], top.intersection(plumb).bounds[3]
        assert abs(low - y - nose.gap) <= at.step
        assert abs(high - y - nose.top) <= 2 * at.step


@settings(max_examples=60)
@given(flights())
def test_sphere_does_not_pass_under_the_drawn_rail(stair: Stair) -> None:
    """No 6 in circle lies between tread, riser and rail; a mark over the limit one does."""
    at = job({"stairs": (stair,)})
    bays = make_bays(at, stair_layout(stair)).bays
    assume(bays is not None)
    assert bays is not None
    bay = bays.stair[0]
    assert bay.triangle_limit is not None
    assert stair.nosing is not None
    radius, line = 3 * INCH, hypot(stair.riser, stair.tread)

    def room(height: float) -> float:
        """From the centre of a circle in the corner to the underside."""
        foot = (stair.tread + (stair.nosing or 0), 0.0)
        start = (foot[0] + line, foot[1] + height - line * stair.riser / stair.tread)
        end = (foot[0] - 3 * line, foot[1] + height + 3 * line * stair.riser / stair.tread)
        under = Polygon([start, end, (end[0], -9 * line), (start[0], -9 * line)])
        return float(under.exterior.distance(Point(radius, radius)))

    assert room(bay.rail_over_nosing) < radius
    assert room(bay.triangle_limit) < radius
    assert room(bay.triangle_limit + at.step) >= radius - FLOAT
