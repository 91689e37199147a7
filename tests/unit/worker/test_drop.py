"""The drop folder: partial writes, duplicates, locks, crashes; and where each file ends."""

from __future__ import annotations

import csv
import fcntl
import io
import json
import os
from pathlib import Path

import pytest

from schemas.errors import BadInput
from services.intake.flat import template
from tests.stand_in import submission_of
from worker.bootstrap import Works
from worker.desk import submit_table
from worker.drop import DropFolder
from worker.ledger.records import every_job
from worker.making import holder_of
from worker.night.alone import alone

pytestmark = pytest.mark.parametrize("ledger_url", ["sqlite in memory"], indirect=True)


@pytest.fixture
def inbox(tmp_path: Path) -> Path:
    """An empty drop folder."""
    folder = tmp_path / "inbox"
    folder.mkdir()
    return folder


@pytest.fixture
def door(works: Works, inbox: Path) -> DropFolder:
    """The door at it; a file that has not changed since the last look is whole."""
    return DropFolder(works, inbox, settle=0)


def jobs(works: Works) -> list[tuple[str, int]]:
    """What was taken in."""
    with works.ledger.writing() as tx:
        return [(row.job, row.revision) for row in every_job(tx)]


def files(folder: Path) -> list[str]:
    """All files of a folder and its folders."""
    return sorted(str(p.relative_to(folder)) for p in folder.rglob("*") if p.is_file())


def answer(folder: Path, name: str) -> list[dict[str, object]]:
    """The answer beside a file."""
    told = json.loads((folder / name).read_bytes())
    assert isinstance(told, list)
    return told


def test_a_submission_is_taken_in_and_answered(door: DropFolder, inbox: Path) -> None:
    """The file as it was, and beside it what became of it."""
    raw = submission_of("H-1", "ask")
    (inbox / "h1.json").write_bytes(raw)

    ends = door.look()

    assert ends == [("h1.json", "taken")]
    assert files(inbox) == ["taken/h1.json", "taken/h1.json.taken.json"]
    assert (inbox / "taken/h1.json").read_bytes() == raw
    (told,) = answer(inbox, "taken/h1.json.taken.json")
    assert (told["job"], told["state"], told["new"]) == ("H-1", "held", True)
    assert told["questions"][0]["key"] == "which-post"  # type: ignore[index]


def test_a_refused_file_has_its_reasons_beside_it(door: DropFolder, inbox: Path) -> None:
    """Place, value, what is wrong and the mend."""
    (inbox / "h1.json").write_bytes(submission_of("H-1").replace(b'"heron"', b"7"))

    assert door.look() == [("h1.json", "refused")]

    (told,) = answer(inbox, "refused/h1.json.problems.json")
    assert told["problems"][0]["pointer"] == "/crew"  # type: ignore[index]
    assert jobs(door.works) == []


def test_a_table_takes_its_good_rows_in_and_names_the_bad(door: DropFolder, inbox: Path) -> None:
    """By line and column; the file lies with the refused, so that somebody looks."""
    heads, row = template().splitlines()
    bad = row.replace("F-1001", "F-1002").replace("2026-12-03", "tomorrow")
    (inbox / "jobs.csv").write_text(f"{heads}\r\n{row}\r\n{bad}", encoding="utf-8")

    assert door.look() == [("jobs.csv", "refused")]

    good, refused = answer(inbox, "refused/jobs.csv.problems.json")
    assert (good["came_as"], good["job"]) == ("jobs.csv line 2", "F-1001")
    assert refused["problems"][0]["pointer"] == "/3/install date"  # type: ignore[index]
    assert jobs(door.works) == [("F-1001", 1)]


