"""Nights over HTTP: asked for, looked at, reported on; and each crew's bundle."""

from __future__ import annotations

from collections import Counter
from datetime import date
from typing import Annotated, Any, Literal

from fastapi import APIRouter, BackgroundTasks, Depends, Path, Request, Response
from sqlalchemy import Row

from schemas.delivery import NightReport
from schemas.errors import UnknownThing
from schemas.site import Answer
from worker import clock
from worker.api.bodies import Answering, Body, body_doc, read_body
from worker.api.callers import Office, Officer, Reader, named
from worker.api.conditions import check_seen, shown, tag_of
from worker.api.examples import BOOKING_ANSWER
from worker.api.openapi import refusals
from worker.api.problems import Refusal
from worker.api.queries import IsoDay, reached
from worker.api.stripped import without_places
from worker.api.views import BookingsView, CrewView, NightView, bookings_view
from worker.bookings import Bookings, answer_booking, bookings_of
from worker.bootstrap import Works
from worker.health import SILENT, looked_ago
from worker.ledger.deliveries import delivered_as
from worker.ledger.gathering import last_line, one_line
from worker.ledger.nights import NightRow, due_jobs, night_for
from worker.ledger.opening import Tx
from worker.ledger.reading import bundles_of, counts
from worker.ledger.runs import RunRow, ask, is_asked_for, set_aside
from worker.ledger.standing import changes_of, to_destroy
from worker.night.run import CUT_OFF
from worker.night.supplements import late_changes, supplement_file

router = APIRouter(prefix="/v1/nights", tags=["nights"])


State = Literal["asked", "open", "closed", "failed"]


def _day(
    works: Office,
    day: Annotated[
        IsoDay,
        Path(description="Day the crews work, ISO 8601; ten years back to two years ahead."),
    ],
) -> date:
    return reached(works, day)


Day = Annotated[date, Depends(_day)]
CrewKey = Annotated[
    str, Path(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]{0,39}$", description="Crew key.")
]


@router.post(
    "/{day}/runs",
    status_code=202,
    response_model=NightView,
    responses=refusals(401, 403, 422, 429, 503),
)
def run(request: Request, works: Office, _: Officer, day: Day, after: BackgroundTasks) -> Response:
    """Have every crew's bundle for a day made and delivered.

    It may be asked for again at any time and then makes only what has changed. Look at the
    address in Location: when the night is closed, its report is there.
    """
    named(request, night=day.isoformat())
    with works.ledger.writing() as tx:
        ask(tx, works.library.company.key, day, patience=CUT_OFF)
        shows = _view(tx, works, day)
    after.add_task(request.app.state.nudge)
    headers = {"Location": _address(day), "Retry-After": "5"}
    return Response(
        shows.model_dump_json(), status_code=202, media_type="application/json", headers=headers
    )


@router.get("/{day}", response_model=NightView, responses=refusals(304, 401, 404, 422, 429, 503))
def read_night(request: Request, works: Office, _: Reader, day: Day) -> Response:
    """How a night stands: its jobs by state, its crews and their bundles."""
    with works.ledger.reading() as tx:
        return shown(request, _view(tx, works, day).model_dump_json())


@router.get(
    "/{day}/report", response_model=NightReport, responses=refusals(304, 401, 404, 422, 429, 503)
)
def read_report(request: Request, works: Office, _: Reader, day: Day) -> Response:
    """The report of a night's last run, with the proof that no job was forgotten."""
    with works.ledger.reading() as tx:
        night = night_at(tx, works, day)
    if not night.report:
        raise Refusal(kind="not-made", detail=f"the night for {day} has not ended yet")
    return shown(request, works.store.get(night.report))


@router.get(
    "/{day}/bookings", response_model=BookingsView, responses=refusals(304, 401, 404, 422, 429, 503)
)
def read_bookings(request: Request, works: Office, _: Reader, day: Day) -> Response:
    """What the last run asks about who works where when, and what was answered."""
    return shown(request, _text(bookings_of(works, day)))


@router.post(
    "/{day}/answers",
    response_model=BookingsView,
    responses=refusals(401, 403, 404, 409, 412, 413, 415, 422, 428, 429, 503),
    openapi_extra=body_doc(Answering, answer=BOOKING_ANSWER),
)
def answer(raw: Body, request: Request, works: Office, _: Officer, day: Day) -> Response:
    """Answer a question about a day's bookings, as it stands at `/bookings`.

    The next run of the night goes by it: the crew's day sheet says who decided, and it is not
    asked again while the same is the matter.
    """
    named(request, night=day.isoformat())
    said = Answer(**read_body(raw, Answering).model_dump())
    found = answer_booking(
        works, day, said, check=lambda now: check_seen(request, tag_of(_text(now)))
    )
    text = _text(found)
    headers = {"ETag": tag_of(text), "Content-Location": f"{_address(day)}/bookings"}
    return Response(text, media_type="application/json", headers=headers)


def _text(found: Bookings) -> str:
    text: str = bookings_view(found).model_dump_json()
    return text


