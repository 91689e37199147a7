"""What fits on the lattice of factory holes, against tries of every raw position."""

from __future__ import annotations

from itertools import permutations
from random import Random

import pytest

from schemas.errors import GeometryError
from services.cut_plan.lattice import RailEnd, along, check_piece, room
from services.cut_plan.reading import groups
from tests.rails_by_hand import (
    KERF,
    SIXTEENTH,
    A,
    B,
    C,
    Profile,
    fits_by_trying,
    inches,
    kit,
    kits,
    modes,
    offcut,
    piece,
    rail,
    some_rails,
)

LONGEST_EQUAL = [
    (A, "72", 1, "72", 16, "9/4", (0,)),
    (A, "96", 2, "45", 10, "9/4", (0, 11)),
    (A, "96", 3, "251/8", 7, "35/16", (0, 7, 14)),
    (A, "120", 2, "467/8", 13, "35/16", (0, 13)),
    (A, "120", 3, "36", 8, "9/4", (0, 9, 18)),
    (B, "72", 1, "283/4", 15, "3", (0,)),
    (B, "96", 2, "369/8", 10, "9/4", (0, 10)),
    (B, "96", 3, "233/8", 6, "3", (0, 7, 14)),
    (C, "96", 2, "45", 9, "5/2", (0, 10)),
    (C, "120", 3, "319/8", 8, "39/16", (0, 8, 16)),
]
"""The longest equal pieces a kit gives, with their holes, margin and first holes from 0.
Derived: by geometry alone, and tried again below at every sixteenth and every raw position."""


def starts(profile: Profile, size: str, length: int, count: int) -> dict[int, tuple[int, ...]]:
    """First holes of so many equal pieces on a kit, for each count of holes that fits."""
    found = {}
    for holes, left, right in modes(profile, length, step=1):
        alike = [
            piece(f"P{n}", holes=holes, left=left, right=right, pitch=inches(profile.pitch))
            for n in range(count)
        ]
        stock = kit(profile, size)
        if not fits_by_trying(stock, alike[:1]):
            continue
        group = groups(pieces=alike, stock=[stock], kerf=KERF)[0]
        places = group.lattice.starts(stick=0, order=(0,) * count)
        assert (places is not None) == fits_by_trying(stock, alike)
        if places is not None:
            found[holes] = places
    return found


@pytest.mark.parametrize(("profile", "size", "count", "longest", "holes", "e", "first"),
                         LONGEST_EQUAL)  # fmt: skip
