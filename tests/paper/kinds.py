"""One sheet of each kind, made from fixed records, for the pictures kept of them.

Nothing here comes from a planned job: a better layout or another order of work changes no
picture, a change of how a block or a drawing looks changes those that show it.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from random import Random

from schemas.drawings import Drawing
from schemas.pages import Fact, Facts, Figure, Prose, Row, Sheet, Table, Ticket, Tickets
from services.drawings.corner_detail import corner_details
from services.drawings.level_elevation import level_elevation
from services.drawings.post_faces import post_faces
from services.drawings.running_strip import running_strips
from services.drawings.site_plan import key_plan
from services.drawings.stair_elevation import stair_drawings
from services.drawings.stock_bars import plain_bars, stock_bars
from services.paper.book import Part, set_book
from tests import builders
from tests.paper import sample_book
from tests.unit.services.drawings import made_records as made

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
    }


def sheets() -> Iterable[Sheet]:
    """Text sheets first, then drawings."""
    yield sample_book.job_card()
    yield Sheet(key="cut-list", title="Cut list", place="By saw", blocks=(sample_book.cut_list(),))
    yield sample_book.steps()
    yield _tickets()
    yield _measured()
    yield from _drawn()


def _tickets() -> Sheet:
    ticket = Ticket(
        head="J-2041 rev 2", piece="A1-A2 top rail", cut="84 3/4",
        lines=("left end to first hole 1 7/8; holes face down", "saw 0°, 0°; bar 2, its hole 1"),
        end="← left end",
    )  # fmt: skip
    return Sheet(
        key="cut-tickets",
        title="Cut tickets",
        place="Cut apart",
        blocks=(Tickets(tickets=(ticket,) * 5),),
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
    yield _sheet("strip", strips[0])
    yield _sheet("posts", *(post_faces(group=g, job=job) for g in bays.shared_posts[:1]))
    yield _sheet("bay", level_elevation(group=bays.level[:1], job=job, layout=layout))
    yield _sheet("corner", *corners[:1])
    yield _sheet("stair", stair)
    yield _sheet("stair-rail", plumb, bench)
    yield _sheet("stair-full-size", *template)
    yield _sheet("bars", *stock_bars(cuts=cuts, step=job.step, metric=False)[:1])
    yield _sheet("sticks", *plain_bars(cuts=cuts, step=job.step, metric=False)[:1])


def _sheet(key: str, *drawings: Drawing) -> Sheet:
    return Sheet(
        key=key,
        title=key,
        place="Drawing",
        blocks=tuple(Figure(drawing=drawing) for drawing in drawings),
    )
