"""What was sold against what was measured, and products that meet on one post."""

from __future__ import annotations

import re
from collections.abc import Iterator

from schemas.job import Job
from schemas.site import Option, Question
from schemas.wording import joined, row, say
from services.intake.cross_checks.asking import GO_ON

_COUNTED = re.compile(
    r"\b(?:(\d{1,2}|a|one|two|three|four)\s+)?(stair|gate)(?:s|way|ways)?\b"
    r"(\s+(?:sides?|rails?|sections?)\b)?",
    re.IGNORECASE,
)
_WORDS = {"a": 1, "one": 1, "two": 2, "three": 3, "four": 4}


_THINGS = {"stair": say("stairs"), "gate": say("gates"), "stair side": say("stair sides")}


def check(job: Job) -> tuple[Question, ...]:
    """Stairs and gates that were sold and not measured; two products or colours on a post."""
    return (*_counts(job), *_colour(job), *_two_products(job), *_lots(job))


def _counts(job: Job) -> Iterator[Question]:
    measured = {
        "stair": len(job.stairs),
        "gate": len(job.gates),
        "stair side": sum(len(stair.rails) for stair in job.stairs),
    }
    for what, sold in _sold(job.sold or "").items():
        found = measured[what]
        if found == 0 and sold != 0:
            yield Question(
                key=f"sold.{what.replace(' ', '-')}",
                severity="stop",
                place=say("Job"),
                says=say(
                    'The job head says "{sold}", but none was measured: {what}.',
                    sold=job.sold or "",
                    what=_THINGS[what],
                ),
                ask=say("Was it left out of the measure?"),
                options=(Option(key="none", says=say("None of ours is to be built")),),
            )
        elif sold is not None and sold != found:
            missing = sold > found
            right = Option(key="as-measured", says=say("The measure is right"))
            yield Question(
                key=f"sold.{what.replace(' ', '-')}",
                severity="stop" if missing else "hold",
                place=say("Job"),
                says=say(
                    'The job head says "{sold}", but {found} were measured: {what}.',
                    sold=job.sold or "",
                    found=found,
                    what=_THINGS[what],
                ),
                ask=say("Was one left out of the measure, or is the count of the sale old?"),
                options=(right,) if missing else (right, GO_ON),
            )


def _sold(says: str) -> dict[str, int | None]:
    """Stairs and gates by their count in words; none: some, without a count."""
    counts: dict[str, int | None] = {}
    for number, what, of_sides in _COUNTED.findall(says):
        word = number.lower()
        count = int(word) if word.isdigit() else _WORDS.get(word)
        key = f"{what.lower()}{' side' if of_sides and what.lower() == 'stair' else ''}"
        known = counts.get(key, 0)
        counts[key] = None if count is None or known is None else known + count
    return counts


def _colour(job: Job) -> Iterator[Question]:
    if job.stairs and job.colour not in job.stair_system.colours:
        yield Question(
            key="colour.stair",
            severity="stop",
            place=say("Stairs"),
            says=say(
                "The job is sold in {colour}; {stair_system}, taken for the stairs, comes in "
                "{colours}.",
                colour=job.colour,
                stair_system=job.stair_system.title,
                colours=row(job.stair_system.colours),
            ),
            ask=say("Which colour or which stair rail was sold?"),
        )


def _two_products(job: Job) -> Iterator[Question]:
    if job.stairs and job.stair_system.key != job.system.key:
        names = row(stair.name for stair in job.stairs)
        yield Question(
            key="products.stair",
            severity="hold",
            place=say("Upper posts of {names}", names=names),
            says=say(
                "The upper posts of {names} carry {system} and {stair_system}; rails, "
                "brackets and shades of two products meet there.",
                names=names,
                system=job.system.title,
                stair_system=job.stair_system.title,
            ),
            ask=say("Was that sold so, and do both brackets fit the sleeve?"),
            options=(Option(key="sold-so", says=say("It was sold so and fits")), GO_ON),
        )


def _lots(job: Job) -> Iterator[Question]:
    """Kits of two colour lots on one job."""
    lots = sorted({one.lot for one in job.reserved if one.lot})
    if len(lots) > 1:
        yield Question(
            key="reserved.lots",
            severity="hold",
            place=say("Stock"),
            says=say(
                "The kits set aside are of {count} colour lots: {lots}. Shades may differ.",
                count=len(lots),
                lots=joined(lots),
            ),
            ask=say("Are they laid side by side in daylight first, or is one lot taken?"),
            options=(Option(key="alike", says=say("They were compared and look alike")), GO_ON),
        )
