"""Every plan that the service shows is what its description says it is.

The documents are validated by a library (jsonschema, JSON Schema 2020-12) against the schemas
that are published: the one in the OpenAPI document, and the one `dawnpack schema plan` prints.
"""

from __future__ import annotations

import json
from typing import Any, Final

import jsonschema
import pytest
from typer.testing import CliRunner

from tests.demo_night import demo_night
from tests.over_http import office_of
from worker.api.app import openapi_document
from worker.cli.program import program

PARTS: Final = {"message", "many", "values"}
"""Of a text as the store keeps it, to be said in a crew's language."""


@pytest.fixture(scope="module")
def plans(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, Any]]:
    """The plans of the demo's night, as they are fetched."""
    works = demo_night(tmp_path_factory.mktemp("plans"))
    with office_of(works) as office:
        jobs = office.get("/v1/jobs").json()["jobs"]
        found = [office.get(job["links"]["plan"]).json() for job in jobs if "plan" in job["links"]]
    works.ledger.close()
    assert len(found) >= 5
    return found


def described() -> list[dict[str, Any]]:
    """The schemas that a stranger has."""
    document = openapi_document()
    open_api = {"$ref": "#/components/schemas/Plan", "components": document["components"]}
    return [open_api, json.loads(CliRunner().invoke(program, ["schema", "plan"]).stdout)]


def test_each_plan_is_what_both_schemas_say(plans: list[dict[str, Any]]) -> None:
    """No field is of another kind than described."""
    faults = [
        f"{plan['job']['job']}{fault.json_path}: {fault.message[:120]}"
        for schema in described()
        for plan in plans
        for fault in jsonschema.Draft202012Validator(schema).iter_errors(plan)
    ]

    assert faults[:20] == []


def test_each_text_is_read_as_it_stands(plans: list[dict[str, Any]]) -> None:
    """English text, with its values in it, and none of the parts it was made of."""
    cautions = [one["hazard"] for plan in plans for one in plan["sequence"]["cautions"]]

    assert not [tree for plan in plans for tree in objects(plan) if tree.keys() == PARTS]
    assert cautions
    assert all(isinstance(text, str) and "{" not in text for text in cautions)


def objects(tree: object) -> list[dict[str, Any]]:
    """All objects in a document."""
    if isinstance(tree, list):
        return [found for one in tree for found in objects(one)]
    if isinstance(tree, dict):
        return [tree, *(found for one in tree.values() for found in objects(one))]
    return []