@router.get(
    "/{day}/crews/{crew}/bundle.pdf",
    response_class=Response,
    responses={
        200: {
            "description": "The bundle.",
            "content": {"application/pdf": {"schema": {"type": "string", "format": "binary"}}},
        },
        **refusals(304, 401, 404, 409, 422, 429, 503),
    },
)
def read_bundle(request: Request, works: Office, _: Reader, day: Day, crew: CrewKey) -> Response:
    """A crew's bundle: day sheet, load-out and the packs of its stops.

    `409` while it holds a pack that must not be built from: `detail` names the job, and the next
    run of the night makes it anew.
    """
    with works.ledger.reading() as tx:
        row = bundle_of(tx, works, day, crew)
        gone = to_destroy(tx, row, day) if row.state == "made" else ()
    if gone:
        raise Refusal(kind="out-of-date", detail=f"{'; '.join(gone)}; run the night again")
    if row.state != "made":
        raise Refusal(kind="not-made", detail=f"the bundle of crew {crew} for {day} is {row.state}")
    name = f'inline; filename="{day}-{crew}-{row.code}.pdf"'
    return shown(
        request, works.store.get(row.pdf),
        media="application/pdf", tag=f'"{row.pdf}"', headers={"Content-Disposition": name},
    )  # fmt: skip


@router.get(
    "/{day}/crews/{crew}/supplement.pdf",
    response_class=Response,
    responses={
        200: {
            "description": "The supplement.",
            "content": {"application/pdf": {"schema": {"type": "string", "format": "binary"}}},
        },
        **refusals(304, 401, 404, 422, 429, 503),
    },
)
def read_supplement(
    request: Request, works: Office, _: Reader, day: Day, crew: CrewKey
) -> Response:
    """What brings a crew's printed bundle up to date after a late change."""
    with works.ledger.reading() as tx:
        bundle_of(tx, works, day, crew)
        sha256 = delivered_as(tx, night_at(tx, works, day), supplement_file(crew))
    if not sha256:
        detail = f"nothing has changed for crew {crew} on {day} since its bundle was printed"
        raise Refusal(kind="not-made", detail=detail)
    return shown(
        request, works.store.get(sha256), media="application/pdf", tag=f'"{sha256}"',
        headers={"Content-Disposition": f'inline; filename="{day}-{crew}-supplement.pdf"'},
    )  # fmt: skip


def bundle_of(tx: Tx, works: Works, day: date, crew: str) -> Row[Any]:
    """A crew's bundle of a day, made or not.

    Raises:
        UnknownThing: No night was run, or the crew has no work that day.
    """
    rows = bundles_of(tx, night_at(tx, works, day))
    row = next((row for row in rows if row.crew == crew), None)
    if row is None:
        msg = f"crew {crew} has no work on {day}"
        raise UnknownThing(msg)
    return row


def night_at(tx: Tx, works: Works, day: date) -> NightRow:
    """The night of a day.

    Raises:
        UnknownThing: None was run.
    """
    night = night_for(tx, company=works.library.company.key, day=day)
    if night is None:
        msg = f"no night was run for {day}"
        raise UnknownThing(msg)
    return night


def _view(tx: Tx, works: Works, day: date) -> NightView:
    company = works.library.company.key
    at = _address(day)
    asked, broken = is_asked_for(tx, company, day), set_aside(tx, company, day=day)
    night = night_for(tx, company=company, day=day)
    if night is None and (asked or broken):
        state: State = "asked" if asked else "failed"
        says = _says(tx, works, state, broken)
        return NightView(work_date=day.isoformat(), state=state, says=says, links={"self": at})
    night = night_at(tx, works, day)
    done = {"report": f"{at}/report", "bookings": f"{at}/bookings"} if night.report else {}
    jobs, due = counts(tx, night), Counter(job.crew for job in due_jobs(tx, night))
    running: State = "open" if night.state == "open" else "closed"
    state = "asked" if asked else "failed" if broken else running
    return NightView(
        work_date=day.isoformat(),
        state=state,
        says=_says(tx, works, state, broken),
        runs=night.runs,
        opened=clock.text(night.opened_ms),
        closed=clock.text(night.closed_ms) if night.closed_ms else "",
        jobs_due=sum(jobs.values()),
        jobs=jobs,
        crews=tuple(_crew(tx, row, night, due[row.crew]) for row in bundles_of(tx, night)),
        links={"self": at, **done},
    )


def _says(tx: Tx, works: Works, state: State, broken: list[RunRow]) -> str:
    if state == "failed":
        return without_places(broken[-1].error)
    if state in {"asked", "open"} and looked_ago(tx, works) > SILENT:
        return "nobody looks at the nights: start `dawnpack schedule`"
    return ""


def _crew(tx: Tx, row: Row[Any], night: NightRow, jobs: int) -> CrewView:
    made, day = row.state == "made", night.work_date
    here = f"{_address(day)}/crews/{row.crew}"
    changes = changes_of(tx, row, day) if made else ()
    good = made and not to_destroy(tx, row, day)
    links = {"bundle": f"{here}/bundle.pdf", "prints": f"{here}/prints"} if good else {}
    if late_changes(row):
        links["supplement"] = f"{here}/supplement.pdf"
    return CrewView(
        crew=row.crew,
        state="stale" if changes else row.state,
        changes=changes,
        jobs=jobs,
        code=row.code if made else "",
        pages=row.pages if made else 0,
        error=without_places(one_line(last_line(row.error))) if row.state == "failed" else "",
        links=links,
    )


def _address(day: date) -> str:
    return f"/v1/nights/{day.isoformat()}"