def test_kit_gives_these_longest_equal_pieces(
    profile: Profile,
    size: str,
    count: int,
    longest: str,
    holes: int,
    e: str,
    first: tuple[int, ...],
) -> None:
    """No sixteenth over the longest fits; the longest does, at these holes."""
    length = inches(longest)

    longer = range(length + SIXTEENTH, inches(size) // count + 1, SIXTEENTH)

    assert starts(profile, size, length, count)[holes] == first
    assert ((length - (holes - 1) * inches(profile.pitch)) / 2) == inches(e)
    assert not any(starts(profile, size, one, count) for one in longer)


@pytest.mark.parametrize(
    ("count", "fitting", "not_fitting"),
    [(1, ("135/2", "141/2", "72"), ("1081/16", "563/8")), (2, ("287/8",), ("505/16",))],
)
def test_a_shorter_piece_may_not_fit_where_a_longer_does(
    count: int, fitting: tuple[str, ...], not_fitting: tuple[str, ...]
) -> None:
    """A 72 in kit gives 67 1/2 and 70 1/2 but not 67 9/16; two of 35 7/8, not of 31 9/16."""
    fits = [bool(starts(A, "72", inches(size), count)) for size in fitting]
    fails = [bool(starts(A, "72", inches(size), count)) for size in not_fitting]

    assert all(fits)
    assert not any(fails)


def test_lattice_agrees_with_every_raw_position() -> None:
    """Three hundred random sets of one to three pieces on kits with trims and odd offcuts."""
    dice = Random(41)
    seen = []
    for _ in range(300):
        profile = dice.choice([A, B, C])
        stock = dice.choice(
            [
                *kits(profile, trim=dice.choice([0, inches("1/4")])),
                offcut(
                    profile,
                    name="rack",
                    length=dice.randrange(26 * 16, 110 * 16) * SIXTEENTH,
                    first_hole=dice.randrange(0, 80) * SIXTEENTH,
                ),
            ]
        )
        long = kit(profile, "240", name="any")
        pieces = some_rails(profile, dice=dice, count=dice.randint(1, 3), sizes=range(18, 60))
        group = groups(pieces=pieces, stock=[stock, long], kerf=KERF)[0]
        stick = group.stock.index(stock)
        kinds = [
            name for one in pieces for name, parts in enumerate(group.parts) if (one,) in parts
        ]
        for order in permutations(range(len(pieces))):
            found = group.lattice.starts(stick=stick, order=tuple(kinds[n] for n in order))
            tried = fits_by_trying(stock, [pieces[n] for n in order])
            seen.append(tried)

            assert (found is not None) == tried

    assert 0.2 < sum(seen) / len(seen) < 0.8


def test_rail_as_long_as_its_kit_needs_no_cut() -> None:
    """A full 72 in rail lies on a clean 72 in kit; a trim of a sixteenth refuses it."""
    full = rail(A, "full", "72")

    clean = fits_by_trying(kit(A, "72"), [full])
    group = groups(pieces=[full], stock=[kit(A, "72"), kit(A, "96")], kerf=KERF)[0]
    trimmed = groups(pieces=[full], stock=[kit(A, "72", trim=SIXTEENTH), kit(A, "96")], kerf=KERF)[
        0
    ]

    assert clean
    assert group.lattice.starts(stick=1, order=(0,)) == (0,)
    assert trimmed.lattice.starts(stick=1, order=(0,)) is None


def test_gap_of_exactly_one_cut_is_enough() -> None:
    """Margins and kerf that fill two pitches to the last unit lose one hole; a unit more, two."""
    pitch = inches(A.pitch)
    end = RailEnd(2 * pitch - KERF - inches(2), 0, 0.0)

    exact = room(right=end, left=RailEnd(inches(2), 0, 0.0), kerf=KERF, plumb=False)
    over = room(right=end, left=RailEnd(inches(2) + 1, 0, 0.0), kerf=KERF, plumb=False)

    assert -(-exact // pitch) == 2
    assert -(-over // pitch) == 3


def test_mitres_keep_both_long_points_free() -> None:
    """Two mitred level ends need both reaches and the slanted cut; 1/8 in at 45 is 0.177 in."""
    end = RailEnd(inches(2), inches("3/4"), 45.0)

    needs = room(right=end, left=end, kerf=KERF, plumb=False)

    assert needs / inches(1) == pytest.approx(2 * 2 + 2 * 0.75 + 0.1768, abs=0.0001)


def test_plumb_cuts_of_one_slope_lie_in_each_other() -> None:
    """At one saw setting only the cut is lost; at two, the larger reach as well."""
    steep, flat = RailEnd(inches(2), inches(2), 37.0), RailEnd(inches(2), inches(1), 30.0)

    alike = room(right=steep, left=steep, kerf=KERF, plumb=True)
    mixed = room(right=steep, left=flat, kerf=KERF, plumb=True)

    assert alike == 2 * inches(2) + along(kerf=KERF, deg=37)
    assert mixed == alike + inches(2)


@pytest.mark.parametrize("deg", [90.0, -90.0, 120.0])
def test_saw_cannot_cut_along_the_rail(deg: float) -> None:
    """A setting of 90 degrees and more is refused with its value."""
    with pytest.raises(GeometryError, match=str(deg)):
        along(kerf=KERF, deg=deg)


def test_piece_that_contradicts_itself_is_refused() -> None:
    """Margins must add up with the holes, and stay under the pitch."""
    good = rail(A, "P", "36")
    longer = good.model_copy(update={"length": good.length + 1})
    wide = piece("W", holes=3, left=inches(A.pitch), right=inches(2), pitch=inches(A.pitch))

    with pytest.raises(GeometryError, match="margins and holes give"):
        check_piece(longer, pitch=inches(A.pitch))
    with pytest.raises(GeometryError, match="between 0 and the pitch"):
        check_piece(wide, pitch=inches(A.pitch))
