"""A job split by area or day over HTTP: two jobs of one measure, and never three."""

# ruff: noqa: ANN401  # what is put into a submission or a body is handed through

from __future__ import annotations

import json
from datetime import timedelta
from typing import Any

import httpx
import pytest

from tests.landings import two_flights
from tests.over_http import Office, problem_of
from tests.stand_in import DAY, submission_of
from worker.ledger.records import job_by_number, work_on

WHO = {"by": "A. Duty", "why": "more than a day"}
NEXT = (DAY + timedelta(days=1)).isoformat()


def two_lines(job: str = "J-1", *, revision: int = 1, **more: Any) -> bytes:
    """The demo's deck, and a porch with one leg P and a gate in it."""
    tree: dict[str, Any] = json.loads(submission_of(job, "ask", revision=revision))
    tree["remove_feet"] = 0
    porch = tree["lines"][0] | {"start": {"kind": "wall"}, "end": {"kind": "wall"}}
    porch["legs"] = [{"name": "P", "length": "96", "drop": "30"}]
    gate = {"name": "G1", "leg": "P", "start": "12", "width": "36"}
    tree |= {"lines": [*tree["lines"], porch], "gates": [gate], "sold": "1 stair, 1 gate"}
    return json.dumps(tree | more).encode()


def came(office: Office, job: str) -> dict[str, Any]:
    """The submission that is kept for a job."""
    with office.works.ledger.reading() as tx:
        tree: dict[str, Any] = json.loads(work_on(tx, job_by_number(tx, job).id).raw)
    return tree


def split(office: Office, job: str = "J-1", **to: Any) -> httpx.Response:
    """Ask for a split, by default of the porch."""
    return office.change(job, "split", {"second": ["P"], **to, **WHO})


def test_each_leg_stair_and_gate_is_in_one_part(office: Office) -> None:
    """As it was measured, nothing in both parts and nothing in none."""
    office.send(two_lines())

    split(office, install_date=NEXT, crew="plover")

    whole, parts = came(office, "J-1"), [came(office, f"J-1-{n}") for n in (1, 2)]
    for kind in ("lines", "stairs", "gates"):
        assert [one for part in parts for one in part[kind]] == whole[kind]
    assert [len(part["lines"]) for part in parts] == [1, 1]
    assert [len(part["gates"]) for part in parts] == [0, 1]


def test_a_split_job_is_off_and_its_parts_know_each_other(office: Office) -> None:
    """Each names the other's number, crew, day and legs; answers hold for both."""
    office.send(two_lines())
    office.change("J-1", "answers", {"question": "which-post", "option": "leg-a", **WHO})

    answer = split(office, install_date=NEXT, crew="plover")

    first, second = (office.get(f"/v1/jobs/J-1-{n}").json() for n in (1, 2))
    assert (answer.status_code, answer.json()["state"]) == (200, "withdrawn")
    assert (first["crew"], first["install_date"]) == ("heron", DAY.isoformat())
    assert (second["crew"], second["install_date"]) == ("plover", NEXT)
    assert (first["state"], second["state"]) == ("received", "received")
    assert came(office, "J-1-1")["part"] == {
        "of": "J-1", "number": 1, "other": "J-1-2",
        "crew": "plover", "install_date": NEXT, "legs": ["P"],
    }  # fmt: skip
    assert came(office, "J-1-2")["part"]["legs"] == ["A", "B", "C", "D", "E"]
    cause = office.get("/v1/jobs/J-1/events").json()[-1]["cause"]
    assert "split into J-1-1 and J-1-2: more than a day" in cause


def test_what_holds_for_one_day_goes_with_no_other(office: Office) -> None:
    """The forecast and the inspector's day stay with the part that keeps the day."""
    office.send(two_lines(inspection=DAY.isoformat()))

    split(office, install_date=NEXT)

    assert came(office, "J-1-1")["inspection"] == DAY.isoformat()
    assert "inspection" not in came(office, "J-1-2")


def test_a_split_job_comes_back_only_when_its_parts_are_off(office: Office) -> None:
    """Or the same railing would be built twice."""
    office.send(two_lines())
    split(office)

    early = office.send(two_lines(revision=2))
    office.change("J-1-1", "withdrawal", WHO)
    half = office.send(two_lines(revision=2))
    office.change("J-1-2", "withdrawal", WHO)
    late = office.send(two_lines(revision=2))
    again = split(office)

    assert problem_of(early) == problem_of(half) == (409, "conflict")
    assert (late.status_code, again.status_code) == (202, 200)
    assert office.get("/v1/jobs/J-1-2").json()["revision"] == 2


def test_a_split_never_replaces_another_job(office: Office) -> None:
    """Where a job has a part's number already, nothing is changed."""
    office.send(submission_of("J-1-2"))
    office.send(two_lines(revision=3))

    assert problem_of(split(office)) == (409, "conflict")
    assert office.get("/v1/jobs/J-1-2").json()["revision"] == 1
    assert office.get("/v1/jobs/J-1").json()["state"] == "held"


