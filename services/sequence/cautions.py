"""Cautions, read from their file, and those that a job's steps call for."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterable
from functools import cache
from importlib.resources import files

from schemas.record import Record
from schemas.sequence import Caution, Step
from schemas.wording import shipped

_WORST_FIRST = ("DANGER", "WARNING", "CAUTION", "NOTICE")


class _Written(Record):
    cautions: tuple[Caution, ...]


@cache
def load_cautions() -> dict[str, Caution]:
    """All shipped cautions by key, in their file's order."""
    text = files("services.sequence").joinpath("cautions.toml").read_text(encoding="utf-8")
    written = _Written.model_validate_json(json.dumps(tomllib.loads(text)))
    return {caution.key: _said(caution) for caution in written.cautions}


def _said(caution: Caution) -> Caution:
    """Every text of a caution, as the catalogues know it."""
    texts = ("task", "hazard", "consequence", "avoid", "short", "source")
    return caution.model_copy(update={name: shipped(getattr(caution, name)) for name in texts})


def called_for(steps: Iterable[Step]) -> tuple[Caution, ...]:
    """The cautions that these steps name, once each, worst first.

    Raises:
        KeyError: A step names a caution that is not written.
    """
    every = load_cautions()
    named = {key: every[key] for step in steps for key in step.cautions}
    kept = [caution for key, caution in every.items() if key in named]
    return tuple(sorted(kept, key=lambda caution: _WORST_FIRST.index(caution.signal)))
