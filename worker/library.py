"""The company's own documents, loaded from a folder and checked.

In: `company.json`, `systems/*.json` and `codes/*.toml` of one folder. The code profiles that
come with the program are always there; one of the folder's goes before one of the same key.
Out: a library, or every problem of the first document that has one.
"""

from __future__ import annotations

from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Final

from schemas.company import Company
from schemas.errors import UnknownThing
from schemas.job import Library
from schemas.rail_system import RailSystem
from services.compliance.loading import load_profiles, read_profile
from services.intake.reading import read_library_document

DEMO: Final = files("worker") / "demo_data" / "library"


def load_library(folder: Traversable = DEMO) -> Library:
    """Load the documents of a folder.

    Raises:
        UnknownThing: There is no company file.
        BadInput: A document that does not read.
    """
    company = folder / "company.json"
    if not company.is_file():
        msg = f"no company file at {company}"
        raise UnknownThing(msg)
    own = (read_profile(file.read_text("utf-8")) for file in _ending(".toml", folder / "codes"))
    profiles = {**load_profiles(), **{profile.key: profile for profile in own}}
    return Library(
        company=read_library_document(company.read_bytes(), Company, name=company.name),
        systems=tuple(
            read_library_document(file.read_bytes(), RailSystem, name=file.name)
            for file in _ending(".json", folder / "systems")
        ),
        profiles=tuple(profiles.values()),
    )


def _ending(ending: str, folder: Traversable) -> list[Traversable]:
    if not folder.is_dir():
        return []
    found = (file for file in folder.iterdir() if file.name.endswith(ending))
    return sorted(found, key=lambda file: file.name)
