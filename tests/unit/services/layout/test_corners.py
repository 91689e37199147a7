"""Corner posts: mitres and the brackets that take them."""

import pytest

from schemas.lengths import INCH
from schemas.rail_system import RoutedRail
from schemas.site import Corner
from services.layout.corners import fit_corner
from tests import builders

SLEEVE = 9 * INCH // 2
"""4 1/2 in."""


def _rail(**changes: object) -> RoutedRail:
    """The demo's level rail: line brackets to 5 degrees, angle brackets from 5 to 50."""
    return builders.system("cove").level.model_copy(update=changes)


def test_square_corner_takes_two_plain_brackets() -> None:
    """At 90 degrees a square-set post gives 0 to both rails."""
    fit = fit_corner(Corner(turn_deg=90), rail=_rail(), sleeve=SLEEVE)

    assert (fit.mitre_before, fit.mitre_after) == (0, 0)
    assert (fit.bracket_before, fit.bracket_after) == ("line", "line")
    assert fit.turned_deg == 0


def test_post_halves_any_other_angle() -> None:
    """At 45 degrees each rail gets 22.5 and an angle bracket; the post turns with its hand."""
    outside = fit_corner(Corner(turn_deg=45), rail=_rail(), sleeve=SLEEVE)
    inside = fit_corner(Corner(turn_deg=45, hand="inside"), rail=_rail(), sleeve=SLEEVE)

    assert (outside.mitre_before, outside.mitre_after) == (22.5, 22.5)
    assert (outside.bracket_before, outside.bracket_after) == ("angle", "angle")
    assert (outside.turned_deg, inside.turned_deg) == (-22.5, 22.5)


def test_square_post_at_an_odd_angle_gives_it_all_to_the_next_leg() -> None:
    """One plain and one 30 degree joint."""
    fit = fit_corner(Corner(turn_deg=30, post="square"), rail=_rail(), sleeve=SLEEVE)

    assert (fit.mitre_before, fit.mitre_after) == (0, 30)
    assert (fit.bracket_before, fit.bracket_after) == ("line", "angle")


@pytest.mark.parametrize(
    ("turn", "bracket"), [(10, "line"), (10.2, "angle"), (60, "angle"), (60.2, None)]
)
def test_bracket_changes_just_past_its_range(turn: float, bracket: str | None) -> None:
    """A mitre of 5 is the line bracket's last, one of 30 this angle bracket's."""
    level = _rail()
    assert level.angle_bracket is not None
    to_30 = level.angle_bracket.model_copy(update={"greatest_deg": 30})

    fit = fit_corner(
        Corner(turn_deg=turn, post="turned"), rail=_rail(angle_bracket=to_30), sleeve=SLEEVE
    )

    assert fit.bracket_before == bracket


def test_no_angle_bracket_no_odd_corner() -> None:
    """A system without an angle bracket has none to offer."""
    fit = fit_corner(Corner(turn_deg=45), rail=_rail(angle_bracket=None), sleeve=SLEEVE)

    assert (fit.bracket_before, fit.bracket_after) == (None, None)


@pytest.mark.parametrize(
    ("turn", "post", "fits"),
    [
        (75.7, "turned", True),
        (75.8, "turned", False),
        (90, "turned", False),
        (37.8, "square", True),
        (37.9, "square", False),
        (52.1, "square", False),
        (52.2, "square", True),
        (127.8, "square", True),
        (127.9, "square", False),
    ],
)
def test_rail_meets_a_face_and_not_the_sleeves_edge(turn: float, post: str, fits: bool) -> None:  # noqa: FBT001
    """On a 4 1/2 in sleeve half an inch inside the edge: tan(mitre) = 7/9, 37.9 degrees."""
    corner = Corner.model_validate({"turn_deg": turn, "post": post})

    fit = fit_corner(corner, rail=_rail(), sleeve=SLEEVE)

    assert (fit.bracket_after is not None) == fits
