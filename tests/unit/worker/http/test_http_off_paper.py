"""Paper that must not be built from is not handed out, and what was handed out is called back."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.over_http import Office, problem_of
from tests.stand_in import DAY, submission_of
from tests.unit.worker.http.test_http_nights import NIGHT, look
from worker.ledger.tables import jobs
from worker.making import make_pack

WHO = {"by": "A. Duty", "why": "called"}
BUNDLE = f"{NIGHT}/crews/heron/bundle.pdf"


def run(office: Office) -> dict[str, object]:
    """Have the night run, and its one crew."""
    office.ask("POST", f"{NIGHT}/runs")
    look(office)
    return crew_of(office)


def crew_of(office: Office) -> dict[str, object]:
    """The night's one crew as it stands."""
    [crew] = office.get(NIGHT).json()["crews"]
    assert isinstance(crew, dict)
    return crew


def off(office: Office, how: str) -> None:
    """Take J-1's pack out of use."""
    if how == "withdrawn":
        office.change("J-1", "withdrawal", WHO)
    elif how == "changed":
        office.send(submission_of("J-1", revision=2))
    else:
        to = {"install_date": str(DAY + timedelta(days=1)), **WHO}
        office.change("J-1", "move", to)


@pytest.mark.parametrize("how", ["withdrawn", "changed", "moved"])
def test_a_bundle_with_a_pack_that_is_off_is_not_handed_out(office: Office, how: str) -> None:
    """It names job, pack and what to do; the night says stale; the next run makes it good."""
    office.send(submission_of("J-1"))
    office.send(submission_of("J-2"))
    made = run(office)
    code = office.get("/v1/jobs/J-1").json()["code"]

    off(office, how)
    no, stale = office.get(BUNDLE), crew_of(office)
    mended = run(office)

    assert (made["state"], made["changes"]) == ("made", [])
    assert problem_of(no) == (409, "out-of-date")
    detail = no.json()["detail"]
    assert "J-1" in detail
    assert how in detail
    assert f"destroy pack {code}" in detail
    assert "run the night again" in detail
    assert (stale["state"], "bundle" in str(stale["links"])) == ("stale", False)
    assert "J-1" in str(stale["changes"])
    assert (mended["state"], mended["changes"]) == ("made", [])
    assert office.get(BUNDLE).status_code == 200


def test_a_bundle_that_lacks_a_late_job_is_stale_and_still_had(office: Office) -> None:
    """Its packs are good; what has come is told."""
    office.send(submission_of("J-1"))
    run(office)

    office.send(submission_of("J-2"))

    assert crew_of(office)["state"] == "stale"
    assert "J-2 has come" in str(crew_of(office)["changes"])
    assert office.get(BUNDLE).status_code == 200


def packed(office: Office, revision: int = 1) -> str:
    """J-1 at a revision, packed; its code."""
    office.send(submission_of("J-1", revision=revision))
    make_pack(office.works, revision, holder="host:1")
    return str(office.get("/v1/jobs/J-1").json()["code"])


def test_a_pack_that_was_fetched_is_called_back(office: Office) -> None:
    """The pack that takes its place names it, and so does the night's report."""
    old = packed(office)
    assert office.get("/v1/jobs/J-1/pack.pdf").status_code == 200
    packed(office, revision=2)

    run(office)
    report = office.get(f"{NIGHT}/report").json()

    assert office.get("/v1/jobs/J-1").json()["replaces"] == old
    assert [(gone["job"], gone["code"]) for gone in report["called_back"]] == [("J-1", old)]
    causes = [event["cause"] for event in office.get("/v1/jobs/J-1/events").json()]
    assert not any("was fetched" in cause for cause in causes)


def test_a_pack_that_was_fetched_and_withdrawn_is_called_back(office: Office) -> None:
    """By the day sheet of its crew, which has no other work that day."""
    old = packed(office)
    office.get("/v1/jobs/J-1/pack.pdf")
    withdrawn = office.change("J-1", "withdrawal", WHO).json()

    run(office)
    report = office.get(f"{NIGHT}/report").json()

    assert (withdrawn["state"], withdrawn["code"]) == ("withdrawn", old)
    assert [(gone["job"], gone["code"]) for gone in report["called_back"]] == [("J-1", old)]


