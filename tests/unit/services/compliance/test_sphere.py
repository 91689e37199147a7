"""The sphere through the stair triangle, in whole numbers.

Source:
    Euclid, Elements IV.4: the circle inscribed in a triangle. Heights of the rail that just
    stop a 6 in sphere: derived; checked with 60 digits of decimal arithmetic.
"""

from decimal import Decimal, localcontext

import pytest
from hypothesis import given
from hypothesis import strategies as st

from schemas.errors import GeometryError
from schemas.lengths import INCH
from services.compliance.sphere import triangle_sphere

SIZES = st.integers(min_value=4 * INCH, max_value=16 * INCH)
SMALL = st.integers(min_value=0, max_value=3 * INCH)


def test_on_the_nosing_line_it_is_the_inscribed_circle() -> None:
    """A right triangle of 6, 8 and 10 has an inscribed circle of 4 across, exactly."""
    assert triangle_sphere(riser=6 * INCH, tread=8 * INCH, nosing=0, over=0) == 4 * INCH


@given(riser=SIZES, tread=SIZES, nosing=SMALL, over=SMALL)
def test_it_touches_tread_riser_and_rail(riser: int, tread: int, nosing: int, over: int) -> None:
    """Its centre stands one radius from tread, riser and rail, to 40 digits."""
    size = triangle_sphere(riser=riser, tread=tread, nosing=nosing, over=over)

    with localcontext(prec=60):
        r, t, n, v = map(Decimal, (riser, tread, nosing, over))
        line = (r * r + t * t).sqrt()
        reach = v * t + (t + n) * r  # the rail's underside: r x + t y = reach
        exact = 2 * reach / (r + t + line)
        from_rail = (reach - exact / 2 * (r + t)) / line

        assert abs(from_rail - exact / 2) < Decimal("1e-40")
        assert size - 1 < exact <= size


@given(riser=SIZES, tread=SIZES, nosing=SMALL, over=SMALL)
def test_a_higher_rail_or_a_longer_nosing_lets_more_through(
    riser: int, tread: int, nosing: int, over: int
) -> None:
    """Never less."""
    size = triangle_sphere(riser=riser, tread=tread, nosing=nosing, over=over)

    assert triangle_sphere(riser=riser, tread=tread, nosing=nosing, over=over + INCH) > size
    assert triangle_sphere(riser=riser, tread=tread, nosing=nosing + INCH, over=over) > size


def test_what_is_no_triangle_is_refused() -> None:
    """With its values."""
    with pytest.raises(GeometryError, match="riser=0"):
        triangle_sphere(riser=0, tread=INCH, nosing=0, over=0)
