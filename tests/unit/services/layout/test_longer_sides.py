"""On which side a mitred end is longer, against the corner laid out in plan.

Source:
    Plane geometry: shapely cuts each rail's two edges with the post's square.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from schemas.lengths import INCH
from schemas.site import Corner
from services.layout.corners import CornerFit, fit_corner
from tests import builders

shapely: Any = import_module("shapely")  # its calls carry no types
affinity: Any = import_module("shapely.affinity")

SLEEVE = 9 * INCH // 2
FAR = 40.0
"""In sleeves."""


def fit(corner: Corner) -> CornerFit:
    """Stood as the demo's system stands it."""
    return fit_corner(corner, rail=builders.system("cove").level, sleeve=SLEEVE)


def longer(*, along_deg: float, post_deg: float, away: int) -> str:
    """The edge of which more is left outside the post: on the deck's side or on the yard's.

    Args:
        along_deg: The leg's direction, the deck at its left hand.
        post_deg: The post's.
        away: 1 for a rail that starts at the post, -1 for one that ends there.
    """
    post = affinity.rotate(shapely.box(-0.5, -0.5, 0.5, 0.5), post_deg, origin=(0, 0))
    left = {}
    for side, aside in (("deck", 0.1), ("yard", -0.1)):
        edge = shapely.LineString([(0, aside), (away * FAR, aside)])
        left[side] = affinity.rotate(edge, along_deg, origin=(0, 0)).difference(post).length
    return max(left, key=lambda side: left[side])


@given(
    turn=st.floats(0.5, 89),
    hand=st.sampled_from(["outside", "inside"]),
    post=st.sampled_from(["square", "turned"]),
)
def test_longer_side_is_the_one_that_reaches_further_to_the_post(
    turn: float, hand: str, post: str
) -> None:
    """Outside and inside corners, posts square and turned, at any turn to a right angle."""
    assume(abs(turn - 45) > 1)
    corner = Corner.model_validate({"turn_deg": turn, "hand": hand, "post": post})
    way = turn if hand == "outside" else -turn
    stands = way / 2 if post == "turned" else 0

    fitted = fit(corner)

    assert fitted.long_after == longer(along_deg=way, post_deg=stands, away=1)
    if post == "turned":
        assert fitted.long_before == longer(along_deg=0, post_deg=stands, away=-1)
    else:
        assert fitted.long_before is None


@pytest.mark.parametrize(("hand", "side"), [("outside", "yard"), ("inside", "deck")])
def test_rails_round_a_halved_corner_are_longer_on_its_outside(hand: str, side: str) -> None:
    """As round a picture frame, whose outer edges are the long ones."""
    fitted = fit(Corner.model_validate({"turn_deg": 45, "hand": hand}))

    assert (fitted.long_before, fitted.long_after) == (side, side)


@pytest.mark.parametrize(("turn", "side"), [(44, "yard"), (46, "deck")])
def test_past_half_a_right_angle_a_square_post_shows_its_next_face(turn: int, side: str) -> None:
    """And the hand of the cut changes with the face."""
    assert fit(Corner(turn_deg=turn, post="square")).long_after == side


def test_square_corner_has_no_long_point() -> None:
    """Nothing is mitred, so nothing is longer."""
    fitted = fit(Corner(turn_deg=90))

    assert (fitted.long_before, fitted.long_after) == (None, None)
