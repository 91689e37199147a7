"""A late change on paper: which pack goes, which comes, and the order of the day."""

from __future__ import annotations

from schemas.bundle import BundleFile, LateChange, Stop
from schemas.pages import Table
from services.bundle.supplement import supplement_sheet
from services.pipeline import make_pack, make_supplement
from tests import builders
from tests.paper.readers import texts
from tests.planned import plan

FIRST = Stop(plan=plan("l-deck"), code="AAAA-0001", replaces="nothing")
SECOND = Stop(plan=plan("porch"), code="AAAA-0002", replaces="ZZZZ-0002")
DAY = FIRST.plan.job.install_date
CHANGES = (
    LateChange(job="P-2042", revision=2, destroy="ZZZZ-0002", pack="AAAA-0002"),
    LateChange(job="P-2044", revision=1, pack="AAAA-0009"),
    LateChange(job="P-2043", revision=1, destroy="ZZZZ-0003", why="withdrawn"),
    LateChange(job="P-2046", revision=1, why="held: rise.S1"),
)


def supplement(*changes: LateChange) -> BundleFile:
    """A supplement to a day with two stops."""
    return make_supplement(
        crew="heron", day=DAY, of="ZZZZ-9999", code="AAAA-9999",
        changes=changes, stops=[FIRST, SECOND], library=builders.library(), issued="2026-12-02",
    )  # fmt: skip


def test_each_change_says_what_to_do_with_the_paper() -> None:
    """Old code, new code, and for a job without a pack the reason."""
    crew = builders.company().crews[0]

    sheet = supplement_sheet(
        crew=crew, day=DAY, of="ZZZZ-9999", changes=CHANGES, stops=[FIRST, SECOND]
    )

    changed, stops = (block for block in sheet.blocks if isinstance(block, Table))
    assert [row.cells[:2] for row in changed.rows] == [
        ("P-2042 rev 2", "Destroy pack ZZZZ-0002. Work from pack AAAA-0002, behind this sheet."),
        ("P-2044 rev 1", "New today. Its pack AAAA-0009 is behind this sheet."),
        ("P-2043 rev 1", "Do not start it. Destroy pack ZZZZ-0003: withdrawn"),
        ("P-2046 rev 1", "Do not start it: held: rise.S1"),
    ]
    assert [row.strong for row in changed.rows] == [False, False, True, True]
    assert [(row.cells[0], row.cells[2]) for row in stops.rows] == [
        ("1", FIRST.code),
        ("2", SECOND.code),
    ]


def test_only_the_packs_that_are_new_are_behind_it() -> None:
    """One sheet and the second stop's pack, under the code of the day sheet that counts now."""
    made = supplement(CHANGES[0])

    pages = texts(made.pdf)
    pack = make_pack(SECOND.plan, issued="2026-12-02", replaces=SECOND.replaces)
    assert made.pages == len(pages) == 1 + pack.pages
    assert made.code == "AAAA-9999"
    assert "LATE CHANGE" in pages[0]
    assert "ZZZZ-9999" in pages[0]
    assert "AAAA-9999" in pages[0]
    assert "Replaces any earlier late change" in pages[0]


def test_it_is_the_same_byte_for_byte() -> None:
    """Made twice, it is one file."""
    assert supplement(*CHANGES) == supplement(*CHANGES)
