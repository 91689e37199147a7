"""Hostile text in every place that takes text: printed literally, or refused, never obeyed.

Source:
    Known faults of PDF writers that parse markup: CVE-2019-17626, CVE-2019-19450,
    CVE-2020-28463, CVE-2023-33733. Unicode Technical Report 36, security considerations.
"""

import time

import pytest

from schemas.drawings import Drawing, Label
from schemas.pages import (
    Column,
    Fact,
    Facts,
    Figure,
    Heading,
    Message,
    Prose,
    Row,
    Sheet,
    Table,
    Tick,
    Ticket,
    Tickets,
    Ticks,
    WriteIn,
)
from services.paper.book import Part, Printed, set_book
from services.paper.letters import clean
from tests.paper.readers import chars, opened, squeezed, texts
from tests.paper.sample_book import imprint

SHORT = [
    "Smith & Sons <Ltd>",
    "<b>bold</b> <br/> &amp; &#65;",
    '<a href="javascript:alert(1)">x</a>',
    '<img src="/etc/hostname"/>',
    '<para><font color="[[getattr(pow,Word)]]">y</font>',
    "x) Tj ET Q /URI (http://evil.example) >> endstream",
    "back\\slash \\051 \\n (((",
    "%PDF-1.4 %%EOF endobj",
    "{{7*7}} ${7*7} %s %(x)s {0}",
    "a\x00b\x07c\x1bd",
    "up\u202edown\u2066x\u2069",
    "Z\u0301\u0302\u0303a\u0327lgo",
    "\U0001f468\u200d\U0001f469\u200d\U0001f467 \U0001f6a7",
    "王小明 田中",
    "lone \ud800 and \udfff",
    "",
    "   ",
    "\u00a0",
    "…",
    "דוד כהן",
    "محمد عبد الله",
]
LONG = ["W" * 10_000, "nail " * 2_000, "(" * 10_000, "王" * 10_000, "1 1/2 " * 1_700]


def everywhere(text: str) -> Printed:
    """A sheet with this text in every field of every kind of block, and in the imprint."""
    label = (text.strip() or "-")[:120].encode("utf-8", "replace").decode()
    drawing = Drawing(
        name="d",
        title=text,
        said=text,
        width=300,
        height=150,
        scale=text,
        bar=72,
        bar_says=text,
        labels=(
            Label(x=150, y=120, text=label, anchor="middle"),
            Label(x=10, y=10, text=label, turned=90, bold=True),
            Label(x=290, y=60, text=label, anchor="end", size=24),
        ),
    )
    blocks = (
        Heading(text=text),
        *(Prose(text=text, role=role) for role in ("body", "small", "lead")),
        Facts(facts=(Fact(label=text, value=text), Fact(label=text, value=text, big=True))),
        Table(
            columns=(
                Column(head=text),
                Column(head=text, align="right"),
                Column(head="", box=True),
            ),
            rows=tuple(
                Row(cells=(text, text, text), strong=strong, changed=True, group=text)
                for strong in (False, True)
            ),
        ),
        Ticks(
            ticks=(
                Tick(text=text, mark=text, under=(text, text)),
                Tick(text=text, mark=text, hold=True, under=(text,)),
            )
        ),
        Tickets(tickets=(Ticket(head=text, piece=text, cut=text, lines=(text,), end=text),)),
        Message(signal="DANGER", hazard=text, consequence=text, avoid=text, source=text),
        Figure(drawing=drawing),
        WriteIn(labels=(text,)),
    )
    sheet = Sheet.model_validate({"key": "k", "title": text, "place": text, "blocks": blocks})
    said = imprint(
        job=text, revision=text, site=text, crew=text, code=text, issued=text, replaces=text,
        company=text, notes=(text, text),
    )  # fmt: skip
    return set_book(parts=[Part(imprint=said, sheets=(sheet,))], size="letter")


@pytest.mark.parametrize("text", SHORT)
def test_short_text_is_printed_literally(text: str) -> None:
    """Every block shows it, letter for letter, as it was made printable."""
    printed = everywhere(text)
    wanted = squeezed(clean(text))

    shown = squeezed("".join(texts(printed.pdf)))
    if "محمد" in text:  # programs read joined letters as plain ones
        wanted = squeezed(text)

    assert shown.count(wanted) >= 12 or not wanted


@pytest.mark.parametrize("text", [*SHORT, *LONG])
def test_file_stays_sound_and_inert(text: str) -> None:
    """No fault in the file, and nothing in it that acts, whatever was written into it."""
    printed = everywhere(text)
    document = opened(printed.pdf)
    keys = {key for thing in document.objects for key in _keys(thing)}

    assert document.check_pdf_syntax() == []
    assert not keys & {"/URI", "/JS", "/JavaScript", "/Launch", "/EmbeddedFile", "/AA", "/A"}
    assert "/Contents" in keys


@pytest.mark.parametrize("text", [*SHORT, *LONG])
def test_no_text_leaves_the_margins(text: str) -> None:
    """Whatever its length, it stays inside."""
    printed = everywhere(text)

    for page in range(printed.pages):
        letters = chars(printed.pdf, page)
        assert min(c.left for c in letters) >= 55
        assert max(c.right for c in letters) <= 612 - 55
        assert min(c.bottom for c in letters) >= 28
        assert max(c.top for c in letters) <= 792 - 27


@pytest.mark.parametrize("text", LONG)
def test_long_text_takes_bounded_time_and_paper(text: str) -> None:
    """Ten thousand letters in every field: seconds, and pages for the prose that is not cut."""
    started = time.process_time()

    printed = everywhere(text)

    assert time.process_time() - started < 10
    assert printed.pages < 120


def _keys(thing: object) -> set[str]:
    keys = getattr(thing, "keys", None)
    try:
        return set(keys()) if keys else set()
    except (TypeError, ValueError):  # a number or a text of the file has no keys
        return set()
