"""The address behind the code on every sheet: may this paper be built from?

It is open to anybody who holds the sheet, and so says nothing that is not on it.
"""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Depends, Path, Request, Response

from worker.api.callers import Office, anybody
from worker.api.conditions import shown
from worker.api.openapi import refusals
from worker.api.templates import page
from worker.api.views import CheckView
from worker.ledger.standing import Standing, standing_of

router = APIRouter(prefix="/v1/check", tags=["printed codes"], dependencies=[Depends(anybody)])

WHAT_TO_DO: Final = {
    "current": "This sheet is current.",
    "superseded": "Destroy this sheet. Work from the one named here.",
    "withdrawn": "Destroy this sheet: the job or day is withdrawn. Call the office.",
    "unknown": "This code is not one of ours. Read it again, letter by letter, or call the office.",
}
CHANGED: Final = "This sheet is out of date. What changed since it was made stands below."
NO_OTHER: Final = "Do not build from this sheet: a newer one is being made. Call the office."


@router.get(
    "/{code}",
    response_model=CheckView,
    responses={
        200: {"content": {"text/html": {"schema": {"type": "string"}}}},
        **refusals(304, 422, 429, 503),
    },
)
def check(
    request: Request,
    works: Office,
    code: Annotated[str, Path(pattern=r"^[A-Za-z0-9 -]{1,40}$", description="As printed.")],
) -> Response:
    """Say whether the sheet with this code is current: as a page for a phone, or as JSON."""
    with works.ledger.reading() as tx:
        shows = _view(standing_of(tx, code))
    if "text/html" in request.headers.get("accept", ""):
        text = page("check.html", shows=shows, company=works.library.company.name)
        return shown(request, text, media="text/html", headers={"Vary": "Accept"})
    return shown(request, shows.model_dump_json(), headers={"Vary": "Accept"})


def _view(stands: Standing) -> CheckView:
    says = WHAT_TO_DO[stands.verdict]
    if stands.verdict == "superseded" and not stands.current:
        says = CHANGED if stands.changes else NO_OTHER
    return CheckView(
        code=stands.code,
        verdict=stands.verdict,
        says=says,
        thing=stands.thing,
        current=stands.current,
        changes=stands.changes,
    )
