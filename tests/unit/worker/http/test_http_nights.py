"""Nights over HTTP: asked for, started by the schedule, reported on, their bundles had."""

from __future__ import annotations

from tests.over_http import Office, problem_of
from tests.stand_in import DAY, submission_of
from worker.bell import KeptBell
from worker.making import make_bundle, make_pack
from worker.queues import MAKE_PACK
from worker.schedule import tick

NIGHT = f"/v1/nights/{DAY}"


def look(office: Office) -> None:
    """What schedule and workers do: look, make all that is rung for, and look again."""
    for _ in range(3):
        bell = KeptBell()
        tick(office.works, bell, holder="host:1")
        for ring in bell.rings:
            make = make_pack if ring.task == MAKE_PACK else make_bundle
            make(office.works, ring.row_id, holder="host:2")


def test_a_night_that_was_asked_for_ends_with_its_report(office: Office) -> None:
    """202 and a place to look; then bundle and report are there."""
    office.send(submission_of("J-1"))
    office.send(submission_of("J-2", "ask"))

    asked = office.ask("POST", f"{NIGHT}/runs")
    look(office)
    night = office.get(NIGHT).json()
    report = office.get(night["links"]["report"]).json()
    [crew] = night["crews"]
    bundle = office.get(crew["links"]["bundle"])

    assert (asked.status_code, asked.headers["Location"]) == (202, NIGHT)
    assert asked.json()["state"] == "asked"
    assert office.nudges == ["nudged"]
    assert (night["state"], night["runs"], crew["state"]) == ("closed", 1, "made")
    assert night["jobs"] == {"delivered": 1, "held": 1}
    assert (report["complete"], report["jobs_due"], report["excepted"]) == (True, 2, 1)
    assert bundle.headers["Content-Type"] == "application/pdf"
    assert b"J-1" in bundle.content
    again = office.get(crew["links"]["bundle"], headers={"If-None-Match": bundle.headers["ETag"]})
    assert again.status_code == 304


def test_asked_for_again_it_makes_only_what_has_changed(office: Office) -> None:
    """And the sheet that was replaced is named for destruction."""
    office.send(submission_of("J-1"))
    office.send(submission_of("J-2"))
    office.ask("POST", f"{NIGHT}/runs")
    look(office)
    old = office.get("/v1/jobs/J-1").json()["code"]
    office.send(submission_of("J-1", revision=2))

    office.ask("POST", f"{NIGHT}/runs")
    waiting = office.get(NIGHT).json()
    look(office)
    report = office.get(f"{NIGHT}/report").json()

    assert waiting["state"] == "asked"
    assert (report["run"], report["packs_made"]) == (2, 1)
    assert [(gone["job"], gone["code"]) for gone in report["called_back"]] == [("J-1", old)]


def test_a_night_nobody_asked_for_is_unknown(office: Office) -> None:
    """Nor has one without an end a report, nor a crew without work a bundle."""
    assert problem_of(office.get(NIGHT)) == (404, "unknown")
    office.send(submission_of("J-1"))
    office.ask("POST", f"{NIGHT}/runs")
    bell = KeptBell()
    tick(office.works, bell, holder="host:1")

    assert office.get(NIGHT).json()["state"] == "open"
    assert problem_of(office.get(f"{NIGHT}/report")) == (404, "not-made")
    assert problem_of(office.get(f"{NIGHT}/crews/heron/bundle.pdf")) == (404, "not-made")
    assert problem_of(office.get(f"{NIGHT}/crews/owl/bundle.pdf")) == (404, "unknown")
    assert problem_of(office.get("/v1/nights/someday")) == (422, "bad-input")
