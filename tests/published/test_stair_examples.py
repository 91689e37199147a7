"""Slopes and heights of the stairs worked in the carpentry courses.

Source:
    US Army Carpentry EN5156: rise 7 ft 10 in, 13 risers of 7 1/4 by 10 1/2, run 126 in.
    US Navy Builder course 14044: rise 8 ft 11 in, 15 risers.
    H. Miller, The Carpenters' Guide: rise 9 ft 4 in, 16 risers of 7 in, run 10 in each.
    Metric stair lesson of the British Columbia trades: 2100 mm, 12 risers of 175 mm.
    General how-to pages on stairs: 45 in is 6 risers of 7 1/2 in and 5 treads; 70 in is 10
    risers of 7 in and 9 treads of 10 in, 90 in.
    US Army Carpentry EN5156, rules of comfort: twice the riser and the tread 25 in, both
    together 17 to 19 in, one times the other about 75.
    Approved Document K: twice the rise and the going 550 to 700 mm.
"""

from dataclasses import replace
from math import radians, tan

import pytest

from schemas.lengths import INCH, PER_MM
from services import tape
from services.bays.flight import flight
from services.bays.handrail import handrail_length
from services.bays.stair_line import at_lower, stair_section
from services.compliance import load_profiles
from services.compliance.measure_stair import of_steps
from services.geometry.slope import Slope
from services.intake import check_measure
from tests.bays_by_hand import FLIGHT, STAIR_RULE, inch
from tests.builders import document, job, system

SIXTEENTH = INCH // 16
ALONG_DIGIT, DEGREE_DIGIT = 0.01, 0.01
_RAIL = system().stair
assert _RAIL is not None
RAIL = _RAIL
"""A stair rail whose depths a test may change."""


def test_army_stair_overshoots_by_its_rounding() -> None:
    """ST-1: 94 in over 13 is 7.23 in, cut at 7 1/4: thirteen of them stand 1/4 in too high."""
    total = inch("94")

    riser = tape.up(total / 13, inch("1/4"))
    run = 12 * inch("10 1/2")

    assert tape.text(riser, SIXTEENTH) == "7 1/4"
    assert run == inch("126")
    assert 13 * riser - total == inch("1/4")


def test_army_stair_is_laid_out_to_its_run() -> None:
    """ST-1: from the deck edge to the lowest of its twelve treads the flight runs 126 in."""
    stair = FLIGHT.model_copy(
        update={"risers": 13, "riser": inch("7 1/4"), "tread": inch("10 1/2")}
    )

    laid = flight(stair=stair, clear=inch("120"), sleeve=inch("4 1/2"))

    assert laid.lower_face - stair.lower_post.from_last_nose == inch("126")
    assert laid.drops[-1] == inch("94 1/4")


def test_navy_stair_falls_short_by_its_rounding() -> None:
    """ST-2: 107 in over 15 is 7 1/8 to the sixteenth: fifteen of them are 1/8 in short."""
    total = inch("107")

    riser = tape.nearest(total / 15, SIXTEENTH)

    assert tape.text(riser, SIXTEENTH) == "7 1/8"
    assert total - 15 * riser == inch("1/8")


def test_carpenters_guide_stair_divides_evenly() -> None:
    """ST-3: 112 in is 16 risers of 7 in; 15 treads of 10 in run 150 in."""
    stair = FLIGHT.model_copy(update={"risers": 16, "riser": inch("7"), "tread": inch("10")})

    laid = flight(stair=stair, clear=inch("150"), sleeve=inch("4 1/2"))

    assert laid.drops[-1] == inch("112")
    assert laid.lower_face - stair.lower_post.from_last_nose == inch("150")


def test_carpenters_guide_stair_has_the_line_of_its_sizes() -> None:
    """ST-3: 15 treads of 7 by 10 lie 183.10 in along the slope at 34.99 degrees (derived)."""
    slope = Slope(rise=inch("7"), run=inch("10"))

    along = handrail_length(slope=slope, run=15 * slope.run, step=1)

    assert along / INCH == pytest.approx(183.10, abs=ALONG_DIGIT / 2)
    assert slope.degrees == pytest.approx(34.99, abs=DEGREE_DIGIT / 2)


def test_metric_stair_divides_evenly() -> None:
    """ST-5: 2100 mm is 12 risers of 175 mm, to the last inside unit."""
    stair = FLIGHT.model_copy(update={"risers": 12, "riser": 175 * PER_MM, "tread": 250 * PER_MM})

    laid = flight(stair=stair, clear=2000 * PER_MM, sleeve=100 * PER_MM)

    assert laid.drops[-1] == 2100 * PER_MM