def test_a_pack_nobody_fetched_is_not_called_back(office: Office) -> None:
    """Asking for its headers is not fetching it."""
    packed(office)
    assert office.ask("HEAD", "/v1/jobs/J-1/pack.pdf").status_code == 200
    packed(office, revision=2)

    assert office.get("/v1/jobs/J-1").json()["replaces"] == ""


def test_a_replaced_revision_keeps_its_code_and_points_to_the_latest(office: Office) -> None:
    """By the code its sheets are known; nothing of it can be read at the job's own address."""
    old = packed(office)
    office.send(submission_of("J-1", revision=2))

    [shown] = office.get("/v1/jobs?state=replaced").json()["jobs"]

    assert (shown["revision"], shown["code"]) == (1, old)
    assert shown["links"] == {"latest": "/v1/jobs/J-1"}


def test_sent_again_as_wanted_now_it_is_made_at_once(office: Office) -> None:
    """Though it came for its night before; and a next revision may be wanted now too."""
    office.send(submission_of("J-1"))
    again = office.send(submission_of("J-1"), "/v1/jobs?when=now")
    seen = {"If-Match": again.headers["ETag"]}
    first = wanted(office, 1)
    put = office.send(
        submission_of("J-1", revision=2), "/v1/jobs/J-1?when=now", method="PUT", headers=seen
    )

    assert (again.status_code, first) == (200, "packs")
    assert (put.status_code, wanted(office, 2)) == (202, "packs")


def wanted(office: Office, row: int) -> str:
    """The queue that is to make a job."""
    with office.works.ledger.reading() as tx:
        return str(tx.sql.execute(jobs.select().where(jobs.c.id == row)).one().wanted)


def test_a_withdrawn_job_is_not_moved_and_says_so(office: Office) -> None:
    """With the way back, not as if somebody had been faster."""
    office.send(submission_of("J-1"))
    office.change("J-1", "withdrawal", WHO)

    no = office.change("J-1", "move", {"crew": "plover", **WHO})

    assert problem_of(no) == (409, "conflict")
    assert "withdrawn and cannot be moved" in no.json()["detail"]
    assert "revision 2" in no.json()["detail"]


PRINTS = f"{NIGHT}/crews/heron/prints"


def test_a_copy_is_asked_for_once_however_often_it_is_sent(office: Office) -> None:
    """With its key; the receipts say who asked, and a second key is a second copy."""
    office.send(submission_of("J-1"))
    run(office)
    once, twice = {"Idempotency-Key": "torn-1"}, {"Idempotency-Key": "torn-2"}

    first, again, second = (office.send(WHO, PRINTS, headers=key) for key in (once, once, twice))
    receipts = office.get(PRINTS).json()

    assert [a.status_code for a in (first, again, second)] == [202, 202, 202]
    assert first.headers["Location"] == PRINTS
    assert again.json() == first.json()
    copies = [one for one in receipts if one["asked_by"]]
    assert [one["asked_by"] for one in copies] == ["A. Duty: called"] * 2
    assert copies[1]["copy_number"] == copies[0]["copy_number"] + 1


def test_no_copy_is_made_of_what_must_not_be_built_from(office: Office) -> None:
    """Nor of what there is none of, nor without saying who and why."""
    office.send(submission_of("J-1"))
    assert problem_of(office.send(WHO, PRINTS)) == (404, "unknown")
    run(office)
    assert problem_of(office.send({"by": "A. Duty"}, PRINTS)) == (422, "bad-input")
    office.send(submission_of("J-1", revision=2))

    no = office.send(WHO, PRINTS)

    assert problem_of(no) == (409, "conflict")
    assert "J-1 has changed" in no.json()["detail"]
    assert problem_of(office.send(WHO, PRINTS.replace("heron", "owl"))) == (404, "unknown")
    assert office.get(PRINTS).json() == []
