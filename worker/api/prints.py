"""A crew's bundle on its way to paper: its receipts, and another copy for whoever lost his."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Request, Response
from pydantic import TypeAdapter

from worker import clock
from worker.api.bodies import Body, Deciding, body_doc, read_body
from worker.api.callers import Office, Officer, Reader, named
from worker.api.conditions import shown
from worker.api.examples import DECISION
from worker.api.nights import CrewKey, Day, bundle_of, night_at
from worker.api.once import KEY_HEADER, asked_as
from worker.api.openapi import refusals
from worker.api.stripped import without_places
from worker.api.views import PrintView
from worker.ledger import prints
from worker.ledger.prints import Print
from worker.ledger.requests import Answered, answered_before, keep_answer

router = APIRouter(prefix="/v1/nights/{day}/crews/{crew}/prints", tags=["nights"])

VIEWS = TypeAdapter(tuple[PrintView, ...])


@router.get("", response_model=list[PrintView], responses=refusals(304, 401, 404, 422, 429, 503))
def read_prints(request: Request, works: Office, _: Reader, day: Day, crew: CrewKey) -> Response:
    """What became of each print of a crew's bundles, the first one first."""
    with works.ledger.reading() as tx:
        bundle_of(tx, works, day, crew)
        found = prints.prints_of(tx, night_at(tx, works, day))
    views = tuple(_view(one) for one in found if one.crew == crew)
    return shown(request, VIEWS.dump_json(views))


@router.post(
    "",
    status_code=202,
    response_model=PrintView,
    responses=refusals(401, 403, 404, 409, 413, 415, 422, 429, 503),
    openapi_extra=body_doc(Deciding, again=DECISION),
)
def print_again(
    raw: Body, request: Request, works: Office, key: Officer, day: Day, crew: CrewKey,
    idempotency_key: Annotated[str | None, KEY_HEADER] = None,
) -> Response:  # fmt: skip
    """Have a crew's bundle printed once more, whole.

    Each request is one more copy. Send an `Idempotency-Key`, and the same request sent again
    after a broken line makes none besides.
    """
    named(request, night=day.isoformat(), crew=crew)
    who, asked = read_body(raw, Deciding), asked_as(request, key, raw, idempotency_key)
    with works.ledger.writing() as tx:
        known = answered_before(tx, asked) if asked else None
        if known:
            return _taken(known)
        bundle_of(tx, works, day, crew)
        made = prints.again(tx, night_at(tx, works, day), crew, by=who.by, why=who.why)
        body = _view(made).model_dump_json()
        answer = Answered(status=202, location=_address(day, crew), body=body)
        return _taken(keep_answer(tx, asked, answer) if asked else answer)


def _taken(known: Answered) -> Response:
    headers = {"Location": known.location}
    return Response(
        known.body, status_code=known.status, media_type="application/json", headers=headers
    )


def _view(row: Print) -> PrintView:
    return PrintView(
        code=row.code, copy_number=row.copy, state=row.state, asked_by=row.asked_by,
        says=without_places(row.says), asked=clock.text(row.made_ms),
        done=clock.text(row.done_ms) if row.done_ms else "",
    )  # fmt: skip


def _address(day: date, crew: str) -> str:
    return f"/v1/nights/{day}/crews/{crew}/prints"
