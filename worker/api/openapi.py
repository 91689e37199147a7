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


ADDRESS: Final = "What stands in the address cannot be read; `errors` says what and the mend."


def _header(says: str, *, always: bool = True, kind: str = "string") -> dict[str, Any]:
    return {"description": says, "required": always, "schema": {"type": kind}}


ETAG: Final = _header("The state of what is shown, in double quotes; for If-Match, If-None-Match.")
PACE: Final[dict[str, Any]] = {
    "RateLimit-Policy": _header("How many requests (q) in how many seconds (w).", always=False),
    "RateLimit": _header("How many are left (r); seconds to the next (t).", always=False),
}


def _headers(method: str, status: str, operation: dict[str, Any]) -> dict[str, Any]:
    """The headers that an answer bears besides its own content's."""
    statuses = operation["responses"].keys()
    change = "412" in statuses or (method == "post" and "409" in statuses)
    found: dict[str, Any] = dict(PACE) if "429" in statuses else {}
    if status in {"200", "304"} and "304" in statuses:
        found["ETag"] = ETAG
    if status in {"200", "202"} and change:
        found["ETag"] = ETAG
    if status == "200" and "412" in statuses and method == "post":
        found["Content-Location"] = _header("Address of what is shown.")
    if status == "202" or (status == "200" and "202" in statuses):
        found["Location"] = _header("Where to look.")
    if status == "202" and not change:
        found["Retry-After"] = _header("When to look again. [s]", kind="integer")
    if status in {"429", "503"}:
        found["Retry-After"] = _header("When to try again. [s]", always=False, kind="integer")
    if status == "401":
        found["WWW-Authenticate"] = _header("The scheme of the key: Bearer.")
    return found


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
        for method, operation in path.items():
            if "428" in operation["responses"]:
                operation.setdefault("parameters", []).append(SEEN)
            if "requestBody" not in operation and "422" in operation["responses"]:
                operation["responses"]["422"]["description"] = ADDRESS
            for status, answer in operation["responses"].items():
                if headers := _headers(method, status, operation):
                    answer["headers"] = headers
    app.openapi_schema = document
    return document
