"""Texts that remember what they were made of, and their words in another language."""

from datetime import date

import pytest

from schemas.record import Record
from schemas.wording import WHOLE, Said, SaidText, counted, row, say, shipped
from services.wording import Words, words_for

TOY = Words(
    language="es",
    forms={
        "Drill at {mark}": ("Taladre a {mark}",),
        "{count} bay": ("{count} tramo", "{count} tramos"),
        "at post {post}": ("en el poste {post}",),
        "{what} {where}": ("{where}: {what}",),
    },
)


class Note(Record):
    """A record that holds a text."""

    text: SaidText


def test_a_said_text_is_its_english_for_the_office() -> None:
    """Every door prints it as it stands."""
    said = say("Drill at {mark}", mark="3 1/2")

    assert said == "Drill at 3 1/2"
    assert words_for("en").of(said) == "Drill at 3 1/2"


def test_values_go_where_the_language_wants_them() -> None:
    """A text within a text is told too, and may change its place."""
    said = say("{what} {where}", what=say("Drill at {mark}", mark="4"),
               where=say("at post {post}", post="A2"))  # fmt: skip

    assert said == "Drill at 4 at post A2"
    assert TOY.of(said) == "en el poste A2: Taladre a 4"


@pytest.mark.parametrize(
    ("count", "english", "spanish"),
    [(1, "1 bay", "1 tramo"), (2, "2 bays", "2 tramos"), (0, "0 bays", "0 tramos")],
)
def test_a_count_chooses_the_form(count: int, english: str, spanish: str) -> None:
    """One is one; none and many are many, in both languages."""
    said = counted("{count} bay", "{count} bays", count=count)

    assert (said, TOY.of(said)) == (english, spanish)


def test_what_was_given_stays_as_given() -> None:
    """A name that happens to be a message is not touched."""
    assert TOY.of("{count} bay") == "{count} bay"


def test_a_row_stays_sayable() -> None:
    """Parts keep their messages; given parts stay."""
    mixed = row((say("Drill at {mark}", mark="1"), "Heron"), "; ")

    assert mixed == "Drill at 1; Heron"
    assert TOY.of(mixed) == "Taladre a 1; Heron"
    assert type(row(("A", "B"))) is str


def test_braces_in_a_shipped_text_are_signs_only() -> None:
    """A data file may hold any sign."""
    assert shipped("set {a}") == "set {a}"
    assert TOY.of(shipped("set {a}")) == "set {a}"


def test_a_kept_document_gives_the_texts_back() -> None:
    """Written whole, read back: another process can still tell them."""
    note = Note(text=say("Drill at {mark}", mark=say("at post {post}", post="A1")))

    read = Note.model_validate_json(note.model_dump_json(context=WHOLE))

    assert read == note
    assert isinstance(read.text, Said)
    assert TOY.of(read.text) == "Taladre a en el poste A1"


def test_a_door_gets_plain_text() -> None:
    """An office's system sees a string."""
    note = Note(text=say("Drill at {mark}", mark="2"))

    assert note.model_dump_json() == '{"text":"Drill at 2"}'
    assert Note.model_json_schema(mode="serialization")["properties"]["text"]["type"] == "string"


def test_a_missing_value_is_an_error_at_once() -> None:
    """No sheet prints a brace."""
    with pytest.raises(KeyError, match="mark"):
        say("Drill at {mark}")


def test_a_day_is_written_as_the_language_does() -> None:
    """Weekday, day, month, year, with CLDR's names."""
    day = date(2026, 12, 3)

    assert words_for("en").day(day) == "Thursday 3 December 2026"
    assert words_for("es").day(day) == "jueves 3 de diciembre de 2026"
