"""Tags of what was read, and changes made only to what their sender has seen.

Source:
    RFC 9110, 8.8.3 (ETag), 13.1.1 (If-Match, strong comparison), 13.1.2 (If-None-Match, weak).
    RFC 6585, 3 (428 Precondition Required).
"""

from __future__ import annotations

import re
from hashlib import sha256
from typing import Final

from fastapi import Request, Response

from schemas.errors import Problem
from worker.api.problems import BadHeader, Refusal

_TAG: Final = re.compile(r'(?:W/)?"[\x21\x23-\x7e\x80-\xff]*"')


def tag_of(content: str | bytes) -> str:
    """The strong tag of a representation."""
    raw = content.encode() if isinstance(content, str) else content
    return f'"{sha256(raw).hexdigest()[:32]}"'


def shown(
    request: Request,
    content: str | bytes,
    *,
    media: str = "application/json",
    tag: str = "",
    headers: dict[str, str] | None = None,
) -> Response:
    """A representation, or word that the client has it already.

    Args:
        request: For If-None-Match.
        content: The representation.
        media: Its media type.
        tag: Its tag; empty: that of the content.
        headers: Further ones.
    """
    tag = tag or tag_of(content)
    own = {"ETag": tag, "Cache-Control": "private, no-cache", **(headers or {})}
    seen = request.headers.get("if-none-match", "")
    if seen.strip() == "*" or tag in [found.removeprefix("W/") for found in _TAG.findall(seen)]:
        return Response(status_code=304, headers=own)
    return Response(content, media_type=media, headers=own)


def check_seen(request: Request, tag: str) -> None:
    """Refuse a change whose sender has not seen what it changes.

    Raises:
        Refusal: If-Match is missing, or names another state.
        BadHeader: It is no ETag.
    """
    seen = request.headers.get("if-match", "")
    if not seen:
        raise Refusal(
            kind="no-condition", detail=f"this change needs If-Match; the ETag now is {tag}"
        )
    if seen.strip() != "*" and not _TAG.search(seen):
        raise BadHeader([_unquoted(seen)])
    if seen.strip() != "*" and tag not in _TAG.findall(seen):
        raise Refusal(kind="stale", detail=f"the ETag now is {tag}", headers={"ETag": tag})


def _unquoted(seen: str) -> Problem:
    return Problem(
        pointer="/If-Match",
        value=ascii(seen)[1:81],
        says="is not an ETag",
        mend='send the ETag as it came, with its double quotes: If-Match: "..."',
    )
