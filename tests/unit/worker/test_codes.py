"""A code read off a sheet says whether to build from it, destroy it, or call."""

from __future__ import annotations

from tests.stand_in import DAY, submission_of
from worker.bootstrap import Works
from worker.desk import submit
from worker.ledger.codes import plain_code
from worker.ledger.deciding import withdraw
from worker.ledger.gathering import gather
from worker.ledger.nights import make_again, open_night
from worker.ledger.reading import bundles_of
from worker.ledger.records import job_by_number
from worker.ledger.standing import Standing, standing_of
from worker.making import make_bundle, make_pack

WORKER = "host:1"


def pack(works: Works, revision: int = 1, job: str = "J-1") -> str:
    """Take a job in and make its pack; its code."""
    raw = submission_of(job, revision=revision)
    make_pack(works, submit(works, raw, came_as=job).job_id, holder=WORKER)
    with works.ledger.writing() as tx:
        return job_by_number(tx, job).code


def day_sheet(works: Works) -> str:
    """Make the day's only bundle; its code."""
    with works.ledger.writing() as tx:
        night = open_night(tx, company="c", day=DAY, issued="2026-12-02")
        gather(tx, night, stamp=works.stamp, again=True)
        [row] = bundles_of(tx, night)
    make_bundle(works, row.id, holder=WORKER)
    with works.ledger.writing() as tx:
        [row] = bundles_of(tx, night)
    return str(row.code)


def standing(works: Works, code: str) -> Standing:
    """What the office answers to a code."""
    with works.ledger.writing() as tx:
        return standing_of(tx, code)


def test_the_newest_pack_is_current_and_the_one_before_is_not(works: Works) -> None:
    """The old one names the new one."""
    old = pack(works, revision=1)
    new = pack(works, revision=2)

    assert (standing(works, new).verdict, standing(works, new).current) == ("current", new)
    assert (standing(works, old).verdict, standing(works, old).current) == ("superseded", new)
    assert standing(works, old).thing == "job J-1 revision 1"


def test_while_a_new_pack_is_being_made_none_is_current(works: Works) -> None:
    """A revision on its way has already put the old sheet out of use."""
    old = pack(works)
    submit(works, submission_of("J-1", "ask", revision=2), came_as="J-1")

    assert standing(works, old) == Standing(
        code=old, verdict="superseded", thing="job J-1 revision 1", current=""
    )


def test_a_pack_that_comes_out_as_it_was_is_current_again(works: Works) -> None:
    """Made anew from the same measures, it is the same pack."""
    code = pack(works)
    with works.ledger.writing() as tx:
        row = job_by_number(tx, "J-1")
        make_again(tx, row.id, cause="its file is damaged")
    assert standing(works, code).verdict == "superseded"

    make_pack(works, row.id, holder=WORKER)

    assert standing(works, code).verdict == "current"


def test_a_withdrawn_jobs_sheet_says_so(works: Works) -> None:
    """There is no other to work from."""
    code = pack(works)
    with works.ledger.writing() as tx:
        withdraw(tx, "J-1", by="A. Duty", why="customer called")

    assert (standing(works, code).verdict, standing(works, code).current) == ("withdrawn", "")


def test_a_day_sheet_has_a_code_too(works: Works) -> None:
    """Of its crew and day."""
    pack(works)
    old = day_sheet(works)
    pack(works, job="J-2")
    new = day_sheet(works)

    assert standing(works, old).verdict == "superseded"
    assert standing(works, new) == Standing(
        code=new, verdict="current", thing=f"day sheet of crew heron for {DAY}", current=new
    )


def test_a_day_sheet_is_out_of_date_when_a_job_on_it_is_withdrawn(works: Works) -> None:
    """Before its night is run again: it says which job, and which pack to destroy."""
    code = pack(works)
    pack(works, job="J-2")
    sheet = day_sheet(works)
    with works.ledger.writing() as tx:
        withdraw(tx, "J-1", by="A. Duty", why="customer called")

    assert standing(works, sheet) == Standing(
        code=sheet, verdict="superseded", thing=f"day sheet of crew heron for {DAY}",
        changes=(f"J-1 is withdrawn: destroy pack {code}, do not build it",),
    )  # fmt: skip


def test_a_day_sheet_is_out_of_date_when_a_job_on_it_is_replaced(works: Works) -> None:
    """While the new pack is made, and after, until the sheet is made anew."""
    old = pack(works)
    sheet = day_sheet(works)
    submit(works, submission_of("J-1", revision=2), came_as="J-1")
    waiting = standing(works, sheet)
    make_pack(works, 2, holder=WORKER)
    with works.ledger.reading() as tx:
        new = job_by_number(tx, "J-1").code
    made = standing(works, sheet)
    again = day_sheet(works)

    changed = f"J-1 has changed, revision 2: destroy pack {old}"
    assert waiting.changes == (f"{changed}, call the office",)
    assert made.changes == (f"{changed}, work from pack {new}",)
    assert (waiting.verdict, made.verdict) == ("superseded", "superseded")
    assert (standing(works, again).verdict, standing(works, again).changes) == ("current", ())
    assert standing(works, sheet).current == again


def test_a_day_sheet_is_out_of_date_when_a_job_comes_to_its_day(works: Works) -> None:
    """Or a stop would be missed."""
    pack(works)
    sheet = day_sheet(works)
    submit(works, submission_of("J-2"), came_as="J-2")

    assert standing(works, sheet).verdict == "superseded"
    assert standing(works, sheet).changes == ("J-2 has come to this day: call the office",)


def test_a_strangers_code_is_unknown(works: Works) -> None:
    """And nothing is said about it."""
    assert standing(works, "7K2M-Q9DX") == Standing(code="7K2M-Q9DX", verdict="unknown")


def test_a_code_may_be_read_out_and_typed_as_people_do() -> None:
    """Lower case, a space for the dash, and the letters that look like digits.

    Source:
        Douglas Crockford, Base 32: decoding takes O as 0, I and L as 1, in either case.
    """
    assert plain_code("7k2m q9dx") == "7K2M-Q9DX"
    assert plain_code("oIl0-ABCD") == "0110-ABCD"
