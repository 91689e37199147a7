"""A night's bookkeeping: who is due, what goes into a bundle, what is called back, the proof."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from schemas.bundle import BundleFile, DecidedBooking, Missing, Stop
from schemas.delivery import NightReport
from schemas.errors import Conflict, GeometryError, UnknownThing, UnprintableText
from schemas.job import Library
from schemas.pack import OtherFile
from schemas.plan import Plan
from schemas.site import Answer
from tests.stand_in import DAY, StandIn, submission_of
from worker.bell import KeptBell
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.desk import submit
from worker.ledger.deciding import answer, withdraw
from worker.ledger.gathering import gather
from worker.ledger.nights import NightRow, open_night
from worker.ledger.reading import bundles_of
from worker.ledger.records import job_by_number
from worker.ledger.sweeping import rung, to_ring
from worker.making import make_bundle, make_pack
from worker.night.delivery import bundle_file
from worker.night.mending import send_back_damaged
from worker.night.report import report_on
from worker.night.run import Watch, end_night, start_night
from worker.queues import MAKE_BUNDLE, MAKE_PACK
from worker.stores.memory import MemoryStore


def bring(
    works: Works, job: str, *faults: str, revision: int = 1, crew: str = "heron", day: date = DAY
) -> None:
    """Take a job in."""
    raw = submission_of(job, *faults, revision=revision, crew=crew, day=day)
    submit(works, raw, came_as=job)


def work_off(works: Works, night: NightRow, clock: SetClock) -> None:
    """Do what workers would, until nothing is due any more."""
    while True:
        with works.ledger.writing() as tx:
            gather(tx, night, stamp=works.stamp)
            rings = to_ring(tx, idle=True, lease=works.settings.lease)
            rung(tx, rings)
        if not rings:
            return
        for ring in rings:
            make = make_pack if ring.task == MAKE_PACK else make_bundle
            make(works, ring.row_id, holder="host:1")
        clock.move(60)


def run(works: Works, clock: SetClock, out: Path, day: date = DAY) -> NightReport:
    """A night without processes."""
    night = start_night(works, day=day, issued="2026-12-02")
    work_off(works, night, clock)
    return end_night(works, night, out)


def state(works: Works, job: str) -> str:
    """Where a job's highest revision stands."""
    with works.ledger.writing() as tx:
        return job_by_number(tx, job).state


