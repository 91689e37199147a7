"""Submitting over HTTP: once, in order, kept as it came, refused with every fault named."""

from __future__ import annotations

import json
from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.over_http import Office, problem_of
from tests.stand_in import submission_of
from worker.ledger.records import every_job

RAW = submission_of("J-1")


def test_a_submission_is_taken_in_and_says_where_to_look(office: Office) -> None:
    """202, its address, and how it stands."""
    answer = office.send(RAW)

    assert answer.status_code == 202
    assert answer.headers["Location"] == "/v1/jobs/J-1"
    assert (answer.json()["job"], answer.json()["state"]) == ("J-1", "received")
    assert office.get(answer.headers["Location"]).json() == answer.json()


def test_it_is_kept_byte_for_byte(office: Office) -> None:
    """Spaces, order of keys and all."""
    raw = b"  " + RAW.replace(b'"job"', b'"job" ') + b"\n"

    office.send(raw)

    assert office.get("/v1/jobs/J-1/submission").content == raw


def test_the_same_again_is_answered_as_it_stands(office: Office) -> None:
    """200, not 202: nothing new was taken in."""
    first = office.send(RAW)
    again = office.send(RAW)

    assert (first.status_code, again.status_code) == (202, 200)
    assert first.json() == again.json()


def test_other_content_or_a_lower_revision_is_a_conflict(office: Office) -> None:
    """As at the command line."""
    office.send(submission_of("J-1", revision=2))

    assert problem_of(office.send(submission_of("J-1", "x", revision=2))) == (409, "conflict")
    assert problem_of(office.send(submission_of("J-1", revision=1))) == (409, "conflict")


def test_a_refusal_points_at_every_fault(office: Office) -> None:
    """With a JSON Pointer, the value, what is wrong and the mend; nothing is kept."""
    tree = json.loads(RAW) | {"crew": "no crew!", "colour": "chalk"}
    tree["lines"][0]["legs"][0]["length"] = "71/4"

    answer = office.send(tree)

    assert problem_of(answer) == (422, "bad-input")
    found = {error["pointer"]: error for error in answer.json()["errors"]}
    assert found.keys() == {"/crew", "/colour", "/lines/0/legs/0/length"}
    assert found["/lines/0/legs/0/length"] == {
        "where": "body",
        "pointer": "/lines/0/legs/0/length",
        "value": "71/4",
        "says": "71/4 is a fraction over one",
        "mend": "was a space lost, as in 7 1/4?",
    }
    assert office.get("/v1/jobs").json() == {"jobs": [], "next": ""}


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"[",
        b"\xff\xfe",
        b"null",
        b'{"job": NaN}',
        b'{"job": "A", "job": "B"}',
        b"[" * 5000 + b"]" * 5000,
        b'{"revision": ' + b"9" * 6000 + b"}",
        b'{"job": "\\ud800"}',
    ],
)
def test_rubbish_is_refused_not_stumbled_over(office: Office, raw: bytes) -> None:
    """Never a 5xx."""
    assert problem_of(office.send(raw)) == (422, "bad-input")


def test_a_body_over_the_limit_is_not_even_read(office: Office) -> None:
    """Said to be large, or sent in pieces without saying."""
    pieces = (b" " * 65536 for _ in range(40))

    said = office.send(b" " * 1_100_000)
    unsaid = office.ask(
        "POST", "/v1/jobs", content=pieces, headers={"Content-Type": "application/json"}
    )

    assert problem_of(said) == (413, "too-large")
    assert problem_of(unsaid) == (413, "too-large")


def test_only_json_is_taken(office: Office) -> None:
    """A form is not a submission."""
    answer = office.ask("POST", "/v1/jobs", data={"job": "J-1"})

    assert problem_of(answer) == (415, "not-json")


def test_the_same_key_gets_the_same_answer(office: Office) -> None:
    """Status, place and body, whatever became of the job since; quoted or bare."""
    key = {"Idempotency-Key": '"evening-17"'}
    first = office.send(RAW, headers=key)
    office.change("J-1", "withdrawal", {"by": "A. Duty", "why": "called"})

    again = office.send(RAW, headers={"Idempotency-Key": "evening-17"})

    assert (again.status_code, again.text) == (202, first.text)
    assert again.headers["Location"] == first.headers["Location"]


def test_a_key_stands_for_one_request_only(office: Office) -> None:
    """Another body, or another address, is refused and takes nothing in."""
    key = {"Idempotency-Key": "evening-17"}
    office.send(RAW, headers=key)

    for answer in (
        office.send(submission_of("J-2"), headers=key),
        office.send(RAW, "/v1/jobs?when=now", headers=key),
    ):
        assert problem_of(answer) == (422, "key-used-otherwise")
    assert [job["job"] for job in office.get("/v1/jobs").json()["jobs"]] == ["J-1"]


def test_a_refused_request_may_be_mended_under_its_key(office: Office) -> None:
    """Only what was taken in is remembered."""
    key = {"Idempotency-Key": "evening-17"}
    office.send(b"{}", headers=key)

    assert office.send(RAW, headers=key).status_code == 202


def test_a_crowd_with_one_key_makes_one_job(office: Office) -> None:
    """All get one answer."""

    def bring(_: int) -> tuple[int, str]:
        answer = office.send(RAW, headers={"Idempotency-Key": "evening-17"})
        return answer.status_code, answer.text

    with ThreadPoolExecutor(8) as crowd:
        answers = set(crowd.map(bring, range(16)))

    with office.works.ledger.reading() as tx:
        assert len(every_job(tx)) == 1
    assert len(answers) == 1
    assert answers.pop()[0] == 202


def test_what_is_wanted_now_is_put_before_the_nights(office: Office) -> None:
    """Its queue is that of the packs asked for at once."""
    office.send(RAW, "/v1/jobs?when=now")
    office.send(submission_of("J-2"))

    with office.works.ledger.reading() as tx:
        assert {job.job: job.wanted for job in every_job(tx)} == {"J-1": "packs", "J-2": ""}


def test_a_held_job_says_its_questions_at_once(office: Office) -> None:
    """And which answers there are."""
    shown = office.send(submission_of("J-1", "ask")).json()

    assert shown["state"] == "held"
    [question] = shown["questions"]
    assert (question["key"], question["severity"]) == ("which-post", "stop")
    assert [option["key"] for option in question["options"]] == ["leg-a", "leg-b"]
