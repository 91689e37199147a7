"""The door itself: who may come in, how fast, what it says of itself and of a printed code."""

from __future__ import annotations

import json
import socket
from collections.abc import Iterator
from dataclasses import replace
from io import StringIO

import httpx
import pytest

from schemas.errors import NotNow
from schemas.job import Library
from schemas.submission import Submission
from tests.over_http import Office, key_for, office_of, problem_of, running
from tests.stand_in import StandIn, submission_of
from worker import health
from worker.api.app import make_service
from worker.bootstrap import Works
from worker.ledger.api_keys import every_key, revoke
from worker.ledger.opening import reach_ledger
from worker.ledger.records import job_by_number
from worker.logs import set_up
from worker.making import make_pack
from worker.settings import Settings

PRIVATE = ("/v1/jobs", "/v1/jobs/J-1", "/v1/nights/2026-12-03", "/metrics")


@pytest.mark.parametrize("path", PRIVATE)
@pytest.mark.parametrize("key", ["", "dawnpack_00000000_guess"])
def test_nothing_is_shown_without_a_key(office: Office, path: str, key: str) -> None:
    """Missing or wrong, the answer is the same."""
    answer = office.get(path, key=key)

    assert problem_of(answer) == (401, "no-key")
    assert answer.headers["WWW-Authenticate"] == "Bearer"


def test_a_revoked_key_opens_nothing_from_then_on(office: Office) -> None:
    """At once; what came by it stays."""
    office.send(submission_of("J-1"))
    with office.works.ledger.writing() as tx:
        revoke(tx, every_key(tx)[0].name)

    assert problem_of(office.get("/v1/jobs/J-1")) == (401, "no-key")
    assert office.get("/v1/jobs/J-1", key=key_for(office.works, "reader")).status_code == 200


def test_a_readers_key_may_look_and_nothing_else(office: Office) -> None:
    """No submission, no decision, no night."""
    office.send(submission_of("J-1"))
    reader = key_for(office.works, "reader")
    who = {"by": "A. Duty", "why": "b"}

    assert office.get("/v1/jobs/J-1", key=reader).status_code == 200
    for answer in (
        office.send(submission_of("J-2"), key=reader),
        office.send(who, "/v1/jobs/J-1/withdrawal", key=reader, headers={"If-Match": "*"}),
        office.ask("POST", "/v1/nights/2026-12-03/runs", key=reader),
    ):
        assert problem_of(answer) == (403, "not-allowed")


def test_who_is_too_fast_is_told_how_long_to_wait(works: Works) -> None:
    """Each key has its own pace; another's is not touched."""
    slow = works.settings.model_copy(update={"requests_a_minute": 3})
    with office_of(replace(works, settings=slow)) as office:
        answers = [office.get("/v1/jobs") for _ in range(4)]

        assert [answer.status_code for answer in answers] == [200, 200, 200, 429]
        assert problem_of(answers[3]) == (429, "too-many")
        assert 1 <= int(answers[3].headers["Retry-After"]) <= 20
        assert office.get("/v1/jobs", key=key_for(works, "reader")).status_code == 200


def test_a_printed_code_is_answered_to_anybody(office: Office) -> None:
    """JSON to a program, a page to a phone; nothing that is not on the sheet."""
    office.send(submission_of("J-1"))
    with office.works.ledger.reading() as tx:
        row_id = job_by_number(tx, "J-1").id
    make_pack(office.works, row_id, holder="host:1")
    code = office.get("/v1/jobs/J-1").json()["code"]

    answer = office.get(f"/v1/check/{code}", key="")
    page = office.get(f"/v1/check/{code}", key="", headers={"Accept": "text/html,*/*"})
    office.send(submission_of("J-1", revision=2))
    after = office.get(f"/v1/check/{code}", key="")
    strange = office.get("/v1/check/7K2M-Q9DX", key="")

    assert answer.json() == {
        "code": code,
        "verdict": "current",
        "says": "This sheet is current.",
        "thing": "job J-1 revision 1",
        "current": code,
        "changes": [],
    }
    assert page.headers["Content-Type"] == "text/html; charset=utf-8"
    assert f"<b>{code}</b>" in page.text
    assert after.json()["verdict"] == "superseded"
    assert "a newer one is being made" in after.json()["says"]
    assert (strange.status_code, strange.json()["verdict"]) == (200, "unknown")


def test_ready_means_that_jobs_can_be_taken_in(office: Office) -> None:
    """The broker is down here; jobs are taken in and kept all the same."""
    alive = office.get("/livez", key="")
    ready = office.get("/readyz", key="")

    assert alive.json() == {"alive": True}
    assert ready.status_code == 200
    parts = {part["what"]: part["well"] for part in ready.json()["parts"]}
    vital = {"ledger": True, "store": True, "disk": True}
    assert parts == vital | {"broker": False, "schedule": False, "nights": True}
    assert office.send(submission_of("J-1")).status_code == 202


