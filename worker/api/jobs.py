"""Jobs over HTTP: taken in, read, answered, moved, withdrawn, tried again."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter, Path, Query, Request, Response

from schemas.errors import BadInput, Problem
from schemas.plan import Plan
from schemas.site import Answer
from schemas.submission import Submission
from schemas.wording import in_english
from worker import desk
from worker.api.bodies import Answering, Body, Deciding, Moving, Splitting, body_doc, read_body
from worker.api.callers import Office, Officer, Reader, named
from worker.api.conditions import check_seen, shown, tag_of
from worker.api.examples import ANSWER, DECISION, MOVE, SPLIT, SPLIT_BY_DAY, SUBMISSION
from worker.api.once import KEY_HEADER, asked_as
from worker.api.openapi import refusals
from worker.api.problems import Refusal
from worker.api.queries import IsoDay, reached
from worker.api.views import EventView, JobPage, JobView, event_view, job_address, job_view
from worker.bootstrap import Works
from worker.desk import Came
from worker.fail_points import passing
from worker.ledger import deciding
from worker.ledger.finishing import fetched
from worker.ledger.listing import jobs_page
from worker.ledger.moves import WITH_PACK
from worker.ledger.opening import Tx
from worker.ledger.reading import happened
from worker.ledger.records import JobRow, job_by_id, job_by_number, work_on
from worker.ledger.requests import Answered, answered_before, keep_answer
from worker.moving import move_job
from worker.queues import PACKS
from worker.splitting import split_job

router = APIRouter(prefix="/v1/jobs", tags=["jobs"])

Number = Annotated[
    str, Path(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]{0,39}$", description="Job number.")
]
When = Annotated[
    Literal["night", "now"],
    Query(description="Now: make the pack as soon as may be; also if it came before without."),
]
State = Literal[
    "received", "held", "refused", "planned", "packed", "bundled", "delivered",
    "withdrawn", "replaced", "failed",
]  # fmt: skip


@router.post(
    "",
    status_code=202,
    response_model=JobView,
    responses={
        200: {"model": JobView, "description": "It had come before; this is how it stands."},
        **refusals(401, 403, 409, 413, 415, 422, 429, 503),
    },
    openapi_extra=body_doc(Submission, submission=SUBMISSION),
)
def submit(
    raw: Body,
    request: Request,
    works: Office,
    key: Officer,
    idempotency_key: Annotated[str | None, KEY_HEADER] = None,
    when: When = "night",
) -> Response:
    """Take a submission in.

    When this has answered, the job is on disk and will not be lost. It may be held at once: then
    its questions are in the answer. The same job and revision with the same content is answered
    as it stands, with other content it is refused; a higher revision replaces all lower ones.
    """
    asked = asked_as(request, key, raw, idempotency_key)
    with works.ledger.reading() as tx:
        known = answered_before(tx, asked) if asked else None
    if known:
        return _again(known)
    came = desk.read(works, raw, came_as=f"POST /v1/jobs, key {key.name}")
    named(request, job=came.submission.job, revision=came.submission.revision)
    with works.ledger.writing() as tx:
        answer = _take_in(works, tx, came, wanted=PACKS if when == "now" else "")
        kept = keep_answer(tx, asked, answer) if asked else answer
    passing("accepted")
    return _again(kept)


@router.get("", response_model=JobPage, responses=refusals(401, 422, 429, 503))
def list_jobs(
    request: Request,
    works: Office,
    _: Reader,
    day: Annotated[IsoDay | None, Query(description="Day of work.")] = None,
    crew: Annotated[str | None, Query(max_length=40, description="Crew key.")] = None,
    state: Annotated[
        State | None,
        Query(description="Where jobs stand; `replaced` lists the lower revisions instead."),
    ] = None,
    limit: Annotated[int, Query(ge=1, le=200, description="Jobs on a page.")] = 50,
    after: Annotated[
        int, Query(ge=0, le=2**31 - 1, description="From the `next` of the page before.")
    ] = 0,
) -> Response:
    """List jobs at their highest revision, in the order in which they came.

    With `state=replaced` it lists the revisions that higher ones took the place of.
    """
    if day is not None:
        reached(works, day, query=True)
    with works.ledger.reading() as tx:
        rows = jobs_page(tx, day=day, crew=crew, state=state, after=after, limit=limit + 1)
    page, more = rows[:limit], len(rows) > limit
    following = str(request.url.include_query_params(after=page[-1].id)) if more else ""
    following = following.removeprefix(f"{request.url.scheme}://{request.url.netloc}")
    shows = JobPage(jobs=tuple(job_view(row) for row in page), next=following)
    links = {"Link": f'<{following}>; rel="next"'} if following else {}
    return shown(request, shows.model_dump_json(), headers=links)


@router.get("/{job}", response_model=JobView, responses=refusals(304, 401, 404, 422, 429, 503))
def read_job(request: Request, works: Office, _: Reader, job: Number) -> Response:
    """A job at its highest revision; its ETag changes whenever it does."""
    with works.ledger.reading() as tx:
        return shown(request, _text(job_by_number(tx, job)))


@router.put(
    "/{job}",
    status_code=202,
    response_model=JobView,
    responses={
        200: {"model": JobView, "description": "It had come before; this is how it stands."},
        **refusals(401, 403, 404, 409, 412, 413, 415, 422, 428, 429, 503),
    },
    openapi_extra=body_doc(Submission, submission={**SUBMISSION, "revision": 2}),
)
def replace(
    raw: Body, request: Request, works: Office, key: Officer, job: Number, when: When = "night"
) -> Response:
    """Replace a job by a higher revision, if it still is as its sender saw it."""
    came = desk.read(works, raw, came_as=f"PUT /v1/jobs/{job}, key {key.name}")
    if came.submission.job != job:
        wrong = Problem(
            pointer="/job", value=came.submission.job, says="is another job", mend=f"write {job}"
        )
        raise BadInput([wrong])
    named(request, job=job, revision=came.submission.revision)
    with works.ledger.writing() as tx:
        check_seen(request, tag_of(_text(job_by_number(tx, job))))
        return _again(_take_in(works, tx, came, wanted=PACKS if when == "now" else ""))


@router.get(
    "/{job}/events", response_model=list[EventView], responses=refusals(401, 404, 422, 429, 503)
)
def read_events(works: Office, _: Reader, job: Number) -> list[EventView]:
    """All that happened to a job's highest revision, with time and cause."""
    with works.ledger.reading() as tx:
        return [event_view(e) for e in happened(tx, "job", job_by_number(tx, job).id)]


