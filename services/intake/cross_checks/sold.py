"""What was sold against what was measured, and products that meet on one post."""

from __future__ import annotations

import re
from collections.abc import Iterator

from schemas.job import Job
from schemas.site import Option, Question
from services.intake.cross_checks.asking import GO_ON

_COUNTED = re.compile(
    r"\b(?:(\d{1,2}|a|one|two|three|four)\s+)?(stair|gate)(?:s|way|ways)?\b"
    r"(\s+(?:sides?|rails?|sections?)\b)?",
    re.IGNORECASE,
)
_WORDS = {"a": 1, "one": 1, "two": 2, "three": 3, "four": 4}


def check(job: Job) -> tuple[Question, ...]:
    """Stairs and gates that were sold and not measured; two products or colours on a post."""
    return (*_counts(job), *_colour(job), *_two_products(job))


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
                place="Job",
                says=f'The job head says "{job.sold}", but no {what} was measured.',
                ask=f"Was a {what} left out of the measure?",
                options=(Option(key="none", says=f"No {what} of ours is to be built"),),
            )
        elif sold is not None and sold != found:
            yield Question(
                key=f"sold.{what.replace(' ', '-')}",
                severity="hold",
                place="Job",
                says=(
                    f'The job head says "{job.sold}", but {found} '
                    f"{what}{'' if found == 1 else 's'} were measured."
                ),
                ask=f"Was a {what} left out of the measure, or is the count of the sale old?",
                options=(Option(key="as-measured", says="The measure is right"), GO_ON),
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
            place="Stairs",
            says=(
                f"The job is sold in {job.colour}; {job.stair_system.title}, taken for the "
                f"stairs, comes in {', '.join(job.stair_system.colours)}."
            ),
            ask="Which colour or which stair rail was sold?",
        )


def _two_products(job: Job) -> Iterator[Question]:
    if job.stairs and job.stair_system.key != job.system.key:
        names = ", ".join(stair.name for stair in job.stairs)
        yield Question(
            key="products.stair",
            severity="hold",
            place=f"Upper posts of {names}"[:200],
            says=(
                f"The upper posts of {names} carry {job.system.title} and "
                f"{job.stair_system.title}; rails, brackets and shades of two products meet there."
            ),
            ask="Was that sold so, and do both brackets fit the sleeve?",
            options=(Option(key="sold-so", says="It was sold so and fits"), GO_ON),
        )
