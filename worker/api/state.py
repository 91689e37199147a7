"""Whether the service lives, whether it can take jobs in, and what it measures."""

from __future__ import annotations

from typing import Literal

from fastapi import APIRouter, Request, Response

from schemas.record import Record
from worker import health
from worker.api.callers import Office, Reader
from worker.api.metrics import Meters
from worker.api.openapi import refusals

router = APIRouter(tags=["state"])


class AliveView(Record):
    """The process answers."""

    alive: Literal[True] = True


class PartView(Record):
    """One thing the work needs."""

    what: Literal["ledger", "store", "disk", "broker", "schedule", "nights"]
    """Schedule: somebody looks at the nights. Nights: none of them is set aside as broken."""
    well: bool


class ReadyView(Record):
    """Whether jobs can be taken in."""

    ready: bool
    """Ledger, store and disk are well. Without broker and schedule jobs are still taken in and
    kept."""
    parts: tuple[PartView, ...]


@router.get("/livez", response_model=AliveView, responses=refusals(422))
def alive() -> AliveView:
    """Say that the process answers; nothing else is looked at."""
    return AliveView()


@router.get(
    "/readyz",
    response_model=ReadyView,
    responses={
        503: {"model": ReadyView, "description": "Jobs cannot be taken in now."},
        **refusals(422),
    },
)
def ready(request: Request, works: Office) -> Response:
    """Use ledger, store, disk and broker once and say how each is, and whether nights are run."""
    parts = health.look(works, request.app.state.bell())
    shows = ReadyView(
        ready=health.is_ready(parts),
        parts=tuple(PartView.model_validate({"what": p.what, "well": p.well}) for p in parts),
    )
    status = 200 if shows.ready else 503
    return Response(shows.model_dump_json(), status_code=status, media_type="application/json")


@router.get(
    "/metrics",
    response_class=Response,
    responses={
        200: {
            "description": "Prometheus text format.",
            "content": {"text/plain": {"schema": {"type": "string"}}},
        },
        **refusals(401, 422, 429, 503),
    },
)
def metrics(request: Request, _: Reader) -> Response:
    """What the service measures, for a collector with a key."""
    meters: Meters = request.app.state.meters
    return Response(meters.read(), media_type="text/plain; version=0.0.4")
