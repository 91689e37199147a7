"""The plan's drawings, found by name."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.drawings import Drawing
from schemas.pages import Figure


class Figures:
    """All drawings of a plan, handed to the pages that show them."""

    def __init__(self, drawings: Sequence[Drawing]) -> None:
        """Keep the drawings by name, in their order."""
        self._by_name = {drawing.name: drawing for drawing in drawings}

    def named(self, name: str) -> tuple[Figure, ...]:
        """The drawing of that name, if there is one."""
        drawing = self._by_name.get(name)
        return (Figure(drawing=drawing),) if drawing else ()

    def untitled(self, name: str) -> tuple[Figure, ...]:
        """The drawing of that name on a sheet whose own head already names it."""
        return tuple(
            Figure(drawing=figure.drawing.model_copy(update={"title": ""}))
            for figure in self.named(name)
        )

    def starting(self, name: str) -> tuple[Figure, ...]:
        """The drawing of that name with its further parts, or all of that kind."""
        return tuple(
            Figure(drawing=drawing)
            for key, drawing in self._by_name.items()
            if key == name or key.startswith(f"{name}-")
        )
