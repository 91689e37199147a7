"""Every message has its words in every language, with the same values, figures and terms."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator

import pytest
from babel.messages.catalog import Message
from babel.messages.pofile import read_po

from services.wording import LANGUAGES
from tests.wording.messages import CODE, ROOT, messages, placeholders

FOLDER = ROOT / "services" / "wording" / "catalogues"
FIGURE = re.compile(r"\d+(?:[.,/]\d+)*")
OTHERS = LANGUAGES[1:]


def written(language: str) -> dict[str, Message]:
    """A catalogue by its English messages."""
    with (FOLDER / f"{language}.po").open("rb") as file:
        catalogue = read_po(file, locale=language)
    return {_forms(message.id)[0]: message for message in catalogue if message.id}


def _forms(text: object) -> tuple[str, ...]:
    return (text,) if isinstance(text, str) else tuple(text)  # type: ignore[arg-type]


def pairs(language: str) -> Iterator[tuple[str, str]]:
    """Each English form with its words."""
    for message in written(language).values():
        yield from zip(_forms(message.id), _forms(message.string), strict=True)


@pytest.mark.parametrize("language", OTHERS)
def test_every_message_has_its_words(language: str) -> None:
    """Taken anew from code and data: none missing, none empty, none in doubt."""
    known = written(language)

    lacking = [
        one for one, _ in messages()
        if one not in known or known[one].fuzzy or not all(_forms(known[one].string))
    ]  # fmt: skip

    assert lacking == [], "python -m tests.wording takes them in"


@pytest.mark.parametrize("language", OTHERS)
def test_no_message_is_kept_that_nobody_says(language: str) -> None:
    """A catalogue is as long as the program's speech."""
    said = {one for one, _ in messages()}

    assert sorted(written(language).keys() - said) == []


@pytest.mark.parametrize("language", OTHERS)
def test_the_words_hold_the_same_values(language: str) -> None:
    """No name is lost and none is made up, in any form."""
    wrong = [
        (one, words) for one, words in pairs(language) if placeholders(one) != placeholders(words)
    ]

    assert wrong == []


@pytest.mark.parametrize("language", OTHERS)
def test_the_words_hold_the_same_figures(language: str) -> None:
    """A limit, a fraction or a clause that is written out is the same in both languages."""
    wrong = [
        (one, words)
        for one, words in pairs(language)
        if sorted(FIGURE.findall(one)) != sorted(FIGURE.findall(words))
    ]

    assert wrong == []


@pytest.mark.parametrize("language", OTHERS)
def test_a_term_of_the_trade_is_always_the_same_word(language: str) -> None:
    """As the glossary has it, so that a sheet and its drawing name a thing alike."""
    glossary = tomllib.loads((FOLDER / f"{language}.glossary.toml").read_text("utf-8"))["terms"]

    wrong = [
        (term, one, words)
        for term, ours in glossary.items()
        for one, words in pairs(language)
        if re.search(rf"(?<![\w{{]){term}s?(?![\w}}])", one, re.IGNORECASE)
        and not any(word in words.casefold() for word in ours.split("|"))
    ]

    assert wrong == []


@pytest.mark.parametrize("language", OTHERS)
def test_a_message_ends_as_its_english_does(language: str) -> None:
    """Full stops and question marks carry sense where texts are put in a row."""
    wrong = [
        (one, words) for one, words in pairs(language) if one[-1] in ".?:" and words[-1] != one[-1]
    ]

    assert wrong == []


def test_every_message_in_the_code_is_a_literal() -> None:
    """What is put together at run time cannot be looked up."""
    loose = [
        f"{path.relative_to(ROOT)}:{call.lineno}"
        for folder in CODE
        for path in sorted((ROOT / folder).rglob("*.py"))
        if "wording import" in (text := path.read_text(encoding="utf-8"))
        and path.parent.name != "wording" and path.name != "wording.py"
        for call in ast.walk(ast.parse(text))
        if isinstance(call, ast.Call)
        and (getattr(call.func, "id", "") or getattr(call.func, "attr", "")) in {"say", "counted"}
        and not isinstance(call.args[0], ast.Constant)
    ]  # fmt: skip

    assert loose == []
