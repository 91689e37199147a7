"""Keep a picture of each kind of sheet: ``python -m tests.paper.goldens``."""

from __future__ import annotations

from pathlib import Path

from tests.paper.kinds import pages
from tests.paper.readers import picture

HERE = Path(__file__).parent
DPI = 50
"""Small enough to look at all of them, large enough to see a label move."""


def keep() -> None:
    """Write them all; pictures of kinds that are no more go."""
    made = pages()
    for old in HERE.glob("*.png"):
        if old.stem not in made:
            old.unlink()
    for name, pdf in made.items():
        picture(pdf, 0, DPI).save(HERE / f"{name}.png", optimize=True)
        print(HERE / f"{name}.png")  # noqa: T201 what a command says


if __name__ == "__main__":
    keep()