def test_a_file_still_growing_is_left_until_it_is_whole(works: Works, inbox: Path) -> None:
    """Half a file is never read."""
    door = DropFolder(works, inbox, settle=0.05)
    raw = submission_of("H-1")
    path = inbox / "h1.json"
    looks = []
    with path.open("wb") as file:
        for start in range(0, len(raw), len(raw) // 4):
            file.write(raw[start : start + len(raw) // 4])
            file.flush()
            looks.append(door.look())

    assert looks == [[]] * len(looks)
    _until_settled(door)
    assert files(inbox) == ["taken/h1.json", "taken/h1.json.taken.json"]


@pytest.mark.parametrize("name", ["h1.json.part", "h1.json.tmp", ".h1.json", "h1.json~"])
def test_a_file_under_a_writers_name_is_not_touched(
    door: DropFolder, inbox: Path, name: str
) -> None:
    """Until it is renamed."""
    (inbox / name).write_bytes(submission_of("H-1"))
    assert door.look() == []

    (inbox / name).rename(inbox / "h1.json")

    assert door.look() == [("h1.json", "taken")]


def test_a_locked_file_is_left_until_it_is_free(door: DropFolder, inbox: Path) -> None:
    """Its writer holds a lock on it."""
    path = inbox / "h1.json"
    path.write_bytes(submission_of("H-1"))
    with path.open("rb") as writer:
        fcntl.flock(writer, fcntl.LOCK_EX)
        assert door.look() == []
        assert files(inbox) == ["h1.json"]

    assert door.look() == [("h1.json", "taken")]


def test_the_same_content_twice_is_one_job(door: DropFolder, inbox: Path) -> None:
    """Under any name; both files are kept."""
    for name in ("a.json", "b.json"):
        (inbox / name).write_bytes(submission_of("H-1"))

    assert door.look() == [("a.json", "taken"), ("b.json", "taken")]

    assert jobs(door.works) == [("H-1", 1)]
    assert answer(inbox, "taken/a.json.taken.json")[0]["new"] is True
    assert answer(inbox, "taken/b.json.taken.json")[0]["new"] is False


def test_another_file_of_the_same_name_covers_none_up(door: DropFolder, inbox: Path) -> None:
    """The second is kept under its content's name as well."""
    for revision in (1, 2):
        (inbox / "h1.json").write_bytes(submission_of("H-1", revision=revision))
        door.look()

    kept = [name for name in files(inbox / "taken") if not name.endswith(".taken.json")]
    assert len(kept) == 2
    assert jobs(door.works) == [("H-1", 1), ("H-1", 2)]


def test_revisions_dropped_together_are_read_in_the_order_they_were_written(
    door: DropFolder, inbox: Path
) -> None:
    """Whatever their names."""
    for age, (name, revision) in enumerate((("z.json", 1), ("a.json", 2))):
        path = inbox / name
        path.write_bytes(submission_of("H-1", revision=revision))
        os.utime(path, (1_000_000 + age, 1_000_000 + age))

    assert door.look() == [("z.json", "taken"), ("a.json", "taken")]


def test_what_a_dead_taker_left_is_taken_up(door: DropFolder, inbox: Path) -> None:
    """It died between accepting and moving: the job is one, and the file ends in its place."""
    (inbox / "working").mkdir()
    (inbox / "h1.json").write_bytes(submission_of("H-1"))
    door.look()
    (inbox / "taken/h1.json").rename(inbox / "working/h1.json")
    (inbox / "taken/h1.json.taken.json").unlink()

    assert door.look() == [("h1.json", "taken")]

    assert jobs(door.works) == [("H-1", 1)]
    assert answer(inbox, "taken/h1.json.taken.json")[0]["new"] is False


def test_two_takers_do_not_share_a_folder(door: DropFolder, works: Works, inbox: Path) -> None:
    """The second finds nothing to do while the first looks."""
    (inbox / "h1.json").write_bytes(submission_of("H-1"))
    door.look()
    with works.ledger.writing() as tx:
        lock = tx.sql.exec_driver_sql("SELECT name FROM locks WHERE name LIKE 'drop%%'").scalar()
    (inbox / "h2.json").write_bytes(submission_of("H-2"))

    with alone(works, str(lock), holder=holder_of(1)):
        assert door.look() == []

    assert door.look() == [("h2.json", "taken")]


def test_links_pipes_and_folders_are_not_followed(
    door: DropFolder, inbox: Path, tmp_path: Path
) -> None:
    """Only files that stand there."""
    elsewhere = tmp_path / "secret.json"
    elsewhere.write_bytes(submission_of("H-1"))
    (inbox / "link.json").symlink_to(elsewhere)
    os.mkfifo(inbox / "pipe.json")
    (inbox / "folder.json").mkdir()

    assert door.look() == []
    assert jobs(door.works) == []


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("notes.txt", b"hello", "neither JSON nor CSV"),
        ("big.json", b" " * (5 * 1_048_576 + 1), "over 5 MiB"),
        ("half.json", submission_of("H-1")[:-20], "is not JSON"),
        ("empty.json", b"", "is not JSON"),
    ],
)
def test_what_is_no_submission_is_refused_in_words(
    door: DropFolder, inbox: Path, name: str, content: bytes, says: str
) -> None:
    """Whatever was dropped."""
    (inbox / name).write_bytes(content)

    assert door.look() == [(name, "refused")]

    assert says in str(answer(inbox, f"refused/{name}.problems.json")[0]["says"])


def _until_settled(door: DropFolder) -> None:
    for _ in range(500):
        if door.look():
            return


def test_a_cell_that_cannot_be_read_hides_no_other_fault(works: Works) -> None:
    """All of a row's faults at once, each once, by line and column."""
    heads, row = template().splitlines()[:2]
    columns = next(csv.reader([heads]))
    cells = next(csv.reader([row]))
    for head, cell in {"year built": "about 1950", "crew": "herron", "post core": "71/4"}.items():
        cells[columns.index(head)] = cell
    sheet = io.StringIO(newline="")
    csv.writer(sheet).writerows([columns, cells])

    [(_, no)] = submit_table(works, sheet.getvalue().encode(), came_as="jobs.csv")

    assert isinstance(no, BadInput)
    told = sorted(problem.pointer for problem in no.problems)
    assert told == ["/2/crew", "/2/post core", "/2/year built"]
