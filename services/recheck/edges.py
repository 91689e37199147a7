"""Edges left without railing: each that seems to need a guard stands as a question."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.plan import Plan
from services.recheck.limits import asks, inches, level_limits


def recheck_edges(plan: Plan) -> Iterator[str]:
    """Every open edge, wider than the sphere and over a drop, of which nothing is said."""
    asked = {question.key for question in plan.job.questions}
    for number, edge in enumerate(plan.job.open_edges, start=1):
        sphere = level_limits(plan, place=edge.where, drop=edge.drop).opening
        passes = sphere is None or edge.width >= sphere
        told = edge.closed_by is not None or f"open-edge.{number}" in asked
        if passes and asks(plan, edge.drop) and not told:
            yield f"{edge.where}: {inches(edge.width)} stay open, and nothing says so"
