"""What a request's body may be: read within its limits, as strictly as a file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Final, TypeVar

from fastapi import Depends, Request
from pydantic import BaseModel, Field

from schemas.record import Key, Line, Record
from schemas.site import LegName
from services.intake.reading import LARGEST, read_document
from worker.api.problems import Refusal

Document = TypeVar("Document", bound=BaseModel)


class Answering(Record):
    """The office's answer to a question that holds a job."""

    question: Key
    """Key of the question."""
    option: Key
    """Key of the option chosen."""
    by: Line
    """Who decided; goes on record and on paper."""
    why: Line
    """On what ground; goes on record and on paper."""


class Deciding(Record):
    """Who decided, and why."""

    by: Line
    """Goes on record."""
    why: Line
    """Goes on record."""


class Moving(Record):
    """Another day or crew for a job; what is left out stays as it is."""

    install_date: Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$")] | None = None
    """Day of work in the company's time zone, ISO 8601."""
    crew: Key | None = None
    """Key of the crew, from the company file."""
    by: Line
    """Who decided; goes on record."""
    why: Line
    """On what ground; goes on record."""


class Splitting(Record):
    """How a job is parted; what is left out stays as it is. Name legs, or say `by_day`."""

    second: Annotated[tuple[LegName, ...], Field(max_length=200)] = ()
    """By area: legs of part 2, whole guard lines."""
    by_day: bool = False
    """By day: posts on the job's own day, rails on `install_date`."""
    install_date: Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$")] | None = None
    """Day of part 2 in the company's time zone, ISO 8601."""
    crew: Key | None = None
    """Key of the crew of part 2, from the company file."""
    by: Line
    """Who decided; goes on record."""
    why: Line
    """On what ground; goes on record."""


async def body(request: Request) -> bytes:
    """The body as it came.

    Raises:
        Refusal: It is not said to be JSON, or is over the limit: read no further.
    """
    media = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if media != "application/json":
        raise Refusal(kind="not-json", detail=f"the Content-Type is {media or 'missing'!r:.60}")
    came = bytearray()
    async for part in request.stream():
        came += part
        if len(came) > LARGEST:
            raise Refusal(
                kind="too-large",
                detail=f"the limit is {LARGEST} bytes",
                headers={"Connection": "close"},
            )
    return bytes(came)


Body = Annotated[bytes, Depends(body)]


def read_body(raw: bytes, kind: type[Document]) -> Document:
    """Read a body.

    Raises:
        BadInput: With every problem of it.
    """
    return read_document(raw, kind)


def body_doc(kind: type[BaseModel], **examples: Mapping[str, object]) -> dict[str, Any]:
    """How a body is described in the OpenAPI document."""
    content: dict[str, Any] = {"schema": {"$ref": f"#/components/schemas/{kind.__name__}"}}
    if examples:
        content["examples"] = {name: {"value": value} for name, value in examples.items()}
    return {"requestBody": {"required": True, "content": {"application/json": content}}}


BODIES: Final = (Answering, Deciding, Moving, Splitting)
