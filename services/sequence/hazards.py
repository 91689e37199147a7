"""This site's own hazards, for the first lines that the crew reads."""

from __future__ import annotations

from schemas.bays import Bays
from schemas.job import Job
from schemas.layout import LaidLeg, Layout
from schemas.lengths import FOOT
from schemas.wording import row, say, shipped
from services import tape
from services.sequence.cautions import law_of

MOST = 8
"""More lines are not read."""
_TRIGGER = 6 * FOOT
"""29 CFR 1926.501(b)(1): fall protection in construction from 6 ft."""


def site_hazards(job: Job, layout: Layout, bays: Bays) -> tuple[str, ...]:
    """What the plan shows, then what the measure tech wrote down; eight lines at most."""
    found = _all(job, layout, bays)
    if len(found) <= MOST:
        return found
    more = say("and {more} more: see cautions", more=len(found) - MOST + 1)
    return (*found[: MOST - 1], more)


def further_hazards(job: Job, layout: Layout, bays: Bays) -> tuple[str, ...]:
    """Those for which the job card has no line; they stand on the cautions sheet."""
    found = _all(job, layout, bays)
    return found[MOST - 1 :] if len(found) > MOST else ()


def _all(job: Job, layout: Layout, bays: Bays) -> tuple[str, ...]:
    found = (
        *_edges(job, layout),
        *_paint(job),
        *_lifts(bays),
        *map(shipped, job.site.hazards),
    )
    return tuple(dict.fromkeys(found))


def _edges(job: Job, layout: Layout) -> tuple[str, ...]:
    known = [leg for leg in layout.legs if leg.drop]
    unknown = [leg.name for leg in layout.legs if leg.drop is None]
    lines = []
    if known:
        worst = max(known, key=lambda leg: leg.drop or 0)
        shown = tape.text_with_unit(worst.drop or 0, job.step)
        edge = say("Open edge: drop up to {drop} (leg {leg})", drop=shown, leg=worst.name)
        lines.append(row((edge, *_fall_protection(job, known)), "; "))
    if unknown:
        legs = row(unknown)
        lines.append(say("Drop not measured at leg {legs}: take it for high", legs=legs))
    return tuple(lines)


def _fall_protection(job: Job, legs: list[LaidLeg]) -> tuple[str, ...]:
    """Where it is called for; other laws' heights are not kept here, so every edge asks."""
    law = law_of(job)
    if law == "elsewhere":
        return (say("fall protection as the local safety law says"),)
    over = row([leg.name for leg in legs if (leg.drop or 0) >= _TRIGGER])
    if not over:
        return ()
    if law == "us_metric":
        return (say("1.83 m or more at {legs}: fall protection", legs=over),)
    return (say("6 ft or more at {legs}: fall protection", legs=over),)


def _paint(job: Job) -> tuple[str, ...]:
    if not job.may_hold_lead:
        return ()
    if job.site.year_built:
        return (say("Built {year}: old paint may hold lead", year=job.site.year_built),)
    return (say("Year built not recorded: old paint may hold lead"),)


def _lifts(bays: Bays) -> tuple[str, ...]:
    lifts = [(bay.name, bay.people) for bay in bays.level]
    lifts += [(bay.name, bay.people) for bay in bays.stair]
    heavy = [name for name, people in lifts if people > 1]
    return (say("Two-person sections: {bays}", bays=row(heavy)),) if heavy else ()