@router.get(
    "/{job}/submission",
    response_model=Submission,
    responses=refusals(304, 401, 404, 422, 429, 503),
)
def read_submission(request: Request, works: Office, _: Reader, job: Number) -> Response:
    """The submission of a job's highest revision, byte for byte as it came."""
    with works.ledger.reading() as tx:
        return shown(request, work_on(tx, job_by_number(tx, job).id).raw)


@router.get("/{job}/plan", response_model=Plan, responses=refusals(304, 401, 404, 422, 429, 503))
def read_plan(request: Request, works: Office, _: Reader, job: Number) -> Response:
    """The plan from which a job's pack is printed. Lengths are in 1/320 mm, texts in English."""
    row = _with_pack(works, job)
    plan = json.dumps(in_english(json.loads(works.store.get(row.plan))), ensure_ascii=False)
    return shown(request, plan, tag=f'"{row.plan}-en"')


@router.get(
    "/{job}/pack.pdf",
    response_class=Response,
    responses={
        200: {
            "description": "The pack.",
            "content": {"application/pdf": {"schema": {"type": "string", "format": "binary"}}},
        },
        **refusals(304, 401, 404, 422, 429, 503),
    },
)
def read_pack(request: Request, works: Office, _: Reader, job: Number) -> Response:
    """The current pack of a job; a superseded one cannot be had.

    What is fetched may be printed: the pack that takes its place names it to be destroyed.
    """
    row = _with_pack(works, job)
    if request.scope.get("asked") != "HEAD":
        with works.ledger.writing() as tx:
            if not fetched(tx, row):
                raise Refusal(kind="not-made", detail=f"{job} has changed at this moment")
    name = f'inline; filename="{row.job}-r{row.revision}-{row.code}.pdf"'
    headers = {"Content-Disposition": name}
    return shown(
        request, works.store.get(row.pdf),
        media="application/pdf", tag=f'"{row.pdf}"', headers=headers,
    )  # fmt: skip


CHANGE: Final[dict[int | str, dict[str, Any]]] = refusals(
    401, 403, 404, 409, 412, 413, 415, 422, 428, 429, 503
)


@router.post(
    "/{job}/answers",
    response_model=JobView,
    responses=CHANGE,
    openapi_extra=body_doc(Answering, answer=ANSWER),
)
def answer(raw: Body, request: Request, works: Office, _: Officer, job: Number) -> Response:
    """Answer a question of a job.

    It is planned anew with the answer at once: what is still asked stands in the answer to this,
    and while a stop is among it the job stays held.
    """
    said = Answer(**read_body(raw, Answering).model_dump())
    with works.ledger.reading() as tx:
        check_seen(request, tag_of(_text(job_by_number(tx, job))))
    asks = desk.asked_after(works, job, said)
    return _change(request, works, job, lambda tx: deciding.answer(tx, job, said, asks=asks))


