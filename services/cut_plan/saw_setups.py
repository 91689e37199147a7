"""Saw set-ups: which pieces are cut at one setting of the saw."""

from __future__ import annotations

from collections.abc import Iterable

from schemas.cut_plan import Bar, Piece, SawSetUp


def set_ups(*, pieces: Iterable[Piece], bars: Iterable[Bar]) -> tuple[SawSetUp, ...]:
    """Group the pieces by saw setting, square cuts first, each group in bar order."""
    by_id = {piece.id: piece for piece in pieces}
    groups: dict[tuple[float, float], list[tuple[int, str]]] = {}
    for bar in bars:
        for placed in bar.pieces:
            piece = by_id[placed.piece]
            setting = (piece.saw_left_deg, piece.saw_right_deg)
            groups.setdefault(setting, []).append((bar.number, piece.id))
    ordered = sorted(groups.items(), key=lambda one: (abs(one[0][0]) + abs(one[0][1]), one[0]))
    return tuple(
        SawSetUp(
            number=number,
            saw_left_deg=setting[0],
            saw_right_deg=setting[1],
            bars=tuple(sorted({bar for bar, _ in members})),
            pieces=tuple(name for _, name in members),
        )
        for number, (setting, members) in enumerate(ordered, start=1)
    )
