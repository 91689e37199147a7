"""What a stranger meets first: one fault told as one, addresses as described, kinds by name."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from schemas.site import Corner
from tests.over_http import Office, problem_of
from tests.stand_in import submission_of
from worker.api.app import openapi_document
from worker.api.problems import KINDS, URN

README = Path(__file__).parents[4] / "README.md"


def sent(**changes: object) -> dict[str, Any]:
    """The demo's deck, changed."""
    tree: dict[str, Any] = json.loads(submission_of("J-1"))
    return tree | changes


def errors(office: Office, tree: dict[str, Any] | bytes) -> list[tuple[str, str]]:
    """Pointer and mend of each fault of a submission."""
    no = office.send(tree)
    assert problem_of(no) == (422, "bad-input")
    return [(error["pointer"], error["mend"]) for error in no.json()["errors"]]


@pytest.mark.parametrize("unit", ["inch", "", None, 7])
def test_a_wrong_unit_is_one_fault(office: Office, unit: object) -> None:
    """Its bare numbers are none besides; another fault still is."""
    tree = sent(unit=unit)
    tree["lines"][0]["legs"][0]["length"] = 120

    assert [pointer for pointer, _ in errors(office, tree)] == ["/unit"]
    assert {pointer for pointer, _ in errors(office, tree | {"crew": ""})} == {"/unit", "/crew"}


def test_half_a_character_is_told_where_it_stands(office: Office) -> None:
    """By its pointer, not as a fault of the whole document."""
    raw = json.dumps(sent(promises=["fine", "caps \ud83d flat"])).encode()

    [(pointer, mend)] = errors(office, raw)

    assert pointer == "/promises/1"
    assert "both halves" in mend


def test_half_a_character_in_a_name_breaks_nothing(office: Office) -> None:
    """Told at what holds the name."""
    raw = json.dumps(sent(site={"caps \ud83d": 1})).encode()

    assert [pointer for pointer, _ in errors(office, raw)] == ["/site"]


def test_names_to_choose_from_are_each_told_once(office: Office) -> None:
    """Also where the list itself has one twice."""
    tree = sent()
    legs = tree["lines"][0]["legs"]
    tree["lines"][0]["legs"] = [legs[0], *legs]
    tree["stairs"] = []
    tree["gates"] = [{"name": "G1", "leg": "Z", "start": "12", "width": "36"}]

    mends = dict(errors(office, tree))

    named = mends["/gates/0/leg"].removeprefix("one of ").split(", ")
    assert len(named) == len(set(named)) == len(legs)


def test_an_address_with_a_slash_too_many_is_unknown(office: Office) -> None:
    """Not sent on to another."""
    assert problem_of(office.get("/v1/jobs/")) == (404, "unknown")


def test_the_description_lists_every_kind_of_problem() -> None:
    """And says of a look-up no more than can happen to it."""
    document = openapi_document()

    kinds = document["components"]["schemas"]["ProblemDocument"]["properties"]["type"]["enum"]
    assert kinds == [f"{URN}{kind}" for kind in KINDS]
    for methods in document["paths"].values():
        told = methods.get("get", {}).get("responses", {}).get("422", {}).get("description", "")
        assert "Idempotency-Key" not in told
        assert "measures" not in told


def test_the_readme_lists_every_kind_of_problem() -> None:
    """For whoever has nothing else."""
    text = README.read_text(encoding="utf-8")

    assert [kind for kind in KINDS if f"`{kind}`" not in text] == []


def test_a_corners_turn_has_one_border() -> None:
    """What is refused is described as refused."""
    turn = Corner.model_json_schema()["properties"]["turn_deg"]

    assert turn["exclusiveMaximum"] == 175
    assert "maximum" not in turn
