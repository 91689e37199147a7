"""Bundles to paper: as asked for, once a content code, and never twice on a guess.

Source:
    RFC 8010 and RFC 8011 (IPP/1.1), PWG 5100.13 (print-scaling), through `pyipp`, which reads what
    we send, and through `ippeveprinter` of the CUPS project where the system has it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from pyipp.enums import IppTag

from schemas.company import PrintTicket
from schemas.errors import UnknownThing
from tests.printers import REAL, PaperTray, RealPrinter, paper_tray, real_printer
from tests.yard import THURSDAY, Yard
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.ledger import prints
from worker.ledger.nights import NightRow, night_for
from worker.ledger.prints import Print
from worker.ledger.tables import deliveries
from worker.night.telling import want_bundles
from worker.printers.round import TURN, go_round

pytestmark = pytest.mark.parametrize(
    "ledger_url", ["sqlite in memory", "postgresql"], indirect=True
)


@pytest.fixture
def tray() -> Iterator[PaperTray]:
    """Crew heron's own printer."""
    with paper_tray() as found:
        yield found


@pytest.fixture
def spare() -> Iterator[PaperTray]:
    """The printer that stands in."""
    with paper_tray() as found:
        yield found


def printing(
    works: Works, *, own: str, spare: str | None = None, duplex: bool = True, **ticket: object
) -> Works:
    """The works with a printer for crew heron."""
    company = works.library.company
    asked = PrintTicket.model_validate(ticket)
    crews = tuple(
        crew.model_copy(update={"printer": own, "ticket": asked, "duplex": duplex})
        if crew.key == "heron"
        else crew
        for crew in company.crews
    )
    told = company.model_copy(update={"crews": crews, "fallback_printer": spare})
    return replace(works, library=works.library.model_copy(update={"company": told}))


def last_run(works: Works, clock: SetClock, out: Path, *jobs: str) -> bytes:
    """A night's last run with these jobs; the bundle of crew heron."""
    yard = Yard(works, clock)
    yard.at("2026-12-03T03:00")
    for job in jobs:
        yard.bring(job)
    report = yard.night(out)
    return (out / next(c.file for c in report.crews if c.crew == "heron")).read_bytes()


def night(works: Works) -> NightRow:
    """Thursday's."""
    with works.ledger.writing() as tx:
        found = night_for(tx, company="saltmarsh", day=THURSDAY)
    assert found is not None
    return found


def rows(works: Works) -> list[Print]:
    """All prints."""
    thursday = night(works)
    with works.ledger.writing() as tx:
        return prints.prints_of(tx, thursday)


def go(works: Works, clock: SetClock, *, rounds: int = 1, every: float = 30) -> int:
    """Rounds at the printers; how many prints reached paper."""
    done = 0
    for _ in range(rounds):
        done += go_round(works, holder="host:1")
        clock.move(every)
    return done


