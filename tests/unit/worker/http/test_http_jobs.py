"""Jobs over HTTP: read, paged, and changed only by those who have seen how they stand."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.over_http import Office, problem_of
from tests.stand_in import DAY, submission_of
from worker.ledger.claims import claim, set_aside
from worker.ledger.records import job_by_number
from worker.ledger.tables import jobs
from worker.making import make_pack

WHO = {"by": "A. Duty", "why": "the customer called"}
ANSWER = {"question": "which-post", "option": "leg-a", **WHO}


def pack(office: Office, job: str) -> None:
    """Make a job's pack, as a worker would."""
    with office.works.ledger.reading() as tx:
        row = job_by_number(tx, job)
    make_pack(office.works, row.id, holder="host:1")


def test_an_unchanged_job_is_not_sent_again(office: Office) -> None:
    """304 to whoever has it; a change brings another tag."""
    office.send(submission_of("J-1"))
    tag = office.get("/v1/jobs/J-1").headers["ETag"]

    same = office.get("/v1/jobs/J-1", headers={"If-None-Match": f'"other", W/{tag}'})
    pack(office, "J-1")
    changed = office.get("/v1/jobs/J-1", headers={"If-None-Match": tag})

    assert (same.status_code, same.content, same.headers["ETag"]) == (304, b"", tag)
    assert changed.status_code == 200
    assert changed.json()["state"] == "packed"


@pytest.mark.parametrize(
    ("what", "said"),
    [
        ("answers", ANSWER),
        ("withdrawal", WHO),
        ("move", {"crew": "plover", **WHO}),
        ("split", {"second": ["B"], **WHO}),
    ],
)
def test_a_change_needs_a_look_first(office: Office, what: str, said: dict[str, str]) -> None:
    """428 without If-Match, 412 when somebody was faster; then nothing is changed."""
    office.send(submission_of("J-1", "ask"))
    seen = office.get("/v1/jobs/J-1").headers["ETag"]
    office.change("J-1", "answers", {**ANSWER, "option": "leg-b"})
    now = office.get("/v1/jobs/J-1")

    blind = office.send(said, f"/v1/jobs/J-1/{what}")
    late = office.send(said, f"/v1/jobs/J-1/{what}", headers={"If-Match": seen})

    assert problem_of(blind) == (428, "no-condition")
    assert problem_of(late) == (412, "stale")
    assert late.headers["ETag"] == now.headers["ETag"]
    assert office.get("/v1/jobs/J-1").json() == now.json()


def test_an_answer_lets_the_job_go_on(office: Office) -> None:
    """It is planned anew, and the answer is on record with who gave it."""
    office.send(submission_of("J-1", "ask"))

    answered = office.change("J-1", "answers", ANSWER)
    story = office.get("/v1/jobs/J-1/events").json()

    assert (answered.status_code, answered.json()["state"]) == (200, "received")
    assert [event["now"] for event in story] == ["held", "received"]
    assert story[1]["cause"] == "A. Duty answered which-post: leg-a (the customer called)"


def test_an_option_that_was_not_offered_is_refused(office: Office) -> None:
    """The problem names those that were; the job itself is well known."""
    office.send(submission_of("J-1", "ask"))

    answer = office.change("J-1", "answers", {**ANSWER, "option": "leg-z"})

    assert problem_of(answer) == (422, "bad-input")
    fault = answer.json()["errors"][0]
    assert (fault["pointer"], fault["mend"]) == ("/option", "one of leg-a, leg-b")


def test_a_withdrawn_job_cannot_be_printed_any_more(office: Office) -> None:
    """Its pack is gone from the door, and a second withdrawal is a conflict."""
    office.send(submission_of("J-1"))
    pack(office, "J-1")

    withdrawn = office.change("J-1", "withdrawal", WHO)

    assert withdrawn.json()["state"] == "withdrawn"
    assert problem_of(office.get("/v1/jobs/J-1/pack.pdf")) == (404, "not-made")
    assert problem_of(office.change("J-1", "withdrawal", WHO)) == (409, "conflict")


def test_a_pack_is_had_with_its_tag(office: Office) -> None:
    """Before it is made there is none; after, the very bytes of the store."""
    office.send(submission_of("J-1"))
    before = office.get("/v1/jobs/J-1/pack.pdf")
    pack(office, "J-1")

    made = office.get("/v1/jobs/J-1/pack.pdf")
    again = office.get("/v1/jobs/J-1/pack.pdf", headers={"If-None-Match": made.headers["ETag"]})

    assert problem_of(before) == (404, "not-made")
    assert made.headers["Content-Type"] == "application/pdf"
    assert made.content.startswith(b"%PDF")
    assert again.status_code == 304
    links = office.get("/v1/jobs/J-1").json()["links"]
    assert all(office.get(link).status_code == 200 for link in links.values())


def test_a_job_set_aside_is_seen_with_its_error_and_released(office: Office) -> None:
    """After the cause is mended it has another try."""
    office.send(submission_of("J-1"))
    with office.works.ledger.writing() as tx:
        row = job_by_number(tx, "J-1")
        claim(tx, jobs, row.id, holder="host:1", lease=60)
        set_aside(tx, jobs, row.id, error="Traceback\nValueError: odd")

    failed = office.get("/v1/jobs?state=failed").json()["jobs"]
    released = office.change("J-1", "release", WHO)

    assert [(job["job"], job["error"]) for job in failed] == [("J-1", "ValueError: odd")]
    assert released.json()["state"] == "received"
    assert problem_of(office.change("J-1", "release", WHO)) == (409, "conflict")


