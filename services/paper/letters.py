"""Outside text made printable, by one function that all text goes through.

Text is taken literally: nothing in it is markup. It is put in Unicode's composed
form, control and format characters are dropped (so no text can turn the reading
order round), line ends and odd spaces become spaces, and a character that the
faces lack is printed as its number, ``[U+4E2D]``, rather than as a box or nothing.

Hebrew and Arabic are set: Arabic letters are joined here, still in the order they are
spoken in, so that a text may be wrapped; each line is turned when it is inked (`as_seen`).
Vowel points are left out, as they are in most print. Other writing that runs right to
left or reorders its letters cannot be set honestly by these faces; it is refused by name.

Source:
    Unicode Standard Annex 15 (normalization forms), Annex 9 (bidirectional algorithm);
    The Unicode Standard 9.2, Arabic presentation forms (joining).
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import Final

from arabic_reshaper.arabic_reshaper import ArabicReshaper
from bidi import get_display

from schemas.errors import UnprintableText
from services.paper.type import BOLD, REGULAR

REMEMBERED: Final = 4096
"""Texts and lines: the same few stand on a pack's sheets again and again."""

_SPACES = frozenset("\t\n\v\f\r\x1c\x1d\x1e\x1f\x85\u2028\u2029")
_KEPT_SPACES = {"\u00a0": "\u00a0", "\u2007": "\u00a0", "\u202f": "\u00a0"}
_RIGHT_TO_LEFT = frozenset({"R", "AL", "AN"})
_SHAPED = (
    range(0x0900, 0x10A0),  # Devanagari to Myanmar
    range(0x1700, 0x18B0),  # Philippine scripts, Khmer, Mongolian
    range(0x1900, 0x1CD0),  # Limbu to Ol Chiki
    range(0xA800, 0xA840),  # Syloti Nagri
    range(0xA840, 0xAC00),  # Phags-pa to Meetei Mayek
    range(0x11000, 0x12000),  # Brahmi and its kin
)
_POINTS = range(0x0591, 0x05C8)
"""Hebrew points and accents; those among them that are letters' own signs are not marks."""
_SET = (
    range(0x0590, 0x0600),  # Hebrew
    range(0x0600, 0x0700),  # Arabic
    range(0x0750, 0x0780),  # Arabic Supplement
    range(0xFB1D, 0xFE00),  # Hebrew and Arabic presentation forms
    range(0xFE70, 0xFF00),
)
"""What of the writing that runs right to left is set, as far as the faces have it."""
_JOINED = ArabicReshaper(
    configuration={"delete_harakat": True, "ARABIC LIGATURE ALLAH": False}
)  # the faces lack that one
_VARIANTS = (range(0xFE00, 0xFE10), range(0xE0100, 0xE01F0))
"""Characters that only choose the look of the one before them."""
_BOTH = REGULAR.widths.keys() & BOLD.widths.keys()


def clean(text: str) -> str:
    """Make one outside text printable.

    Args:
        text: As it was sent.

    Returns:
        The text as it will be printed, every character of which the faces have.

    Raises:
        UnprintableText: Writing that these faces cannot set.
    """
    if text.isascii() and text.isprintable():
        return text
    return _spelled(text)


@lru_cache(maxsize=REMEMBERED)
def _spelled(text: str) -> str:
    composed = unicodedata.normalize("NFC", text)
    if _runs_left(composed):
        composed = _JOINED.reshape(composed)
    return "".join(_printed(char, text) for char in composed)


@lru_cache(maxsize=REMEMBERED)
def as_seen(line: str) -> str:
    """A printable line in the order of its letters on paper, left to right.

    The sheet runs left to right; names that run the other way are turned inside it.
    """
    return str(get_display(line, base_dir="L")) if _runs_left(line) else line


def _runs_left(text: str) -> bool:
    """Whether any of it is written from right to left."""
    return any(unicodedata.bidirectional(char) in _RIGHT_TO_LEFT for char in text)


def _printed(char: str, text: str) -> str:
    if " " <= char <= "~":
        return char
    if char in _SPACES:
        return " "
    category = unicodedata.category(char)
    if category in {"Cc", "Cf"} or any(ord(char) in r for r in _VARIANTS):
        return ""
    if category == "Zs":
        return _KEPT_SPACES.get(char, " ")
    code = ord(char)
    if category == "Mn" and code in _POINTS:
        return ""
    left = unicodedata.bidirectional(char) in _RIGHT_TO_LEFT
    able = char in _BOTH and any(code in r for r in _SET)
    if (left and not able) or any(code in r for r in _SHAPED):
        name = unicodedata.name(char, "unnamed")
        msg = (
            f"U+{code:04X} ({name}) in {text[:40]!r}: this writing cannot be set; send it in "
            "Latin letters"
        )
        raise UnprintableText(msg)
    return char if char in _BOTH else f"[U+{code:04X}]"
