"""Accepting a submission: once, in order of revisions, never lost and never doubled."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from schemas.errors import BadInput, Conflict
from schemas.pack import Outcome
from tests.stand_in import StandIn, submission_of
from worker.bootstrap import Works
from worker.desk import submit
from worker.ledger.reading import happened
from worker.ledger.records import every_job, job_by_id, work_on
from worker.ledger.tables import jobs, refusals, submissions


def state(works: Works, job_id: int) -> str:
    """Where a job stands."""
    with works.ledger.writing() as tx:
        return job_by_id(tx, job_id).state


def test_a_submission_is_kept_word_for_word(works: Works) -> None:
    """What came is what is worked on, byte for byte."""
    raw = submission_of("J-1")

    receipt = submit(works, raw, came_as="J-1.json")

    with works.ledger.writing() as tx:
        assert work_on(tx, receipt.job_id).raw == raw
    assert (receipt.state, receipt.new) == ("received", True)


def test_the_same_again_is_answered_as_before(works: Works) -> None:
    """Other spaces and another order of keys are still the same submission."""
    raw = submission_of("J-1")
    first = submit(works, raw, came_as="J-1.json")

    spaced = json.dumps(json.loads(raw), indent=2, sort_keys=True).encode()

    again = submit(works, spaced, came_as="again.json")

    assert again.job_id == first.job_id
    assert not again.new
    with works.ledger.writing() as tx:
        assert len(every_job(tx)) == 1


def test_the_same_revision_with_other_content_is_refused(works: Works) -> None:
    """A revision means one thing for ever."""
    submit(works, submission_of("J-1"), came_as="J-1.json")

    with pytest.raises(Conflict, match="J-1 revision 1 is here with other content"):
        submit(works, submission_of("J-1", "raise"), came_as="other.json")


def test_a_lower_revision_is_refused(works: Works) -> None:
    """An old document that comes late changes nothing."""
    submit(works, submission_of("J-1", revision=3), came_as="3.json")

    with pytest.raises(Conflict, match="J-1 is already at revision 3"):
        submit(works, submission_of("J-1", revision=2), came_as="2.json")


def test_a_higher_revision_replaces_all_lower_ones(works: Works) -> None:
    """Only the newest is worked on."""
    first = submit(works, submission_of("J-1", revision=1), came_as="1.json")
    second = submit(works, submission_of("J-1", revision=2), came_as="2.json")

    third = submit(works, submission_of("J-1", revision=5), came_as="5.json")

    assert [state(works, r.job_id) for r in (first, second, third)] == [
        "replaced",
        "replaced",
        "received",
    ]


def test_a_refused_file_leaves_no_trace_but_its_problem_list(works: Works) -> None:
    """Not a job, not its text: the problems, and what the file was called."""
    with pytest.raises(BadInput):
        submit(works, b'{"schema_version": 1, "job": "J 1"}', came_as="bad.json")

    with works.ledger.writing() as tx:
        kept = tx.sql.execute(refusals.select()).one()
        assert tx.sql.execute(jobs.select()).first() is None
        assert tx.sql.execute(submissions.select()).first() is None
    assert kept.came_as == "bad.json"
    assert "/job" in kept.problems


def test_a_crew_that_the_company_does_not_have_is_refused_at_the_desk(works: Works) -> None:
    """What planning would refuse is refused while the office still waits."""
    with pytest.raises(BadInput, match="no such crew"):
        submit(works, submission_of("J-1", "refuse"), came_as="J-1.json")

    with works.ledger.writing() as tx:
        assert every_job(tx) == []


def test_a_question_holds_the_job_from_the_start(works: Works) -> None:
    """The office learns at the desk what it must answer."""
    receipt = submit(works, submission_of("J-1", "ask"), came_as="J-1.json")

    with works.ledger.writing() as tx:
        row = job_by_id(tx, receipt.job_id)
    assert row.state == "held"
    assert [q.key for q in row.stops] == ["which-post"]


def test_a_job_that_cannot_be_planned_is_still_taken_in(works: Works) -> None:
    """It will fail on the record, where everybody sees it, not vanish at the desk."""
    receipt = submit(works, submission_of("J-1", "broken"), came_as="J-1.json")

    assert state(works, receipt.job_id) == "received"


class Breaks(StandIn):
    """A computation with a fault of its own."""

    def make_plan(self, *_: object, **__: object) -> Outcome:
        """Break."""
        raise ZeroDivisionError


def test_a_fault_of_ours_turns_no_good_submission_away(works: Works) -> None:
    """It is taken in, and the fault is met where it is counted and kept."""
    broken = replace(works, pipeline=Breaks())

    receipt = submit(broken, submission_of("J-1"), came_as="J-1.json")

    assert state(works, receipt.job_id) == "received"


def test_every_change_is_written_down_with_its_cause(works: Works) -> None:
    """The ledger can say when and why."""
    first = submit(works, submission_of("J-1", revision=1), came_as="1.json")
    submit(works, submission_of("J-1", revision=2), came_as="2.json")

    with works.ledger.writing() as tx:
        story = happened(tx, "job", first.job_id)

    assert [(e.was, e.now, e.cause) for e in story] == [
        ("", "received", "accepted"),
        ("received", "replaced", "revision 2 came"),
    ]
    assert {e.at_ms for e in story} == {works.clock.now_ms()}
