"""Metal against preservative-treated wood: what a line of the takeoff is to be minded for.

Source:
    International Residential Code 2018 and 2021, R317.3, from memory: fasteners in
    preservative-treated wood are hot-dip galvanized, stainless, silicon bronze or copper.
    Common practice: bare aluminium is kept off it by a liner, a shim or sealant.
"""

from __future__ import annotations

from typing import Final

from schemas.company import Finish
from schemas.job import Job
from schemas.layout import Layout
from schemas.takeoff import TakeoffLine
from schemas.wording import say

FIT: Final[frozenset[Finish | None]] = frozenset(
    {"hot-dip-galvanized", "stainless", "silicon-bronze", "copper", "not-metal"}
)
"""Finishes that may touch treated wood."""

BARE_ALUMINIUM: Final = say("aluminium: liner, shim or sealant between it and treated wood")
UNFIT: Final = say("not recorded as hot-dip galvanized or stainless: not into treated wood")


def minded(line: TakeoffLine, job: Job, layout: Layout) -> TakeoffLine:
    """The line with its corrosion note, where its part touches treated wood unfit for it."""
    note = corrosion_note(line.item, job, layout)
    return line.model_copy(update={"note": note}) if note else line


def corrosion_note(key: str, job: Job, layout: Layout) -> str | None:
    """What to mind with a part, or nothing."""
    if not job.post.treated or key not in in_the_wood(job, layout):
        return None
    finish = next((item.finish for item in job.company.price_book if item.key == key), None)
    if finish in FIT:
        return None
    return BARE_ALUMINIUM if finish == "aluminium" else UNFIT


def in_the_wood(job: Job, layout: Layout) -> frozenset[str]:
    """Stock keys of what meets treated wood: the details' parts, and screws into posts."""
    rails = filter(None, (job.system.level, job.stair_system.stair))
    brackets = [b for rail in rails for b in (rail.bracket, rail.angle_bracket) if b]
    details = [job.fixing_of(post) for post in layout.posts if not post.in_place]
    parts = {key for detail in details if detail for key, _ in detail.parts}
    return frozenset((*parts, *(bracket.post_screw for bracket in brackets)))
