"""The order of the saw: settings, stops, longest first, the rails of a bay together."""

from __future__ import annotations

from itertools import pairwise
from random import Random

from schemas.cut_plan import CutPlan, Piece
from services.cut_plan import plan_cuts
from tests import planned
from tests.rails_by_hand import KEEP, KERF, A, inches, kits, piece, some_rails


def cut(*pieces: Piece) -> CutPlan:
    """The pieces cut from kits."""
    return plan_cuts(pieces=pieces, stock=kits(A), kerf=KERF, keep=KEEP)


def rail(name: str, holes: int, **more: object) -> Piece:
    """A rail of so many holes with margins of 2 in."""
    margin = inches(2)
    return piece(name, holes=holes, left=margin, right=margin, pitch=inches(A.pitch), **more)  # type: ignore[arg-type]


def test_the_longest_is_cut_first() -> None:
    """And pieces of one length stand together, so that the stop is set once for each."""
    plan = cut(*some_rails(A, dice=Random(3), count=20, sizes=range(20, 60)))

    stops = [stop.length for set_up in plan.set_ups for stop in set_up.stops]

    assert len(plan.set_ups) == 1
    assert all(one > other for one, other in pairwise(stops))
    lengths = {one.id: one.length for one in plan.pieces}
    for stop in plan.set_ups[0].stops:
        assert {lengths[name] for name in stop.pieces} == {stop.length}


def test_stops_hold_the_set_ups_pieces_in_order() -> None:
    """Nothing is cut twice or left out."""
    for name in ("l-deck", "corner-45", "two-stair-sides"):
        for set_up in planned.plan(name).cuts.set_ups:
            assert set_up.pieces == tuple(p for stop in set_up.stops for p in stop.pieces)


def test_square_cuts_come_before_mitres_and_each_setting_once() -> None:
    """Three settings, three set-ups."""
    plan = cut(
        rail("P1", 8, saw=(22.5, 0), reach=(9000, 0)),
        rail("P2", 7),
        rail("P3", 9),
        rail("P4", 8, saw=(0, 22.5), reach=(0, 9000)),
    )

    settings = [(one.saw_left_deg, one.saw_right_deg) for one in plan.set_ups]

    assert settings == [(0, 0), (0, 22.5), (22.5, 0)]
    assert plan.set_ups[0].pieces == ("P3", "P2")


def test_mitres_of_both_hands_are_two_settings() -> None:
    """The saw is swung to the other side between them, at the same angle."""
    yard, deck = (
        rail(name, 8, saw=(22.5, 0), reach=(9000, 0)).model_copy(update={"long_left": side})
        for name, side in (("P1", "yard"), ("P2", "deck"))
    )

    plan = cut(yard, deck)

    assert [(one.long_left, one.pieces) for one in plan.set_ups] == [
        ("deck", ("P2",)),
        ("yard", ("P1",)),
    ]


def test_top_and_bottom_of_a_bay_are_cut_one_after_the_other() -> None:
    """Also where another bay's rail has a length between the two."""
    step = inches("1/16")
    top = piece("B1 top", holes=8, left=inches(2) + 2 * step, right=inches(2) + 2 * step,
                pitch=inches(A.pitch), rails="top", bay="B1")  # fmt: skip
    plan = cut(
        top,
        rail("B1 bottom", 8, rails="bottom", bay="B1"),
        piece("B2", holes=8, left=inches(2) + step, right=inches(2) + step, pitch=inches(A.pitch)),
    )

    assert plan.set_ups[0].pieces == ("B1 top", "B1 bottom", "B2")