@pytest.mark.parametrize("part", ["disk", "store"])
def test_not_ready_is_503(office: Office, monkeypatch: pytest.MonkeyPatch, part: str) -> None:
    """A disk below its floor, a store that does not write."""

    def fail(_: object) -> str:
        raise NotNow(part)

    monkeypatch.setattr(health, f"_{part}", fail)

    answer = office.get("/readyz", key="")

    assert (answer.status_code, answer.json()["ready"]) == (503, False)


def test_a_ledger_that_is_gone_is_not_now(works: Works) -> None:
    """503 with a time to come back, not 500; and not ready."""
    gone = reach_ledger("postgresql+psycopg://nobody@127.0.0.1:1/nothing?connect_timeout=2")
    with running(make_service(replace(works, ledger=gone))) as url:
        answer = httpx.get(f"{url}/v1/jobs", headers={"Authorization": "Bearer dawnpack_a_b"})
        ready = httpx.get(f"{url}/readyz")

    assert problem_of(answer) == (503, "not-now")
    assert "127.0.0.1" not in answer.text
    assert answer.headers["Retry-After"] == "5"
    assert (ready.status_code, ready.json()["ready"]) == (503, False)


class Odd(StandIn):
    """A computation that breaks in a way nobody foresaw."""

    def read_submission(
        self,
        raw: bytes,  # noqa: ARG002  # nobody gets to read it
        *,
        library: Library | None = None,  # noqa: ARG002  # nor this
    ) -> Submission:
        """Break."""
        raise ZeroDivisionError


@pytest.fixture
def log() -> Iterator[StringIO]:
    """What is logged."""
    written = StringIO()
    set_up(Settings(log="json"), to=written)
    yield written
    set_up(Settings(log="json"))


def test_what_nobody_foresaw_is_a_problem_document_named_as_in_the_log(
    works: Works, log: StringIO
) -> None:
    """500, and not a word of what went wrong to the outside."""
    with office_of(replace(works, pipeline=Odd())) as office:
        answer = office.send(submission_of("J-1"))

    assert problem_of(answer) == (500, "bug")
    assert "ZeroDivision" not in answer.text
    lines = [json.loads(line) for line in log.getvalue().splitlines()]
    [told] = [line for line in lines if line["event"] == "not foreseen"]
    assert told["request"] == answer.json()["instance"]
    assert "Castellane" not in log.getvalue()


def test_who_goes_away_halfway_is_no_bug(works: Works, log: StringIO) -> None:
    """A line broken in the middle of a body takes nothing in and raises no alarm."""
    with office_of(works) as office:
        host, port = office.url.removeprefix("http://").split(":")
        with socket.create_connection((host, int(port))) as line:
            line.sendall(
                b"POST /v1/jobs HTTP/1.1\r\nHost: here\r\nContent-Type: application/json\r\n"
                b"Authorization: Bearer " + office.key.encode() + b"\r\n"
                b"Content-Length: 1000\r\n\r\n{"
            )
        assert office.get("/v1/jobs").json() == {"jobs": [], "next": ""}

    events = [json.loads(line)["event"] for line in log.getvalue().splitlines()]
    assert "the client went away" in events
    assert "not foreseen" not in events


def test_every_request_is_one_line_with_its_job_and_key_and_no_secret(
    works: Works, log: StringIO
) -> None:
    """Bound to job and night, so that one can be followed."""
    with office_of(works) as office:
        office.send(submission_of("J-1"))
        office.ask("POST", "/v1/nights/2026-12-03/runs")

    lines = [json.loads(line) for line in log.getvalue().splitlines()]
    answered = [line for line in lines if line["event"] == "answered"]
    name, secret = office.key.split("_", 2)[1:]
    assert [(x["method"], x["path"], x["status"], x["key"]) for x in answered] == [
        ("POST", "/v1/jobs", 202, name),
        ("POST", "/v1/nights/2026-12-03/runs", 202, name),
    ]
    assert (answered[0]["job"], answered[1]["night"]) == ("J-1", "2026-12-03")
    assert secret not in log.getvalue()


def test_the_meters_count_requests_and_read_the_ledger(office: Office) -> None:
    """In the Prometheus text format; no job number is a label."""
    office.send(submission_of("J-1"), "/v1/jobs?when=now")
    office.send(submission_of("J-2", "ask"))

    text = office.get("/metrics").text

    assert 'dawnpack_jobs{state="received"} 1.0' in text
    assert 'dawnpack_jobs{state="held"} 1.0' in text
    assert 'dawnpack_requests_total{method="POST",route="/v1/jobs",status="202"} 2.0' in text
    assert "dawnpack_oldest_wait_seconds" in text
    assert "J-1" not in text
