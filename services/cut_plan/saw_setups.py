"""The order of the saw: pieces by setting, then by stop, longest first.

A setting is both angles and to which hand; a stop is one cut length. The saw is set once for a
setting and the stop block once for a length, and the rails of a bay are cut one after the other.

Source:
    Common practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby

from schemas.cut_plan import Bar, Piece, SawSetUp, SawStop
from schemas.layout import LongSide

Setting = tuple[float, float, LongSide | None, LongSide | None]
"""Saw off square for left and right ends [degrees], and the longer sides of both."""


def set_ups(*, pieces: Iterable[Piece], bars: Iterable[Bar]) -> tuple[SawSetUp, ...]:
    """Group the pieces by saw setting, square cuts first; in each, longest first.

    Pieces of one length stand in the order of their bars; a bay of two rail lengths goes by the
    longer one, its top rail before its bottom rail.
    """
    by_id = {piece.id: piece for piece in pieces}
    on_bar = {placed.piece: bar.number for bar in bars for placed in bar.pieces}
    longest: dict[tuple[str, str], int] = {}
    for piece in by_id.values():
        bay = (piece.job, piece.bay)
        longest[bay] = max(longest.get(bay, 0), piece.length)
    settings: dict[Setting, list[Piece]] = {}
    for name in on_bar:
        settings.setdefault(_setting(by_id[name]), []).append(by_id[name])
    ordered = sorted(settings.items(), key=lambda one: _least_turned(one[0]))
    return tuple(
        _set_up(number, setting, sorted(members, key=lambda p: _turn(p, longest, on_bar)), on_bar)
        for number, (setting, members) in enumerate(ordered, start=1)
    )


def _setting(piece: Piece) -> Setting:
    return (piece.saw_left_deg, piece.saw_right_deg, piece.long_left, piece.long_right)


def _least_turned(setting: Setting) -> tuple[float, float, float, str, str]:
    """Square cuts first; settings that differ only in their hand beside each other."""
    left, right, *long = setting
    return (abs(left) + abs(right), left, right, long[0] or "", long[1] or "")


def _turn(
    piece: Piece, longest: Mapping[tuple[str, str], int], on_bar: Mapping[str, int]
) -> tuple[int, int, str, str, bool]:
    """When its turn comes at the saw."""
    most = longest[piece.job, piece.bay]
    return (-most, on_bar[piece.id], piece.job, piece.bay, piece.rails == "bottom")


def _set_up(
    number: int, setting: Setting, members: Sequence[Piece], on_bar: Mapping[str, int]
) -> SawSetUp:
    return SawSetUp(
        number=number,
        saw_left_deg=setting[0],
        saw_right_deg=setting[1],
        long_left=setting[2],
        long_right=setting[3],
        bars=tuple(sorted({on_bar[piece.id] for piece in members})),
        pieces=tuple(piece.id for piece in members),
        stops=tuple(
            SawStop(length=length, pieces=tuple(piece.id for piece in alike))
            for length, alike in groupby(members, key=lambda piece: piece.length)
        ),
    )
