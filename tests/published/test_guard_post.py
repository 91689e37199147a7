"""A 4x4 guard post under 200 lb at its top: bending and hold-down, by hand.

Source:
    Section properties of 3 1/2 in square lumber: American Softwood Lumber Standard PS 20.
    Load: International Residential Code 2021, Table R301.5, 200 lb.
    Southern Pine No. 2, 4 in wide: Fb 1,100 psi (values of 2013 and later, second hand).
    Hem-Fir No. 2: Fb 850 psi (National Design Specification Supplement, as printed in a
    university problem set), size factor 1.5, incised.
    Factors: National Design Specification for Wood Construction: CM 0.85 unless
    Fb CF <= 1,150 psi, Ci 0.80, CD 1.0 and 1.6 (1.6 from memory).
    Hold-down: 1,800 lb of the AWC DCA 6 deck guide (second hand), for guards up to 36 in;
    T = P (H + s) / s is moments about the lower bolt.

All ratios are hand calculations from those published values, printed to 0.001.
"""

import pytest

from schemas.lengths import INCH
from services.compliance.bending import (
    allowable_bending,
    bending_stress,
    hold_down_tension,
    section_modulus,
)
from services.compliance.post_screening import screen_posts
from services.compliance.wood import load_wood, species_of
from tests.bays_by_hand import inch
from tests.planned import plan

LOAD = 200
NET = 9 / 16
CASES = [  # lever, hole, fb, then fb / Fb' for SP 1.0, SP 1.6, HF incised 1.0, HF incised 1.6
    ("A", 36, 0, 1007.6, (0.916, 0.572, 1.162, 0.726)),
    ("B", 39, 0, 1091.5, (0.992, 0.620, 1.259, 0.787)),
    ("C", 42, 0, 1175.5, (1.069, 0.668, 1.356, 0.847)),
    ("D", 45, 0, 1259.5, (1.145, 0.716, 1.453, 0.908)),
    ("B-net", 39, NET, 1300.6, (1.182, 0.739, 1.500, 0.938)),
    ("D-net", 45, NET, 1500.7, (1.364, 0.853, 1.731, 1.082)),
]
ALLOWABLE = [  # as a job says it, load duration, Fb'
    ("southern pine", 1.0, 1100.0),
    ("southern pine", 1.6, 1760.0),
    ("hem-fir", 1.0, 867.0),
    ("hem-fir", 1.6, 1387.2),
]
TENSION = [  # load to top bolt, bolts apart, T
    (39, 4.0, 2150),
    (39, 4.875, 1800),
    (39, 5.0, 1760),
    (45, 5.0, 2000),
    (45, 5.625, 1800),
]


def allowable(said: str, duration: float) -> float:
    """Fb' of a species at a load duration."""
    species = species_of(said)
    assert species is not None
    return allowable_bending(species, load_wood(), duration=duration)


@pytest.mark.parametrize(
    ("hole", "printed", "last_digit"), [(0, 7.146, 0.001), (0, 7.15, 0.01), (NET, 5.997, 0.001)]
)
def test_section_modulus_of_a_4x4(*, hole: float, printed: float, last_digit: float) -> None:
    """3.5 cubed over 6; and with one 9/16 in bolt hole taken off."""
    modulus = section_modulus(width=3.5, depth=3.5, hole=hole)

    assert modulus == pytest.approx(printed, abs=last_digit / 2)


def test_section_modulus_of_a_6x6() -> None:
    """5 1/2 in square: 27.73 in3."""
    assert section_modulus(width=5.5, depth=5.5) == pytest.approx(27.73, abs=0.005)


@pytest.mark.parametrize(("said", "duration", "printed"), ALLOWABLE)
def test_allowable_bending(*, said: str, duration: float, printed: float) -> None:
    """The wet factor falls on Hem-Fir and not on Southern Pine; only Hem-Fir is incised."""
    assert allowable(said, duration) == pytest.approx(printed, abs=0.05)