@pytest.mark.parametrize(
    ("more", "to", "why"),
    [
        ({}, {"second": ["B"]}, "are one line, and share corner posts"),
        ({}, {"second": ["Q"]}, "it has no leg Q"),
        ({}, {"second": ["A", "B", "C", "D", "E", "P"]}, "each part needs a guard line"),
        ({"remove_feet": 12}, {}, "old railing comes off"),
        ({"extras": ["post-lights"]}, {}, "extras were sold"),
    ],
)
def test_what_cannot_be_told_apart_is_not_split(
    office: Office, more: dict[str, Any], to: dict[str, Any], why: str
) -> None:
    """It is refused with the reason, and the job stays as it was."""
    office.send(two_lines(**more))

    refused = split(office, **to)

    assert problem_of(refused) == (409, "conflict")
    assert why in refused.json()["detail"]
    assert office.get("/v1/jobs/J-1").json()["state"] == "held"


def test_flights_that_share_a_post_are_not_parted(office: Office) -> None:
    """A landing's guard stands at the foot post of the flight above it."""
    office.send(json.dumps(two_flights() | {"job": "J-1", "remove_feet": 0}).encode())

    refused = split(office, second=["F", "G", "H"])

    assert problem_of(refused) == (409, "conflict")
    assert "share a post at S1" in refused.json()["detail"]


def test_a_part_is_not_split_again(office: Office) -> None:
    """Its card could not name two other parts."""
    office.send(two_lines())
    split(office)

    assert "it is a part already" in split(office, "J-1-2").json()["detail"]


def test_a_split_that_cannot_be_read_changes_nothing(office: Office) -> None:
    """What cannot be a key is refused before the job is taken off."""
    office.send(two_lines("J-2"))

    assert problem_of(split(office, "J-2", crew="x" * 41)) == (422, "bad-input")
    assert office.get("/v1/jobs/J-2").json()["state"] == "held"


def by_day(office: Office, **to: Any) -> httpx.Response:
    """Ask for posts on the job's day, rails on another."""
    return office.change("J-1", "split", {"by_day": True, "install_date": NEXT, **to, **WHO})


def test_a_job_is_split_by_day_with_its_whole_measure_on_both(office: Office) -> None:
    """A single line too, with old railing, extras and its promises; only the day's own goes."""
    more = {"remove_feet": 12, "inspection": DAY.isoformat(), "promises": ["keys with neighbour"]}
    office.send(json.dumps(json.loads(submission_of("J-1")) | more).encode())

    answer = by_day(office, crew="plover")

    assert (answer.status_code, answer.json()["state"]) == (200, "withdrawn")
    whole, first, second = (came(office, job) for job in ("J-1", "J-1-1", "J-1-2"))
    own = {"job", "crew", "install_date", "part"}
    assert {k: v for k, v in first.items() if k not in own} == {
        k: v for k, v in whole.items() if k not in own
    }
    assert first["part"] == {
        "of": "J-1", "number": 1, "other": "J-1-2", "crew": "plover", "install_date": NEXT,
        "legs": ["A", "B", "C", "D", "E"], "work": "posts",
    }  # fmt: skip
    assert second["part"]["work"] == "rails"
    assert (second["crew"], second["install_date"]) == ("plover", NEXT)
    assert second["remove_feet"] == 12
    assert "inspection" not in second


@pytest.mark.parametrize("day", [DAY, DAY - timedelta(days=1)])
def test_rails_come_on_a_later_day_than_posts(office: Office, day: Any) -> None:
    """The same day is no split by day."""
    office.send(submission_of("J-1"))

    refused = by_day(office, install_date=day.isoformat())

    assert problem_of(refused) == (409, "conflict")
    assert "is not after the posts' day" in refused.json()["detail"]
    assert office.get("/v1/jobs/J-1").json()["state"] == "received"


@pytest.mark.parametrize("to", [{"by_day": True, "second": ["P"]}, {"second": []}])
def test_a_split_is_by_area_or_by_day(office: Office, to: dict[str, Any]) -> None:
    """Not both, and not neither."""
    office.send(two_lines())

    refused = office.change("J-1", "split", {"install_date": NEXT, **to, **WHO})

    assert problem_of(refused) == (422, "bad-input")
    assert refused.json()["errors"][0]["pointer"] == "/second"


def test_the_next_revision_of_a_part_is_a_part_too(office: Office) -> None:
    """Without its `part` the crew would build what the other day builds."""
    office.send(submission_of("J-1"))
    by_day(office)
    next_one = came(office, "J-1-2") | {"revision": 2}

    bare = office.send({name: value for name, value in next_one.items() if name != "part"})
    whole = office.send(next_one)

    assert problem_of(bare) == (409, "conflict")
    assert "leave its `part` as it was" in bare.json()["detail"]
    assert whole.status_code == 202


def test_the_answer_to_a_split_says_where_the_parts_are(office: Office) -> None:
    """And bears the tag that the whole job has now."""
    office.send(two_lines())

    done = split(office, install_date=NEXT)

    links = done.json()["links"]
    assert [office.get(links[f"part_{n}"]).json()["job"] for n in (1, 2)] == ["J-1-1", "J-1-2"]
    assert done.headers["ETag"] == office.get("/v1/jobs/J-1").headers["ETag"]


def test_a_split_by_day_says_what_day_is_wanted(office: Office) -> None:
    """Not to send two jobs: a later day is all that lacks."""
    office.send(submission_of("J-1"))

    no = office.change("J-1", "split", {"by_day": True, **WHO})

    assert problem_of(no) == (409, "conflict")
    assert no.json()["detail"].endswith("name a later install_date")
