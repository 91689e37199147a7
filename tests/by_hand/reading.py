"""Lengths as the demo's documents write them, and the tape's marks."""

from __future__ import annotations

import json
import tomllib
from dataclasses import dataclass
from fractions import Fraction
from importlib.resources import files
from math import ceil, floor
from typing import Any

Tree = dict[str, Any]
INCH = 8128
"""Units in an inch: 25.4 mm of 320 each."""
MILLIMETRE = 320


def read(written: str | float, unit: str) -> Fraction:
    """A length, from ``12' 3"``, ``9 1/2``, ``3 1/2 in`` or a bare number."""
    if not isinstance(written, str):
        return Fraction(str(written)) * (INCH if unit == "in" else MILLIMETRE)
    if written.endswith("mm"):
        return Fraction(written.removesuffix("mm").strip()) * MILLIMETRE
    text = written.removesuffix("in").strip()
    is_inches = unit == "in" or text != written
    feet, mark, rest = text.rpartition("'")
    inches = sum((Fraction(part) for part in rest.rstrip('"').split()), Fraction(0))
    size = inches + (12 * Fraction(feet) if mark else 0)
    return size * (INCH if is_inches or mark else MILLIMETRE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Books:
    """A job's documents, each with lengths in its own unit."""

    job: Tree
    system: Tree
    company: Tree
    code: Tree

    @property
    def unit(self) -> str:
        """Of the job."""
        return str(self.job["unit"])

    @property
    def step(self) -> Fraction:
        """A mark of the job's tape."""
        return Fraction(INCH, 16) if self.unit == "in" else Fraction(MILLIMETRE)

    def of_job(self, written: str | float) -> Fraction:
        """A length of the job."""
        return read(written, self.unit)

    def of_system(self, written: str | float) -> Fraction:
        """A length of the system sheet."""
        return read(written, str(self.system["unit"]))

    def of_company(self, written: str | float) -> Fraction:
        """A length of the company's file."""
        return read(written, str(self.company["unit"]))

    def limit(self, *measures: str, part: str = "limit") -> Fraction:
        """The recorded limit of the first of these measures that has one."""
        for one in measures:
            for rule in self.code["rules"]:
                if rule["measures"] == one and part in rule:
                    return read(rule[part], str(self.code["unit"]))
        raise LookupError(measures)

    @property
    def trim(self) -> Fraction:
        """Squared off each stock end."""
        return self.of_company(self.company["end_trim"])


def books_of(job: str) -> Books:
    """The documents of a demo job, as they lie in its folder."""
    demo = files("worker") / "demo_data"
    tree = json.loads((demo / "jobs" / f"{job}.json").read_bytes())
    system = demo / "library" / "systems" / f"{tree['rail']['system']}.json"
    code = files("services") / "compliance" / "profiles" / f"{tree['code']['profile']}.toml"
    return Books(
        job=tree,
        system=json.loads(system.read_bytes()),
        company=json.loads((demo / "library" / "company.json").read_bytes()),
        code=tomllib.loads(code.read_text(encoding="utf-8")),
    )


def down(size: Fraction | float, step: Fraction) -> Fraction:
    """The mark at or below; a float's last digit takes no mark."""
    exact = Fraction(size) + (Fraction(1, 1000) if isinstance(size, float) else 0)
    return floor(exact / step) * step


def up(size: Fraction | float, step: Fraction) -> Fraction:
    """The mark at or above."""
    exact = Fraction(size) - (Fraction(1, 1000) if isinstance(size, float) else 0)
    return ceil(exact / step) * step


def nearest(size: Fraction, step: Fraction) -> Fraction:
    """The nearest mark, half a mark going up."""
    return floor(size / step + Fraction(1, 2)) * step
