"""The offcut rack: set aside for one plan, taken, returned; never used twice."""

from __future__ import annotations

import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import func, select, update

from schemas.cut_plan import PlainStock, RackPiece, StockRail
from schemas.errors import Conflict, UnknownThing
from schemas.lengths import INSIDE
from tests.stand_in import DAY, submission_of
from tests.unit.worker.test_nights import bring, run, work_off
from worker.audit import audit
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.ledger import rack
from worker.ledger.deciding import release, withdraw
from worker.ledger.nights import make_again
from worker.ledger.opening import Ledger, Tx, open_ledger
from worker.ledger.records import job_by_number
from worker.ledger.tables import events
from worker.ledger.tables import rack as rack_table
from worker.making import kinds_of, make_pack
from worker.night.run import start_night

KIND = ("cove", "chalk")
SOME = {KIND}


def offcut(tag: str, *, colour: str = "chalk", length: int = 400_000) -> RackPiece:
    """A piece for the rack."""
    stock = StockRail(
        id=tag, kit=None, orientation="level", system="cove", colour=colour, length=length,
        first_hole=20_320, holes=9, pitch=40_640, cents=0, supply=1,
    )  # fmt: skip
    return RackPiece(stock=stock, home=None)


def hang(ledger: Ledger, *tags: str) -> None:
    """Hang pieces."""
    with ledger.writing() as tx:
        rack.put(tx, [offcut(tag) for tag in tags], cause="test")


def offered(ledger: Ledger, holder: str, inputs: str = "same") -> list[str]:
    """Tags offered to a plan."""
    with ledger.writing() as tx:
        found = rack.offer(tx, holder=holder, inputs=inputs, kinds=SOME)
        return [RackPiece(stock=one, home=None).tag for one in found]


def states(ledger: Ledger) -> dict[str, str]:
    """Where every piece stands."""
    with ledger.writing() as tx:
        return {one.tag: f"{one.state} {one.holder}".strip() for one in rack.pieces(tx)}


def test_what_is_offered_to_one_plan_is_not_offered_to_another(ledger: Ledger) -> None:
    """All that fits is set aside until the plan says what it takes; then the rest is free."""
    hang(ledger, "R1", "R2")

    first, second = offered(ledger, "job 1"), offered(ledger, "job 2")
    with ledger.writing() as tx:
        rack.settle(tx, holder="job 1", taken=["R2"])
    third = offered(ledger, "job 3")

    assert (first, second, third) == (["R1", "R2"], [], ["R1"])
    assert states(ledger) == {"R1": "set aside job 3", "R2": "set aside job 1"}


def test_the_same_plan_is_offered_the_same_again(ledger: Ledger) -> None:
    """Whatever came to the rack since, and whatever the plan did not take: the record stands."""
    hang(ledger, "R1", "R2")
    first = offered(ledger, "job 1")
    with ledger.writing() as tx:
        rack.settle(tx, holder="job 1", taken=["R2"])
    hang(ledger, "R3")

    again = offered(ledger, "job 1")

    assert again == first == ["R1", "R2"]
    assert states(ledger)["R1"] == "on rack"


def test_other_documents_are_another_offer(ledger: Ledger) -> None:
    """What the plan held is let go, and it looks at the rack as it is now."""
    hang(ledger, "R1")
    offered(ledger, "job 1", "before")
    hang(ledger, "R2")

    assert offered(ledger, "job 1", "after") == ["R1", "R2"]


def test_other_colours_stay_where_they_are(ledger: Ledger) -> None:
    """Only what the job's rails can be cut from is set aside."""
    with ledger.writing() as tx:
        rack.put(tx, [offcut("R1", colour="slate"), offcut("R2")], cause="test")

    assert offered(ledger, "job 1") == ["R2"]


def stick(tag: str, *, what: str, made_of: str) -> RackPiece:
    """A rest of a stick for the rack."""
    rest = {
        "what": what, "key": "a-stick", "length": 9_000_000, "cents": 0, "supply": 1, "tag": tag,
        "made_of": made_of, "trim_right": 2_032,
    }  # fmt: skip
    return RackPiece(stock=PlainStock.model_validate(rest, context=INSIDE), home="P-1")


def test_rests_of_sticks_are_offered_by_what_they_are(ledger: Ledger) -> None:
    """A sleeve by system and colour like a rail, a core by its size, handrail by its system."""
    rests = [
        stick("S1", what="sleeve", made_of="cove chalk"),
        stick("S2", what="sleeve", made_of="cove slate"),
        stick("S3", what="core", made_of="28448"),
        stick("S4", what="core", made_of="44704"),
        stick("S5", what="handrail", made_of="cove"),
    ]
    kinds = {KIND, ("core", "28448"), ("handrail", "cove")}

    with ledger.writing() as tx:
        rack.put(tx, rests, cause="test")
        found = rack.offer(tx, holder="job 1", inputs="same", kinds=kinds)
        again = rack.offer(tx, holder="job 1", inputs="same", kinds=kinds)

    assert sorted(RackPiece(stock=one, home=None).tag for one in found) == ["S1", "S3", "S5"]
    assert found == again
    by_tag = {one.tag: one.stock for one in rests}
    assert all(one == by_tag[RackPiece(stock=one, home=None).tag] for one in found)


