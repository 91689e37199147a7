"""Making a pack: load, call, save; each way it goes wrong ends on the record."""

from __future__ import annotations

from pathlib import Path

import pytest

from schemas.errors import BadInput
from schemas.site import Answer
from tests.stand_in import submission_of
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.desk import submit
from worker.ledger.deciding import answer, release, withdraw
from worker.ledger.nights import to_paper
from worker.ledger.reading import happened
from worker.ledger.records import JobRow, job_by_number
from worker.making import make_pack
from worker.stores.memory import MemoryStore

WORKER = "host:1"


def taken_in(works: Works, *faults: str, job: str = "J-1", revision: int = 1) -> int:
    """A job at the desk, to be made at once."""
    raw = submission_of(job, *faults, revision=revision)
    return submit(works, raw, came_as="J.json", wanted="packs").job_id


def job(works: Works, number: str = "J-1") -> JobRow:
    """How a job stands."""
    with works.ledger.writing() as tx:
        return job_by_number(tx, number)


def kept(works: Works) -> dict[str, bytes]:
    """All files in the store."""
    assert isinstance(works.store, MemoryStore)
    return works.store.files


def test_a_job_is_planned_then_packed_and_both_files_are_kept(works: Works) -> None:
    """The plan is safe before the pack is drawn."""
    job_id = taken_in(works)

    make_pack(works, job_id, holder=WORKER)

    made = job(works)
    assert (made.state, made.pages) == ("packed", 3)
    assert works.store.get(made.plan) in works.store.get(made.pdf)
    with works.ledger.writing() as tx:
        states = [e.now for e in happened(tx, "job", job_id)]
    assert states == ["received", "received", "planned", "packed"]


def test_a_message_that_comes_again_changes_nothing(works: Works) -> None:
    """The ledger after it is the ledger before it."""
    job_id = taken_in(works)
    make_pack(works, job_id, holder=WORKER)
    before = job(works)

    make_pack(works, job_id, holder=WORKER)

    assert job(works) == before
    with works.ledger.writing() as tx:
        assert len(happened(tx, "job", job_id)) == 4


def test_a_message_for_a_row_that_is_not_there_changes_nothing(works: Works) -> None:
    """Whoever can write the queue can start no work of his own."""
    make_pack(works, 4711, holder=WORKER)

    assert kept(works) == {}


def test_an_unforeseen_error_is_tried_three_times_and_kept(works: Works, clock: SetClock) -> None:
    """With its traceback, so that somebody can mend it."""
    job_id = taken_in(works, "raise")

    for _ in range(5):
        make_pack(works, job_id, holder=WORKER)
        clock.move(60)

    failed = job(works)
    assert failed.state == "failed"
    assert failed.error.startswith("Traceback")
    assert failed.error.rstrip().endswith("ValueError: raise")
    assert failed.attempt == 3


def test_a_plan_that_breaks_its_limit_fails_at_once(works: Works) -> None:
    """A second try would say the same."""
    job_id = taken_in(works, "broken")

    make_pack(works, job_id, holder=WORKER)

    assert job(works).state == "failed"
    assert "4.02 in" in job(works).error
    assert job(works).attempt == 1


def test_a_full_disk_waits_and_tries_again(works: Works, clock: SetClock, tmp_path: Path) -> None:
    """The job is not to blame."""
    job_id = taken_in(works, f"late-once {tmp_path / 'once'}")

    make_pack(works, job_id, holder=WORKER)
    assert (job(works).state, job(works).strikes) == ("planned", 0)
    clock.move(2)
    make_pack(works, job_id, holder=WORKER)

    assert job(works).state == "packed"
    assert job(works).error == ""


def test_a_failed_job_is_released_by_name_and_tried_again(works: Works, clock: SetClock) -> None:
    """Who released it, and why, is on the record."""
    job_id = taken_in(works, "raise")
    for _ in range(3):
        make_pack(works, job_id, holder=WORKER)
        clock.move(60)

    with works.ledger.writing() as tx:
        released = release(tx, "J-1", by="A. Duty", why="font mended")

    assert (released.state, released.strikes, released.error) == ("received", 0, "")
    with works.ledger.writing() as tx:
        assert happened(tx, "job", job_id)[-1].cause == "A. Duty released it: font mended"


def test_an_answered_question_lets_the_job_be_made(works: Works) -> None:
    """The answer goes into the plan."""
    job_id = taken_in(works, "ask")
    said = Answer(question="which-post", option="leg-b", by="A. Duty", why="photo 12")
    assert job(works).state == "held"

    with works.ledger.writing() as tx:
        answer(tx, "J-1", said)
    make_pack(works, job_id, holder=WORKER)

    assert job(works).state == "packed"
    assert b"photo 12" in works.store.get(job(works).plan)


@pytest.mark.parametrize(("question", "option"), [("which-leg", "leg-b"), ("which-post", "leg-z")])
def test_an_answer_to_what_was_not_asked_is_refused(
    works: Works, question: str, option: str
) -> None:
    """The refusal names what there is."""
    taken_in(works, "ask")
    said = Answer(question=question, option=option, by="A. Duty", why="-")

    with pytest.raises(BadInput) as refused, works.ledger.writing() as tx:
        answer(tx, "J-1", said)

    assert refused.value.problems[0].mend in {"one of which-post", "one of leg-a, leg-b"}
    assert job(works).state == "held"


def test_a_withdrawn_job_is_not_made(works: Works) -> None:
    """Not even by a message that was on its way."""
    job_id = taken_in(works)
    with works.ledger.writing() as tx:
        withdraw(tx, "J-1", by="A. Duty", why="customer called")

    make_pack(works, job_id, holder=WORKER)

    assert job(works).state == "withdrawn"
    assert kept(works) == {}


def test_a_replacement_is_compared_with_the_plan_on_paper(works: Works) -> None:
    """Revision 2 is printed beside revision 1's plan, found by the code that a crew holds."""
    first = taken_in(works)
    make_pack(works, first, holder=WORKER)
    with works.ledger.writing() as tx:
        to_paper(tx, [first], to="bundled", cause="test")

    make_pack(works, taken_in(works, revision=2), holder=WORKER)

    assert works.store.get(job(works).pdf).endswith(b", was rev 1")


def test_a_lost_old_plan_does_not_stop_a_replacement(works: Works) -> None:
    """Without it the pack is printed all the same; it then compares with nothing."""
    first = taken_in(works)
    make_pack(works, first, holder=WORKER)
    with works.ledger.writing() as tx:
        to_paper(tx, [first], to="bundled", cause="test")
    del kept(works)[job(works).plan]

    make_pack(works, taken_in(works, revision=2), holder=WORKER)

    assert job(works).state == "packed"
    assert b", was rev" not in works.store.get(job(works).pdf)