def test_only_the_days_jobs_are_due_and_each_is_delivered(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """Another day's job waits for its own night."""
    bring(works, "H-1")
    bring(works, "H-2", day=DAY + timedelta(days=1))
    bring(works, "W-1", crew="wren")

    report = run(works, clock, tmp_path)

    assert report.complete, report.faults
    assert [(c.crew, [p.job for p in c.packs]) for c in report.crews] == [
        ("heron", ["H-1"]),
        ("wren", ["W-1"]),
    ]
    assert [state(works, j) for j in ("H-1", "H-2", "W-1")] == [
        "delivered",
        "received",
        "delivered",
    ]


def test_the_orders_are_those_of_the_jobs_that_have_a_pack(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """What is held buys nothing; a job taken off is no longer bought for; at last, no file."""
    bring(works, "H-1")
    bring(works, "H-2", "ask")
    bring(works, "W-1", crew="wren")
    totals = tmp_path / "orders" / "order-totals.csv"

    run(works, clock, tmp_path)
    first = totals.read_text()
    with works.ledger.writing() as tx:
        withdraw(tx, "W-1", by="A. Duty", why="customer called")
    run(works, clock, tmp_path)
    second = totals.read_text()
    with works.ledger.writing() as tx:
        withdraw(tx, "H-1", by="A. Duty", why="customer called")
    run(works, clock, tmp_path)

    assert first == f"{DAY} 2026-12-02 H-1 W-1"
    assert second == f"{DAY} 2026-12-02 H-1"
    assert not totals.exists()


def test_the_report_is_the_file_beside_the_bundles(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """And reads back as the same record."""
    bring(works, "H-1")

    report = run(works, clock, tmp_path)

    written = (tmp_path / "night-report.json").read_bytes()
    assert NightReport.model_validate_json(written) == report
    for crew in report.crews:
        for pack in crew.packs:
            assert (tmp_path / pack.file).read_bytes() == works.store.get(pack.sha256)


def test_the_report_tells_what_is_wrong_with_the_days_bookings(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """A day that is too long is asked about; the packs are delivered all the same."""
    bring(works, "H-1", "long day")
    bring(works, "W-1", crew="wren")

    report = run(works, clock, tmp_path)

    assert [asked.key for asked in report.bookings] == ["day-full.heron"]
    assert report.complete, report.faults


def test_a_plan_gone_bad_leaves_the_others_their_check(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """The report is written, and a readable plan's long day is on it."""
    bring(works, "H-1", "long day")
    bring(works, "W-1", crew="wren")
    run(works, clock, tmp_path)
    with works.ledger.writing() as tx:
        spoilt = job_by_number(tx, "W-1").plan
    assert isinstance(works.store, MemoryStore)
    works.store.files[spoilt] = b"gone bad"

    with works.ledger.writing() as tx:
        key = works.library.company.key
        night = open_night(tx, company=key, day=DAY, issued="2026-12-02")
    report = report_on(works, night, tmp_path)

    assert [asked.key for asked in report.bookings] == ["day-full.heron"]


class NoLabels(StandIn):
    """Cannot set labels, for a reason of its own."""

    def __init__(self, no: Exception) -> None:
        self.no = no

    def make_labels(
        self, plan: Plan, *, issued: str, replaces: str, before: Plan | None = None
    ) -> OtherFile:
        """Refuse."""
        del plan, issued, replaces, before
        raise self.no


@pytest.mark.parametrize(
    ("no", "told"),
    [
        (GeometryError("labels too small"), ["H-1 heron labels too small"]),
        (UnprintableText("no font has it"), ["H-1 heron no font has it"]),
        (UnknownThing("nothing is ticketed"), []),
    ],
)
def test_labels_that_cannot_be_set_are_told_and_the_bundle_goes_out(
    works: Works, clock: SetClock, tmp_path: Path, *, no: Exception, told: list[str]
) -> None:
    """On the report and the morning page; a job with nothing to label is not spoken of."""
    works = replace(works, pipeline=NoLabels(no))
    bring(works, "H-1")

    report = run(works, clock, tmp_path)

    assert [f"{u.job} {u.crew} {u.why}" for u in report.unlabelled] == told
    assert report.complete, report.faults
    assert (tmp_path / bundle_file("heron")).exists()


def test_a_crew_whose_every_job_failed_still_has_a_day_sheet(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """With the reasons on it."""
    bring(works, "H-1", "broken")

    report = run(works, clock, tmp_path)

    assert report.complete, report.faults
    assert [(e.job, e.state, e.reason) for e in report.exceptions] == [
        (
            "H-1",
            "failed",
            "failed: could not be made: bay A1-A2 opens 4.02 in, the limit is 4 in",
        )
    ]
    assert b"without H-1: failed" in (tmp_path / bundle_file("heron")).read_bytes()


def test_a_new_revision_calls_the_old_pack_back(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """Its code stands on the new pack, on the day sheet and in the report."""
    bring(works, "H-1")
    old = run(works, clock, tmp_path).crews[0].packs[0]
    bring(works, "H-1", "slow 0", revision=2)

    report = run(works, clock, tmp_path)

    new = report.crews[0].packs[0]
    assert (new.revision, new.replaces) == (2, old.code)
    assert [(c.job, c.code) for c in report.called_back] == [("H-1", old.code)]
    assert old.code.encode() in (tmp_path / new.file).read_bytes()
    assert not (tmp_path / old.file).exists()


def test_a_revision_that_was_never_printed_is_not_called_back(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """The one that is on paper is, even two revisions later."""
    bring(works, "H-1")
    old = run(works, clock, tmp_path).crews[0].packs[0]
    bring(works, "H-1", "slow 0", revision=2)
    bring(works, "H-1", "slow 0.0", revision=3)

    report = run(works, clock, tmp_path)

    assert report.crews[0].packs[0].replaces == old.code


def test_a_job_moved_to_another_crew_is_called_back_from_the_first(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """On the first crew's own day sheet, although nothing else is left on it."""
    bring(works, "H-1")
    old = run(works, clock, tmp_path).crews[0].packs[0]
    bring(works, "H-1", revision=2, crew="wren")

    report = run(works, clock, tmp_path)

    assert report.complete, report.faults
    assert [(c.crew, [p.job for p in c.packs]) for c in report.crews] == [
        ("heron", []),
        ("wren", ["H-1"]),
    ]
    sheet = (tmp_path / bundle_file("heron")).read_bytes()
    assert f"replaced: destroy pack {old.code}".encode() in sheet
    assert {(c.crew, c.code) for c in report.called_back} == {
        ("heron", old.code),
        ("wren", old.code),
    }


def test_a_job_withdrawn_before_it_was_printed_leaves_nothing(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """No bundle for a crew without work and without paper."""
    bring(works, "H-1")
    with works.ledger.writing() as tx:
        withdraw(tx, "H-1", by="A. Duty", why="customer called")

    report = run(works, clock, tmp_path)

    assert (report.jobs_due, report.complete) == (0, True)
    assert list(tmp_path.glob("*/*")) == []


def test_withdrawing_twice_is_a_conflict(works: Works) -> None:
    """The second says so."""
    bring(works, "H-1")
    with works.ledger.writing() as tx:
        withdraw(tx, "H-1", by="A. Duty", why="customer called")

    with pytest.raises(Conflict, match="withdrawn already"), works.ledger.writing() as tx:
        withdraw(tx, "H-1", by="A. Duty", why="again")


def test_a_changed_library_makes_every_pack_again(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """The price book, a rail sheet or the program: whatever decides the paper."""
    bring(works, "H-1")
    run(works, clock, tmp_path)

    same = run(works, clock, tmp_path)
    changed = run(replace(works, stamp="1" * 64), clock, tmp_path)

    assert (same.packs_made, changed.packs_made) == (0, 1)
    assert changed.called_back == ()


def test_an_answer_after_delivery_makes_only_its_own_job_again(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """The crew's bundle follows, another crew's does not."""
    bring(works, "H-1", "ask")
    bring(works, "H-2")
    bring(works, "W-1", crew="wren")
    first = run(works, clock, tmp_path)
    said = Answer(question="which-post", option="leg-a", by="A. Duty", why="photo 12")
    with works.ledger.writing() as tx:
        answer(tx, "H-1", said)

    second = run(works, clock, tmp_path)

    assert (first.excepted, second.excepted, second.packs_made) == (1, 0, 1)
    heron, wren = second.crews
    assert [p.job for p in heron.packs] == ["H-1", "H-2"]
    assert wren == first.crews[1]


def test_a_damaged_file_is_made_again_before_anything_is_delivered(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """From what was submitted; the code is the same."""
    bring(works, "H-1")
    before = run(works, clock, tmp_path).crews[0].packs[0]
    assert isinstance(works.store, MemoryStore)
    works.store.files[before.sha256] = b"flipped"
    night = start_night(works, day=DAY, issued="2026-12-02")

    assert send_back_damaged(works, night)
    work_off(works, night, clock)

    assert not send_back_damaged(works, night)
    assert end_night(works, night, tmp_path).crews[0].packs[0] == before


def test_a_bundle_meets_a_damaged_pack_and_waits_for_its_second_making(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """Found when the bundle is drawn, mended without anybody asking."""
    bring(works, "H-1")
    night = start_night(works, day=DAY, issued="2026-12-02")
    make_pack(works, 1, holder="host:1")
    assert isinstance(works.store, MemoryStore)
    for name in works.store.files:
        works.store.files[name] = b"flipped"

    work_off(works, night, clock)

    assert end_night(works, night, tmp_path).complete


def test_a_bundle_that_cannot_be_made_is_told_truthfully(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """Its crew is a fault of the night; its jobs are excepted; the other crew has its bundle."""

    class NoHeron(StandIn):
        def make_bundle(  # as the pipeline's own
            self,
            *,
            crew: str,
            day: date,
            stops: Sequence[Stop],
            missing: Sequence[Missing],
            library: Library,
            issued: str,
            decided: Sequence[DecidedBooking] = (),
        ) -> BundleFile:
            if crew == "heron":
                raise ValueError(crew)
            return super().make_bundle(
                crew=crew, day=day, stops=stops, missing=missing, library=library, issued=issued,
                decided=decided,
            )  # fmt: skip

    bring(works, "H-1")
    bring(works, "W-1", crew="wren")

    report = run(replace(works, pipeline=NoHeron()), clock, tmp_path)

    assert not report.complete
    assert report.faults == ("crew heron has no bundle",)
    assert [(e.job, e.reason) for e in report.exceptions] == [
        ("H-1", "its crew's bundle is failed: ValueError: heron")
    ]
    assert (report.crews[1].crew, report.crews[1].state) == ("wren", "made")


def test_a_night_has_one_row_however_often_it_is_opened(works: Works) -> None:
    """One company, one work date, one night; the day of issue stays."""
    first = start_night(works, day=DAY, issued="2026-12-02")

    again = start_night(works, day=DAY, issued="2026-12-03")

    assert (again.id, again.runs, again.issued) == (first.id, 2, "2026-12-02")


def test_a_bundle_waits_for_its_own_jobs_only(works: Works) -> None:
    """A slow crew does not delay another."""
    bring(works, "H-1")
    bring(works, "W-1", crew="wren")
    night = start_night(works, day=DAY, issued="2026-12-02")
    make_pack(works, 2, holder="host:1")

    with works.ledger.writing() as tx:
        gather(tx, night, stamp=works.stamp)
        states = {row.crew: row.state for row in bundles_of(tx, night)}

    assert states == {"heron": "waiting", "wren": "ready"}


def test_what_is_not_finished_at_the_cut_off_is_named_and_delays_nobody(
    works: Works, tmp_path: Path
) -> None:
    """The bundle is made without it, with the reason on the day sheet."""
    bring(works, "H-1")
    bring(works, "H-2")
    night = start_night(works, day=DAY, issued="2026-12-02")
    make_pack(works, 1, holder="host:1")
    bell = KeptBell()

    def make_bundles_only() -> None:
        for ring in bell.rings:
            if ring.task == MAKE_BUNDLE:
                make_bundle(works, ring.row_id, holder="host:1")
        bell.rings.clear()

    Watch(works, night, bell, (make_bundles_only,), lambda _: None).until_done(0)

    report = end_night(works, night, tmp_path)
    assert report.complete, report.faults
    assert [p.job for p in report.crews[0].packs] == ["H-1"]
    assert [(e.job, e.reason) for e in report.exceptions] == [
        ("H-2", "not finished by the cut-off")
    ]


def test_files_of_others_in_the_delivery_folder_are_left_alone(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """Only what this ledger put there is taken away."""
    (tmp_path / "packs").mkdir()
    (tmp_path / "packs" / "notes.txt").write_text("ours")
    bring(works, "H-1")
    run(works, clock, tmp_path)
    with works.ledger.writing() as tx:
        withdraw(tx, "H-1", by="A. Duty", why="rain")

    run(works, clock, tmp_path)

    assert [path.name for path in (tmp_path / "packs").iterdir()] == ["notes.txt"]


def test_refused_files_are_on_the_report_of_their_night(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """With their problem lists, so that the morning knows of them."""
    with pytest.raises(Exception, match="no such crew"):
        bring(works, "H-1", "refuse")

    report = run(works, clock, tmp_path)

    assert [(r.came_as, r.problems[0].pointer) for r in report.refused] == [("H-1", "/crew")]
    assert json.loads((tmp_path / "night-report.json").read_bytes())["jobs_due"] == 0
