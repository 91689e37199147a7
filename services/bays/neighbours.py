"""Bays that look wrong beside their neighbours."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from statistics import median

from schemas.job import Job
from schemas.layout import Bay, Layout
from schemas.site import Question
from services.bays import level_questions

PARTS = 4
"""A bay may differ from its neighbours by one part in so many. Source: common practice."""


def unlike_neighbours(job: Job, layout: Layout, leg: str) -> Iterator[Question]:
    """Each level bay that differs by over a quarter from the middle one of its row's others.

    A row is what line posts join; of two bays that differ one is told.
    """
    for row in _rows(layout, leg):
        odd = [bay for bay in row if _is_odd(bay, row)]
        for bay in odd[:1] if len(row) == 2 else odd:
            yield level_questions.unlike(
                bay=bay.name,
                clear=bay.clear,
                others=[(other.name, other.clear) for other in _beside(bay, row)],
                step=job.step,
            )


def _rows(layout: Layout, leg: str) -> Iterator[list[Bay]]:
    level = [bay for bay in layout.bays if bay.leg == leg and bay.kind == "level"]
    line = {post.name for post in layout.posts if post.where == "line"}
    row = level[:1]
    for one, other in pairwise(level):
        if one.right.post != other.left.post or one.right.post not in line:
            yield row
            row = []
        row.append(other)
    yield row


def _is_odd(bay: Bay, row: list[Bay]) -> bool:
    others = [other.clear for other in row if other is not bay]
    return bool(others) and PARTS * abs(bay.clear - median(others)) > median(others)


def _beside(bay: Bay, row: list[Bay]) -> list[Bay]:
    at = row.index(bay)
    return [*row[max(0, at - 1) : at], *row[at + 1 : at + 2]]
