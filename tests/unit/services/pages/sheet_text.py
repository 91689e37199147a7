"""All that a sheet says, as one text."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.pages import Figure, Sheet


def words(sheet: Sheet) -> str:
    """Every text of a sheet, in order."""
    return "\n".join((sheet.title, sheet.place, *_texts(sheet)))


def _texts(sheet: Sheet) -> Iterator[str]:
    for block in sheet.blocks:
        if isinstance(block, Figure):
            yield block.drawing.title
            yield from (label.text for label in block.drawing.labels)
        else:
            yield from _strings(block.model_dump(exclude={"kind"}))


def _strings(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for part in value.values():
            yield from _strings(part)
    elif isinstance(value, list | tuple):
        for part in value:
            yield from _strings(part)