def test_a_plan_cannot_take_what_was_not_set_aside_for_it(ledger: Ledger) -> None:
    """It is refused, and nothing of it is kept."""
    hang(ledger, "R1")
    offered(ledger, "job 1")

    with pytest.raises(Conflict, match="R1: not set aside for job 2"), ledger.writing() as tx:
        rack.settle(tx, holder="job 2", taken=["R1"])

    assert states(ledger) == {"R1": "set aside job 1"}


def test_a_cut_plan_uses_its_pieces_up_and_hangs_what_it_left(ledger: Ledger) -> None:
    """Twice said is once done."""
    hang(ledger, "R1")
    offered(ledger, "job 1")
    left = [offcut("J-1-1-2a")]

    with ledger.writing() as tx:
        first = rack.cut(tx, holder="job 1", left=left, by="yard")
        again = rack.cut(tx, holder="job 1", left=left, by="yard")

    assert (first, again) == ((["R1"], ["J-1-1-2a"]), ([], []))
    assert states(ledger) == {"R1": "taken job 1", "J-1-1-2a": "on rack"}


def test_by_hand_a_piece_goes_away_and_comes_back(ledger: Ledger) -> None:
    """But not while a plan counts on it, and not without its tag."""
    hang(ledger, "R1", "R2")
    with ledger.writing() as tx:
        rack.take_away(tx, "R1", by="yard", why="cracked")
    offered(ledger, "job 1")

    with pytest.raises(Conflict, match="R2 is set aside for job 1"), ledger.writing() as tx:
        rack.take_away(tx, "R2", by="yard", why="-")
    with pytest.raises(UnknownThing, match="has the tag R9"), ledger.writing() as tx:
        rack.bring_back(tx, "R9", by="yard", why="-")
    with ledger.writing() as tx:
        rack.bring_back(tx, "R1", by="yard", why="only dusty")

    assert states(ledger) == {"R1": "on rack", "R2": "set aside job 1"}


def test_every_move_is_written_down(ledger: Ledger) -> None:
    """With its cause, like everything in the ledger."""
    hang(ledger, "R1")
    offered(ledger, "job 1")
    with ledger.writing() as tx:
        rack.let_go(tx, holder="job 1")
        moves = tx.sql.execute(
            select(events.c.was, events.c.now).where(events.c.thing == "rack").order_by(events.c.id)
        ).all()

    assert [tuple(move) for move in moves] == [
        ("", "on rack"), ("on rack", "set aside"), ("set aside", "on rack"),
    ]  # fmt: skip


def use(works: Works, job: str, tag: str, **more: object) -> None:
    """A job whose plan takes a piece when it is offered."""
    bring(works, job, f"use {tag}", **more)  # type: ignore[arg-type]


def test_a_withdrawn_job_gives_its_pieces_back(works: Works) -> None:
    """So does one that is replaced by a higher revision."""
    hang(works.ledger, "R1", "R2")
    use(works, "H-1", "R1")
    start_night(works, day=DAY, issued="2026-12-02")
    make_pack(works, 1, holder="host:1")
    before = states(works.ledger)
    use(works, "H-1", "R2", revision=2)
    replaced = states(works.ledger)
    start_night(works, day=DAY, issued="2026-12-02")
    make_pack(works, 2, holder="host:1")
    then = states(works.ledger)
    with works.ledger.writing() as tx:
        withdraw(tx, "H-1", by="A. Duty", why="rain")

    assert before == {"R1": "set aside job 1", "R2": "on rack"}
    assert replaced == {"R1": "on rack", "R2": "on rack"}
    assert then == {"R1": "on rack", "R2": "set aside job 2"}
    assert states(works.ledger) == {"R1": "on rack", "R2": "on rack"}


def test_a_job_that_fails_or_is_held_gives_its_pieces_back(works: Works) -> None:
    """Nobody is to wait for rails that no plan takes."""
    hang(works.ledger, "R1")
    bring(works, "H-1", "broken")
    start_night(works, day=DAY, issued="2026-12-02")
    held = states(works.ledger)

    make_pack(works, 1, holder="host:1")

    assert held == {"R1": "set aside job 1"}
    assert states(works.ledger) == {"R1": "on rack"}
    with works.ledger.writing() as tx:
        release(tx, "H-1", by="A. Duty", why="mended")
        assert job_by_number(tx, "H-1").state == "received"


