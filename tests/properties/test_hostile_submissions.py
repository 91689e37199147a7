"""A submission may hold anything: it is planned, held or refused with a problem list, nothing else.

Hypothesis spoils real submissions at any place with values that have broken programs before:
numbers beyond reason, text that turns direction, markup, paths, formulas, other units, the wrong
kind of thing. Whatever comes out, every problem names a place that is in the document.
"""

from __future__ import annotations

import json
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from schemas.errors import BadInput, Problem
from schemas.site import Question
from services import pipeline
from services.intake.reading import DEEPEST, LARGEST, MOST
from tests.builders import JOBS, document, library

ODD: list[object] = [
    None, True, False, 0, -1, 1, 2**31, 2**63, 10**400, -0.0, 0.1, 1e-300, 1e300, 2400, "2400",
    "", " ", "0", "-1", "1e999", "NaN", "12' 400\"", "1/0", "999999 ft", "92 5/0", "½", "9² in",
    "3,5", "100 furlong", "'", '"', "12''", "٣ in",
    "\u202egnp.exe", "a\u200bb", "a\x00b", "\ud83d", "x" * 10_000, "<b>", "</para><img src=x>",
    "[[red]]", "=1+1", "@SUM(A1)", "../../etc/passwd", "C:\\x", "CON", "%00", "${x}", "{0}",
    [], [[]], {}, {"": ""}, [None] * 300,
]  # fmt: skip
"""What may stand in any place."""

Came = tuple[tuple[Problem, ...], tuple[Question, ...], bool]
"""Problems, questions, and whether there is a plan."""

SPOILS = ("put", "drop", "double", "rename")


def places(tree: object, at: tuple[int | str, ...] = ()) -> list[tuple[int | str, ...]]:
    """Every place of a document below its top."""
    found = [at] if at else []
    steps: list[int | str] = []
    if isinstance(tree, dict):
        steps = list(tree)
    elif isinstance(tree, list):
        steps = list(range(len(tree)))
    for step in steps:
        found += places(tree[step], (*at, step))  # type: ignore[index]
    return found


def spoil(tree: Any, place: tuple[int | str, ...], how: str, odd: object) -> None:  # noqa: ANN401  # a JSON tree
    """Spoil one place of a document."""
    holder = tree
    for step in place[:-1]:
        holder = holder[step]
    last = place[-1]
    if how == "put":
        holder[last] = deepcopy(odd)
    elif how == "drop":
        del holder[last]
    elif how == "double" and isinstance(holder, list):
        holder.append(holder[int(last)])
    elif isinstance(holder, dict):
        holder[f"{last}x"] = holder.pop(last)


def is_there(tree: object, pointer: str) -> bool:
    """Whether a pointer leads into a document; its last step may be what is missing."""
    node = tree
    for step in pointer.split("/")[1:-1]:
        plain = step.replace("~1", "/").replace("~0", "~")
        try:
            node = node[int(plain) if isinstance(node, list) else plain]  # type: ignore[index]
        except (KeyError, IndexError, TypeError, ValueError):
            return False
    return True


def outcome_of(raw: bytes) -> Came:
    """What reading and planning come to; any other error fails the test."""
    try:
        outcome = pipeline.make_plan(pipeline.read_submission(raw), library=library())
    except BadInput as refused:
        return tuple(refused.problems), (), False
    return (), outcome.questions, outcome.plan is not None


@settings(
    max_examples=400, deadline=None, derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)  # fmt: skip
@given(data=st.data(), name=st.sampled_from(sorted(JOBS)))
def test_a_spoilt_submission_is_planned_held_or_refused(data: st.DataObject, name: str) -> None:
    """No other error leaves the reading or the planning."""
    tree = document(name)
    for _ in range(data.draw(st.integers(1, 3))):
        place = data.draw(st.sampled_from(places(tree)))
        spoil(tree, place, data.draw(st.sampled_from(SPOILS)), data.draw(st.sampled_from(ODD)))
    raw = json.dumps(tree).encode("utf-8", "surrogatepass")

    problems, questions, planned = outcome_of(raw)

    assert planned or problems or any(q.severity == "stop" for q in questions)
    for problem in problems:
        assert problem.says, problem
        assert problem.mend, problem
        assert is_there(tree, problem.pointer), problem


@settings(max_examples=300, deadline=None, derandomize=True)
@given(raw=st.binary(max_size=300))
def test_bytes_that_are_no_submission_are_refused(raw: bytes) -> None:
    """Whatever they are."""
    with pytest.raises(BadInput):
        pipeline.read_submission(raw)


@pytest.mark.parametrize(
    "raw",
    [
        b"[" * 100_000,
        b'{"a":' * 100_000,
        b'{"job": ' + b"9" * 5_000 + b"}",
        b'{"job": 1e999}',
        b'{"job": NaN}',
        b'{"job": -Infinity}',
        b'{"job": "P-1", "job": "P-2"}',
        "{}".encode("utf-16"),
        b"\xef\xbb\xbf{}",
        b'{"job": "' + b"x" * (LARGEST - 12) + b'"}',
        b" " * (LARGEST + 1),
        b"[" * (DEEPEST + 1) + b"]" * (DEEPEST + 1),
        b"{" + b",".join(b'"%d":1' % n for n in range(90_000)) + b"}",
        b'{"lines": [' + b",".join([b"{}"] * 90_000) + b"]}",
    ],
    ids=[
        "deep list", "deep object", "5,000 digits", "beyond floats", "NaN", "infinite", "twice",
        "UTF-16", "byte order mark", "one long text", "too large", "just too deep", "90,000 fields",
        "90,000 lines",
    ],
)  # fmt: skip
def test_bombs_are_refused(raw: bytes) -> None:
    """With a short problem list, not one line for each of ninety thousand."""
    with pytest.raises(BadInput) as refused:
        pipeline.read_submission(raw)

    assert 1 <= len(refused.value.problems) <= MOST + 1
