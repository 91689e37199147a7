"""Nothing printed goes round the catalogue.

A made-up language has a mark for every letter of a message. What letters are then left on a
sheet were given by somebody: names, keys, units, titles of products and publications.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date
from string import Formatter

import pytest

from schemas.bundle import Stop
from schemas.job import Library
from schemas.plan import Plan
from schemas.record import Record
from services import bundle, pipeline, wording
from services.compliance.wood import load_wood
from services.wording import words
from services.wording.catalogues import Forms
from tests.builders import JOBS, library, submission

MARK = "¤"
PLANNED = [name for name in JOBS if name not in {"held", "refused"}]
DATES = ("jueves", "noviembre", "diciembre")
"""CLDR's own words, in the demo's dates."""
UNITS = frozenset({"MPa", "deg", "psi"})
NOT_PRINTED = frozenset({
    "key", "kind", "name", "lane", "anchor", "weight", "fill", "signal", "role", "align", "size",
    "language", "leaf", "check_at",
})  # fmt: skip


class Marked(Mapping[str, Forms]):
    """A catalogue that knows every message: its letters are marks, its values stand."""

    def __getitem__(self, message: str) -> Forms:
        """The message, marked."""
        parts = [
            re.sub(r"[^\W\d_]", MARK, text).replace("{", "{{").replace("}", "}}")
            + ("" if name is None else f"{{{name}}}")
            for text, name, *_ in Formatter().parse(message)
        ]
        return ("".join(parts),)

    def __iter__(self) -> Iterator[str]:
        """Nothing is listed."""
        return iter(())

    def __len__(self) -> int:
        """Nothing is counted."""
        return 0


@pytest.fixture
def marked(monkeypatch: pytest.MonkeyPatch) -> Iterator[Library]:
    """The demo's library with crews of the made-up language."""
    words.words_for.cache_clear()
    monkeypatch.setattr(words, "forms_of", lambda _: Marked())
    demo = library()
    crews = tuple(crew.model_copy(update={"language": "es"}) for crew in demo.company.crews)
    yield demo.model_copy(
        update={"company": demo.company.model_copy(update={"crews": crews, "wording": {}})}
    )
    words.words_for.cache_clear()


def planned(name: str, books: Library) -> Plan:
    """A demo job whose house reads the made-up language too."""
    sent = submission(name)
    site = sent.site.model_copy(update={"language": "es"})
    plan = pipeline.make_plan(sent.model_copy(update={"site": site}), library=books).plan
    assert plan is not None
    return plan


def printed(thing: object) -> Iterator[str]:
    """Every text that stands on a sheet."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from printed(part)
    elif isinstance(thing, Record):
        for name, part in thing:
            if name not in NOT_PRINTED:
                yield from printed(part)


def given(plan: Plan) -> frozenset[str]:
    """Words that somebody gave: names, keys, titles, clauses."""
    job = plan.job
    keys = re.findall(r'"([a-z0-9]+(?:-[a-z0-9]+)*)"', job.company.model_dump_json())
    texts = (
        job.site.customer, job.site.street, job.site.town, job.company.name,
        job.measured.by, job.system.title, job.stair_system.title, job.job, job.permit or "",
        job.profile.title if job.profile else "", *(crew.name for crew in job.company.crews),
        *keys, *(wood.name for wood in load_wood().species), *DATES,
        *(kit.key for kit in job.system.level.kits), job.level_height.name,
        *(finding.clause for finding in plan.compliance.findings),
    )  # fmt: skip
    return frozenset(re.findall(r"[A-Za-z]{3,}", " ".join(texts))) | UNITS


def unsaid(sheets: object, plan: Plan) -> set[str]:
    """Words on sheets that are neither marked nor given."""
    return {
        f"{word}: {text}"
        for text in printed(sheets)
        for word in re.findall(r"[A-Za-z]{3,}", text)
        if word not in given(plan)
    }


@pytest.mark.parametrize("name", PLANNED)
def test_all_sheets_of_a_pack_are_said(name: str, marked: Library) -> None:
    """Titles, tables, steps, findings, drawings."""
    plan = planned(name, marked)

    sheets = pipeline.make_sheets(plan)

    assert unsaid(sheets, plan) == set()


def test_the_day_sheet_is_said(marked: Library) -> None:
    """What lies on top of the packs, with its imprint."""
    plan = planned("two-stair-sides", marked)
    team = next(crew for crew in marked.company.crews if crew.key == plan.job.crew)
    stop = Stop(plan=plan, code="7K2M-Q9DX", replaces="nothing")
    english = bundle.day_sheets(
        company=marked.company, crew=team, day=date(2026, 12, 3), stops=[stop], missing=[],
        booked=pipeline.check_day([plan], library=marked),
    )  # fmt: skip
    stamp = bundle.day_imprint(
        company=marked.company, crew=team, day=date(2026, 12, 3), code="7K2M-Q9DX", issued="-"
    )

    told = words.words_for("es")

    sheets = (*wording.tell_sheets(english, told), wording.tell(stamp, told))
    left = unsaid(sheets, plan)
    assert left == set()
