"""One sheet of each kind, made from fixed records, for the pictures kept of them.

Nothing here comes from a planned job: a better layout or another order of work changes no
picture, a change of how a block or a drawing looks changes those that show it.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from functools import cache
from random import Random

from schemas.bundle import LateChange, Missing, Stop
from schemas.days import DayShare
from schemas.drawings import Drawing
from schemas.lengths import INCH
from schemas.pages import Fact, Facts, Figure, Prose, Row, Sheet, Table, Ticket, Tickets
from schemas.plan import Plan
from schemas.shop import ShopJob, ShopPlan
from schemas.site import JobPart
from schemas.takeoff import PreCut, ReadyRail
from services.bundle import day_sheets, supplement_sheet
from services.drawings import draw
from services.drawings.corner_detail import corner_details
from services.drawings.level_elevation import level_elevation
from services.drawings.post_faces import post_faces
from services.drawings.running_strip import running_strips
from services.drawings.site_plan import key_plan
from services.drawings.stair_elevation import stair_drawings
from services.drawings.stock_bars import plain_bars, stock_bars
from services.pages import pack_sheets, shop_sheets
from services.pages.hand_over import hand_over
from services.paper.book import Part, set_book
from services.paper.label_stock import Grid, set_labels
from tests import builders
from tests.paper import sample_book
from tests.unit.services.drawings import made_records as made
from tests.unit.services.pages.made_plan import made_plan

TEXTS = frozenset(
    {"changes", "load-out", "cautions", "findings", "as-built", "homeowner", "open-edge"}
)
"""Sheets that a small plan shows; the others are made block by block."""
DAY = date(2026, 12, 3)
_SEED = 3
"""A site with a corner off square, a stair, two legs of several bays."""


@cache
def pages() -> dict[str, bytes]:
    """Each kind's first page as a file of its own, by name."""
    return {
        sheet.key: set_book(
            parts=[Part(imprint=sample_book.imprint(), sheets=(sheet,))], size="letter"
        ).pdf
        for sheet in sheets()
    } | {"label-stock": _labels()}


def _labels() -> bytes:
    """Tickets on label stock of 4 x 2 in."""
    grid = Grid(
        size="letter", columns=2, rows=5, left=13.5, top=36, wide=288, high=144, across=297,
        down=144,
    )  # fmt: skip
    (tickets,) = _tickets().blocks
    assert isinstance(tickets, Tickets)
    return set_labels(tickets.tickets, grid=grid, imprint=sample_book.imprint()).pdf


def sheets() -> Iterable[Sheet]:
    """Text sheets first, then drawings, then what is made of a small whole plan."""
    yield sample_book.job_card()
    yield Sheet(key="cut-list", title="Cut list", place="By saw", blocks=(sample_book.cut_list(),))
    yield sample_book.steps()
    yield _tickets()
    yield _measured()
    yield from _drawn()
    yield from _of_a_plan()
    yield from _of_a_day()
    yield from _of_a_shop()


def _tickets() -> Sheet:
    ticket = Ticket(
        head="J-2041 rev 2", piece="A1-A2 top rail", cut="84 3/4",
        lines=("left end to first hole 1 7/8; holes face down", "saw 0°, 0°; bar 2, its hole 1"),
        end="← left end",
    )  # fmt: skip
    changed = ticket.model_copy(update={"changed": True})
    return Sheet(
        key="cut-tickets",
        title="Cut tickets",
        place="Cut apart",
        blocks=(Tickets(tickets=(changed, *(ticket,) * 4)),),
    )


def _measured() -> Sheet:
    """A dense table in sets, with what has changed barred, beside big and small facts."""
    columns = sample_book.cut_list().columns
    head = (
        columns[3].model_copy(update={"head": "Found", "rule": True}),
        columns[3].model_copy(update={"head": "Cut", "bold": True}),
        columns[3].model_copy(update={"head": "Margin"}),
    )
    rows = tuple(
        Row(cells=(f"{54 + i} 7/8", f"{54 + i} 1/2", "2 5/16") * 3, changed=i == 2)
        for i in range(6)
    )
    facts = (
        Fact(label="Bottom rail, cut", value="54 1/2", big=True, changed=True),
        Fact(label="Balusters", value="12", big=True),
    )
    return Sheet(
        key="as-measured",
        title="Bay A1-A2",
        place="Inches. 2 off",
        blocks=(
            Facts(facts=facts, columns=4),
            Prose(text="As measured. Find the opening, read the cut.", role="strong"),
            Table(columns=head * 3, rows=rows, size="dense"),
        ),
    )


