"""Alternatives side by side: one column each, one row a figure."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from schemas.lengths import INCH, PER_MM
from schemas.what_if import Alternative
from worker.cli.showing import out, show_table

FEET: Final = 12 * INCH

ROWS: Final[tuple[tuple[str, Callable[[Alternative], str]], ...]] = (
    ("posts", lambda a: f"{a.posts}, {a.posts_to_set} to set"),
    ("level bays", lambda a: str(a.level_bays)),
    ("stair bays", lambda a: str(a.stair_bays)),
    ("rail stock", lambda a: "\n".join(f"{count} x {kit}" for kit, count in a.kits)),
    ("stock length", lambda a: _length(a.stock_length)),
    ("waste", lambda a: f"{_length(a.waste_length)}, {a.waste_share:.1%}"),
    ("material", lambda a: f"{a.material_cents / 100:.2f}"),
    ("of it wasted rail", lambda a: f"{a.waste_cents / 100:.2f}"),
    ("of it ends of sticks", lambda a: f"{a.stick_waste_cents / 100:.2f}"),
    ("crew-hours", lambda a: f"{a.crew_hours:.1f} of {a.day_hours:g}"),
    ("load", lambda a: f"{a.grams / 1000:.0f} kg"),
    ("holds", lambda a: str(a.holds)),
)


def show_side_by_side(job: str, found: Sequence[Alternative]) -> None:
    """A table, then what stops those that have no plan."""
    show_table(
        f"{job}: what if",
        ("", *(one.named for one in found)),
        (
            ("planned", *("yes" if one.planned else "NO, see below" for one in found)),
            *(
                (name, *(figure(one) if one.planned else "" for one in found))
                for name, figure in ROWS
            ),
        ),
    )
    for one in found:
        if one.refused:
            out.print(f"{one.named}: {one.refused}")
        for stop in one.stops:
            out.print(f"{one.named}: stop at {stop.place}: {stop.says} {stop.ask}")


def _length(length: int) -> str:
    return f"{length / FEET:.1f} ft ({length / PER_MM / 1000:.2f} m)"
