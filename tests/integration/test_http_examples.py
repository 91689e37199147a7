"""The examples of the description are sent as they stand, and do what they say."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from tests.over_http import Office, office_of
from worker.api.app import openapi_document
from worker.bootstrap import build
from worker.cli.program import program
from worker.demo import JOBS
from worker.settings import Settings

HELD = json.loads((JOBS / "6-held.json").read_bytes())


@pytest.fixture
def office(tmp_path: Path) -> Iterator[Office]:
    """A client of a service over the real computation."""
    works = build(Settings(data=tmp_path))
    with office_of(works) as client:
        yield client
    works.ledger.close()


def example(path: str, method: str = "post") -> dict[str, Any]:
    """The body shown for an address; of several the last."""
    content = openapi_document()["paths"][path][method]["requestBody"]["content"]
    *_, shown = content["application/json"]["examples"].values()
    value = shown["value"]
    assert isinstance(value, dict)
    return value


def test_every_example_body_is_taken(office: Office) -> None:
    """Submitted, replaced, moved, split, withdrawn; held, answered."""
    taken = office.send(example("/v1/jobs"))
    at = taken.headers["Location"]
    seen = {"If-Match": taken.headers["ETag"]}
    replaced = office.send(example("/v1/jobs/{job}", "put"), at, method="PUT", headers=seen)
    number = taken.json()["job"]
    moved = office.change(number, "move", example("/v1/jobs/{job}/move"))
    office.send(example("/v1/jobs") | {"job": "P-3000"})
    split = office.change("P-3000", "split", example("/v1/jobs/{job}/split"))
    withdrawn = office.change(number, "withdrawal", example("/v1/jobs/{job}/withdrawal"))
    held = office.send(HELD)
    answered = office.change(HELD["job"], "answers", example("/v1/jobs/{job}/answers"))

    codes = [a.status_code for a in (taken, replaced, moved, split, withdrawn)]
    assert codes == [202, 202, 200, 200, 200]
    assert (moved.json()["revision"], withdrawn.json()["state"]) == (3, "withdrawn")
    assert (held.json()["state"], answered.json()["state"]) == ("held", "received")


def test_every_body_has_an_example() -> None:
    """A stranger can start from one."""
    for path, methods in openapi_document()["paths"].items():
        for method, operation in methods.items():
            if "requestBody" in operation:
                assert example(path, method)


def test_the_command_prints_what_the_service_says_of_itself(office: Office) -> None:
    """OpenAPI 3.1, and every reference in it leads somewhere."""
    printed = json.loads(CliRunner().invoke(program, ["schema", "openapi"]).stdout)

    assert printed == office.get("/openapi.json", key="").json()
    assert printed["openapi"].startswith("3.1.")
    known = printed["components"]["schemas"]
    text = json.dumps(printed)
    for reference in set(text.split('"#/components/schemas/')[1:]):
        assert reference.split('"')[0] in known
