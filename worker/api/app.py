"""The service put together: its addresses, its refusals, its description."""

from __future__ import annotations

from collections.abc import Callable
from importlib.metadata import version
from typing import Any, Final

from fastapi import Depends, FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException

from schemas.errors import DawnpackError
from worker.api import check, jobs, morning, nights, prints, problems, state
from worker.api.callers import Pace
from worker.api.metrics import LedgerMeters, Meters
from worker.api.openapi import describe
from worker.api.queries import only_known
from worker.api.witness import Witness
from worker.bell import Bell
from worker.bootstrap import Works

PARTS: Final = (jobs, nights, prints, check, state, morning)


def make_service(
    works: Works,
    *,
    bell: Callable[[], Bell | None] = lambda: None,
    nudge: Callable[[], None] = lambda: None,
) -> FastAPI:
    """The service on some works.

    Args:
        works: The works.
        bell: The broker's bell, if it is up here; none: one is made when health is asked for.
        nudge: Called after a night was asked for, so that it is looked at soon.
    """
    app = addresses()
    app.state.works, app.state.bell, app.state.nudge = works, bell, nudge
    app.state.routes = [route for part in PARTS for route in part.router.routes]
    app.state.pace = Pace(works.settings.requests_a_minute)
    app.state.meters = Meters()
    app.state.meters.registry.register(LedgerMeters(works))
    app.add_exception_handler(DawnpackError, problems.refused)
    app.add_exception_handler(problems.Refusal, problems.refused_at_door)
    app.add_exception_handler(RequestValidationError, problems.not_readable)
    app.add_exception_handler(HTTPException, problems.not_routed)
    app.add_middleware(Witness, meters=app.state.meters)
    return app


def addresses() -> FastAPI:
    """All addresses and their description, with nothing behind them."""
    app = FastAPI(
        version=version("dawnpack"), docs_url=None, redoc_url=None, redirect_slashes=False,
        dependencies=[Depends(only_known)],
    )  # fmt: skip
    for part in PARTS:
        app.include_router(part.router)
    app.openapi = lambda: describe(app)  # type: ignore[method-assign]
    return app


def openapi_document() -> dict[str, Any]:
    """What the service says of itself."""
    return describe(addresses())
