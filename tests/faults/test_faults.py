"""A few faults on every run; the whole table is ``python -m tests.faults``."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from tests.faults.cases import every_case
from tests.faults.house import House
from tests.faults.soak import soak

SHORT = ("killed-accepted", "killed-renamed", "killed-delivering", "broker-killed-file-gone")
CASES = {case.name: case for case in every_case()}


@pytest.fixture(scope="module")
def calm(tmp_path_factory: pytest.TempPathFactory) -> House:
    """A company whose night nobody disturbed."""
    house = House(root=tmp_path_factory.mktemp("calm"))
    house.submit()
    house.night()
    return house


def test_a_calm_night_is_clean(calm: House) -> None:
    """The auditor finds nothing where nothing was struck."""
    assert calm.faults() == []
    assert len(calm.files()) == 2 * 10 + 2 + 1  # packs and plans, bundles, order totals


@pytest.mark.parametrize("name", SHORT)
def test_a_fault_changes_nothing_that_is_delivered(calm: House, tmp_path: Path, name: str) -> None:
    """Struck, run again where need be: the same files, and an auditor with nothing to say."""
    house = House(root=tmp_path)

    CASES[name].run(house, Random(7))

    assert house.faults() == []
    assert house.files() == calm.files()


def test_three_days_under_random_faults_keep_every_promise(tmp_path: Path) -> None:
    """The hour of it is ``python -m tests.faults.soak``."""
    lived: list[str] = []

    wrong = soak(tmp_path / "soak", seed=5, until=lambda days, _: days == 3, tell=lived.append)

    assert wrong == []
    assert len(lived) == 3
