"""Corrections: an answer's figures put into the submission that asked for them."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from pydantic import ValidationError

from schemas.errors import UnknownThing
from schemas.lengths import INSIDE
from schemas.site import Correction
from schemas.submission import Submission


def corrected(submission: Submission, corrections: Iterable[Correction]) -> Submission:
    """The submission with some values put in place of others, checked anew.

    Args:
        submission: As it was read; its own lengths stand in the inside unit.
        corrections: Each with the pointer of a field; lengths as text with their unit.

    Raises:
        UnknownThing: A pointer that leads to nothing that a submission has.

    Source:
        RFC 6901 for the pointers.
    """
    tree = submission.model_dump(mode="json", exclude_unset=True)
    for correction in corrections:
        _put(tree, correction)
    try:
        return Submission.model_validate_json(
            json.dumps(tree), context={**INSIDE, "unit": submission.unit}
        )
    except ValidationError as wrong:
        msg = f"the correction does not fit a submission: {wrong.errors()[0]['msg']}"
        raise UnknownThing(msg) from None


def _put(tree: Any, correction: Correction) -> None:  # noqa: ANN401 a JSON tree of any shape
    *path, last = (
        step.replace("~1", "/").replace("~0", "~") for step in correction.pointer.split("/")[1:]
    )
    node = tree
    try:
        for step in path:
            node = node[int(step)] if isinstance(node, list) else node[step]
        node[int(last) if isinstance(node, list) else last] = correction.value
    except (KeyError, IndexError, ValueError, TypeError):
        msg = f"the submission has nothing at {correction.pointer}"
        raise UnknownThing(msg) from None