def test_how_to_stair_divides_evenly() -> None:
    """ST-6: 45 in is 6 risers of 7 1/2 in; five treads of 10 in slope 36.87 degrees (derived)."""
    stair = FLIGHT.model_copy(update={"risers": 6, "riser": inch("7 1/2"), "tread": inch("10")})

    laid = flight(stair=stair, clear=inch("50"), sleeve=inch("4 1/2"))

    assert laid.drops[-1] == inch("45")
    assert laid.lower_face - stair.lower_post.from_last_nose == 5 * inch("10")
    assert laid.slope.degrees == pytest.approx(36.87, abs=DEGREE_DIGIT / 2)


def test_how_to_stair_of_ten_risers() -> None:
    """ST-7: 70 in is 10 risers of 7 in; 9 treads of 10 in run 90 in; line 109.86 in (derived)."""
    stair = FLIGHT.model_copy(update={"risers": 10, "riser": inch("7"), "tread": inch("10")})
    slope = Slope(rise=inch("7"), run=inch("10"))

    laid = flight(stair=stair, clear=inch("90"), sleeve=inch("4 1/2"))

    assert laid.drops[-1] == inch("70")
    assert laid.lower_face - stair.lower_post.from_last_nose == inch("90")
    along = handrail_length(slope=slope, run=9 * slope.run, step=1)
    assert along / INCH == pytest.approx(109.86, abs=ALONG_DIGIT / 2)


def asked(*, risers: int, riser: str, tread: str, total: str) -> list[str]:
    """What the office is asked of a flight measured so, its total rise in one."""
    tree = document("l-deck")
    tree["stairs"][0] |= {
        "risers": risers,
        "riser": riser,
        "tread": tread,
        "total_rise": total,
        "total_run": None,
        "slope_deg": None,
        "each_riser": [],
    }
    return [question.key for question in check_measure(job(tree))]


@pytest.mark.parametrize(
    ("risers", "riser", "tread", "total"),
    [(13, "7 1/4", "10 1/2", "94"), (15, "7 1/8", "10", "107"), (16, "7", "10", "112")],
)
def test_a_book_s_rounded_risers_agree_with_its_total(
    *, risers: int, riser: str, tread: str, total: str
) -> None:
    """ST-1 to ST-3: rounding alone makes 1/4, 1/8 and nothing; no measure is called wrong."""
    assert "rise.S1" not in asked(risers=risers, riser=riser, tread=tread, total=total)


