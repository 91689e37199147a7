"""What holds for all legs of a job: its sizes, its limits, what may be asked."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

from schemas.job import Job
from schemas.lengths import Length
from schemas.site import Corner
from services.layout.asks import Asks
from services.layout.corners import CornerFit, fit_corner


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """What holds for all legs of a job."""

    job: Job
    asks: Asks
    narrow: Length
    """An opening under this lets no sphere through and stays without railing; 0 is unknown."""

    @property
    def sleeve(self) -> Length:
        """Sleeve, face to face. [1/320 mm]."""
        return self.job.system.sleeve.outside


def fit_at(site: Site, corner: Corner | None) -> CornerFit | None:
    """How the post stands in a corner; none where there is none."""
    rail = site.job.system.level
    return fit_corner(corner, rail=rail, sleeve=site.sleeve) if corner else None


def given(job: Job, *, asks: Asks) -> Site:
    """Gather what the legs of a job share."""
    return Site(job=job, asks=_remembering(asks), narrow=_narrow(job))


def _remembering(asks: Asks) -> Asks:
    """The same asks; an opening once asked about is not asked again."""
    return replace(
        asks,
        bay_works=cache(asks.bay_works),
        bay_has_room=cache(asks.bay_has_room) if asks.bay_has_room else None,
    )


def _narrow(job: Job) -> Length:
    """The smallest working limit of a guard's openings; 0 where no rules are recorded."""
    rules = job.profile.rules if job.profile else ()
    limits = [r.limit for r in rules if r.measures == "guard.opening" and r.limit is not None]
    return max(0, min(limits) - job.company.sphere_margin) if limits else 0
