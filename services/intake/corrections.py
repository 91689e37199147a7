"""Corrections: an answer's figures put into the submission that asked for them."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from schemas.errors import UnknownThing
from schemas.lengths import INSIDE
from schemas.site import Correction
from schemas.submission import Submission


def corrected(submission: Submission, corrections: Iterable[Correction]) -> Submission:
    """The submission with some values put in place of others, checked anew.

    Args:
        submission: As it was read; its own lengths stand in the inside unit.
        corrections: Each with the pointer of an existing field; lengths with their unit.

    Raises:
        UnknownThing: A pointer that leads nowhere.
        ValidationError: The corrected document breaks the schema, which an offered
            option never does.

    Source:
        RFC 6901 for the pointers.
    """
    tree = submission.model_dump(mode="json")
    for correction in corrections:
        _put(tree, correction)
    return Submission.model_validate_json(
        json.dumps(tree), context={**INSIDE, "unit": submission.unit}
    )


def _put(tree: Any, correction: Correction) -> None:  # noqa: ANN401 a JSON tree of any shape
    *path, last = (
        step.replace("~1", "/").replace("~0", "~") for step in correction.pointer.split("/")[1:]
    )
    node = tree
    try:
        for step in path:
            node = node[int(step)] if isinstance(node, list) else node[step]
        if isinstance(node, list):
            node[int(last)] = correction.value
        elif last in node:
            node[last] = correction.value
        else:
            raise KeyError(last)
    except (KeyError, IndexError, ValueError, TypeError):
        msg = f"the submission has nothing at {correction.pointer}"
        raise UnknownThing(msg) from None
