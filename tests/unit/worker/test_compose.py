"""The compose file: settings that exist, no root, a health check for whatever stays up."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from worker.cli.program import program
from worker.settings import Settings

FILE = Path(__file__).parents[3] / "docker-compose.yml"
TREE: dict[str, Any] = yaml.safe_load(FILE.read_bytes())
OURS = {name: s for name, s in TREE["services"].items() if "build" in s}
LASTING = [name for name, s in TREE["services"].items() if s["restart"] == "unless-stopped"]


@pytest.mark.parametrize("name", OURS)
def test_every_setting_of_a_service_is_one_that_exists(name: str) -> None:
    """Values that compose fills in are left empty here."""
    environ = {
        key: "" if value.startswith("${") else value
        for key, value in OURS[name]["environment"].items()
    }

    assert Settings.read(environ).ledger_url.startswith("postgresql")


@pytest.mark.parametrize("name", OURS)
def test_no_service_of_ours_runs_as_root(name: str) -> None:
    """The image ends with a user of its own."""
    lines = OURS[name]["build"]["dockerfile_inline"].split("\n")

    assert [line for line in lines if line.startswith("USER ")] == ["USER dawnpack"]


@pytest.mark.parametrize("name", OURS)
def test_every_command_of_a_service_is_one_that_exists(name: str) -> None:
    """As is that of its health check."""
    known: set[str | None] = {
        c.name or c.callback.__name__ for c in program.registered_commands if c.callback
    }
    known |= {group.name for group in program.registered_groups}
    checks = OURS[name].get("healthcheck", {}).get("test", [])
    commands = [OURS[name]["command"], checks[1:]]

    assert {words[1] for words in commands if words[:1] == ["dawnpack"]} <= known


@pytest.mark.parametrize("name", [name for name in LASTING if name != "drop"])
def test_what_stays_up_has_a_health_check(name: str) -> None:
    """The drop folder's state is seen in the folder."""
    assert "healthcheck" in TREE["services"][name]


def test_no_secret_stands_in_the_file() -> None:
    """They are files beside it."""
    assert all(set(secret) == {"file"} for secret in TREE["secrets"].values())
    assert "whsec_" not in FILE.read_text("utf-8")
    assert ".secrets/" in (FILE.parent / ".gitignore").read_text("utf-8")
