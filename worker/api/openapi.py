"""The OpenAPI document: made from the routes and from the very records that are read."""

from __future__ import annotations

from typing import Any, Final

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from pydantic.json_schema import models_json_schema

from schemas.submission import Submission
from worker.api.bodies import BODIES
from worker.api.problems import KINDS, MEDIA, ProblemDocument

PLACE: Final = "#/components/schemas/{model}"

DESCRIPTION: Final = """\
Jobs in, printed packs out. Every call but the ones for health and printed codes shows a key as
`Authorization: Bearer KEY`. What goes wrong comes back as a problem document (RFC 9457) that
names every fault with a JSON Pointer. A job, plan or pack bears an ETag; a change to a job
must say with If-Match which state its sender has seen.
"""

SEEN: Final[dict[str, Any]] = {
    "name": "If-Match",
    "in": "header",
    "required": True,
    "description": "ETag of what is changed (a job, a day's bookings) as its sender has seen it, "
    "in its quotes, or `*`.",
    "schema": {"type": "string", "minLength": 1},
}


def refusals(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """How an address may say no, for its description."""
    titles: dict[int, list[str]] = {304: ["Not changed since it was read."]}
    for status, title in KINDS.values():
        titles.setdefault(status, []).append(title)
    content = {MEDIA: {"schema": {"$ref": PLACE.format(model="ProblemDocument")}}}
    return {
        status: {"description": " ".join(titles[status])}
        | ({} if status == 304 else {"content": content})
        for status in statuses
    }


def describe(app: FastAPI) -> dict[str, Any]:
    """The OpenAPI document of the service."""
    if app.openapi_schema:
        return app.openapi_schema
    document = get_openapi(
        title="Dawnpack",
        version=app.version,
        summary="Work packs for crews that install deck and porch railing.",
        description=DESCRIPTION,
        routes=app.routes,
        tags=app.openapi_tags,
        separate_input_output_schemas=False,
    )
    _, ours = models_json_schema(
        [(kind, "validation") for kind in (Submission, ProblemDocument, *BODIES)],
        ref_template=PLACE,
    )
    known = document.setdefault("components", {}).setdefault("schemas", {})
    for name, schema in ours["$defs"].items():
        known.setdefault(name, schema)
    for path in document["paths"].values():
        for operation in path.values():
            if "428" in operation["responses"]:
                operation.setdefault("parameters", []).append(SEEN)
    app.openapi_schema = document
    return document
