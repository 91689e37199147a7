"""Design values of post wood, read from their file."""

from __future__ import annotations

import json
import tomllib
from functools import cache
from importlib.resources import files

from schemas.record import Line, Record


class Species(Record):
    """Bending values of one species and grade."""

    name: Line
    says: Line
    """How a job names it, in small letters."""
    bending: float
    """Reference bending value. [psi]"""
    size_factor: float
    incised: bool
    """Treated through cuts, as this species usually is."""
    source: Line


class Wood(Record):
    """All species and what is common to them."""

    wet_factor: float
    wet_factor_from: float
    """Product of value and size factor above which the wet factor is taken. [psi]"""
    incised_factor: float
    factors_source: Line
    species: tuple[Species, ...]


@cache
def load_wood() -> Wood:
    """The shipped design values."""
    text = files("services.compliance").joinpath("wood.toml").read_text(encoding="utf-8")
    return Wood.model_validate_json(json.dumps(tomllib.loads(text)))


def species_of(written: str | None) -> Species | None:
    """The species a job names; none when it names none, or one of which nothing is known."""
    said = (written or "").casefold().replace(" fir", "-fir")
    return next((one for one in load_wood().species if one.says in said), None)