@pytest.fixture(params=["in process", *(["ippeveprinter"] if REAL else [])])
def printer(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[PaperTray | RealPrinter]:
    """The one in this process, and the CUPS project's where the system has it."""
    if request.param == "in process":
        with paper_tray() as found:
            yield found
        return
    with real_printer(tmp_path_factory.mktemp("ipp")) as real:
        yield real


def test_a_bundle_is_printed_as_it_is_and_as_asked_for(
    works: Works, clock: SetClock, tmp_path: Path, printer: PaperTray | RealPrinter
) -> None:
    """Byte for byte, without scaling, on both sides, on the crew's own paper; with a receipt."""
    works = printing(works, own=printer.uri)
    bundle = last_run(works, clock, tmp_path, "H-1")

    go(works, clock, rounds=6)

    (sheet,) = printer.printed
    assert sheet.pdf == bundle
    assert sheet.attributes["print-scaling"] == "none"
    assert sheet.attributes["sides"] == "two-sided-long-edge"
    assert sheet.attributes["media"] == "na_letter_8.5x11in"
    (row,) = rows(works)
    assert row.state == "printed", row.says
    with works.ledger.writing() as tx:
        receipts = tx.sql.execute(deliveries.select()).all()
    assert [r.sha256 for r in receipts if r.target == printer.uri] == [row.pdf]


def test_the_same_content_code_is_printed_once(
    works: Works, clock: SetClock, tmp_path: Path, printer: PaperTray | RealPrinter
) -> None:
    """However often the night is run; a changed bundle is printed anew."""
    works = printing(works, own=printer.uri)
    for _ in range(2):
        last_run(works, clock, tmp_path, "H-1")
        go(works, clock, rounds=4)
    assert len(printer.printed) == 1

    last_run(works, clock, tmp_path, "H-1", "H-2")
    go(works, clock, rounds=6)

    assert len(printer.printed) == 2
    assert [row.state for row in rows(works)] == ["printed", "printed"]


def test_staple_and_copies_are_asked_for(
    works: Works, clock: SetClock, tmp_path: Path, tray: PaperTray
) -> None:
    """Top left is 20 (PWG 5100.1); copies as the crew has it."""
    works = printing(works, own=tray.uri, copies=2)
    last_run(works, clock, tmp_path, "H-1")

    go(works, clock)

    asked = tray.printed[0].attributes
    assert (asked["copies"], asked["finishings"]) == (2, 20)


def test_what_a_printer_lacks_is_dropped_and_said(
    works: Works, clock: SetClock, tmp_path: Path, tray: PaperTray
) -> None:
    """No second side and no stapler: it is paper all the same."""
    tray.can["sides-supported"] = (IppTag.KEYWORD, ["one-sided"])
    tray.can["finishings-supported"] = (IppTag.ENUM, [3])
    works = printing(works, own=tray.uri)
    last_run(works, clock, tmp_path, "H-1")

    go(works, clock, rounds=2)

    (row,) = rows(works)
    assert tray.printed[0].attributes["sides"] == "one-sided"
    assert (row.state, row.says) == (
        "printed",
        "it prints on one side only, not two-sided-long-edge; it has no stapler",
    )


@pytest.mark.parametrize(
    ("name", "has"),
    [
        ("media-supported", ["iso_a4_210x297mm"]),
        ("print-scaling-supported", ["auto", "fit"]),
        ("document-format-supported", ["image/urf"]),
    ],
)
def test_a_printer_that_would_spoil_the_scale_is_not_used(
    works: Works, clock: SetClock, tmp_path: Path, tray: PaperTray, spare: PaperTray,
    name: str, has: list[str],
) -> None:  # fmt: skip
    """The one that stands in is."""
    tray.can[name] = (tray.can[name][0], has)
    works = printing(works, own=tray.uri, spare=spare.uri)
    last_run(works, clock, tmp_path, "H-1")

    go(works, clock, rounds=3)

    assert (len(tray.printed), len(spare.printed)) == (0, 1)
    assert rows(works)[0].printer == spare.uri


@pytest.mark.parametrize("mood", ["off-line", "refuses", "aborts"])
def test_a_printer_that_fails_for_certain_gives_way_to_the_one_that_stands_in(
    works: Works, clock: SetClock, tmp_path: Path, tray: PaperTray, spare: PaperTray, mood: str
) -> None:
    """After a few tries, none of which left anything on paper."""
    tray.mood = mood
    works = printing(works, own=tray.uri, spare=spare.uri)
    last_run(works, clock, tmp_path, "H-1")

    go(works, clock, rounds=12)

    assert len(spare.printed) == 1
    assert rows(works)[0].state == "printed"
    assert sum(sheet.sheets for sheet in tray.printed) == 0


def test_without_one_that_stands_in_the_bundle_ends_as_failed(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """Nobody listens there; the reason is kept."""
    works = printing(works, own="ipp://127.0.0.1:9/ipp/print")
    last_run(works, clock, tmp_path, "H-1")

    go(works, clock, rounds=15)

    (row,) = rows(works)
    assert row.state == "failed"
    assert "cannot be reached" in row.says


def test_a_busy_printer_is_waited_for(
    works: Works, clock: SetClock, tmp_path: Path, tray: PaperTray, spare: PaperTray
) -> None:
    """Other crews' bundles come first; that is no fault of its own until it lasts too long."""
    tray.mood = "busy"
    works = printing(works, own=tray.uri, spare=spare.uri)
    last_run(works, clock, tmp_path, "H-1")
    go(works, clock, rounds=20)
    assert spare.printed == []

    tray.mood = "well"
    assert go(works, clock, rounds=2) == 1
    assert len(tray.printed) == 1
    assert TURN > 20 * 30


def test_a_slow_printer_is_asked_until_it_is_done(
    works: Works, clock: SetClock, tmp_path: Path, tray: PaperTray
) -> None:
    """Nothing is sent again meanwhile."""
    tray.mood = "slow"
    works = printing(works, own=tray.uri)
    last_run(works, clock, tmp_path, "H-1")
    assert go(works, clock, rounds=10) == 0

    tray.printed[0].state = 9

    assert go(works, clock) == 1
    assert len(tray.printed) == 1


def test_a_job_taken_without_an_answer_is_found_by_its_name(
    works: Works, clock: SetClock, tmp_path: Path, tray: PaperTray
) -> None:
    """And not sent again."""
    tray.mood = "takes-and-hangs-up"
    works = printing(works, own=tray.uri)
    last_run(works, clock, tmp_path, "H-1")

    go(works, clock, rounds=5)

    assert len(tray.printed) == 1
    assert rows(works)[0].state == "printed"


def test_a_job_not_taken_is_sent_again(
    works: Works, clock: SetClock, tmp_path: Path, tray: PaperTray
) -> None:
    """Its list of jobs says so."""
    tray.mood = "hangs-up"
    works = printing(works, own=tray.uri)
    last_run(works, clock, tmp_path, "H-1")
    go(works, clock)

    tray.mood = "well"
    go(works, clock, rounds=4)

    assert len(tray.printed) == 1
    assert rows(works)[0].state == "printed"


@pytest.mark.parametrize("mood", ["forgets", "aborts-midway", "canceled"])
def test_what_may_be_on_paper_is_not_printed_again_on_a_guess(
    works: Works, clock: SetClock, tmp_path: Path, tray: PaperTray, spare: PaperTray, mood: str
) -> None:
    """It stays unsure until somebody has looked and asks for another copy."""
    tray.mood = mood
    works = printing(works, own=tray.uri, spare=spare.uri)
    last_run(works, clock, tmp_path, "H-1")
    go(works, clock, rounds=20)
    assert rows(works)[0].state == "unsure"
    assert (len(tray.printed), len(spare.printed)) == (1, 0)

    tray.mood = "well"
    thursday = night(works)
    with works.ledger.writing() as tx:
        prints.again(tx, thursday, "heron", by="A. Duty", why="half of it came out")
    go(works, clock, rounds=3)

    assert [row.state for row in rows(works)] == ["unsure", "printed"]
    assert tray.printed[-1].name.endswith("copy 2")


def test_a_worker_that_dies_over_a_job_leaves_it_to_be_looked_up(
    works: Works, clock: SetClock, tmp_path: Path, tray: PaperTray
) -> None:
    """The row says `sending`; the printer's list says whether it was."""
    works = printing(works, own=tray.uri)
    last_run(works, clock, tmp_path, "H-1")
    (row,) = rows(works)
    with works.ledger.writing() as tx:
        prints.to(tx, row, "sending", says="", printer=tray.uri, tries=1)

    go(works, clock, rounds=3)

    assert len(tray.printed) == 1
    assert rows(works)[0].state == "printed"


def test_the_evenings_bundles_are_not_printed_yet(
    works: Works, clock: SetClock, tmp_path: Path, tray: PaperTray
) -> None:
    """They may change until the last run; by hand they can be."""
    works = printing(works, own=tray.uri)
    yard = Yard(works, clock)
    yard.at("2026-12-02T17:00")
    yard.bring("H-1")
    yard.night(tmp_path)
    go(works, clock, rounds=3)
    assert tray.printed == []

    thursday = night(works)
    with works.ledger.writing() as tx:
        assert want_bundles(tx, works.library.company, thursday) == 1
    go(works, clock, rounds=2)

    assert len(tray.printed) == 1


def test_a_bundle_overtaken_before_it_was_sent_never_is(
    works: Works, clock: SetClock, tmp_path: Path, tray: PaperTray
) -> None:
    """The printer was off while a new revision came: only the new bundle comes out."""
    works = printing(works, own=tray.uri)
    tray.mood = "busy"
    last_run(works, clock, tmp_path, "H-1")
    go(works, clock, rounds=2)
    new = last_run(works, clock, tmp_path, "H-1", "H-2")

    tray.mood = "well"
    go(works, clock, rounds=3)

    assert [sheet.pdf for sheet in tray.printed] == [new]
    assert [row.state for row in rows(works)] == ["overtaken", "printed"]


def test_after_a_printed_bundle_only_the_supplement_is_printed(
    works: Works, clock: SetClock, tmp_path: Path, tray: PaperTray
) -> None:
    """What has changed since, not the whole day again."""
    works = printing(works, own=tray.uri)
    last_run(works, clock, tmp_path, "H-1")
    go(works, clock, rounds=2)
    whole = last_run(works, clock, tmp_path, "H-1", "H-2")

    go(works, clock, rounds=2)

    assert len(tray.printed) == 2
    assert tray.printed[1].pdf == (tmp_path / "supplements" / "heron.pdf").read_bytes()
    assert tray.printed[1].pdf != whole


def test_a_copy_of_nothing_is_refused(works: Works, clock: SetClock, tmp_path: Path) -> None:
    """With the crew and the day."""
    last_run(works, clock, tmp_path, "H-1")
    thursday = night(works)

    with pytest.raises(UnknownThing, match="crew wren"), works.ledger.writing() as tx:
        prints.again(tx, thursday, "wren", by="A. Duty", why="-")
