"""What HTTP asks of a service: HEAD, tags, pace, and answers that name nothing of ours."""

from __future__ import annotations

import pytest

from tests.over_http import Office, problem_of
from tests.stand_in import DAY, submission_of
from worker.api.app import addresses
from worker.api.openapi import describe
from worker.api.stripped import stripped
from worker.making import make_pack

WHO = {"by": "A. Duty", "why": "called"}


def test_head_is_answered_as_get_is_without_the_body(office: Office) -> None:
    """Status, tag and length; and 405 names it among what an address does.

    Source:
        RFC 9110, 9.1 and 9.3.2: general-purpose servers support GET and HEAD.
    """
    office.send(submission_of("J-1"))

    read, head = office.get("/v1/jobs/J-1"), office.ask("HEAD", "/v1/jobs/J-1")
    gone, no = office.ask("HEAD", "/v1/jobs/J-9"), office.ask("DELETE", "/v1/jobs/J-1")

    assert (head.status_code, head.content) == (200, b"")
    for name in ("ETag", "Content-Length", "Content-Type"):
        assert head.headers[name] == read.headers[name]
    assert (gone.status_code, gone.content) == (404, b"")
    assert no.headers["Allow"] == "GET, HEAD, PUT"
    assert office.ask("HEAD", "/livez", key="").status_code == 200


def test_each_answer_says_how_many_requests_are_left(office: Office) -> None:
    """One fewer after each, and none of it without a limit to count by."""
    first, second = office.get("/v1/jobs"), office.get("/v1/jobs")

    left = [int(a.headers["RateLimit"].split(";r=")[1].split(";")[0]) for a in (first, second)]
    assert left[1] in {left[0], left[0] - 1}
    assert ";w=60" in first.headers["RateLimit-Policy"]
    assert "RateLimit" not in office.get("/livez", key="").headers


@pytest.mark.parametrize("written", ["{bare}", "'{bare}'", "W/{bare}"])
def test_a_tag_without_its_quotes_is_told_so(office: Office, written: str) -> None:
    """Not taken for another state: the sender has read it, and sent it wrongly."""
    tag = office.send(submission_of("J-1")).headers["ETag"].strip('"')

    no = office.send(WHO, "/v1/jobs/J-1/withdrawal", headers={"If-Match": written.format(bare=tag)})

    assert problem_of(no) == (422, "bad-input")
    [error] = no.json()["errors"]
    assert (error["where"], error["pointer"]) == ("header", "/If-Match")
    assert "double quotes" in error["mend"]


def test_what_stands_in_an_address_is_told_in_the_offices_words(office: Office) -> None:
    """Where, what is wrong, and the mend; no words of a library."""
    no = office.get("/v1/jobs?limit=0&after=x&day=2026-13-01")

    told = {error["pointer"]: (error["says"], error["mend"]) for error in no.json()["errors"]}
    assert told["/limit"] == ("is too small", "write 1 or more")
    assert told["/after"] == ("is not a whole number", "write a whole number, without quotes")
    assert told["/day"] == ("is not a day of the calendar", "write the day as YYYY-MM-DD")
    assert "Input should" not in no.text


def test_a_day_that_had_passed_is_taken_in_and_said(office: Office) -> None:
    """No night will make it by itself."""
    today = office.send(submission_of("J-0")).json()["issued"]
    passed = submission_of("J-1").replace(DAY.isoformat().encode(), b"2020-02-29")

    late = office.send(passed)

    assert (late.status_code, late.json()["state"]) == (202, "received")
    [note] = late.json()["notes"]
    assert "2020-02-29, had passed when it came on " + today in note
    assert office.get("/v1/jobs/J-0").json()["notes"] == []


def test_a_job_that_is_off_says_how_it_comes_back(office: Office) -> None:
    """Sent again as it was, it is answered as it stands, with the hint."""
    office.send(submission_of("J-1"))
    office.change("J-1", "withdrawal", WHO)

    again = office.send(submission_of("J-1"))
    other = office.send(submission_of("J-1", "ask"))
    back = office.send(submission_of("J-1", revision=2))

    assert (again.status_code, again.json()["state"]) == (200, "withdrawn")
    assert again.json()["notes"] == ["it is withdrawn: to bring it back, send it as revision 2"]
    assert "is sent as revision 2" in other.json()["detail"]
    assert (back.status_code, back.json()["state"]) == (202, "received")


@pytest.mark.parametrize(
    ("cause", "shown"),
    [
        ("claimed by press-1:4711, attempt 2", "claimed, attempt 2"),
        ("to /srv/dawnpack/nights/2026-12-03", "to its folder"),
        ("given back: OSError: no room on /data/store at db-1:5432", None),
        ("A. Duty withdrew it: see /notes/12", "A. Duty withdrew it: see /notes/12"),
    ],
)
def test_a_cause_names_no_host_and_no_folder(cause: str, shown: str | None) -> None:
    """What people wrote stands as they wrote it."""
    told = stripped(cause)

    if shown is None:
        assert not any(word in told for word in ("/data", "db-1", "5432"))
        assert told.startswith("given back: OSError: no room on ...")
    else:
        assert told == shown


def test_no_event_of_a_packed_job_names_our_machine(office: Office) -> None:
    """Read over HTTP."""
    office.send(submission_of("J-1"))
    make_pack(office.works, 1, holder="press-1:4711")

    causes = [event["cause"] for event in office.get("/v1/jobs/J-1/events").json()]

    assert "claimed, attempt 1" in causes
    assert not any("press-1" in cause for cause in causes)


def test_the_description_names_the_headers_of_each_answer() -> None:
    """ETag where there is one, Location where to look, Retry-After, and the pace."""
    paths = describe(addresses())["paths"]

    job, night = paths["/v1/jobs/{job}"]["get"], paths["/v1/nights/{day}/runs"]["post"]
    taken = paths["/v1/jobs"]["post"]["responses"]
    assert set(job["responses"]["200"]["headers"]) == {"ETag", "RateLimit", "RateLimit-Policy"}
    assert {"Location", "ETag"} <= taken["202"]["headers"].keys()
    assert {"Location", "Retry-After"} <= night["responses"]["202"]["headers"].keys()
    assert "Retry-After" in job["responses"]["429"]["headers"]
    assert "WWW-Authenticate" in job["responses"]["401"]["headers"]
