"""Days that are named over HTTP: near enough to be meant, or told to be out of reach."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.over_http import Office, problem_of
from tests.stand_in import DAY, submission_of
from worker import desk
from worker.ledger.runs import ask
from worker.ledger.tables import night_runs

AHEAD, BEHIND = timedelta(days=731), timedelta(days=3653)
"""The borders, as the description has them: two years ahead, ten back."""

WHO = {"by": "A. Duty", "why": "rain"}


def today(office: Office) -> date:
    """The company's day."""
    return date.fromisoformat(desk.today(office.works))


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31"])
@pytest.mark.parametrize(
    ("method", "path", "where"),
    [
        ("POST", "/v1/nights/{day}/runs", "path"),
        ("GET", "/v1/nights/{day}", "path"),
        ("GET", "/v1/nights/{day}/report", "path"),
        ("GET", "/v1/nights/{day}/bookings", "path"),
        ("GET", "/v1/nights/{day}/crews/heron/bundle.pdf", "path"),
        ("GET", "/v1/jobs?day={day}", "query"),
    ],
)
def test_a_day_out_of_reach_is_told_with_its_mend(
    office: Office, method: str, path: str, where: str, day: str
) -> None:
    """Named by part, name and value; and no run of it is written down."""
    no = office.ask(method, path.format(day=day))

    assert problem_of(no) == (422, "bad-input")
    [error] = no.json()["errors"]
    assert (error["where"], error["pointer"], error["value"]) == (where, "/day", day)
    assert "is the year right?" in error["mend"]
    with office.works.ledger.writing() as tx:
        assert tx.sql.execute(night_runs.select()).all() == []


@pytest.mark.parametrize(
    ("step", "status"),
    [
        (AHEAD, 202),
        (AHEAD + timedelta(days=1), 422),
        (-BEHIND, 202),
        (-BEHIND - timedelta(days=1), 422),
    ],
)
def test_the_last_day_in_reach_is_taken_and_the_next_is_not(
    office: Office, step: timedelta, status: int
) -> None:
    """For a run and for a submission alike."""
    day = today(office) + step

    run = office.ask("POST", f"/v1/nights/{day}/runs")
    sent = office.send(submission_of("J-1", day=day))

    assert [run.status_code, sent.status_code] == [status, status]


def test_a_submissions_day_is_told_beside_its_other_faults(office: Office) -> None:
    """All at once, and nothing is kept."""
    raw = submission_of("J-1", day=date(9999, 12, 31)).replace(b'"heron"', b'""')

    no = office.send(raw)

    told = {error["pointer"] for error in no.json()["errors"]}
    assert {"/install_date", "/crew"} <= told
    assert problem_of(office.get("/v1/jobs/J-1")) == (404, "unknown")


def test_no_move_goes_out_of_reach(office: Office) -> None:
    """The job stays where it was."""
    office.send(submission_of("J-1"))

    no = office.change("J-1", "move", {"install_date": "9999-12-31", **WHO})

    assert problem_of(no) == (422, "bad-input")
    assert no.json()["errors"][0]["pointer"] == "/install_date"
    assert office.get("/v1/jobs/J-1").json()["install_date"] == str(DAY)


def test_the_page_opens_at_the_next_day_with_jobs(office: Office) -> None:
    """Not at a far one whose night was run, and a typed day out of reach is told."""
    near = today(office) + timedelta(days=3)
    office.send(submission_of("J-1", day=near))
    office.send(submission_of("J-2", day=near + timedelta(days=300)))
    with office.works.ledger.writing() as tx:
        ask(tx, office.works.library.company.key, near + timedelta(days=300), patience=60)
    office.client.post("/login", data={"key": office.key}, headers={"Origin": office.url})

    opened, far = office.client.get("/"), office.client.get("/?day=9999-12-31")

    assert opened.status_code == 200
    assert f"?day={near - timedelta(days=1)}" in opened.text
    assert far.status_code == 422


def test_a_run_says_when_nobody_looks_at_the_nights(office: Office) -> None:
    """Asked for and never started: the run itself tells what to start."""
    asked = office.ask("POST", f"/v1/nights/{DAY}/runs").json()

    assert (asked["state"], "dawnpack schedule" in asked["says"]) == ("asked", True)
    assert "dawnpack_last_look_seconds" in office.get("/metrics").text
