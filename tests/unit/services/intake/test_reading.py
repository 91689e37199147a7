"""What was sent is read whole, or refused with every problem at once."""

import json

import pytest
from jsonschema import Draft202012Validator
from pydantic import BaseModel

from schemas.code_profile import CodeProfile
from schemas.company import Company
from schemas.errors import BadInput, Problem
from schemas.rail_system import RailSystem
from schemas.submission import Submission
from services.intake import read_document, read_submission
from tests.builders import JOBS, document, library


def problems(tree: object) -> dict[str, Problem]:
    """The problem list of a document, by pointer."""
    raw = tree if isinstance(tree, bytes) else json.dumps(tree).encode()
    with pytest.raises(BadInput) as refused:
        read_document(raw, Submission)
    return {problem.pointer: problem for problem in refused.value.problems}


def test_all_problems_are_named_at_once() -> None:
    """A document with six faults lists six, each with its place, value and mend."""
    found = problems(document("refused"))

    assert set(found) == {
        "/crew",
        "/install_date",
        "/post/core",
        "/lines/0/legs/0/length",
        "/lines/0/legs/1/length",
        "/lines/0/colour",
    }
    assert found["/lines/0/legs/0/length"].value == "71/4"
    assert "space lost" in found["/lines/0/legs/0/length"].mend


def test_unknown_field_names_the_nearest_known_one() -> None:
    """A slip of the pen in a field name is answered with the right name."""
    tree = document("l-deck")
    tree["stairs"][0]["riserr"] = tree["stairs"][0].pop("riser")

    found = problems(tree)

    assert found["/stairs/0/riserr"].mend == "did you mean 'riser'?"
    assert found["/stairs/0/riser"].says == "this field is missing"


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"{", "not JSON"),
        (b"\xff\xfe{}", "not UTF-8"),
        (b'{"unit": "in", "unit": "mm"}', "twice: unit"),
        (b'{"unit": NaN}', "NaN"),
        (b"[" * 40 + b"]" * 40, "too deep"),
        (b"[" * 100_000 + b"]" * 100_000, "too deep"),
        (b'"' + b"x" * 1_100_000 + b'"', "over 1 MiB"),
        (b"9" * 5000, "number"),
        (b"7", "object"),
    ],
)
def test_what_is_no_document_is_one_problem(raw: bytes, says: str) -> None:
    """Rubbish is refused with one sentence and no trace of a traceback."""
    (problem,) = problems(raw).values()

    assert says in f"{problem.says} {problem.mend}"


@pytest.mark.parametrize("sign", ["\u202e", "\x07", "\n", "\ud800"])
def test_text_that_would_disguise_a_line_is_refused(sign: str) -> None:
    """Direction overrides, controls and half characters do not reach the paper."""
    tree = document("l-deck")
    tree["site"]["customer"] = f"Ann{sign}Lee"

    found = problems(tree)

    assert set(found) <= {"/site/customer", ""}


@pytest.mark.parametrize("name", [name for name in JOBS if name != "refused"])
def test_published_schema_accepts_what_is_read(name: str) -> None:
    """JSON Schema 2020-12 as published agrees with the reader on every good demo job."""
    schema = Submission.model_json_schema()

    Draft202012Validator.check_schema(schema)

    assert list(Draft202012Validator(schema).iter_errors(document(name))) == []
    assert read_document(json.dumps(document(name)).encode(), Submission).job.startswith("P-")


@pytest.mark.parametrize("kind", [Submission, Company, RailSystem, CodeProfile])
def test_every_field_says_what_it_means(kind: type[BaseModel]) -> None:
    """The published schema describes each field of each document."""
    schema = kind.model_json_schema()
    parts = {kind.__name__: schema, **schema.get("$defs", {})}

    bare = [
        f"{name}.{field}"
        for name, part in parts.items()
        for field, shape in part.get("properties", {}).items()
        if not shape.get("description")
    ]

    assert bare == []


def test_a_stair_at_no_leg_is_pointed_at() -> None:
    """A check of the whole document names the field, not the document."""
    tree = document("l-deck")
    tree["stairs"][0]["leg"] = "Z"

    with pytest.raises(BadInput) as refused:
        read_submission(json.dumps(tree).encode())

    (problem,) = refused.value.problems
    assert (problem.pointer, problem.value, problem.mend) == (
        "/stairs/0/leg",
        "Z",
        "one of A, B, C, D, E",
    )


def test_what_cannot_be_read_and_what_is_not_there_come_in_one_answer() -> None:
    """A length, three lost references and the names of four things of the company's, at once."""
    tree = document("l-deck")
    tree["lines"][0]["legs"][0]["length"] = "71/4"
    tree["lines"][0]["legs"][2]["name"] = "A"
    tree["stairs"][0]["leg"] = "Z"
    tree["gates"] = [{"name": "G1", "leg": "B", "start": "12", "width": "36", "stair": "S9"}]
    tree["crew"] = "hern"
    tree["rail"] |= {"system": "cove", "colour": "puce", "height": "55"}
    tree["code"]["profile"] = "us-irc-2012"

    with pytest.raises(BadInput) as refused:
        read_submission(json.dumps(tree).encode(), library=library())

    found = {problem.pointer: problem for problem in refused.value.problems}
    assert set(found) == {
        "/lines/0/legs/0/length", "/lines/0/legs/2/name", "/stairs/0/leg", "/gates/0/stair",
        "/crew", "/rail/colour", "/rail/height", "/code/profile",
    }  # fmt: skip
    assert all(problem.mend for problem in found.values())
    assert len(found) == len(refused.value.problems)


@pytest.mark.parametrize(
    ("put", "says", "mend"),
    [
        ({"revision": "2"}, "is not a whole number", "write a whole number, without quotes"),
        ({"revision": 0}, "is too small", "write 1 or more"),
        ({"remove_feet": 5001}, "is too large", "write 5000.0 or less"),
        ({"lines": []}, "has 0 entries", "give 1 at least"),
        ({"permit": "x" * 201}, "is too long", "shorten it to 200 characters"),
        ({"use": "barn"}, "is none of the known names", "one of 'one-family'"),
        ({"site": 3}, "is not an object", "write an object in braces"),
        ({"gates": {}}, "is not a list", "write a list in brackets"),
    ],
)
def test_a_fault_is_told_in_the_offices_words(put: dict[str, object], says: str, mend: str) -> None:
    """Field, what is wrong, and the mend with the record's own figures."""
    (problem,) = problems(document("l-deck") | put).values()

    assert problem.pointer == f"/{next(iter(put))}"
    assert problem.says == says
    assert problem.mend.startswith(mend)
