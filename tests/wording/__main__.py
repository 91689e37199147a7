"""Bring the catalogues up to date: ``python -m tests.wording``."""

from __future__ import annotations

import sys
from datetime import UTC, datetime

from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po

from services.wording import LANGUAGES
from tests.wording.messages import ROOT, messages, placeholders

_SINCE = datetime(2026, 11, 25, tzinfo=UTC)
"""A fixed date in the head: a catalogue changes only where its messages do."""
FOLDER = ROOT / "services" / "wording" / "catalogues"


def main() -> int:
    """Merge what the code and data say now into each catalogue; list what lacks words."""
    lacking = 0
    for language in LANGUAGES[1:]:
        path = FOLDER / f"{language}.po"
        merged = merge(read_po(path.open("rb"), locale=language))
        with path.open("wb") as out:
            write_po(out, merged, width=100, sort_output=True, no_location=True)
        for message in merged:
            if message.id and (message.fuzzy or not all(_forms(message.string))):
                lacking += 1
                sys.stdout.write(f"{language}: {message.id!r}\n")
    return 1 if lacking else 0


def merge(old: Catalog) -> Catalog:
    """The old words under today's messages; what is no longer said is dropped."""
    new = Catalog(
        locale=old.locale, project="Dawnpack", version="1", charset="utf-8", fuzzy=False,
        creation_date=_SINCE, revision_date=_SINCE, last_translator="Dawnpack",
        language_team="", copyright_holder="", msgid_bugs_address="",
        header_comment=f"# Printed words, {old.locale}.",
    )  # fmt: skip
    for (one, many), where in messages().items():
        kept = old.get(one)
        string = kept.string if kept is not None and not kept.fuzzy else None
        if many is not None and not isinstance(string, tuple):
            string = ("", "")
        new.add(
            one if many is None else (one, many), string or "", locations=[(where, 0)],
            flags=["python-brace-format"] if placeholders(one) else [],
        )  # fmt: skip
    return new


def _forms(string: object) -> tuple[str, ...]:
    return (string,) if isinstance(string, str) else tuple(string)  # type: ignore[arg-type]


if __name__ == "__main__":
    sys.exit(main())
