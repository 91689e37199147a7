"""A text that remembers what it was made of, so that it can be said again in another language.

In: a message in English and its values. Out: a `Said`, which is its English text everywhere
(the office reads it so), and which a crew's catalogue turns into the crew's own words when
its sheets are made. A text that somebody gave (a name, a promise, a tape mark) is a plain
`str` and is printed as given in every language.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Annotated, Any, Final, Literal, Self

from pydantic import (
    InstanceOf,
    PlainSerializer,
    SerializationInfo,
    WithJsonSchema,
    WrapValidator,
)

from schemas.record import Line

Language = Literal["en", "es"]
"""Of a crew's sheets; English is the source."""

Value = str | int | float
"""What stands in a message: a text said or given, or a figure."""

WHOLE: Final = {"texts": "whole"}
"""Context for writing a document that is read back: texts keep their message and values."""


class Said(str):
    """English text, with the message and the values that it was made of."""

    __slots__ = ("many", "message", "values")

    message: str
    """With its values in braces, e.g. ``Drill at {mark} from the left end``."""
    many: str | None
    """The message for any ``count`` but one; none where nothing is counted."""
    values: Mapping[str, Value]
    """By name; a value may be a `Said` of its own."""

    def __new__(cls, message: str, values: Mapping[str, Value], many: str | None = None) -> Self:
        """Put the values in.

        Raises:
            KeyError: A value that the message names is missing.
        """
        form = message if many is None or values["count"] == 1 else many
        text = super().__new__(cls, form.format_map(values))
        text.message, text.many, text.values = message, many, values
        return text

    def __getnewargs__(self) -> tuple[str, Mapping[str, Value], str | None]:  # type: ignore[override]
        return self.message, self.values, self.many

    def told(self, form: Callable[[str, str | None, Value], str]) -> str:
        """The text with another language's messages.

        Args:
            form: Message, message for many, count, to the form of the language.
        """
        values = {
            name: value.told(form) if isinstance(value, Said) else value
            for name, value in self.values.items()
        }
        return form(self.message, self.many, self.values.get("count", 1)).format_map(values)


def say(message: str, /, **values: Value) -> Said:
    """A text of our own: the message is English, complete, and stands in the catalogues.

    Args:
        message: Literal, with values in braces by name.
        values: Texts said or given, and figures as they are to be read.
    """
    return Said(message, values)


def counted(one: str, many: str, /, *, count: int, **values: Value) -> Said:
    """A text whose form hangs on a count, e.g. ``{count} bay`` and ``{count} bays``.

    Args:
        one: Message for one.
        many: Message for any other count.
        count: How many; stands in the message as ``{count}``.
        values: As for `say`.
    """
    return Said(one, {"count": count, **values}, many)


def shipped(text: str) -> Said:
    """A text from a data file: the catalogue's where it has it, else printed as it stands."""
    if isinstance(text, Said):
        return text
    return Said(text.replace("{", "{{").replace("}", "}}"), {})


def row(texts: Iterable[str], by: str = ", ") -> str:
    """Texts in a row that stay sayable in another language.

    Args:
        texts: Said or given.
        by: What stands between them; no words.
    """
    every = tuple(texts)
    if not any(isinstance(text, Said) for text in every):
        return by.join(every)
    values = {f"t{number}": text for number, text in enumerate(every)}
    return Said(by.join(f"{{{name}}}" for name in values), values)


def joined(texts: Iterable[str]) -> str:
    """Texts as they are read aloud, e.g. ``A1, B1 and C1``.

    Args:
        texts: Said or given.
    """
    *most, last = texts
    return say("{most} and {last}", most=row(most), last=last) if most else last


def either(texts: Iterable[str]) -> str:
    """Texts to choose from, e.g. ``A1, B1 or C1``.

    Args:
        texts: Said or given.
    """
    *most, last = texts
    return say("{most} or {last}", most=row(most), last=last) if most else last


def _taken(value: Any, check: Callable[[Any], str]) -> str:  # noqa: ANN401  # any JSON may come
    if isinstance(value, Said):
        check(str(value))
        return value
    if isinstance(value, dict) and value.keys() == {"message", "many", "values"}:
        return _read(value)
    return check(value)


def _read(kept: Mapping[str, Any]) -> Said:
    values = {
        name: _read(value) if isinstance(value, dict) else value
        for name, value in kept["values"].items()
    }
    return Said(kept["message"], values, kept["many"])


def in_english(tree: Any) -> Any:  # noqa: ANN401  # any JSON document
    """A document that was written whole, with each text as it is read in English.

    Args:
        tree: As JSON is read.
    """
    if isinstance(tree, dict):
        if tree.keys() == {"message", "many", "values"}:
            return str(_read(tree))
        return {name: in_english(value) for name, value in tree.items()}
    return [in_english(value) for value in tree] if isinstance(tree, list) else tree


def _given(text: str, info: SerializationInfo) -> Any:  # noqa: ANN401  # a text or its parts
    if isinstance(text, Said) and info.context == WHOLE:
        return _parts(text)
    return str(text)


def _parts(text: Said) -> dict[str, object]:
    values = {
        name: _parts(value) if isinstance(value, Said) else value
        for name, value in text.values.items()
    }
    return {"message": text.message, "many": text.many, "values": values}


_KEPT = (
    WrapValidator(_taken),
    PlainSerializer(_given, return_type=Any, when_used="json"),
    WithJsonSchema({"type": "string"}, mode="serialization"),
)

SaidText = Annotated[str, *_KEPT]
"""A text said or given, of any length."""

SaidLine = Annotated[Line, *_KEPT]
"""A line said or given."""

SheetText = InstanceOf[str]
"""A text said or given on its way to paper; never read back, so only its kind is checked."""
