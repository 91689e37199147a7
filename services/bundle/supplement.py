"""The sheet that brings a bundle already in the crew's hands up to date."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from schemas.bundle import LateChange, Stop
from schemas.company import Crew
from schemas.pages import Column, Heading, Imprint, Prose, Row, Sheet, Table
from schemas.wording import Said, say
from services.bundle.day_words import job_words
from services.wording import words_for


def supplement_sheet(
    *, crew: Crew, day: date, of: str, changes: Sequence[LateChange], stops: Sequence[Stop]
) -> Sheet:
    """What has changed since a crew's bundle was printed.

    Args:
        crew: Who works.
        day: Day of work.
        of: Code of the day sheet that the crew holds.
        changes: What has changed since.
        stops: The day's jobs with a pack as they are now, in the order of driving.
    """
    on = words_for(crew.language).day(day)
    columns = (
        Column(head=say("Job"), share=1, bold=True),
        Column(head=say("What to do"), share=3),
        Column(head=say("Done"), share=0.5, box=True),
    )
    rows = tuple(_row(change) for change in changes)
    order = (
        Column(head=say("Stop"), share=0.5, bold=True),
        Column(head=say("Job"), share=1.5, bold=True),
        Column(head=say("Code"), share=1.5, bold=True),
    )
    now = tuple(
        Row(cells=(str(number), job_words(stop.plan.job.job, stop.plan.job.revision), stop.code))
        for number, stop in enumerate(stops, 1)
    )
    return Sheet(
        key="supplement",
        title=say("LATE CHANGE, crew {crew}, {day}", crew=crew.name, day=on),
        place=say("Goes on top of the day sheet with the code {code}", code=of),
        blocks=(
            Heading(text=say("Changed since that day sheet was printed")),
            Table(columns=columns, rows=rows, size="large"),
            Heading(text=say("The day's stops as they are now")),
            Prose(text=say("The code on every sheet of a pack must be the one here.")),
            Table(columns=order, rows=now, size="large"),
        ),
    )


def as_supplement(imprint: Imprint) -> Imprint:
    """The imprint of a day sheet, for the sheet that goes on top of an older one."""
    replaces = say("any earlier late change of this crew and day")
    return imprint.model_copy(update={"job": say("Late change"), "replaces": replaces})


def _row(change: LateChange) -> Row:
    cells = (job_words(change.job, change.revision), _to_do(change), "")
    return Row(cells=cells, strong=not change.pack)


def _to_do(change: LateChange) -> Said:
    old, new = change.destroy, change.pack
    if new and old:
        return say("Destroy pack {old}. Work from pack {new}, behind this sheet.", old=old, new=new)
    if new:
        return say("New today. Its pack {new} is behind this sheet.", new=new)
    if old:
        return say("Do not start it. Destroy pack {old}: {why}", old=old, why=change.why)
    return say("Do not start it: {why}", why=change.why)
