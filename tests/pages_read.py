"""A page of the service as a browser without a script takes it: text, links, forms, labels."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Final

VOID: Final = frozenset({"meta", "input", "br", "hr", "img", "link"})


@dataclass(slots=True)
class Form:
    """A form and what it would send."""

    action: str
    method: str
    fields: dict[str, str] = field(default_factory=dict)
    choices: dict[str, list[str]] = field(default_factory=dict)
    """Radio buttons, by name."""


@dataclass(slots=True)
class Read:
    """What a page holds."""

    lang: str = ""
    title: str = ""
    text: str = ""
    headings: list[tuple[int, str]] = field(default_factory=list)
    links: list[str] = field(default_factory=list)
    forms: list[Form] = field(default_factory=list)
    ids: list[str] = field(default_factory=list)
    refers: list[str] = field(default_factory=list)
    """Ids that labels and links within the page point at."""
    unlabelled: list[str] = field(default_factory=list)
    """Fields that a screen reader could not name."""
    loads: list[str] = field(default_factory=list)
    """Whatever a browser would fetch or run."""

    def form(self, action: str) -> Form:
        """The first form that is sent to an address."""
        return next(form for form in self.forms if form.action == action)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.read = Read()
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        got = {name: value or "" for name, value in attrs}
        read = self.read
        read.text += " "
        if tag == "html":
            read.lang = got.get("lang", "")
        if "id" in got:
            read.ids.append(got["id"])
        read.refers += [got["aria-labelledby"]] if "aria-labelledby" in got else []
        if tag == "a":
            read.links.append(got["href"])
            read.refers += [got["href"][1:]] if got["href"].startswith("#") else []
        if tag in {"script", "img", "link", "iframe", "object"} or "style" in got:
            read.loads.append(tag)
        read.loads += [name for name in got if name.startswith("on")]
        if tag == "form":
            read.forms.append(Form(action=got["action"], method=got["method"]))
        if tag == "input":
            self._input(got)
        if tag in {"h1", "h2", "h3"}:
            read.headings.append((int(tag[1]), ""))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"</{tag}> without its start"
        started = self.open.pop()
        assert started == tag, f"<{started}> is ended by </{tag}>"

    def handle_data(self, data: str) -> None:
        if "style" in self.open:
            return
        if self.open[-1:] == ["title"]:
            self.read.title += data
        elif {"h1", "h2", "h3"} & set(self.open):
            level, words = self.read.headings[-1]
            self.read.headings[-1] = (level, words + data)
        self.read.text += data

    def _input(self, got: dict[str, str]) -> None:
        form = self.read.forms[-1]
        kind = got.get("type", "text")
        if kind == "radio":
            form.choices.setdefault(got["name"], []).append(got["value"])
        else:
            form.fields[got["name"]] = got.get("value", "")
        if kind != "hidden" and "label" not in self.open and "aria-label" not in got:
            self.read.unlabelled.append(got["name"])


def read_page(html: str) -> Read:
    """Read a page; every element that is opened must be closed in order."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    assert reader.open == []
    reader.read.text = " ".join(reader.read.text.split())
    return reader.read
