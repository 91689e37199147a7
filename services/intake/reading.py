"""Reading a document: strict JSON in, a frozen record or one complete problem list out."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from difflib import get_close_matches
from itertools import islice
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from schemas.errors import BadInput, Problem
from schemas.job import Library
from schemas.lengths import Unit
from schemas.submission import MISNAMED, Submission
from services.intake.in_words import in_words
from services.intake.references import lost_names, strange_names

LARGEST = 1_048_576
"""Greatest size of a document. [bytes]"""
DEEPEST = 32
"""Greatest nesting of a document; a real one has eight."""
MANY = 20_000
"""Most values in a document; a site of a thousand bays has half as many."""
MOST = 100
"""Problems told one by one; that there are more is told."""

Document = TypeVar("Document", bound=BaseModel)

_KEY = "up to 40 letters, digits, '.', '_' or '-', the first a letter or digit"
_SHAPES = {
    r"^[A-RT-Z]": "one or two capital letters; S is kept for stairs",
    r"^S[1-9]\d?$": "a stair is S1 to S99",
    r"^S[1-9]\d?-": "a stair's side is S1-L or S1-R, as seen going up",
    r"^G[1-9]": "a gate is G1 to G99",
    r"^([01]": "an hour as 06:30",
    r"^\d{4}": "a day as 2026-12-03",
    "^(/": "a JSON Pointer such as /stairs/0/riser",
}
"""Patterns of the records, by how they begin, in words."""


def read_document(raw: bytes, kind: type[Document]) -> Document:
    """Read a document from the office.

    Args:
        raw: JSON text, UTF-8, at most 1 MiB, 32 levels deep and 20,000 values.
        kind: The record it should be; its `unit` field governs bare numbers.

    Returns:
        The frozen record, every length in 1/320 mm.

    Raises:
        BadInput: With every problem of the document, not the first only.
    """
    tree = _parse(raw)
    unit = tree.get("unit") if isinstance(tree, dict) else None
    known = unit if unit in get_args(Unit) else None
    field = kind.model_fields.get("unit")
    if known is None and field is not None and field.is_required():
        known = get_args(Unit)[0]  # it is refused for its unit: bare numbers are no further fault
    try:
        return kind.model_validate_json(raw, context={"unit": known})
    except ValidationError as wrong:
        raise BadInput(_told(_problems(wrong, kind, tree), raw)) from None


def read_submission(raw: bytes, *, library: Library | None = None) -> Submission:
    """Read a submission, with all that can be told of it in one answer.

    Args:
        raw: As for `read_document`.
        library: The company's own documents; with them, names that there are none of are told
            beside what cannot be read.

    Raises:
        BadInput: With every problem of the document.
    """
    try:
        return read_document(raw, Submission)
    except BadInput as wrong:
        raise BadInput(_with_names(wrong.problems, _parse(raw), library)) from None


def _with_names(
    told: Sequence[Problem], tree: object, library: Library | None
) -> tuple[Problem, ...]:
    """Problems of reading, and those of names where reading found nothing wrong."""
    if not isinstance(tree, dict):
        return tuple(told)
    names = [*lost_names(tree), *(strange_names(tree, library=library) if library else ())]
    places = {problem.pointer for problem in told}
    further = [name for name in names if name.pointer not in places]
    first = [problem for problem in told if problem.says != MISNAMED or not further]
    return (*first, *further[:MOST])


def read_library_document(raw: bytes, kind: type[Document], *, name: str) -> Document:
    """Read one of the company's own documents, naming the file in every problem.

    Raises:
        BadInput: As `read_document`, each pointer led by the file's name.
    """
    try:
        return read_document(raw, kind)
    except BadInput as wrong:
        named = (p.model_copy(update={"pointer": f"{name}#{p.pointer}"}) for p in wrong.problems)
        raise BadInput(tuple(named)) from None


def _parse(raw: bytes) -> Any:  # noqa: ANN401 a JSON tree is of any shape until it is validated
    if len(raw) > LARGEST:
        raise BadInput([_whole(raw, "is over 1 MiB", "split it; a job has one document")])
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        raise BadInput([_whole(raw, "is not UTF-8 text", "save it as UTF-8")]) from None
    twice: list[str] = []

    def once_each(pairs: list[tuple[str, object]]) -> dict[str, object]:
        seen = Counter(name for name, _ in pairs)
        twice.extend(sorted(name for name, times in seen.items() if times > 1))
        return dict(pairs)

    def finite(written: str) -> object:
        msg = f"{written} is not a number"
        raise ValueError(msg)

    try:
        tree = json.loads(text, object_pairs_hook=once_each, parse_constant=finite)
    except RecursionError:
        raise BadInput([_whole(raw, "is nested too deep", f"stay within {DEEPEST}")]) from None
    except json.JSONDecodeError as no:
        where = f"line {no.lineno}, column {no.colno}"
        raise BadInput(
            [_whole(raw, f"is not JSON: {no.msg} at {where}", "mend it there")]
        ) from None
    except ValueError as no:
        raise BadInput(
            [_whole(raw, f"holds a number that is none: {no}", "write it out")]
        ) from None
    _check_size(tree, raw)
    if twice:
        says = f"has a field twice: {', '.join(twice)}"
        raise BadInput([_whole(raw, says, "keep one of each")])
    return tree


def _check_size(tree: object, raw: bytes) -> None:
    if _depth(tree) > DEEPEST:
        raise BadInput([_whole(raw, "is nested too deep", f"stay within {DEEPEST}")])
    if _values(tree) > MANY:
        raise BadInput([_whole(raw, f"holds over {MANY} values", "split the job")])
    if broken := list(islice(_broken_texts(tree, ""), MOST)):
        raise BadInput(broken)


def _whole(raw: bytes, says: str, mend: str) -> Problem:
    shown = raw[:60].decode("utf-8", "replace")
    return Problem(pointer="", value=_shown(shown), says=f"the document {says}", mend=mend)


def _broken_texts(tree: object, at: str) -> Iterator[Problem]:
    """Texts with half a character in them: the escape of one half without that of the other."""
    if isinstance(tree, str) and _is_broken(tree):
        yield _half(at, tree)
    elif isinstance(tree, dict):
        for name, value in tree.items():
            if _is_broken(name):
                yield _half(at, name)
            else:
                yield from _broken_texts(value, f"{at}/{_escaped(name)}")
    elif isinstance(tree, list):
        for number, value in enumerate(tree):
            yield from _broken_texts(value, f"{at}/{number}")


def _is_broken(text: str) -> bool:
    return any("\ud800" <= sign <= "\udfff" for sign in text)


def _half(at: str, text: str) -> Problem:
    mend = "send both halves of the escape, or leave it out"
    return Problem(pointer=at, value=_shown(text), says="holds half a character", mend=mend)


def _depth(tree: object) -> int:
    deepest, level = 0, [tree]
    while level and deepest <= DEEPEST:
        deepest += 1
        level = [child for node in level for child in _children(node)]
    return deepest


def _values(tree: object) -> int:
    number, level = 0, [tree]
    while level and number <= MANY:
        number += len(level)
        level = [child for node in level for child in _children(node)]
    return number


def _children(node: object) -> Iterable[object]:
    if isinstance(node, dict):
        return node.values()
    return node if isinstance(node, list) else ()


def _told(problems: Iterator[Problem], raw: bytes) -> tuple[Problem, ...]:
    """All problems, or the first and that there are more: each is looked up in the document."""
    told = tuple(islice(problems, MOST))
    if next(problems, None) is None:
        return told
    return (*told, _whole(raw, f"has more than {MOST} problems", "mend these and send it again"))


def _problems(wrong: ValidationError, kind: type[BaseModel], tree: object) -> Iterator[Problem]:
    errors = wrong.errors(include_url=False, include_context=True)
    above = {error["loc"][:n] for error in errors for n in range(len(error["loc"]))}
    for error in errors:
        # an element that cannot be read also makes its list "too short": that is no second problem
        if error["type"] == "too_short" and error["loc"] in above:
            continue
        yield _problem(error, kind, tree)


def _problem(error: ErrorDetails, kind: type[BaseModel], tree: object) -> Problem:
    steps = _real_steps(error["loc"], tree)
    pointer = "".join(f"/{_escaped(step)}" for step in steps)
    says, mend = in_words(error)
    if error["type"] == "extra_forbidden":
        says = f"there is no field {steps[-1]!r} here"
        near = get_close_matches(str(steps[-1]), _names_at(kind, steps[:-1]), n=1, cutoff=0.6)
        mend = f"did you mean {near[0]!r}?" if near else "leave it out"
    elif error["type"] == "string_pattern_mismatch":
        says, mend = "is not written as it should be", _shape(error)
    value = "" if error["type"] == "missing" else _shown(_value_at(tree, steps))
    return Problem(pointer=pointer, value=value, says=says, mend=mend)


def _shape(error: ErrorDetails) -> str:
    """What a text of a fixed shape looks like."""
    pattern = str(error.get("ctx", {}).get("pattern", ""))
    return next((says for begins, says in _SHAPES.items() if pattern.startswith(begins)), _KEY)


def _real_steps(place: tuple[int | str, ...], tree: object) -> tuple[int | str, ...]:
    """The steps that exist in the document; pydantic also names union members."""
    steps: list[int | str] = []
    node = tree
    for number, step in enumerate(place):
        last = number == len(place) - 1
        if isinstance(node, dict) and (step in node or last):
            node = node.get(str(step))
        elif isinstance(node, list) and isinstance(step, int) and step < len(node):
            node = node[step]
        else:
            continue
        steps.append(step)
    return tuple(steps)


def _escaped(step: int | str) -> str:
    """Escape a step of a pointer.

    Source:
        RFC 6901: ``~`` is ``~0`` and ``/`` is ``~1``.
    """
    return str(step).replace("~", "~0").replace("/", "~1")


def _value_at(tree: object, steps: Sequence[int | str]) -> object:
    node = tree
    for step in steps:
        if isinstance(node, dict):
            node = node.get(str(step))
        elif isinstance(node, list) and isinstance(step, int):
            node = node[step]
    return node


def _shown(value: object) -> str:
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=True, default=str)
    text = "".join(sign if sign.isprintable() else f"\\u{ord(sign):04x}" for sign in text)
    return text if len(text) <= 80 else f"{text[:79]}…"


def _names_at(kind: type[BaseModel], steps: Sequence[int | str]) -> list[str]:
    """Field names known where an unknown one stood."""
    model: type[BaseModel] | None = kind
    for step in steps:
        if model is None or isinstance(step, int):
            continue
        field = model.model_fields.get(step)
        model = _model_in(field.annotation) if field else None
    return list(model.model_fields) if model else []


def _model_in(annotation: object) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    found = (_model_in(part) for part in get_args(annotation))
    return next((model for model in found if model is not None), None)
