"""The office's page: a day at a glance, and the few things that are decided from it.

It needs no script and works with a keyboard, a screen reader and a phone. Who comes in shows a
key once; a cookie that no other site's request carries holds it from then on.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Annotated, Final
from urllib.parse import parse_qs, urlsplit

from fastapi import APIRouter, Depends, Query, Request, Response
from fastapi.responses import RedirectResponse

from schemas.errors import BadInput, Conflict, DawnpackError, UnknownThing
from schemas.site import Answer
from services.delivery import runs_due
from services.intake.reading import read_document
from worker import clock, desk
from worker.api.board import board_of
from worker.api.bodies import Answering, Splitting
from worker.api.callers import COOKIE, Office, admit, anybody, named, only_office
from worker.api.conditions import tag_of
from worker.api.problems import KINDS, Refusal, kind_of
from worker.api.queries import IsoDay, reached
from worker.api.templates import page
from worker.api.views import bookings_view, job_view
from worker.bookings import Bookings, answer_booking
from worker.bootstrap import Works
from worker.ledger import deciding, prints, runs
from worker.ledger.api_keys import ApiKey
from worker.ledger.nights import newest_day, night_for
from worker.ledger.opening import Tx
from worker.ledger.records import JobRow, job_by_number
from worker.splitting import split_job

router = APIRouter(include_in_schema=False)

LARGEST_FORM: Final = 16_384
"""Of a form that is sent back. [bytes]"""

HOURS: Final = 12
"""A session lasts so long. [h]"""

GUARDS: Final = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'",
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
}
"""Nothing from elsewhere is loaded, and no other page may frame this one."""


async def form(request: Request) -> dict[str, str]:
    """The fields of a form that came from our own page.

    Raises:
        Refusal: It came from another site, or is too large.
    """
    origin = request.headers.get("origin", "")
    if origin and urlsplit(origin).netloc != request.headers.get("host", ""):
        raise Refusal(kind="not-allowed", detail=f"a form of another site: {origin[:200]}")
    came = bytearray()
    async for part in request.stream():
        came += part
        if len(came) > LARGEST_FORM:
            raise Refusal(kind="too-large", detail=f"the limit is {LARGEST_FORM} bytes")
    read = parse_qs(came.decode("utf-8", "replace"), keep_blank_values=True)
    return {name: values[-1].strip() for name, values in read.items()}


Form = Annotated[dict[str, str], Depends(form)]


@router.get("/")
def morning(
    request: Request, works: Office, day: Annotated[IsoDay | None, Query()] = None
) -> Response:
    """The page of a day; none named: the one that is due."""
    try:
        key = _who(request, works)
    except Refusal as no:
        return _turned_away(no)
    return _shown(works, key, reached(works, day, query=True) if day else _day(works))


@router.get("/login")
def login(works: Office) -> Response:
    """Ask for a key."""
    return _html("login.html", works=works, says="")


@router.post("/login", dependencies=[Depends(anybody)])
def log_in(request: Request, works: Office, sent: Form) -> Response:
    """Take a key, and let its bearer in."""
    try:
        admit(request, works, sent.get("key", ""))
    except Refusal as no:
        return _html("login.html", works=works, says="This is not a good key.", status=_status(no))
    answer = RedirectResponse("/", status_code=303)
    forwarded = request.headers.get("x-forwarded-proto", request.url.scheme)
    answer.set_cookie(
        COOKIE, sent["key"], max_age=HOURS * 3600, httponly=True, samesite="strict",
        secure=forwarded == "https",
    )  # fmt: skip
    return answer


@router.post("/logout")
def log_out(_: Form) -> Response:
    """Forget the key."""
    answer = RedirectResponse("/login", status_code=303)
    answer.delete_cookie(COOKIE)
    return answer


@router.post("/answers")
def answer(request: Request, works: Office, sent: Form) -> Response:
    """Answer a question that holds a job."""

    def decide() -> None:
        job = sent.get("job", "")
        named(request, job=job)
        fields = {name: sent.get(name, "") for name in Answering.model_fields}
        said = Answer(**read_document(json.dumps(fields).encode(), Answering).model_dump())
        with works.ledger.reading() as tx:
            _check_seen(tx, job, sent)
        asks = desk.asked_after(works, job, said)
        with works.ledger.writing() as tx:
            _check_seen(tx, job, sent)
            deciding.answer(tx, job, said, asks=asks)

    return _decide(request, works, sent, decide)


def _check_seen(tx: Tx, job: str, sent: Form) -> None:
    _seen(job_by_number(tx, job), sent)


def _seen(row: JobRow, sent: Form) -> None:
    if tag_of(job_view(row).model_dump_json()) != sent.get("seen"):
        msg = f"{row.job} changed since this page was loaded; nothing was done"
        raise Conflict(msg)


@router.post("/prints")
def print_again(request: Request, works: Office, sent: Form) -> Response:
    """Have a crew's bundle printed once more."""

    def decide() -> None:
        day, crew = _named_day(works, sent), sent.get("crew", "")
        named(request, night=day.isoformat(), crew=crew)
        who = {name: sent.get(name, "") for name in ("by", "why")}
        if not all(who.values()):
            msg = "say who wants another copy, and why"
            raise Conflict(msg)
        with works.ledger.writing() as tx:
            night = night_for(tx, company=works.library.company.key, day=day)
            if night is None:
                msg = f"no night was run for {day}"
                raise UnknownThing(msg)
            prints.again(tx, night, crew, **who)

    return _decide(request, works, sent, decide)


