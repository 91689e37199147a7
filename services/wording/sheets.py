"""Sheets in the crew's words: the one place where a finished text is turned."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from pydantic import BaseModel

from schemas.drawings import Drawing
from schemas.pages import Sheet
from schemas.wording import Said
from services.wording.words import Words, words_for

_Thing = TypeVar("_Thing")


def tell_sheets(sheets: Iterable[Sheet], words: Words) -> tuple[Sheet, ...]:
    """Sheets with every said text in the words of a language.

    Args:
        sheets: As the pages made them.
        words: Of the crew's language.
    """
    return tuple(
        tell(sheet, words)
        if sheet.language in {None, words.language}
        else tell(sheet, words_for(sheet.language or words.language))
        for sheet in sheets
    )


def tell(thing: _Thing, words: Words) -> _Thing:
    """A record, a row of them or a text, with every said text told.

    Args:
        thing: What stands on a sheet.
        words: Of the crew's language.
    """
    if words.language == "en":
        return thing
    if isinstance(thing, Said):
        return words.of(thing)  # type: ignore[return-value]  # a text for a text
    if isinstance(thing, Drawing):
        return thing  # lettered in the crew's words already: its labels were measured
    if isinstance(thing, tuple):
        told = tuple(tell(one, words) for one in thing)
        return told if any(a is not b for a, b in zip(told, thing, strict=True)) else thing  # type: ignore[return-value]
    if isinstance(thing, BaseModel):
        changed = {
            name: new
            for name, old in thing.__dict__.items()
            if (new := tell(old, words)) is not old
        }
        return thing.model_copy(update=changed) if changed else thing
    return thing
