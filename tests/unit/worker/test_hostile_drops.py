"""The drop folder under hostile names and contents: each file ends somewhere, with its answer.

File names are any bytes that a Linux folder holds: up to 255 of them, not `/` and not NUL (POSIX
pathname, and the file systems' NAME_MAX).
"""

from __future__ import annotations

import json
import os
from itertools import count
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from services.intake.flat import template
from services.intake.flat.table import LARGEST
from tests.stand_in import submission_of
from worker.bootstrap import Works
from worker.drop import REFUSED, TAKEN, WORKING, DropFolder

pytestmark = pytest.mark.parametrize("ledger_url", ["sqlite in memory"], indirect=True)

NAME_MAX = 255
NUMBERS = count()

ENDINGS = (b".json", b".csv", b".JSON", b".txt", b".json.gz", b"", b".json ", b".csv.")
STEMS = st.one_of(
    st.binary(min_size=1, max_size=NAME_MAX),
    st.text(min_size=1, max_size=80).map(lambda text: text.encode("utf-8", "surrogatepass")),
    st.sampled_from(
        [b"..", b"-rf", b"~", b"CON", b"a\nb", b"$(reboot)", "ü".encode(), "u\u0308".encode(),
         "\u202exslx".encode(), b"\xff\xfe", b"a" * NAME_MAX, b"%s%n", b"taken", b"=1+1"]
    ),
)  # fmt: skip
CONTENTS = st.one_of(
    st.binary(max_size=400),
    st.integers(0, 10**6).map(lambda n: submission_of(f"H-{n}")),
    st.sampled_from(
        [b"", b"[" * 5000, b"\x00" * 100, b'{"job": NaN}', template().encode(), b'"' * 999,
         template().encode("utf-16"), b"=cmd,@x\r\n1,2\r\n", b"," * 5000]
    ),
)  # fmt: skip


def named(stem: bytes, ending: bytes) -> bytes:
    """A name that the folder holds, and that is not one of a file still being written."""
    name = (stem.replace(b"/", b"_").replace(b"\0", b"_")[: NAME_MAX - len(ending)] + ending)[
        :NAME_MAX
    ]
    return b"x" + name[1:] if name.startswith(b".") else name


@settings(
    max_examples=80,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(files=st.lists(st.tuples(STEMS, st.sampled_from(ENDINGS), CONTENTS), min_size=1, max_size=4))
@example(files=[(b"\xff\xfe", b".json", submission_of("H-1"))])
@example(files=[(b"a" * NAME_MAX, b".json", submission_of("H-1"))])
@example(files=[(b"a" * NAME_MAX, b".csv", b"")])
def test_every_file_ends_in_one_place_with_its_answer(
    works: Works, tmp_path: Path, files: list[tuple[bytes, bytes, bytes]]
) -> None:
    """Whatever it is called and holds; nothing stays behind, nothing lands elsewhere."""
    root = tmp_path / f"n{next(NUMBERS)}"
    inbox = root / "inbox"
    inbox.mkdir(parents=True)
    put = {named(stem, ending): content for stem, ending, content in files}
    put = {name: raw for name, raw in put.items() if not name.lower().endswith(UNTOUCHED)}
    put = {name: raw for name, raw in put.items() if os.fsdecode(name) not in OWN}
    for name, raw in put.items():
        Path(os.fsdecode(os.fsencode(inbox) + b"/" + name)).write_bytes(raw)
    door = DropFolder(works, inbox, settle=0)

    ends = [end for _ in range(2) for end in door.look()]

    assert len(ends) == len(put)
    assert not [path for path in inbox.iterdir() if path.is_file()]
    assert not list((inbox / WORKING).iterdir())
    kept = [path for place in (TAKEN, REFUSED) for path in (inbox / place).iterdir()]
    answers = [path for path in kept if path.name.endswith((".taken.json", ".problems.json"))]
    assert sorted(p.read_bytes() for p in kept if p not in answers) == sorted(put.values())
    assert len(answers) == len(put)
    assert all(isinstance(json.loads(path.read_bytes()), list) for path in answers)
    assert [path.name for path in root.iterdir()] == ["inbox"]


OWN = (WORKING, TAKEN, REFUSED)
UNTOUCHED = (b".part", b".tmp", b".filepart", b".crdownload", b"~")


def test_a_file_too_large_is_refused_unread(works: Works, tmp_path: Path) -> None:
    """By its size alone: a gigabyte of it takes no memory and no time."""
    with (tmp_path / "bomb.json").open("wb") as file:
        file.truncate(2**30)
    door = DropFolder(works, tmp_path, settle=0)

    ends = [end for _ in range(2) for end in door.look()]

    assert ends == [("bomb.json", REFUSED)]
    (told,) = json.loads((tmp_path / REFUSED / "bomb.json.problems.json").read_bytes())
    assert f"{LARGEST // 2**20} MiB" in told["says"]