def test_a_moved_job_is_its_next_revision_with_its_answers(office: Office) -> None:
    """Another day and crew; what was answered need not be answered again."""
    office.send(submission_of("J-1", "ask"))
    office.change("J-1", "answers", ANSWER)
    day = (DAY + timedelta(days=1)).isoformat()

    moved = office.change("J-1", "move", {"install_date": day, "crew": "plover", **WHO})

    shown = moved.json()
    assert (shown["revision"], shown["crew"], shown["install_date"]) == (2, "plover", day)
    assert shown["state"] == "received"
    assert [job["revision"] for job in office.get("/v1/jobs?state=replaced").json()["jobs"]] == [1]
    cause = office.get("/v1/jobs/J-1/events").json()[0]["cause"]
    assert cause == f"A. Duty moved it to crew plover, {day}: the customer called"


def test_a_moved_jobs_old_pack_is_named_for_destruction(office: Office) -> None:
    """By its code, on the new pack."""
    office.send(submission_of("J-1"))
    pack(office, "J-1")
    old = office.get("/v1/jobs/J-1").json()["code"]
    with office.works.ledger.writing() as tx:
        tx.sql.execute(jobs.update().values(on_paper=old, state="delivered"))

    moved = office.change("J-1", "move", {"crew": "plover", **WHO}).json()

    assert moved["replaces"] == old


@pytest.mark.parametrize(
    ("to", "expected"),
    [
        ({"crew": "heron"}, (409, "conflict")),
        ({}, (409, "conflict")),
        ({"install_date": "2026-02-30"}, (422, "bad-input")),
        ({"crew": "x" * 41}, (422, "bad-input")),
        ({"crew": "plover", "revision": 7}, (422, "bad-input")),
    ],
)
def test_a_move_to_nowhere_is_refused(
    office: Office, to: dict[str, str], expected: tuple[int, str]
) -> None:
    """Where it is already, to no day of the calendar, or with a field that is none."""
    office.send(submission_of("J-1"))

    assert problem_of(office.change("J-1", "move", {**to, **WHO})) == expected


def test_a_job_is_replaced_only_by_its_own_next_revision(office: Office) -> None:
    """PUT with If-Match; another job's number is a fault of the body."""
    office.send(submission_of("J-1"))
    seen = {"If-Match": office.get("/v1/jobs/J-1").headers["ETag"]}
    second = submission_of("J-1", revision=2)

    other = office.send(submission_of("J-2"), "/v1/jobs/J-1", method="PUT", headers=seen)
    blind = office.send(second, "/v1/jobs/J-1", method="PUT")
    good = office.send(second, "/v1/jobs/J-1", method="PUT", headers=seen)

    assert problem_of(other) == (422, "bad-input")
    assert other.json()["errors"][0]["pointer"] == "/job"
    assert problem_of(blind) == (428, "no-condition")
    assert (good.status_code, good.json()["revision"]) == (202, 2)


def test_a_list_is_read_page_by_page(office: Office) -> None:
    """Each job once, in the order in which they came; filters narrow it."""
    for number in range(5):
        office.send(submission_of(f"J-{number}", crew="plover" if number == 3 else "heron"))

    seen, following = [], "/v1/jobs?limit=2"
    while following:
        page = office.get(following)
        seen += [job["job"] for job in page.json()["jobs"]]
        following = page.json()["next"]
        if following:
            assert page.headers["Link"] == f'<{following}>; rel="next"'

    assert seen == [f"J-{number}" for number in range(5)]
    crew = office.get("/v1/jobs?crew=plover").json()["jobs"]
    assert [job["job"] for job in crew] == ["J-3"]
    assert office.get(f"/v1/jobs?day={DAY + timedelta(days=1)}").json()["jobs"] == []


@pytest.mark.parametrize(
    "query", ["limit=0", "limit=201", "after=-1", "day=tomorrow", "day=0", "state=lost"]
)
def test_a_query_that_does_not_read_names_its_parameter(office: Office, query: str) -> None:
    """And where it stood."""
    answer = office.get(f"/v1/jobs?{query}")

    assert problem_of(answer) == (422, "bad-input")
    [error] = answer.json()["errors"]
    assert (error["where"], error["pointer"]) == ("query", f"/{query.split('=', maxsplit=1)[0]}")


def test_a_misspelt_filter_does_not_show_everything(office: Office) -> None:
    """It is refused with the nearest name."""
    answer = office.get("/v1/jobs?crw=heron")

    assert problem_of(answer) == (422, "bad-input")
    assert answer.json()["errors"] == [
        {
            "where": "query",
            "pointer": "/crw",
            "value": "",
            "says": "no such parameter",
            "mend": "did you mean crew?",
        }
    ]


def test_what_is_not_there_is_unknown(office: Office) -> None:
    """A job, an address, a method: each says so as a problem document."""
    assert problem_of(office.get("/v1/jobs/J-9")) == (404, "unknown")
    assert problem_of(office.get("/v1/invoices")) == (404, "unknown")
    gone = office.ask("DELETE", "/v1/jobs")
    assert problem_of(gone) == (405, "no-such-method")
    assert set(gone.headers["Allow"].split(", ")) >= {"GET"}


def test_an_answer_tells_at_once_what_is_still_asked(office: Office) -> None:
    """A job of two stops stays held after the first is answered, and asks the other alone."""
    office.send(submission_of("J-1", "ask", "ask-more"))

    first = office.change("J-1", "answers", ANSWER)
    second = office.change("J-1", "answers", {**ANSWER, "question": "which-leg"})

    assert (first.json()["state"], second.json()["state"]) == ("held", "received")
    assert [q["key"] for q in first.json()["questions"]] == ["which-leg"]
    assert second.json()["questions"] == []
