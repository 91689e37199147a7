"""Every kind of sheet looks as it did when somebody last looked at it.

Regression: the pictures are our own, kept by ``python -m tests.paper.goldens``. At 50 dpi a
stroke or a letter that moves by half a millimetre changes more than the tolerance.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PIL import Image, ImageChops

from schemas.bundle import Stop
from schemas.pages import Sheet
from services.bundle import day_sheets, supplement_sheet
from services.pages import shop_sheets
from services.pipeline import make_plan, make_sheets, make_shop
from tests import builders, planned
from tests.paper.goldens.__main__ import DPI, HERE
from tests.paper.kinds import pages
from tests.paper.readers import picture
from worker.splitting import days_of

UNPLANNED = frozenset({"held", "refused"})
"""The demo's jobs without a plan."""
UNLIKE = 64
"""A pixel is another one when its grey is off by more than this, of 255."""
FEW = 12
"""So many pixels may be: another version of the renderer, never another place."""


def unlike(one: Image.Image, other: Image.Image) -> int:
    """How many pixels of two pictures differ; all of them where the sizes do."""
    if one.size != other.size:
        return max(one.width * one.height, other.width * other.height)
    return sum(ImageChops.difference(one, other).histogram()[UNLIKE + 1 :])


@pytest.mark.parametrize("kind", list(pages()))
def test_kind_of_sheet_looks_as_it_was_kept(
    kind: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """A failure leaves what was made, what was expected and where they differ."""
    made = picture(pages()[kind], 0, DPI)
    kept = Image.open(HERE / f"{kind}.png").convert("L")

    if unlike(made, kept) > FEW:
        seen = _leave(kind, made, kept, tmp_path_factory.mktemp(f"looks-{kind}", numbered=False))
        pytest.fail(f"{kind}: {unlike(made, kept)} pixels differ; look at {seen}")


def test_no_picture_is_kept_of_a_kind_that_is_no_more() -> None:
    """Each picture has its kind."""
    assert {path.stem for path in HERE.glob("*.png")} == set(pages())


def test_every_kind_that_is_printed_has_its_picture() -> None:
    """Packs of all demo jobs, a split job's days, a crew's day, the shop's sheets."""
    printed = {_kind(sheet.key) for sheet in _printed()}

    assert len(printed) > len({"job-card", "bay", "stair"})
    assert printed - set(pages()) == set()


def _kind(key: str) -> str:
    """A sheet's kind: bays and stairs are named after what they show."""
    head = key.split("-", maxsplit=1)[0]
    return head if head in {"bay", "stair"} else key


def _printed() -> Iterator[Sheet]:
    """Everything that the program sets on paper for a crew or the shop."""
    day, books = date(2026, 12, 9), builders.library()
    plans = {name: planned.plan(name) for name in builders.JOBS if name not in UNPLANNED}
    for plan in plans.values():
        yield from make_sheets(plan, replaces="rev 0", before=plan)
    for tree in days_of(builders.document("l-deck"), day=day, crew="wren"):
        half = make_plan(builders.submission(tree), library=books).plan
        assert half is not None
        yield from make_sheets(half)
    stops = (Stop(plan=plans["l-deck"], code="7K2M-Q9DX", replaces="nothing"),)
    crew = books.company.crews[0]
    yield from day_sheets(company=books.company, crew=crew, day=day, stops=stops, missing=())
    yield supplement_sheet(crew=crew, day=day, of="4R0W-HJMS", changes=(), stops=stops)
    for shop in make_shop(tuple(plans.values()), pool="night", day=day, library=books, issued="x"):
        yield from shop_sheets(shop.plan, drawings=(), company=books.company)


def test_comparison_sees_a_planted_fault() -> None:
    """A word a pixel further down, and a line that is missing, are more than the tolerance."""
    kept = Image.open(HERE / "bay.png").convert("L")
    moved = kept.copy()
    moved.paste(kept.crop((60, 150, 300, 200)), (60, 151))
    bare = kept.copy()
    bare.paste(255, (60, 200, 360, 240))

    assert unlike(kept, kept) == 0
    assert unlike(moved, kept) > FEW
    assert unlike(bare, kept) > FEW


def _leave(kind: str, made: Image.Image, kept: Image.Image, folder: Path) -> Path:
    made.save(folder / f"{kind}-actual.png")
    kept.save(folder / f"{kind}-expected.png")
    if made.size == kept.size:
        ImageChops.difference(made, kept).save(folder / f"{kind}-difference.png")
    return folder
