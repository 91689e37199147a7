"""One layout of each stretch and the stock for all, against every choice cut by itself."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from itertools import product
from random import Random

import pytest

from schemas.cut_plan import Piece
from services.cut_plan import layouts, plan_cuts
from services.cut_plan.lattice import Lattice
from services.cut_plan.layouts import Names, least_choice
from services.cut_plan.reading import groups
from tests.rails_by_hand import KEEP, KERF, A, B, C, Profile, kits, some_rails


@dataclass(frozen=True)
class Drawn:
    """Rails, some there in any case, and three stretches of two or three layouts."""

    profile: Profile
    rails: tuple[Piece, ...]
    """One of each kind of the lattice."""
    lattice: Lattice
    fixed: Names
    choices: list[list[Names]]

    def combinations(self) -> dict[tuple[int, ...], int]:
        """The price of each choice, cut by itself."""
        prices = {}
        for numbers in product(*(range(len(some)) for some in self.choices)):
            chosen = (some[n] for some, n in zip(self.choices, numbers, strict=True))
            rails = [
                self.rails[kind] for kind in (*self.fixed, *(k for one in chosen for k in one))
            ]
            named = [one.model_copy(update={"id": f"P{n}"}) for n, one in enumerate(rails)]
            stock = kits(self.profile)
            prices[numbers] = plan_cuts(pieces=named, stock=stock, kerf=KERF, keep=KEEP).cents
        return prices


def drawn(seed: int) -> Drawn:
    """Some of either, by lot."""
    dice = Random(seed)
    profile = (A, B, C)[seed % 3]
    pieces = some_rails(profile, dice=dice, count=9, sizes=range(20, 60))
    (group,) = groups(pieces=pieces, stock=kits(profile), kerf=KERF)
    kinds = range(len(group.lattice.kinds))
    fixed = tuple(dice.choices(kinds, k=dice.randint(0, 2)))
    choices = [
        [tuple(dice.choices(kinds, k=dice.randint(1, 3))) for _ in range(dice.randint(2, 3))]
        for _ in range(3)
    ]
    most = Counter(fixed)
    for some in choices:
        most.update({kind: max(rails.count(kind) for rails in some) for kind in kinds})
    wanted = tuple(
        replace(kind, wanted=max(1, most[name])) for name, kind in enumerate(group.lattice.kinds)
    )
    return Drawn(
        profile=profile,
        rails=tuple(parts[0][0] for parts in group.parts),
        lattice=replace(group.lattice, kinds=wanted),
        fixed=fixed,
        choices=choices,
    )


@pytest.mark.parametrize("seed", range(24))
def test_no_choice_is_cheaper_than_the_one_found(seed: int) -> None:
    """All combinations, each cut by itself: the least is found, proven, and is the one named."""
    job = drawn(seed)

    least = least_choice(job.lattice, fixed=job.fixed, choices=job.choices)

    prices = job.combinations()
    assert least.cents == least.bound == min(prices.values())
    assert prices[least.chosen] == least.cents


@pytest.mark.parametrize("seed", range(24))
def test_too_many_sets_still_give_a_bound(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """No choice is looked for; what worths prove is under every choice, and not far."""
    job = drawn(seed)
    monkeypatch.setattr(layouts, "MOST_PATTERNS", 1)

    least = least_choice(job.lattice, fixed=job.fixed, choices=job.choices)

    prices = job.combinations()
    assert least.cents is None
    assert min(prices.values()) / 2 < least.bound <= min(prices.values())
