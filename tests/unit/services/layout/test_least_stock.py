"""What the layout says of its stock: the cheapest choice of those tried, and an honest bound.

Against every combination of the layouts tried, each priced by the cut plan's own proof.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product

import pytest

from schemas.job import Job
from schemas.layout import LaidStock, Layout
from services.bays import asks_for
from services.layout import Asks, Opening, lay_out
from services.layout.asks import Least, LeastStockAsk
from services.pipeline import least_stock_of, stock_of
from services.recheck import recheck
from tests.planned import plan
from tests.unit.services.layout.decks import WALL, job_of, leg, line

Layouts = tuple[tuple[Opening, ...], ...]


def deck(*lengths: str) -> Job:
    """Straight legs between walls, each a line of its own."""
    return job_of(*(line(leg("ABCD"[n], at), start=WALL, end=WALL) for n, at in enumerate(lengths)))


@dataclass
class Heard:
    """The question for the least stock, and what was asked."""

    ask: LeastStockAsk
    fixed: tuple[Opening, ...] = ()
    choices: tuple[Layouts, ...] = field(default=())

    def __call__(self, fixed: tuple[Opening, ...], choices: tuple[Layouts, ...]) -> Least | None:
        """Remember it and answer."""
        self.fixed, self.choices = fixed, choices
        return self.ask(fixed, choices)


def heard(job: Job) -> tuple[Layout, Heard]:
    """A job laid out, and what was asked on the way."""
    works = asks_for(job)
    ask = Heard(least_stock_of(job, works))
    out = lay_out(
        job,
        asks=Asks(
            bay_works=works.bay_works,
            longest_clear=works.longest_clear,
            nearest_legal=works.nearest_legal,
            stair_works=works.stair_works,
            stock_bill=stock_of(job, works),
            least_stock=ask,
        ),
    )
    assert out.layout is not None
    return out.layout, ask


def priced(job: Job, openings: tuple[Opening, ...]) -> int:
    """The proven price of openings that are cut together."""
    bill = stock_of(job, asks_for(job))(openings, proven=True)
    assert bill is not None
    return bill.cents


def stood(layout: Layout) -> tuple[Opening, ...]:
    """The level bays of a layout as the stock is asked about them."""
    return tuple(
        Opening(clear=bay.clear, left=bay.left.bracket, right=bay.right.bracket)
        for bay in layout.bays
    )


DECKS = [
    ("106", "132"), ("125", "117"), ("168", "179", "30"), ("198", "199", "55"), ("199", "131"),
    ("115", "194", "28"), ("151",), ("40", "60"),
]  # fmt: skip


@pytest.mark.parametrize("lengths", DECKS)
def test_the_bound_is_the_least_of_all_combinations(lengths: tuple[str, ...]) -> None:
    """Every choice of one layout a stretch is priced by itself; the bound is the least of them."""
    job = deck(*lengths)

    layout, asked = heard(job)

    prices = [
        priced(job, (*asked.fixed, *(one for rails in chosen for one in rails)))
        for chosen in product(*asked.choices)
    ]
    assert layout.stock is not None
    assert layout.stock.bound_cents == min(prices)
    assert layout.stock.layouts == max(1, sum(len(some) for some in asked.choices))


@pytest.mark.parametrize("lengths", DECKS)
def test_the_price_stated_is_that_of_the_bays_as_they_stand(lengths: tuple[str, ...]) -> None:
    """And the gap is how far it stands over the bound."""
    job = deck(*lengths)

    layout, _ = heard(job)

    assert layout.stock is not None
    assert layout.stock.cents == priced(job, stood(layout))
    assert layout.stock.bound_cents <= layout.stock.cents
    gap = layout.stock.cents - layout.stock.bound_cents
    assert layout.stock.gap == pytest.approx(gap / layout.stock.cents)


@pytest.mark.parametrize(
    ("lengths", "alone", "together"),
    [(("106", "132"), 34_100, 33_000), (("168", "179", "30"), 52_200, 49_100)],
)
def test_stretches_chosen_together_are_cheaper_than_one_after_the_other(
    lengths: tuple[str, ...], alone: int, together: int
) -> None:
    """Two stretches of which neither saves by itself; regression, prices of the demo's book."""
    job = deck(*lengths)
    works = asks_for(job)
    layout, asked = heard(job)
    out = lay_out(
        job,
        asks=Asks(
            bay_works=works.bay_works,
            longest_clear=works.longest_clear,
            nearest_legal=works.nearest_legal,
            stock_bill=stock_of(job, works),
        ),
    )
    assert out.layout is not None

    assert priced(job, stood(out.layout)) == alone
    assert priced(job, stood(layout)) == together
    assert any("instead of" in leg.reason for leg in layout.legs)
    assert out.layout.stock is None
    assert asked.choices


def test_what_hangs_on_a_hair_is_left_and_the_gap_is_said() -> None:
    """A cheaper choice whose posts must stand to less than 1/8 in is not built."""
    layout, _ = heard(deck("199", "131"))

    assert layout.stock == LaidStock(cents=44_000, bound_cents=42_900, layouts=10)


@pytest.mark.parametrize(
    "name", ["l-deck", "porch", "corner-45", "wraparound", "two-stair-sides", "metric"]
)
def test_what_is_laid_out_costs_what_is_cut(name: str) -> None:
    """The demo's jobs: the layout's price is that of the cut plan's level kits, proven least."""
    whole = plan(name)
    level = [bar.stock.net_cents for bar in whole.cuts.bars if bar.stock.orientation == "level"]

    assert whole.layout.stock is not None
    assert whole.layout.stock.cents == sum(level)
    assert whole.layout.stock.gap == 0


def test_a_bound_over_what_is_cut_is_found() -> None:
    """The second measurement adds up the level kits."""
    whole = plan("l-deck")
    said = whole.layout.stock
    assert said is not None
    over = said.model_copy(update={"cents": said.cents + 100, "bound_cents": said.cents + 100})
    spoilt = whole.model_copy(update={"layout": whole.layout.model_copy(update={"stock": over})})

    assert recheck(whole) == ()
    assert any("under its bound" in says for says in recheck(spoilt))
