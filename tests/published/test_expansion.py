"""Free movement of a 96 in part over 100 degF.

Source:
    Coefficients: wood along the grain 2.1e-6 (Forest Products Laboratory), carbon steel
    11.7e-6 /K (materials textbook, table of thermal expansion, converted by 1.8), aluminium
    13e-6, rigid PVC 30e-6 (pipe handbook, from memory), wood-plastic 20e-6 (from memory) and
    28e-6 (EN 15534-4, greatest). The products are derived: length x coefficient x difference.
"""

import pytest

from schemas.lengths import INCH
from services.bays.movement import free_movement

LAST_DIGIT = 0.001
ROWS = [
    ("wood", 2.1e-6, 0.020), ("steel", 6.5e-6, 0.062), ("aluminium", 13e-6, 0.125),
    ("wood-plastic", 20e-6, 0.192), ("wood-plastic, greatest", 28e-6, 0.269),
    ("PVC", 30e-6, 0.288),
]  # fmt: skip


@pytest.mark.parametrize(("material", "coefficient", "inches"), ROWS)
def test_movement_of_eight_feet(material: str, coefficient: float, inches: float) -> None:
    """Every material comes out to the last digit."""
    free = free_movement(length=96 * INCH, per_degf=coefficient, degf=100)

    assert free / INCH == pytest.approx(inches, abs=LAST_DIGIT / 2), material


def test_celsius_coefficient_is_its_fahrenheit_one() -> None:
    """11.7e-6 a kelvin is 6.5e-6 a degree Fahrenheit: 1 K is 1.8 degF."""
    over_celsius = free_movement(length=96 * INCH, per_degf=11.7e-6, degf=100 / 1.8)

    assert over_celsius / INCH == pytest.approx(0.062, abs=LAST_DIGIT / 2)
