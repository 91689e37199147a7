"""Outside text made printable.

Source:
    Unicode Standard Annex 15: NFC; Annex 9: directional classes and override characters.
"""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from schemas.errors import UnprintableText
from services.paper.letters import as_seen, clean
from services.paper.type import BOLD, REGULAR


@pytest.mark.parametrize(
    ("sent", "printed"),
    [
        ("plain <b>text</b> & more;", "plain <b>text</b> & more;"),
        ("e\u0301tage", "étage"),
        ("a\tb\nc\r\nd\u2028e", "a b c  d e"),
        ("bell\x07 null\x00", "bell null"),
        ("soft\u00adhyphen zero\u200bwidth", "softhyphen zerowidth"),
        ("turned \u202erevo\u202c", "turned revo"),
        ("thin\u2009space wide\u3000space", "thin space wide space"),
        ("keep\u00a0together\u202fhere", "keep\u00a0together\u00a0here"),
        ("王小", "[U+738B][U+5C0F]"),
        ("\U0001f6e0\ufe0f tool", "[U+1F6E0] tool"),
        ("half \ud83d", "half [U+D83D]"),
        ("שָׁלוֹם", "שלום"),
        ("محمد", "ﻣﺤﻤﺪ"),
        ("لا", "ﻻ"),
        ("Łódź, Ñandú, Đặng, Ωμέγα, Жук", "Łódź, Ñandú, Đặng, Ωμέγα, Жук"),
    ],
)
def test_text_is_printed_so(sent: str, printed: str) -> None:
    """Each kind of odd character has its rule."""
    assert clean(sent) == printed


@pytest.mark.parametrize("text", ["ܫܠܡ", "ދިވެހި", "ߒߞߏ", "नमस्ते", "ကို", "ខ្មែរ"])
def test_writing_we_cannot_set_is_refused_by_name(text: str) -> None:
    """Scripts that the faces lack or that reorder: the message names the character."""
    with pytest.raises(UnprintableText, match=r"U\+[0-9A-F]{4} \([A-Z]"):
        clean(f"gate code {text}")


@given(st.text())
def test_whatever_comes_out_can_be_set(text: str) -> None:
    """Any text is either refused or made of characters both faces have."""
    try:
        printed = clean(text)
    except UnprintableText:
        return

    assert set(printed) <= REGULAR.widths.keys() & BOLD.widths.keys()
    assert not {unicodedata.category(char) for char in printed} & {"Cc", "Cf", "Cs", "Zl", "Zp"}
    assert clean(printed) == printed


@pytest.mark.parametrize(
    ("sent", "seen"),
    [
        ("דוד כהן", "ןהכ דוד"),
        ("Ben (דוד) 12", "Ben (דוד) 12".replace("דוד", "דוד"[::-1])),
        ("12 דוד כהן St", "12 ןהכ דוד St"),
        ("plain", "plain"),
    ],
)
def test_line_is_turned_as_it_is_read(sent: str, seen: str) -> None:
    """Names that run right to left stand so, inside a sheet that runs left to right."""
    assert as_seen(clean(sent)) == seen
