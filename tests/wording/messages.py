"""Every message that may be printed, taken anew from the code and the data files."""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from string import Formatter

from babel.messages.extract import extract

from schemas.site import Address
from schemas.wording import shipped
from services.compliance import load_profiles
from services.sequence.cautions import LAWS, load_cautions
from services.takeoff.tools import tools_written

ROOT = Path(str(files("services"))).parent
CODE = ("schemas", "services", "worker")
KEYWORDS: dict[str, tuple[int, ...] | None] = {"say": (1,), "counted": (1, 2)}
"""Calls that hold a message, and where it stands in them."""

Message = tuple[str, str | None]
"""A message, and its form for many."""


def messages() -> dict[Message, str]:
    """Each message with where it was found first; figures and signs alone need no words."""
    found: dict[Message, str] = {}
    for message, where in (*_from_code(), *_from_data()):
        if has_words(message[0]):
            found.setdefault(message, where)
    return found


def has_words(message: str) -> bool:
    """Whether letters stand outside the placeholders."""
    return bool(re.search(r"[A-Za-z]{2}", "".join(text for text, *_ in Formatter().parse(message))))


def placeholders(message: str) -> set[str]:
    """The names of the values that a message asks for."""
    return {name for _, name, *_ in Formatter().parse(message) if name is not None}


def _from_code() -> Iterator[tuple[Message, str]]:
    for folder in CODE:
        for path in sorted((ROOT / folder).rglob("*.py")):
            where = path.relative_to(ROOT).as_posix()
            said_here = where == "schemas/wording.py" or "wording import" in path.read_text("utf-8")
            if not said_here:
                continue
            with path.open("rb") as code:
                for _, said, _, _ in extract("python", code, keywords=KEYWORDS):
                    yield (said, None) if isinstance(said, str) else (said[0], said[1]), where


def _from_data() -> Iterator[tuple[Message, str]]:
    for text, where in _texts():
        yield (shipped(text).message, None), where


def _texts() -> Iterator[tuple[str, str]]:
    yield str(Address.model_fields["emergency"].default), "schemas/site.py"
    for caution in (c for law in LAWS for c in load_cautions(law).values()):
        for text in (caution.task, caution.hazard, caution.consequence, caution.avoid):
            yield text, "services/sequence/cautions.toml"
        yield caution.short, "services/sequence/cautions.toml"
        yield caution.source, "services/sequence/cautions.toml"
    for task in tools_written():
        for text in (task.says, *task.tools):
            yield text, "services/takeoff/tools.toml"
    for key, profile in load_profiles().items():
        where = f"services/compliance/profiles/{key}.toml"
        yield from ((text, where) for text in (profile.scope, *profile.doubts))
        for rule in profile.rules:
            yield rule.says, where
            if rule.number_unit:
                yield rule.number_unit, where
