"""What there is to look up: document schemas, rail systems, code profiles, settings."""

from __future__ import annotations

from typing import Annotated, Final

import typer
from pydantic import BaseModel

from schemas.code_profile import CodeProfile
from schemas.company import Company
from schemas.delivery import NightReport
from schemas.errors import UnknownThing
from schemas.plan import Plan
from schemas.rail_system import RailSystem
from schemas.signals import Receivers, Signal
from schemas.submission import Submission
from services.intake.flat import COLUMNS
from services.intake.flat import template as flat_template
from worker.bootstrap import choose_library
from worker.cli.one_job import Json
from worker.cli.showing import out, show_json, show_table
from worker.settings import PREFIX, Settings

DOCUMENTS: Final[dict[str, type[BaseModel]]] = {
    "submission": Submission,
    "rail-system": RailSystem,
    "code-profile": CodeProfile,
    "company": Company,
    "plan": Plan,
    "night-report": NightReport,
    "receivers": Receivers,
    "signal": Signal,
}

OPENAPI: Final = "openapi"

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


def schema(
    name: Annotated[str, typer.Argument(help="Document; none: their names.")] = "",
) -> None:
    """Print a document's JSON Schema (2020-12), or the HTTP service's OpenAPI (3.1) document.

    Examples: dawnpack schema submission > submission.schema.json | dawnpack schema openapi
    """
    if not name:
        for known in (*DOCUMENTS, OPENAPI):
            out.print(known)
        return
    if name == OPENAPI:
        from worker.api.app import openapi_document  # noqa: PLC0415  # slow to load

        show_json(openapi_document())
        return
    if name not in DOCUMENTS:
        msg = f"no document {name}; there are: {', '.join((*DOCUMENTS, OPENAPI))}"
        raise UnknownThing(msg)
    body = DOCUMENTS[name].model_json_schema()
    show_json({"$schema": DIALECT, "$id": f"urn:dawnpack:{name}:1", **body})


def template(
    *,
    columns: Annotated[
        bool, typer.Option("--columns", help="List the columns and where each value goes.")
    ] = False,
) -> None:
    """Print the table for flat jobs: heads and an example row, as CSV.

    Example: dawnpack template > jobs.csv
    """
    if not columns:
        typer.echo(flat_template(), nl=False)
        return
    rows = ((c.head, "yes" if c.must else "", c.example, "/".join(c.place)) for c in COLUMNS)
    show_table("Columns", ("head", "needed", "example", "goes to"), rows)


def systems(*, as_json: Json = False) -> None:
    """List the company's rail systems.

    Example: dawnpack systems --json
    """
    found = choose_library(Settings.read()).systems
    if as_json:
        show_json(list(found))
    else:
        rows = ((s.key, s.title, ", ".join(s.colours)) for s in found)
        show_table("Rail systems", ("key", "title", "colours"), rows)


def codes(*, as_json: Json = False) -> None:
    """List the code profiles: published rules as recorded, for the authority to confirm.

    Example: dawnpack codes
    """
    found = choose_library(Settings.read()).profiles
    if as_json:
        show_json(list(found))
    else:
        rows = ((p.key, p.title, len(p.rules)) for p in found)
        show_table("Code profiles", ("key", "title", "rules"), rows)


def settings() -> None:
    """List the settings, what they mean, and what they are now.

    Example: DAWNPACK_DATA=/var/lib/dawnpack dawnpack settings
    """
    now = Settings.read()
    rows = (
        (PREFIX + name.upper(), "***" if name.endswith("_url") and value else value, says)
        for name, field in Settings.model_fields.items()
        for value, says in [(getattr(now, name), field.description or "")]
    )
    show_table("Settings", ("variable", "now", "means"), rows)
