"""The catalogues, read once a process and language."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from io import BytesIO
from typing import Final

from babel.messages.pofile import read_po

from schemas.wording import Language

LANGUAGES: Final[tuple[Language, ...]] = ("en", "es")
"""English is the source and needs no catalogue."""

Forms = tuple[str, ...]
"""A message in a language: one form, or the form for one and the form for many."""


@cache
def forms_of(language: Language) -> Mapping[str, Forms]:
    """Every message of a language's catalogue that is translated and not in doubt.

    Args:
        language: One of `LANGUAGES`.
    """
    if language == "en":
        return {}
    raw = (files(__package__) / "catalogues" / f"{language}.po").read_bytes()
    return {
        _key(message.id): _forms(message.string)
        for message in read_po(BytesIO(raw), locale=language)
        if message.id and not message.fuzzy and all(_forms(message.string))
    }


def _key(name: str | tuple[str, ...] | list[str]) -> str:
    return name if isinstance(name, str) else name[0]


def _forms(said: object) -> Forms:
    return (said,) if isinstance(said, str) else tuple(said)  # type: ignore[arg-type]
