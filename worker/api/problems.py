"""Problem documents: how each way of saying no reaches a client (RFC 9457)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated, Final, Literal

import structlog
from fastapi import Request, Response
from fastapi.exceptions import RequestValidationError
from pydantic import Field
from starlette.exceptions import HTTPException
from starlette.routing import Match, Route

from schemas.errors import BadInput, Conflict, DawnpackError, NotNow, UnknownThing
from schemas.record import Record
from services.intake.in_words import SEE_SCHEMA, in_words
from worker.api.queries import FarDay, UnknownQuery
from worker.api.stripped import without_places
from worker.ledger.requests import KeyUsedOtherwise

MEDIA: Final = "application/problem+json"
LATER: Final = 5
"""A client may try again after so long when we cannot be used. [s]"""


Where = Literal["body", "path", "query", "header"]


class Wrong(Record):
    """One thing wrong with a request."""

    where: Where
    """Part of the request."""
    pointer: str
    """In the body: a JSON Pointer (RFC 6901), empty for the whole. Elsewhere: `/` and a name."""
    value: str
    """What stood there, cut to 80 characters."""
    says: str
    """What is wrong with it."""
    mend: str
    """What would be right."""


URN: Final = "urn:dawnpack:problem:"
"""What stands before each kind in a document's `type`."""

KINDS: Final[dict[str, tuple[int, str]]] = {
    "bad-input": (422, "What was sent cannot be read as it stands; nothing was kept."),
    "impossible": (422, "No pack can be made of these measures."),
    "key-used-otherwise": (422, "This Idempotency-Key came before with another request."),
    "conflict": (409, "It does not go with what is here."),
    "out-of-date": (409, "It holds a pack that must not be built from."),
    "unknown": (404, "There is nothing of that name."),
    "not-made": (404, "There is none of it yet, or any more."),
    "no-such-method": (405, "This address does not do that."),
    "stale": (412, "It has changed since you read it; read it again."),
    "no-condition": (428, "Say which state you have seen: If-Match with its ETag."),
    "no-key": (401, "A good key is needed: Authorization: Bearer KEY."),
    "not-allowed": (403, "This key may look, but not change anything."),
    "too-large": (413, "The body is too large."),
    "not-json": (415, "The body must be application/json."),
    "too-many": (429, "Too many requests; wait."),
    "not-now": (503, "A part of the service cannot be used at the moment; try again."),
    "bug": (500, "Something unforeseen happened; it is in the log."),
}
"""Status and title of each kind."""


class ProblemDocument(Record):
    """Why a request was not done, by RFC 9457."""

    type: Annotated[str, Field(json_schema_extra={"enum": [f"{URN}{kind}" for kind in KINDS]})]
    """Stable name of the kind of problem, `urn:dawnpack:problem:...`; decide by it."""
    title: str
    """The kind in words."""
    status: int
    """HTTP status."""
    detail: str
    """This case in words."""
    instance: str
    """Name of this request, which the service's log bears too."""
    errors: tuple[Wrong, ...] = ()
    """All that is wrong with what was sent, in its own order."""


BY_ERROR: Final[tuple[tuple[type[DawnpackError], str], ...]] = (
    (BadInput, "bad-input"),
    (KeyUsedOtherwise, "key-used-otherwise"),
    (Conflict, "conflict"),
    (UnknownThing, "unknown"),
    (NotNow, "not-now"),
    (DawnpackError, "impossible"),
)


class BadHeader(BadInput):
    """A header that does not read."""


class Refusal(Exception):
    """The door itself says no."""

    def __init__(self, *, kind: str, detail: str, headers: Mapping[str, str] | None = None) -> None:
        """Keep the kind of problem, this case in words, and headers that go with it."""
        super().__init__(detail)
        self.kind = kind
        self.detail = detail
        self.headers = headers


def problem(
    kind: str,
    *,
    detail: str,
    errors: Sequence[Wrong] = (),
    headers: Mapping[str, str] | None = None,
) -> Response:
    """A problem document as an answer."""
    status, title = KINDS[kind]
    document = ProblemDocument(
        type=f"{URN}{kind}",
        title=title,
        status=status,
        detail=detail,
        instance=this_request(),
        errors=tuple(errors),
    )
    later = {"Retry-After": str(LATER)} if kind == "not-now" else {}
    return Response(
        document.model_dump_json(),
        status_code=status,
        media_type=MEDIA,
        headers={**later, **(headers or {})},
    )


def this_request() -> str:
    """The name that this request has in the log."""
    return str(structlog.contextvars.get_contextvars().get("request", "urn:uuid:"))


def kind_of(no: Exception) -> str:
    """The kind of problem that a refusal is; another error is a fault of what was sent."""
    if isinstance(no, Refusal):
        return no.kind
    return next((name for error, name in BY_ERROR if isinstance(no, error)), "bad-input")


def refused(_: Request, no: Exception) -> Response:
    """One of our own refusals, from wherever in the office it comes."""
    assert isinstance(no, DawnpackError)
    kind = kind_of(no)
    found = no.problems if isinstance(no, BadInput) else ()
    places: dict[type[Exception], Where] = {
        UnknownQuery: "query", BadHeader: "header", FarDay: "path"
    }  # fmt: skip
    where = places.get(type(no), "body")
    errors = [Wrong(where=where, **one.model_dump()) for one in found]
    says = without_places(str(no)) if kind == "not-now" else str(no)
    return problem(kind, detail=says[:2000], errors=errors)


def refused_at_door(_: Request, no: Exception) -> Response:
    """The door's own refusal."""
    assert isinstance(no, Refusal)
    return problem(no.kind, detail=no.detail, headers=no.headers)


def not_readable(_: Request, no: Exception) -> Response:
    """A path, query or header that does not read."""
    assert isinstance(no, RequestValidationError)
    errors = [_wrong(error) for error in no.errors()]
    return problem(
        "bad-input",
        detail="; ".join(f"{e.pointer[1:]} {e.says}" for e in errors)[:2000],
        errors=errors,
    )


def not_routed(request: Request, no: Exception) -> Response:
    """No such address, or not with that method."""
    assert isinstance(no, HTTPException)
    if no.status_code != 405:
        return problem("unknown", detail=f"no address {request.url.path}"[:200])
    allowed = ", ".join(sorted(_methods_at(request)))
    detail = f"{request.scope.get('asked', request.method)} is not done here, but {allowed}"
    return problem("no-such-method", detail=detail, headers={"Allow": allowed})


def _methods_at(request: Request) -> set[str]:
    """Every method of the address (RFC 9110, 10.2.1): it may stand there once for each."""
    routes: list[Route] = request.app.state.routes
    here = [route for route in routes if route.matches(request.scope)[0] is not Match.NONE]
    methods = {method for route in here for method in route.methods or ()}
    return methods | ({"HEAD"} if "GET" in methods else set())


def _wrong(error: Mapping[str, object]) -> Wrong:
    place = error["loc"]
    assert isinstance(place, tuple)
    says, mend = in_words(error)
    if mend == SEE_SCHEMA:
        mend = "see the description of this address in /openapi.json"
    return Wrong.model_validate(
        {
            "where": place[0],
            "pointer": "/" + "/".join(str(step) for step in place[1:]),
            "value": ascii(error.get("input", ""))[:80],
            "says": says,
            "mend": mend,
        }
    )
