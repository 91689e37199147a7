"""Cautions, read from their file, and those that a job's steps call for."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterable
from functools import cache
from importlib.resources import files
from typing import Literal, get_args

from schemas.job import Job
from schemas.record import Record
from schemas.sequence import Caution, Step
from schemas.wording import shipped
from services import tape

Law = Literal["us", "us_metric", "elsewhere"]
"""Whose rules a site works under, and in which units: those of the United States in inches or
in metric units, or another country's, whose figures are not kept here."""

LAWS: tuple[Law, ...] = get_args(Law)
_WORST_FIRST = ("DANGER", "WARNING", "CAUTION", "NOTICE")
_TEXTS = ("task", "hazard", "consequence", "avoid", "short", "source")


class _Otherwise(Record):
    """What a caution says in place of its first words."""

    hazard: str | None = None
    avoid: str | None = None
    source: str | None = None


class _Entry(Caution):
    """A caution as its file has it."""

    us_metric: _Otherwise = _Otherwise()
    elsewhere: _Otherwise = _Otherwise()

    def under(self, law: Law) -> Caution:
        """The caution as a site under this law reads it, sayable in every language."""
        first = self.model_dump(exclude={"us_metric", "elsewhere"})
        other = {} if law == "us" else getattr(self, law).model_dump(exclude_none=True)
        caution = Caution.model_validate(first | other)
        return caution.model_copy(update={name: shipped(getattr(caution, name)) for name in _TEXTS})


class _Written(Record):
    cautions: tuple[_Entry, ...]


def law_of(job: Job) -> Law:
    """Whose law a job's cautions follow.

    A profile in inches is one of the United States (`CodeProfile.unit`). Without a profile an
    inch job is taken for one of the United States; a metric job is not.
    """
    if not job.under_us_law:
        return "elsewhere"
    return "us_metric" if tape.is_metric(job.step) else "us"


@cache
def load_cautions(law: Law = "us") -> dict[str, Caution]:
    """All shipped cautions by key, in their file's order, as read under a law."""
    text = files("services.sequence").joinpath("cautions.toml").read_text(encoding="utf-8")
    written = _Written.model_validate_json(json.dumps(tomllib.loads(text)))
    return {entry.key: entry.under(law) for entry in written.cautions}


def called_for(steps: Iterable[Step], *, law: Law) -> tuple[Caution, ...]:
    """The cautions that these steps name, once each, worst first.

    Raises:
        KeyError: A step names a caution that is not written.
    """
    every = load_cautions(law)
    named = {key: every[key] for step in steps for key in step.cautions}
    kept = [caution for key, caution in every.items() if key in named]
    return tuple(sorted(kept, key=lambda caution: _WORST_FIRST.index(caution.signal)))