def test_thirteen_risers_rounded_together_are_too_far_off() -> None:
    """A thirty-second lost at each of 13 risers is 13/32 in, over 3/8: the total is asked about.

    Derived: n risers rounded to 1/16 in may be n/32 in off together.
    """
    rounded_down = 13 * inch("7 3/16")

    total = rounded_down + 13 * INCH // 32

    assert tape.text(13 * INCH // 32, SIXTEENTH // 2) == "13/32"
    keys = asked(risers=13, riser="7 3/16", tread="10 1/2", total=tape.text(total, SIXTEENTH // 2))
    assert "rise.S1" in keys


@pytest.mark.parametrize(
    ("riser", "tread", "twice", "both", "product"),
    [("7 1/4", "10 1/2", 25.0, 17.75, 76.125), ("7 1/2", "10", 25.0, 17.5, 75.0)],
)
def test_army_stairs_are_comfortable_by_the_army_s_rule(
    *, riser: str, tread: str, twice: float, both: float, product: float
) -> None:
    """Its own example has 25 in, within 17 to 19 in and near 75; so has 7 1/2 by 10."""
    stair = FLIGHT.model_copy(update={"riser": inch(riser), "tread": inch(tread)})

    measured = next(
        one for one in of_steps(stair, step=SIXTEENTH) if one.measures.startswith("stair.twice")
    )

    assert measured.low == twice * INCH
    assert 17 <= both <= 19
    assert (stair.riser + stair.tread) / INCH == both
    assert stair.riser * stair.tread / INCH**2 == pytest.approx(product)
    assert product == pytest.approx(75, rel=0.02)


@pytest.mark.parametrize(
    ("riser", "tread", "verdict"),
    [(150, 250, True), (150, 249, False), (220, 260, True), (220, 261, False)],
)
def test_comfort_in_england_takes_in_both_ends(*, riser: int, tread: int, verdict: bool) -> None:
    """550 and 700 mm stand; a millimetre beyond does not."""
    rule = next(r for r in load_profiles()["uk-adk"].rules if r.id == "stair-twice-riser")

    assert rule.stands((2 * riser + tread) * PER_MM) is verdict


SLOPES = [  # riser, tread, line per tread, degrees, line per foot of run, line over level
    ("7", "11", 13.038, 32.47, 14.224, 1.1853),
    ("7", "10", 12.207, 34.99, 14.648, 1.2207),
    ("7 1/4", "10 1/2", 12.760, 34.62, 14.583, 1.2152),
    ("7 1/2", "10", 12.500, 36.87, 15.000, 1.2500),
    ("7 3/4", "10", 12.652, 37.78, 15.182, 1.2652),
]
"""Derived: sqrt(riser**2 + tread**2), the rule of the framing square, with mpmath's digits."""


@pytest.mark.parametrize(("riser", "tread", "line", "deg", "per_foot", "ratio"), SLOPES)
def test_common_stairs_have_their_line(
    riser: str, tread: str, line: float, deg: float, per_foot: float, ratio: float
) -> None:
    """Line per tread and per foot, angle and slope factor of the commonest stairs."""
    slope = Slope(rise=inch(riser), run=inch(tread))

    lost = 1 / INCH  # by rounding down to the inside unit

    assert slope.floor_along(inch(tread)) / INCH == pytest.approx(line, abs=0.0005 + lost)
    assert slope.floor_along(12 * INCH) / INCH == pytest.approx(per_foot, abs=0.0005 + lost)
    assert slope.degrees == pytest.approx(deg, abs=0.005)
    assert 1 / slope.cos == pytest.approx(ratio, abs=0.00005)


ANGLES = [  # riser, tread, degrees to the tenth, derived
    ("7", "11", 32.5), ("7 1/2", "11", 34.3), ("7 1/4", "10 1/2", 34.6), ("7 1/2", "10", 36.9),
    ("7 3/4", "10 1/4", 37.1), ("7 3/4", "10", 37.8), ("8", "9", 41.6), ("6 1/2", "12", 28.4),
    ("6", "12", 26.6),
]  # fmt: skip


@pytest.mark.parametrize(("riser", "tread", "deg"), ANGLES)
def test_stairs_from_gentle_to_steep_have_their_angle(riser: str, tread: str, deg: float) -> None:
    """Garden stair, the commonest ones, the steepest the house code takes, an old one."""
    assert Slope(rise=inch(riser), run=inch(tread)).degrees == pytest.approx(deg, abs=0.05)


@pytest.mark.parametrize(("deg", "plumb"), [(34, 4.22), (38, 4.44)])
def test_a_rail_of_3_1_2_in_stands_taller_on_the_post(deg: float, plumb: float) -> None:
    """Derived: 3.5 / cos of the slope, what brackets and reveal are reckoned with."""
    slope = Slope(rise=round(tan(radians(deg)) * 10**9), run=10**9)

    section = stair_section(
        rail=RAIL.model_copy(update={"bottom_depth": inch("3 1/2")}),
        section=RAIL.heights[0],
        slope=slope,
    )

    assert section.bottom / INCH == pytest.approx(plumb, abs=0.005)


LEVEL_GAPS = [  # slots along the rail, slope, level gap between 1 1/2 in balusters, derived
    ("6", 30, 3.70), ("6", 34, 3.47), ("6", 38, 3.23), ("6", 28, 3.80),
    ("6 1/4", 34, 3.68), ("6 1/4", 26, 4.12),
]  # fmt: skip


@pytest.mark.parametrize(("slots", "deg", "gap"), LEVEL_GAPS)
def test_the_sphere_sees_a_wider_gap_on_a_gentler_stair(slots: str, deg: int, gap: float) -> None:
    """A kit that is right at 34 degrees lets a 4 in sphere through at 26."""
    slope = Slope(rise=round(tan(radians(deg)) * 10**9), run=10**9)
    rule = replace(STAIR_RULE, slope=slope, pitch=inch(slots), width=inch("1 1/2"))

    assert rule.level_gap() / INCH == pytest.approx(gap, abs=0.005 + 1 / INCH)


def test_the_rail_meets_a_lower_post_higher_than_over_the_nosing() -> None:
    """Derived: 36 in over the nosings, riser 7 1/2, post 2 in beyond the lowest: 42 in up."""
    stair = FLIGHT.model_copy(
        update={
            "risers": 6,
            "riser": inch("7 1/2"),
            "tread": inch("10"),
            "lower_post": FLIGHT.lower_post.model_copy(update={"from_last_nose": inch("2")}),
        }
    )

    laid = flight(stair=stair, clear=inch("52"), sleeve=inch("4 1/2"))

    assert at_lower(flight=laid, over_nosing=inch("36"), step=SIXTEENTH) == inch("42")
