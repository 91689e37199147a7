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


def test_a_question_about_bookings_is_answered_and_goes_onto_the_day_sheet(office: Office) -> None:
    """Once, by who has seen it; the next run does not ask it again."""
    office.send(submission_of("H-1", "long day"))
    office.ask("POST", f"{NIGHT}/runs")
    look(office)
    asked = office.get(f"{NIGHT}/bookings")
    [question] = asked.json()["open"]
    said = {"question": question["key"], "option": "go-on", "by": "A. Duty", "why": "agreed"}
    seen = {"If-Match": asked.headers["ETag"]}

    blind = office.send(said, f"{NIGHT}/answers")
    wrong = office.send(said | {"option": "stop"}, f"{NIGHT}/answers", headers=seen)
    answered = office.send(said, f"{NIGHT}/answers", headers=seen)
    late = office.send(said, f"{NIGHT}/answers", headers=seen)
    office.ask("POST", f"{NIGHT}/runs")
    look(office)

    assert (problem_of(blind), problem_of(late)) == ((428, "no-condition"), (412, "stale"))
    assert wrong.json()["errors"][0]["pointer"] == "/option"
    assert (answered.status_code, answered.json()["open"]) == (200, [])
    assert answered.json()["decided"][0]["by"] == "A. Duty"
    night = office.get(NIGHT).json()
    bundle = office.get(night["crews"][0]["links"]["bundle"]).content
    assert b"decided day-full.heron go-on by A. Duty" in bundle
    report = office.get(night["links"]["report"]).json()
    assert report["bookings"] == []
    assert report["decided"][0]["question"] == "day-full.heron"
    assert office.get(f"{NIGHT}/bookings").json()["decided"] == answered.json()["decided"]


def test_bookings_of_a_night_that_was_not_run_are_unknown(office: Office) -> None:
    """Nothing is asked before a run has ended."""
    office.send(submission_of("H-1", "long day"))

    assert problem_of(office.get(f"{NIGHT}/bookings")) == (404, "unknown")


def test_a_night_says_how_many_jobs_it_and_each_crew_has(office: Office) -> None:
    """In all, by state, and by crew."""
    office.send(submission_of("J-1"))
    office.send(submission_of("J-2", "ask"))
    office.ask("POST", f"{NIGHT}/runs")
    look(office)

    night = office.get(NIGHT).json()

    assert (night["jobs_due"], [crew["jobs"] for crew in night["crews"]]) == (2, [2])
