"""What is wrong with one value, in the office's words: never in those of a library."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

_WHOLE: Final = ("is not a whole number", "write a whole number, without quotes")
_NUMBER: Final = ("is not a number", "write a number, without quotes")
_DAY: Final = ("is not a day of the calendar", "write the day as YYYY-MM-DD")
_OBJECT: Final = ("is not an object", "write an object in braces")
_LIST: Final = ("is not a list", "write a list in brackets")
_TRUTH: Final = ("is neither true nor false", "write true or false, or null if unknown")

SEE_SCHEMA: Final = "see the schema"

WORDS: Final[Mapping[str, tuple[str, str]]] = {
    "missing": ("this field is missing", "give this field"),
    "int_type": _WHOLE,
    "int_from_float": _WHOLE,
    "int_parsing": _WHOLE,
    "int_parsing_size": _WHOLE,
    "float_type": _NUMBER,
    "float_parsing": _NUMBER,
    "finite_number": _NUMBER,
    "string_type": ("is not text", "write text, in quotes"),
    "bool_type": _TRUTH,
    "bool_parsing": _TRUTH,
    "date_type": _DAY,
    "date_parsing": _DAY,
    "date_from_datetime_parsing": _DAY,
    "date_from_datetime_inexact": _DAY,
    "model_type": _OBJECT,
    "model_attributes_type": _OBJECT,
    "dict_type": _OBJECT,
    "tuple_type": _LIST,
    "list_type": _LIST,
    "string_too_short": ("is too short", "write {min_length} characters at least"),
    "string_too_long": ("is too long", "shorten it to {max_length} characters"),
    "string_pattern_mismatch": ("is not written as it should be", SEE_SCHEMA),
    "too_short": ("has {actual_length} entries", "give {min_length} at least"),
    "too_long": ("has too many entries", "{max_length} at most; split the job"),
    "greater_than": ("is too small", "write more than {gt}"),
    "greater_than_equal": ("is too small", "write {ge} or more"),
    "less_than": ("is too large", "write less than {lt}"),
    "less_than_equal": ("is too large", "write {le} or less"),
    "literal_error": ("is none of the known names", "one of {expected}"),
    "enum": ("is none of the known names", "one of {expected}"),
    "union_tag_invalid": ("is none of the known kinds", "one of {expected_tags}"),
}
"""What is wrong and what would be right, by the kind of fault; figures come from the record."""


def in_words(error: Mapping[str, Any]) -> tuple[str, str]:
    """What is wrong with a value, and the mend.

    Args:
        error: A fault as the reader of records lists it.
    """
    if error["type"] == "value_error":  # our own words: "what is wrong; the mend"
        says, _, mend = str(error["msg"]).removeprefix("Value error, ").partition(";")
        return says, mend.strip() or "mend it and send it again"
    if error["type"] == "misnamed":
        return str(error["msg"]), "give each its own name, and only names of the list"
    says, mend = WORDS.get(error["type"], ("cannot be read as it stands", SEE_SCHEMA))
    known = error.get("ctx", {})
    return says.format_map(known), mend.format_map(known)
