"""What is bought when the shop cuts ahead: its kits, not those that stay in the yard."""

from __future__ import annotations

from collections import Counter
from datetime import date

import pytest

from schemas.order import OrderTotals
from schemas.shop import ShopPlan
from services.exports import read_load, read_shop, total_orders
from services.pipeline import purchase
from tests.acceptance.test_shop_cutting import planned, pooling, shop
from tests.builders import company

DAY, ISSUED = date(2026, 12, 3), date(2026, 12, 2)
JOBS = ("P-1", "P-2", "P-3")


def cutting(*, saved: int) -> ShopPlan:
    """The shop's plan for three porches; with bars saved, as if they had gone onto the others.

    The demo's porches are all alike, so that cutting them together saves nothing by itself.
    """
    made = shop(*JOBS).plan
    cuts = made.cuts.model_copy(update={"bars": made.cuts.bars[saved:]})
    return made.model_copy(update={"cuts": cuts})


def totals(*shops: ShopPlan) -> OrderTotals:
    """Three porches' order, with these cuttings for them."""
    loads = [read_load(planned(job).model_dump_json().encode()) for job in JOBS]
    return total_orders(loads, library=pooling(), needed_by=DAY, issued=ISSUED, shops=shops)


def packages(order: OrderTotals) -> Counter[tuple[str, str | None]]:
    """Packages by part."""
    return Counter({(line.item, line.variant): line.packages for line in order.lines})


def boxes(counts: Counter[str], part: str) -> int:
    """How many of a part are boxed with so many kits."""
    kits = {kit.key: kit for kit in planned("P-1").job.system.level.kits}
    return sum(count * int(getattr(kits[key], part)) for key, count in counts.items())


@pytest.mark.parametrize("saved", [0, 1, 3])
def test_the_shop_s_kits_are_bought_and_the_jobs_own_are_not(saved: int) -> None:
    """All rails of these porches come ready cut: the kits are those on the shop's bars."""
    ahead = cutting(saved=saved)
    on_bars = Counter(bar.stock.kit for bar in ahead.cuts.bars)

    bought = packages(totals(ahead))

    kits = Counter({key: n for (key, _), n in bought.items() if key.startswith("cove-level-")})
    assert kits == on_bars
    assert {variant for key, variant in bought if key in on_bars} == {"chalk, height 36"}


@pytest.mark.parametrize("saved", [0, 1, 3])
@pytest.mark.parametrize(
    ("key", "variant", "part"),
    [
        ("cove-baluster", "chalk, height 36", "balusters"),
        ("cove-bracket-line", "chalk", "brackets"),
        ("cove-foot-block", "chalk", "foot_blocks"),
    ],
)
def test_what_the_shop_s_boxes_lack_for_the_bags_is_bought_loose(
    key: str, variant: str, part: str, saved: int
) -> None:
    """The bags hold what the own kits' boxes would have; the load-outs stay as they are."""
    ahead = cutting(saved=saved)
    own: Counter[str] = Counter()
    for job in ahead.jobs:
        own.update(dict(job.comes.kits))
    opened = Counter(str(bar.stock.kit) for bar in ahead.cuts.bars)
    package = {item.key: item.package for item in company().price_book}[key]

    lacks = max(0, boxes(own, part) - boxes(opened, part))

    more = packages(totals(ahead))[key, variant] - packages(totals())[key, variant]
    assert more == -(-lacks // package)
    assert bool(lacks) == bool(saved)


def test_each_line_says_what_the_shop_changes() -> None:
    """Packages are the sum over jobs and shop; without a shop nothing is changed."""
    with_shop, without = totals(cutting(saved=1)), totals()

    for line in with_shop.lines:
        assert line.packages == sum(count for _, count in line.jobs)
        assert line.cents == line.packages * line.each
    saved = [x for x in with_shop.lines if ("shop-night", -1) in x.jobs]
    assert len(saved) == 1
    assert saved[0].item.startswith("cove-level-")
    assert not any("shop" in line.for_jobs for line in without.lines)


def test_a_night_s_files_are_made_from_stored_documents() -> None:
    """Plans and the shop's plan as they lie in the store."""
    ahead = cutting(saved=1)
    stored = ahead.model_dump_json().encode()

    made = purchase(
        (planned(job).model_dump_json().encode() for job in JOBS),
        library=pooling(), day=DAY, issued=ISSUED, shops=[stored],
    )  # fmt: skip

    assert b"shop-night x -1" in made["order-totals.csv"]
    assert read_shop(stored).cuts.bars == ahead.cuts.bars
