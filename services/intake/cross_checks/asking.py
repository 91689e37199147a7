"""How a check asks: answers that put one figure right, and the recorded limits."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.code_profile import Measured, Rule
from schemas.job import Job
from schemas.lengths import PER_64TH, PER_MM, Length
from schemas.site import Correction, Gate, GuardLine, Leg, Option, Stair
from schemas.wording import say
from services.tape import as_written, text_with_unit

GO_ON = Option(key="go-on", says=say("Go on; the lead checks it on site before cutting"))


def put_right(key: str, says: str, *, pointer: str, value: Length, step: Length) -> Option:
    """An answer that puts one length right."""
    return set_to(key, says, pointer=pointer, value=as_written(value, step))


def set_to(key: str, says: str, *, pointer: str, value: str | float) -> Option:
    """An answer that puts one figure right which is no length."""
    return Option(key=key, says=says, sets=(Correction(pointer=pointer, value=value),))


def rules(job: Job, measures: Measured) -> tuple[Rule, ...]:
    """The recorded rules of one kind; none where the profile is unknown."""
    return tuple(r for r in (job.profile.rules if job.profile else ()) if r.measures == measures)


def recorded(job: Job, limit: Length) -> str:
    """A recorded limit in its profile's own unit: 190 mm is not 7 1/2 in as the tape says."""
    metric = job.profile is not None and job.profile.unit not in {"in", "ft"}
    return text_with_unit(limit, PER_MM if metric else PER_64TH)


def legs(job: Job) -> Iterator[tuple[str, GuardLine, Leg]]:
    """Every leg with its line and its JSON Pointer."""
    for number, line in enumerate(job.lines):
        for place, leg in enumerate(line.legs):
            yield f"/lines/{number}/legs/{place}", line, leg


def stairs(job: Job) -> Iterator[tuple[str, Stair]]:
    """Every stair with its JSON Pointer."""
    for number, stair in enumerate(job.stairs):
        yield f"/stairs/{number}", stair


def things_in(job: Job, leg: Leg) -> tuple[Stair | Gate, ...]:
    """The stairs and gates that break a leg; a gate at the head of a stair breaks none."""
    own = (gate for gate in job.gates if gate.stair is None)
    things: tuple[Stair | Gate, ...] = (*job.stairs, *own)
    return tuple(thing for thing in things if thing.leg == leg.name)
