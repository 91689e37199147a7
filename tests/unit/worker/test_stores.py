"""The pack store: whole files, proved on every reading."""

from __future__ import annotations

import os
from hashlib import sha256
from pathlib import Path

import pytest

from schemas.errors import NotNow
from tests.bucket import client_of, place_of
from worker.clock import SystemClock
from worker.stores import Damaged, Store
from worker.stores.bucket import BucketStore
from worker.stores.folder import HALF_WRITTEN, LONG_AGO, FolderStore, write_whole
from worker.stores.memory import MemoryStore

PDF = b"%PDF-1.7 a pack"


@pytest.fixture(params=["folder", "memory", "bucket"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Store:
    """Each kind of store."""
    if request.param == "bucket":
        bucket: BucketStore = request.getfixturevalue("bucket")
        return bucket
    return FolderStore(tmp_path) if request.param == "folder" else MemoryStore()


def spoil(store: Store, name: str, content: bytes) -> None:
    """Put something else in a file's place, past the store."""
    if isinstance(store, FolderStore):
        store.path(name).write_bytes(content)
    elif isinstance(store, MemoryStore):
        store.files[name] = content
    elif isinstance(store, BucketStore):
        client_of(store.endpoint).put_object(**place_of(store, name), Body=content)


def test_a_file_is_named_by_its_sha256_and_comes_back(store: Store) -> None:
    """The name is FIPS 180-4's digest of the bytes, nothing of ours."""
    name = store.put(PDF)

    assert name == sha256(PDF).hexdigest()
    assert store.get(name) == PDF


def test_a_file_that_was_never_kept_is_missed_by_name(store: Store) -> None:
    """The refusal says which."""
    with pytest.raises(Damaged, match="0" * 64):
        store.get("0" * 64)


def test_one_flipped_bit_is_seen(store: Store) -> None:
    """Such a file is not printed."""
    name = store.put(PDF)
    flipped = bytes([PDF[0] ^ 1]) + PDF[1:]
    spoil(store, name, flipped)

    with pytest.raises(Damaged, match=name):
        store.get(name)


def test_keeping_it_again_mends_a_damaged_file(store: Store) -> None:
    """A rerun heals the store."""
    name = store.put(PDF)
    spoil(store, name, b"half")

    assert store.put(PDF) == name
    assert store.get(name) == PDF


def test_files_stand_two_letters_deep(tmp_path: Path) -> None:
    """No folder grows too large to list."""
    store = FolderStore(tmp_path)

    name = store.put(PDF)

    assert (tmp_path / "sha256" / name[:2] / name).read_bytes() == PDF


def test_what_dead_workers_left_is_tidied_away(tmp_path: Path) -> None:
    """Whole files stay, and half ones that somebody may be writing."""
    store = FolderStore(tmp_path)
    name = store.put(PDF)
    half, new = (store.path(name).parent / f"{HALF_WRITTEN}{x}" for x in ("old", "new"))
    for path, age in (
        (half, LONG_AGO + 60),
        (new, LONG_AGO - 60),
        (store.path(name), 2 * LONG_AGO),
    ):
        path.write_bytes(PDF if path.name == name else b"%PD")
        then = SystemClock().now_ms() / 1000 - age
        os.utime(path, (then, then))

    taken = store.tidy(now_ms=SystemClock().now_ms())

    assert taken == 1
    assert not half.exists()
    assert new.exists()
    assert store.get(name) == PDF


def test_a_place_that_cannot_be_written_says_so_and_leaves_nothing(tmp_path: Path) -> None:
    """Not now: the work is kept and tried again."""
    (tmp_path / "store").write_text("a file where a folder should be")

    with pytest.raises(NotNow, match="cannot be written"):
        FolderStore(tmp_path / "store").put(PDF)


def test_a_file_that_cannot_take_its_place_leaves_no_half(tmp_path: Path) -> None:
    """Its place is taken by a folder, so the last step fails."""
    (tmp_path / "pack.pdf" / "x").mkdir(parents=True)

    with pytest.raises(NotNow):
        write_whole(tmp_path / "pack.pdf", PDF)

    assert [path.name for path in tmp_path.iterdir()] == ["pack.pdf"]
