"""Marks on the faces of a stair's posts: each edge of a rail is rounded once, where it meets."""

from fractions import Fraction

import pytest
from mpmath import mp, mpf

from schemas.bays import FaceMark
from schemas.layout import Layout
from schemas.lengths import INCH
from services.bays import make_bays
from tests.bays_by_hand import FLIGHT, SIXTEENTH, inch, job, stair_layout, with_level_bay
from tests.planned import plan

mp.dps = 40


def exact_edges(
    *,
    riser: int,
    tread: int,
    line: int,
    top: int,
    face: Fraction,
    foot: int,
    depths: tuple[int, int],
) -> dict[tuple[str, str], mpf]:
    """Four edges of two rails, plumb at a face: depth / cos is kept to forty digits."""
    fall = mpf(riser) / tread
    along = mp.sqrt(1 + fall**2)
    down = mpf(face.numerator) / face.denominator * fall - foot
    return {
        ("bottom", "underside"): line - down,
        ("bottom", "topside"): line + depths[0] * along - down,
        ("top", "underside"): top - depths[1] * along - down,
        ("top", "topside"): top - down,
    }


@pytest.mark.parametrize("riser", [inch("6") + n * SIXTEENTH for n in range(0, 30, 2)])
@pytest.mark.parametrize("tread", [inch("10"), inch("10 1/2"), inch("11 1/4")])
def test_every_edge_is_on_the_mark_nearest_to_it(riser: int, tread: int) -> None:
    """Not on the mark nearest to a thickness added to a mark, which can be a sixteenth high."""
    stair = FLIGHT.model_copy(update={"riser": riser, "tread": tread})
    at = job({"stairs": (stair,)})
    laid: Layout = with_level_bay(stair_layout(stair), clear=inch("72"))

    made = make_bays(at, laid).bays

    assert made is not None
    side, rail = made.stair[0], at.stair_system.stair
    assert rail is not None
    lower = Fraction(6 * tread + inch("2"))
    for post, face, foot in (
        (side.upper_post, Fraction(-INCH), 0),
        (side.lower_post, lower, 7 * riser),
    ):
        marks: list[FaceMark] = [
            mark
            for height in made.posts
            if height.post == post
            for mark in height.faces
            if mark.bay == side.name
        ]
        edges = exact_edges(
            riser=riser, tread=tread, line=side.rail_over_nosing, top=side.top_over_nosing,
            face=face, foot=foot, depths=(rail.bottom_depth, rail.top_depth),
        )  # fmt: skip
        for mark in marks:
            for edge in ("underside", "topside"):
                exact = edges[mark.rail, edge]
                assert abs(getattr(mark, edge) - exact) <= SIXTEENTH / 2 + 1, (mark, edge)


def test_a_rail_s_two_marks_are_its_plumb_depth_apart_to_a_mark() -> None:
    """On the demo's stair both edges are rounded, each at most half a mark."""
    made = plan("l-deck")
    rail = made.job.stair_system.stair
    assert rail is not None
    side = made.bays.stair[0]
    along = mp.sqrt(mpf(side.riser) ** 2 + mpf(side.tread) ** 2) / side.tread

    marks = [m for post in made.bays.posts for m in post.faces if m.bay == side.name]

    for mark in marks:
        depth = rail.bottom_depth if mark.rail == "bottom" else rail.top_depth
        assert abs(mark.topside - mark.underside - depth * along) <= SIXTEENTH + 1
