"""Lines of the takeoff: equal parts joined, boxed ones taken off, spares added, packed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from math import ceil

from schemas.company import Company, StockItem
from schemas.errors import UnknownThing
from schemas.takeoff import TakeoffLine
from schemas.wording import row, say, shipped
from services.takeoff.counted import Boxed, Count
from services.takeoff.spares import spare_for


def takeoff_lines(
    counts: Iterable[Count], *, boxed: Iterable[Boxed], company: Company
) -> Iterator[TakeoffLine]:
    """Whole packages of every part that the kits do not bring enough of.

    Args:
        counts: All that is needed, boxed ones too.
        boxed: What the kits bring; whichever bay needs the part, level or stair, may have it.
        company: Spare rules and price book.

    Raises:
        UnknownThing: A part that the price book does not list.
    """
    together: dict[tuple[str, str | None], list[Count]] = {}
    for count in counts:
        together.setdefault((count.key, count.variant), []).append(count)
    brought: Counter[tuple[str, str | None]] = Counter()
    for box in boxed:
        brought[box.key, box.variant] += box.count
    items = {item.key: item for item in company.price_book}
    for part, same in together.items():
        if part[0] not in items:
            msg = f"the price book has no {part[0]}, which {same[0].places[0]} needs; add it there"
            raise UnknownThing(msg)
        line = _line(same, items[part[0]], company, boxed=brought[part])
        if line.packages:
            yield line


def _line(same: list[Count], item: StockItem, company: Company, *, boxed: int) -> TakeoffLine:
    total = sum(count.needed for count in same)
    spare = _spares(same, company)
    needed = max(0, total - boxed)
    loose = max(0, total + spare - boxed)
    packages = ceil(loose / item.package)
    whys = dict.fromkeys(count.why for count in same if count.needed or not total)
    return TakeoffLine(
        group=same[0].group,
        item=item.key,
        says=shipped(item.says),
        variant=same[0].variant,
        needed=needed,
        spare=loose - needed,
        package=item.package,
        packages=packages,
        grams=packages * item.package * item.grams,
        cents=packages * item.cents,
        load=item.load,
        why=row((*whys, *([say("{boxed} come in the kits", boxed=boxed)] if boxed else [])), "; "),
        places=tuple(dict.fromkeys(place for count in same for place in count.places)),
        note=next((count.note for count in same if count.note), None),
    )


def _spares(same: list[Count], company: Company) -> int:
    """By kind: parts of one kind are spared together, not once for each reason."""
    by_kind: dict[str, list[Count]] = {}
    for count in same:
        by_kind.setdefault(str(count.spare), []).append(count)
    return sum(
        spare_for(
            alike[0].spare,
            sum(c.needed if c.spared_by is None else c.spared_by for c in alike),
            company.spares,
            a_set=max(c.a_set for c in alike),
        )
        for alike in by_kind.values()
    )