def _drawn() -> Iterable[Sheet]:
    rng, job = Random(_SEED), builders.job("l-deck")
    layout = made.layout_of(rng, job=job)
    job = job.model_copy(update={"stairs": (made.stair(rng, job=job),)})
    bays = made.bays_of(rng, layout, job=job)
    cuts = made.cuts_of(rng, bays, job=job)
    stair, bench, plumb, *template = stair_drawings(group=bays.stair[:1], job=job, bays=bays)
    strips = running_strips(layout=layout, leg=layout.legs[0], step=job.step, metric=False)
    corners = corner_details(job=job, layout=layout)
    yield _sheet("key-plan", key_plan(job=job, layout=layout))
    yield _sheet("strips", strips[0])
    yield _sheet("post-schedule", *(post_faces(group=g, job=job) for g in bays.shared_posts[:1]))
    yield _sheet("bay", level_elevation(group=bays.level[:1], job=job, layout=layout))
    yield _sheet("corner", *corners[:1])
    yield _sheet("stair", stair)
    yield _sheet("stair-rail", plumb, bench)
    yield _sheet("stair-full-size", *template)
    yield _sheet("bars", *stock_bars(cuts=cuts, step=job.step, metric=False)[:1])
    yield _sheet("sticks", *plain_bars(cuts=cuts, step=job.step, metric=False)[:1])


def _of_a_plan() -> Iterable[Sheet]:
    """Sheets of text, from records built by hand; the first bay's rail was 1/8 in longer."""
    plan = made_plan()
    first, *rest = plan.bays.level
    longer = first.model_copy(update={"bottom_cut": first.bottom_cut + INCH // 8})
    bays = plan.bays.model_copy(update={"level": (longer, *rest)})
    before = _sheets_of(plan.model_copy(update={"bays": bays}))
    replaces = "rev 1, code 4R0W-HJMS"
    for sheet in pack_sheets(plan, drawings=draw(plan), replaces=replaces, before=before):
        if sheet.key in TEXTS:
            yield sheet
    part = JobPart(
        of="P-2041", number=1, work="posts", other="P-2041-2", crew="wren",
        install_date=DAY.replace(day=4), legs=("A",),
    )  # fmt: skip
    stands = plan.model_copy(update={"job": plan.job.model_copy(update={"part": part})})
    yield hand_over(stands, DayShare(work="posts", shared=(), stays=(("Saw", 1),)))


def _sheets_of(plan: Plan) -> tuple[Sheet, ...]:
    return pack_sheets(plan, drawings=draw(plan), replaces="nothing")


def _of_a_day() -> Iterable[Sheet]:
    """What lies on top of two packs, and what brings it up to date."""
    company = builders.company()
    crew = company.crews[0]
    stops = (
        Stop(plan=made_plan(), code="7K2M-Q9DX", replaces="nothing"),
        Stop(plan=made_plan("porch", 3), code="0ABC-DEFG", replaces="rev 1, code 1111-2222"),
    )
    missing = (Missing(job="P-9", revision=2, why="held: rise.S1 is not answered"),)
    yield from day_sheets(company=company, crew=crew, day=DAY, stops=stops, missing=missing)
    late = LateChange(job="P-2042", revision=2, destroy="1111-2222", pack="0ABC-DEFG")
    yield supplement_sheet(crew=crew, day=DAY, of="J7RC-9GBN", changes=(late,), stops=stops)


def _of_a_shop() -> Iterable[Sheet]:
    """What the shop cuts ahead, with where it goes."""
    plan = made_plan()
    step, cuts = plan.job.step, plan.cuts.model_copy(update={"plain": ()})
    rails = (ReadyRail(ticket="P-2041-1-01", bay="A1-A2", rail="top"),)
    comes = PreCut(rails=rails, kits=(("cove-level-72", 1),), bag=(("cove-foot-block", 2),))
    shop = ShopPlan(
        company="Example Deckworks", day=DAY.isoformat(), pool="heron", step=step, cuts=cuts,
        jobs=(ShopJob(job="P-2041", revision=1, crew="heron", comes=comes),),
    )  # fmt: skip
    bars = stock_bars(cuts=cuts, step=step, metric=False)
    yield from shop_sheets(shop, drawings=bars, company=builders.company())


def _sheet(key: str, *drawings: Drawing) -> Sheet:
    return Sheet(
        key=key,
        title=key,
        place="Drawing",
        blocks=tuple(Figure(drawing=drawing) for drawing in drawings),
    )