@pytest.mark.parametrize(("duration", "printed"), [(1.0, 1083.75), (1.6, 1734.0)])
def test_wood_that_is_not_incised_keeps_its_value(*, duration: float, printed: float) -> None:
    """Hem-Fir without cuts: 850 x 1.5 x 0.85."""
    hem_fir = species_of("hem-fir")
    assert hem_fir is not None

    whole = hem_fir.model_copy(update={"incised": False})

    found = allowable_bending(whole, load_wood(), duration=duration)
    assert found == pytest.approx(printed, abs=0.005)


@pytest.mark.parametrize(("bending", "wet"), [(1150.0, 1150.0), (1151.0, 1151.0 * 0.85)])
def test_the_wet_factor_begins_over_1150(*, bending: float, wet: float) -> None:
    """CM on Fb is 1.0 while Fb CF is 1,150 psi or less."""
    pine = species_of("southern pine")
    assert pine is not None

    found = allowable_bending(
        pine.model_copy(update={"bending": bending}), load_wood(), duration=1.0
    )

    assert found == pytest.approx(wet)


@pytest.mark.parametrize(("lever", "apart"), [(36, 4.5), (39, 4.875), (45, 5.625)])
def test_1800_lb_is_reached_at_an_eighth_of_the_lever(*, lever: float, apart: float) -> None:
    """200 (H + s) / s = 1,800 where s = H / 8; closer bolts pull harder."""
    at = hold_down_tension(load=LOAD, lever=lever, apart=apart)
    closer = hold_down_tension(load=LOAD, lever=lever, apart=apart - 1 / 16)

    assert at == pytest.approx(1800)
    assert closer > 1800


@pytest.mark.parametrize(("case", "lever", "hole", "stress", "ratios"), CASES)
def test_bending_of_a_4x4(
    *, case: str, lever: float, hole: float, stress: float, ratios: tuple[float, ...]
) -> None:
    """Stress to 0.1 psi and all four ratios to 0.001."""
    modulus = section_modulus(width=3.5, depth=3.5, hole=hole)

    found = bending_stress(load=LOAD, lever=lever, modulus=modulus)

    shares = [found / allowable(said, duration) for said, duration, _ in ALLOWABLE]
    assert found == pytest.approx(stress, abs=0.05), case
    assert shares == pytest.approx(ratios, abs=0.0005), case


@pytest.mark.parametrize(("lever", "apart", "printed"), TENSION)
def test_hold_down_tension(*, lever: float, apart: float, printed: float) -> None:
    """Exact, and 1,800 lb where the bolts stand an eighth of the lever apart."""
    assert hold_down_tension(load=LOAD, lever=lever, apart=apart) == pytest.approx(printed)


def test_the_arithmetic_is_shown_as_it_was_done() -> None:
    """Case B and T for bolts 5 in apart, from a job whose rail is 36 in tall."""
    whole = plan("l-deck")
    posts = tuple(p.model_copy(update={"rail_top": 36 * INCH}) for p in whole.bays.posts)
    bays = whole.bays.model_copy(update={"posts": posts})

    bending, tension, *_ = screen_posts(whole.job, whole.layout, bays)

    assert bending.found == "1,092 psi"
    assert "M = 200 lb x 39.00 in = 7,800 in-lb; S = 3.500^3 / 6 = 7.15 in3" in bending.note
    assert "0.993 of it" in bending.note  # 0.9924 and 0.6202, rounded up
    assert "0.621 of it" in bending.note
    assert tension.found == "1,760 lb"
    assert "200 x (39.00 + 5.000) / 5.000 = 1,760 lb" in tension.note
    assert "4 in 2,150 lb, 6 in 1,500 lb" in tension.note


def test_demand_is_never_printed_smaller_than_it_is() -> None:
    """A rail 36 1/16 in up over bolts 5 in apart: T = 1,762.5 lb prints as 1,763."""
    whole = plan("l-deck")
    posts = tuple(p.model_copy(update={"rail_top": inch("36 1/16")}) for p in whole.bays.posts)

    _, tension, *_ = screen_posts(
        whole.job, whole.layout, whole.bays.model_copy(update={"posts": posts})
    )

    assert tension.found == "1,763 lb"
    assert "/ 5.000 = 1,763 lb" in tension.note
