"""The faces in the package are the ones we mean, with their licence beside them.

Source:
    DejaVu fonts 2.37, Debian package fonts-dejavu: digests of its two files.
"""

import hashlib

import pytest

from services.paper.type import BOLD, FONTS, REGULAR, Face

DIGESTS = {
    "DejaVuSansCondensed.ttf": "2d8aa290adcf1ebcbb35f63e57cf32941b012eaab4b65096b904112cf3bac972",
    "DejaVuSansCondensed-Bold.ttf": (
        "6d2f2481e2aae944e8411cc5be515c69503ff7f5db52f2c67bcbe5d4de6bec13"
    ),
}


def test_font_files_are_unchanged() -> None:
    """Exactly these files, byte for byte."""
    found = {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in FONTS.glob("*.ttf")
    }

    assert found == DIGESTS


def test_licence_travels_with_the_fonts() -> None:
    """The notice that must be included in all copies lies beside them."""
    licence = (FONTS / "LICENCE.txt").read_text(encoding="utf-8")

    assert "Copyright (c) 2003 by Bitstream" in licence
    assert "shall\nbe included in all copies" in licence


@pytest.mark.parametrize("face", [REGULAR, BOLD], ids=["regular", "bold"])
def test_figures_are_all_of_one_width(face: Face) -> None:
    """Figures stand under each other in a column."""
    assert len({face.widths[figure] for figure in "0123456789"}) == 1


@pytest.mark.parametrize("face", [REGULAR, BOLD], ids=["regular", "bold"])
def test_signs_of_the_trade_are_there(face: Face) -> None:
    """Degree, diameter, plus-minus, feet and inches, and the cut mark."""
    assert set("°⌀±×≤≥…'\"′″½¼¾⅛⅜⅝⅞ñáéíóúü¿¡") <= face.widths.keys()
