"""What a bay takes for cuttable is what the saw's lattice can place, and nothing else.

The bays ask before the posts stand whether some stock holds a rail; the cut plan lays the
rail on the stock's holes later. Each has its own way; they must not differ by a unit.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from hypothesis import assume, given
from hypothesis import strategies as st

from schemas.cut_plan import StockRail
from schemas.lengths import INCH
from services.bays.margins import Fit
from services.bays.rules import level_rule, stair_rule
from services.cut_plan.lattice import PairEnd, RailEnd, first_place, last_place
from services.cut_plan.pieces import reach
from services.cut_plan.stock import stock_rails
from services.geometry.slope import Slope
from tests.builders import job

CORNER = job("corner-45")
SIXTEENTH = INCH // 16
KITS = tuple(kit for kit in CORNER.system.level.kits if kit.length <= 97 * INCH)
"""Stock no longer than the longest opening, so that its length decides."""


@cache
def _stock(orientation: str) -> tuple[StockRail, ...]:
    return tuple(
        one
        for one in stock_rails(CORNER)
        if one.orientation == orientation
        and (orientation == "stair" or one.kit in {kit.key for kit in KITS})
    )


def _placed(orientation: str, left: PairEnd, right: PairEnd, holes: int) -> bool:
    return any(
        first_place(stock=stock, left=left) + holes - 1 <= last_place(stock=stock, right=right)
        for stock in _stock(orientation)
    )


def _ends(fit: Fit, side: str, *, wide: tuple[int, int], deg: float, share: int) -> PairEnd:
    """The top and the bottom rail's end of a bay, as the saw has them."""
    margins = (getattr(fit.top_margins, side), getattr(fit.margins, side))
    widths = (max(wide), max(wide)) if fit.margins == fit.top_margins else wide
    return PairEnd(
        *(
            RailEnd(margin, reach(across=across, deg=deg, share=share), deg)
            for margin, across in zip(margins, widths, strict=True)
        )
    )


@given(
    sixteenths=st.integers(60 * 16, 97 * 16),
    left=st.floats(5.5, 30),
    right=st.floats(5.5, 30),
    top_more=st.integers(-6, 6),
)
def test_a_mitred_rail_is_cuttable_where_the_saw_can_place_it(
    *, sixteenths: int, left: float, right: float, top_more: int
) -> None:
    """Both ends at any angle, both rails of one length or of two."""
    rule = level_rule(
        CORNER,
        left="angle",
        right="angle",
        top_more=top_more * SIXTEENTH,
        left_deg=left,
        right_deg=right,
    )
    assert rule is not None
    rule = replace(rule, kits=KITS)
    bare = replace(rule, kits=None).fits(opening=sixteenths * SIXTEENTH)
    assume(bare)
    rail = CORNER.system.level
    wide = (rail.top_width, rail.bottom_width)

    for fit in bare:
        asked = rule.fit(opening=sixteenths * SIXTEENTH, balusters=fit.balusters) is not None
        ends = (
            _ends(fit, "left", wide=wide, deg=left, share=2),
            _ends(fit, "right", wide=wide, deg=right, share=2),
        )
        assert asked == _placed("level", *ends, fit.balusters)


@given(
    sixteenths=st.integers(30 * 16, 78 * 16),
    riser=st.integers(6 * 16, 8 * 16),
    tread=st.integers(10 * 16, 11 * 16),
)
def test_a_stair_rail_is_cuttable_where_the_saw_can_place_it(
    *, sixteenths: int, riser: int, tread: int
) -> None:
    """Any ordinary stair; the long points stand out by the depth of the deeper rail."""
    rail = CORNER.stair_system.stair
    assert rail is not None
    slope = Slope(rise=riser * SIXTEENTH, run=tread * SIXTEENTH)
    rule = stair_rule(CORNER, rail=rail, slope=slope)
    opening = sixteenths * SIXTEENTH
    deep = (rail.top_depth, rail.bottom_depth)

    for fit in replace(rule, kits=None).fits(opening=opening):
        asked = rule.fit(opening=opening, balusters=fit.balusters) is not None
        ends = (
            _ends(fit, "left", wide=deep, deg=slope.degrees, share=1),
            _ends(fit, "right", wide=deep, deg=slope.degrees, share=1),
        )
        assert asked == _placed("stair", *ends, fit.balusters)