def test_the_night_deals_the_rack_out_in_the_jobs_order(works: Works) -> None:
    """Whichever worker comes first, each job is offered the same pieces."""
    hang(works.ledger, "R1", "R2", "R3")
    for job in ("H-2", "H-1"):
        bring(works, job, "use all")
    start_night(works, day=DAY, issued="2026-12-02")
    dealt = states(works.ledger)

    make_pack(works, 2, holder="host:2")
    make_pack(works, 1, holder="host:1")

    assert dealt == {"R1": "set aside job 2", "R2": "set aside job 1", "R3": "set aside job 2"}
    assert states(works.ledger) == dealt


def test_a_job_made_again_comes_out_the_same(works: Works, clock: SetClock, tmp_path: Path) -> None:
    """Although the rack has changed since: its code and its file stay."""
    hang(works.ledger, "R1")
    bring(works, "H-1", "use R1")
    first = run(works, clock, tmp_path).crews[0].packs[0]
    hang(works.ledger, "R2")
    with works.ledger.writing() as tx:
        make_again(tx, job_by_number(tx, "H-1").id, cause="test")

    night = start_night(works, day=DAY, issued="2026-12-02")
    work_off(works, night, clock)

    again = run(works, clock, tmp_path).crews[0].packs[0]
    assert (again.code, again.sha256) == (first.code, first.sha256)
    assert states(works.ledger) == {"R1": "set aside job 1", "R2": "on rack"}


def test_a_job_of_another_night_is_dealt_nothing(works: Works) -> None:
    """Only the night that is opened deals."""
    hang(works.ledger, "R1")
    bring(works, "H-1", day=DAY + timedelta(days=1))

    start_night(works, day=DAY, issued="2026-12-02")

    assert states(works.ledger) == {"R1": "on rack"}


TAKER = """
import sys
from worker.ledger import rack
from worker.ledger.opening import open_ledger
url, name = sys.argv[1:]
ledger = open_ledger(url)
print("ready", flush=True)
sys.stdin.readline()
for turn in range(12):
    holder = f"{name} {turn}"
    with ledger.writing() as tx:
        got = rack.offer(tx, holder=holder, inputs="-", kinds={("cove", "chalk")})
    with ledger.writing() as tx:
        rack.settle(tx, holder=holder, taken=[one.id for one in got[:2]])
    print(*(one.id for one in got[:2]), flush=True)
"""


@pytest.mark.parametrize("ledger_url", ["sqlite file", "postgresql"], indirect=True)
def test_workers_at_once_never_take_a_piece_twice(ledger_url: str) -> None:
    """Three processes, each with a connection of its own, take two pieces at a time."""
    ledger = open_ledger(ledger_url)
    hang(ledger, *(f"R{n:03}" for n in range(60)))
    takers = [
        subprocess.Popen(
            [sys.executable, "-c", TAKER, ledger_url, f"worker {n}"],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )
        for n in range(3)
    ]  # fmt: skip
    for taker in takers:
        assert taker.stdout is not None
        assert taker.stdout.readline() == "ready\n"

    for taker in takers:
        assert taker.stdin is not None
        taker.stdin.write("go\n")
        taker.stdin.flush()
    said = [taker.communicate(timeout=120)[0] for taker in takers]

    taken = [tag for text in said for tag in text.split()]
    assert all(taker.returncode == 0 for taker in takers)
    assert len(taken) == len(set(taken)) >= 24
    with ledger.writing() as tx:
        assert _counts(tx).get("set aside") == len(taken)
    ledger.close()


def _counts(tx: Tx) -> dict[str, int]:
    rows = select(rack_table.c.state, func.count()).group_by(rack_table.c.state)
    return {state: int(number) for state, number in tx.sql.execute(rows)}


def test_submissions_name_the_rails_they_can_use(works: Works) -> None:
    """System and colour of the demo's job, which the pieces above are of."""
    submission = works.pipeline.read_submission(submission_of("H-1"))

    assert KIND in kinds_of(submission)


def test_the_auditor_names_offcuts_kept_for_nobody(works: Works) -> None:
    """A piece set aside for a job that is off, and one whose story says otherwise."""
    hang(works.ledger, "R1", "R2")
    use(works, "H-1", "R1")
    with works.ledger.writing() as tx:
        withdraw(tx, "H-1", by="A. Duty", why="rain")
    clean = audit(works)
    with works.ledger.writing() as tx:
        tx.sql.execute(
            update(rack_table).where(rack_table.c.tag == "R1")
            .values(state="set aside", holder="job 1")
        )  # fmt: skip

    faults = {(one.where, one.says) for one in audit(works)}

    assert clean == []
    assert faults == {
        ("offcut R1", "is kept for H-1, which is withdrawn"),
        ("offcut R1", "is set aside, and its story says otherwise"),
    }
