"""Corners: whether the system has a bracket for their angle."""

from __future__ import annotations

from schemas.job import Job
from schemas.rail_system import Bracket, RoutedRail
from schemas.site import Corner, Option, Question
from services.geometry.polyline import SQUARE, face_angles
from services.intake.cross_checks.asking import legs, set_to

_WORDS = {"square": "square to the leg before", "turned": "turned to halve the angle"}


def check(job: Job) -> tuple[Question, ...]:
    """Corners at which a rail meets the post at an angle that no bracket takes."""
    asked = []
    for pointer, _, leg in legs(job):
        if leg.corner and (worst := _out_of_range(leg.corner, job.system.level)) is not None:
            asked.append(
                Question(
                    key=f"corner.{leg.name}",
                    severity="stop",
                    place=f"Corner at the end of leg {leg.name}",
                    says=(
                        f"The corner at the end of leg {leg.name} turns {leg.corner.turn_deg:g} "
                        f"degrees; with its post {_WORDS[_stands(leg.corner)]} a rail meets it "
                        f"at {worst:g} degrees. Brackets of {job.system.title} take "
                        f"{_ranges(job.system.level)}."
                    ),
                    ask="Is the angle right (measured by three sides), and how may the post stand?",
                    options=_other_ways(leg.corner, job.system.level, pointer=pointer),
                )
            )
    return tuple(asked)


def _stands(corner: Corner) -> str:
    return corner.post or ("square" if corner.turn_deg == SQUARE else "turned")


def _out_of_range(corner: Corner, rail: RoutedRail) -> float | None:
    """The greater mitre that no bracket takes; none where both can be had."""
    halved = _stands(corner) == "turned"
    wrong = [
        mitre
        for mitre in face_angles(turn_deg=corner.turn_deg, halved=halved)
        if not any(b.least_deg <= mitre <= b.greatest_deg for b in _brackets(rail))
    ]
    return max(wrong, default=None)


def _brackets(rail: RoutedRail) -> tuple[Bracket, ...]:
    return tuple(filter(None, (rail.bracket, rail.angle_bracket)))


def _ranges(rail: RoutedRail) -> str:
    return " and ".join(f"{b.least_deg:g} to {b.greatest_deg:g} degrees" for b in _brackets(rail))


def _other_ways(corner: Corner, rail: RoutedRail, *, pointer: str) -> tuple[Option, ...]:
    found = []
    for post, says in _WORDS.items():
        other = corner.model_copy(update={"post": post})
        if _out_of_range(other, rail) is None:
            found.append(
                set_to(
                    post, f"The post stands {says}", pointer=f"{pointer}/corner/post", value=post
                )
            )
    return tuple(found)
