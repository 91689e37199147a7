"""Settings: one place, all of them checked at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from schemas.errors import BadInput
from worker.settings import Settings


def test_with_nothing_set_everything_stands_in_one_folder() -> None:
    """A newcomer sets nothing."""
    settings = Settings.read({})

    home = Path("dawnpack-data")
    assert settings.ledger == f"sqlite:///{home.resolve() / 'ledger.sqlite'}"
    assert (settings.packs, settings.logs) == (home / "store", home / "logs")
    assert settings.broker_url == ""


def test_values_are_read_as_what_they_are() -> None:
    """Numbers as numbers, paths as paths."""
    settings = Settings.read({"DAWNPACK_WORKERS": "6", "DAWNPACK_STORE": "/srv/packs", "HOME": "/"})

    assert (settings.workers, settings.packs) == (6, Path("/srv/packs"))


def test_an_empty_value_is_no_value() -> None:
    """As compose files write it."""
    assert Settings.read({"DAWNPACK_WORKERS": ""}).workers == Settings().workers


def test_all_that_is_wrong_is_said_at_once_with_the_nearest_name() -> None:
    """One start, one list."""
    wrong = {"DAWNPACK_BROKER": "redis://x", "DAWNPACK_WORKERS": "0", "DAWNPACK_LOG": "loud"}

    with pytest.raises(BadInput) as no:
        Settings.read(wrong)

    found = {p.pointer: (p.value, p.mend) for p in no.value.problems}
    assert found.keys() == {"/DAWNPACK_BROKER", "/DAWNPACK_WORKERS", "/DAWNPACK_LOG"}
    assert found["/DAWNPACK_BROKER"][1] == "did you mean DAWNPACK_BROKER_URL?"


def test_a_process_started_from_here_reads_the_same_settings() -> None:
    """Through its environment, with paths made absolute."""
    settings = Settings(data=Path("here"), workers=3, lease=9, broker_url="redis://q/1")

    again = Settings.read(settings.environ())

    assert again == settings.model_copy(update={"data": Path("here").resolve()})