@router.post(
    "/{job}/withdrawal",
    response_model=JobView,
    responses=CHANGE,
    openapi_extra=body_doc(Deciding, withdrawal=DECISION),
)
def withdraw(raw: Body, request: Request, works: Office, _: Officer, job: Number) -> Response:
    """Take a job off; a pack that may be on paper is called back by its crew's day sheet."""
    who = read_body(raw, Deciding)
    return _change(
        request, works, job, lambda tx: deciding.withdraw(tx, job, by=who.by, why=who.why)
    )


@router.post(
    "/{job}/release",
    response_model=JobView,
    responses=CHANGE,
    openapi_extra=body_doc(Deciding, release=DECISION),
)
def release(raw: Body, request: Request, works: Office, _: Officer, job: Number) -> Response:
    """Give a failed or refused job another try, when its cause is mended."""
    who = read_body(raw, Deciding)
    return _change(
        request, works, job, lambda tx: deciding.release(tx, job, by=who.by, why=who.why)
    )


@router.post(
    "/{job}/move",
    response_model=JobView,
    responses=CHANGE,
    openapi_extra=body_doc(Moving, move=MOVE),
)
def move(raw: Body, request: Request, works: Office, _: Officer, job: Number) -> Response:
    """Give a job another day or crew: its next revision, with the answers it had."""
    to = read_body(raw, Moving)
    named(request, job=job)
    row = move_job(
        works, job, install_date=_day(to.install_date), crew=to.crew, by=to.by, why=to.why,
        check=lambda row: check_seen(request, tag_of(_text(row))),
    )  # fmt: skip
    return _changed(row)


@router.post(
    "/{job}/split",
    response_model=JobView,
    responses=CHANGE,
    openapi_extra=body_doc(Splitting, by_area=SPLIT, by_day=SPLIT_BY_DAY),
)
def split(raw: Body, request: Request, works: Office, _: Officer, job: Number) -> Response:
    """Make two jobs of one, by area or by day: its number with -1 and -2; itself is withdrawn."""
    to = read_body(raw, Splitting)
    named(request, job=job)
    parts = split_job(
        works, job, second=to.second, by_day=to.by_day,
        install_date=_day(to.install_date), crew=to.crew, by=to.by, why=to.why,
        check=lambda row: check_seen(request, tag_of(_text(row))),
    )  # fmt: skip
    with works.ledger.reading() as tx:
        whole = job_view(job_by_number(tx, job))
    ways = {f"part_{number}": job_address(part.job) for number, part in enumerate(parts, 1)}
    shows = whole.model_copy(update={"links": whole.links | ways})
    headers = {"ETag": tag_of(whole.model_dump_json()), "Content-Location": job_address(job)}
    return Response(shows.model_dump_json(), media_type="application/json", headers=headers)


def _change(request: Request, works: Works, job: str, decide: Callable[[Tx], JobRow]) -> Response:
    """Make a change in one transaction with the look at what its sender has seen."""
    named(request, job=job)
    with works.ledger.writing() as tx:
        check_seen(request, tag_of(_text(job_by_number(tx, job))))
        return _changed(decide(tx))


def _changed(row: JobRow) -> Response:
    text = _text(row)
    headers = {"ETag": tag_of(text), "Content-Location": job_address(row.job)}
    return Response(text, media_type="application/json", headers=headers)


def _take_in(works: Works, tx: Tx, came: Came, *, wanted: str) -> Answered:
    receipt = desk.take_in(works, tx, came, wanted=wanted)
    text = _text(job_by_id(tx, receipt.job_id))
    at = job_address(receipt.job)
    return Answered(status=202 if receipt.new else 200, location=at, body=text)


def _again(known: Answered) -> Response:
    headers = {"Location": known.location, "ETag": tag_of(known.body)}
    return Response(
        known.body, status_code=known.status, media_type="application/json", headers=headers
    )


def _with_pack(works: Works, job: str) -> JobRow:
    with works.ledger.reading() as tx:
        row = job_by_number(tx, job)
    if row.state not in WITH_PACK:
        raise Refusal(kind="not-made", detail=f"{job} revision {row.revision} is {row.state}")
    return row


def _text(row: JobRow) -> str:
    text: str = job_view(row).model_dump_json()
    return text


def _day(written: str | None) -> date | None:
    if written is None:
        return None
    try:
        return date.fromisoformat(written)
    except ValueError as no:
        says = "not a day of the calendar"
        wrong = Problem(
            pointer="/install_date", value=written, says=says, mend="write it as YYYY-MM-DD"
        )
        raise BadInput([wrong]) from no