@router.post("/bookings")
def answer_bookings(request: Request, works: Office, sent: Form) -> Response:
    """Answer a question about the day's bookings."""

    def decide() -> None:
        day = _named_day(works, sent)
        named(request, night=day.isoformat())
        fields = {name: sent.get(name, "") for name in Answering.model_fields}
        said = Answer(**read_document(json.dumps(fields).encode(), Answering).model_dump())
        answer_booking(works, day, said, check=lambda now: _same(now, sent))

    return _decide(request, works, sent, decide)


def _same(now: Bookings, sent: Form) -> None:
    if tag_of(bookings_view(now).model_dump_json()) != sent.get("seen"):
        msg = "the bookings changed since this page was loaded; nothing was done"
        raise Conflict(msg)


@router.post("/splits")
def split(request: Request, works: Office, sent: Form) -> Response:
    """Split a job by day, or by area."""

    def decide() -> None:
        job, by_day = sent.get("job", ""), sent.get("how") == "day"
        named(request, job=job)
        legs = [leg.strip() for leg in sent.get("second", "").split(",") if leg.strip()]
        fields = {"second": [] if by_day else legs, "by_day": by_day}
        said = {name: sent.get(name, "") for name in ("install_date", "crew", "by", "why")}
        to = read_document(json.dumps(fields | said).encode(), Splitting)
        split_job(
            works, job, second=to.second, by_day=to.by_day,
            install_date=date.fromisoformat(to.install_date or ""), crew=to.crew,
            by=to.by, why=to.why, check=lambda row: _seen(row, sent),
        )  # fmt: skip

    return _decide(request, works, sent, decide)


def _decide(
    request: Request, works: Works, sent: dict[str, str], decide: Callable[[], None]
) -> Response:
    """Make a decision and show the day again, or say beside it why it was not made."""
    try:
        key = _who(request, works)
    except Refusal as no:
        return _turned_away(no)
    day = _sent_day(works, sent) or _day(works)
    try:
        only_office(key)
        decide()
    except (DawnpackError, Refusal, ValueError) as no:
        return _shown(works, key, day, says=_words(no), status=_status(no))
    return RedirectResponse(f"/?day={day}", status_code=303)


def _who(request: Request, works: Works) -> ApiKey:
    return admit(request, works, request.cookies.get(COOKIE, ""))


def _turned_away(no: Refusal) -> Response:
    if no.kind == "no-key":
        return RedirectResponse("/login", status_code=303)
    raise no


def _shown(works: Works, key: ApiKey, day: date, *, says: str = "", status: int = 200) -> Response:
    return _html(
        "morning.html", works=works, says=says, status=status,
        board=board_of(works, day), may=key.role == "office", owner=key.owner,
        before=day - timedelta(days=1), after=day + timedelta(days=1),
        teams=[(crew.key, crew.name) for crew in works.library.company.crews],
    )  # fmt: skip


def _html(name: str, *, works: Works, says: str, status: int = 200, **shows: object) -> Response:
    text = page(name, company=works.library.company.name, says=says, **shows)
    return Response(text, status_code=status, media_type="text/html", headers=GUARDS)


def _day(works: Works) -> date:
    """The day whose night is due or comes next with jobs on it; else the last that was run."""
    company = works.library.company
    with works.ledger.reading() as tx:
        now = datetime.fromtimestamp(tx.now_ms / 1000, tz=UTC)
        today = clock.day_of(tx.now_ms, company.zone)
        days = runs.days_with_jobs(tx, since=today)
        due = {run.work_date for run in runs_due(company, now=now, days_with_jobs=days)} & days
        if days:
            return max(due) if due else min(days)
        return newest_day(tx, company=company.key, until=today) or today


def _named_day(works: Works, sent: dict[str, str]) -> date:
    return desk.within_reach(works, date.fromisoformat(sent.get("day", "")), pointer="/day")


def _sent_day(works: Works, sent: dict[str, str]) -> date | None:
    try:
        return _named_day(works, sent)
    except (ValueError, BadInput):
        return None


def _words(no: Exception) -> str:
    if isinstance(no, BadInput):
        return "; ".join(f"{p.pointer.strip('/')}: {p.says}" for p in no.problems)
    return str(no)


def _status(no: Exception) -> int:
    return KINDS[kind_of(no)][0]
