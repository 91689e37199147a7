"""What is asked of level bays and of the whole job."""

from __future__ import annotations

from schemas.site import Question
from services import tape


def bracket_missing(*, bay: str, end: str, mitre_deg: float, takes: str) -> Question:
    """No bracket of the system takes the angle at this end."""
    return Question(
        key=f"bracket-angle.{bay}",
        severity="stop",
        place=bay,
        says=f"Bay {bay}, {end} end: the rail meets the post at {mitre_deg:.1f} degrees off "
        f"square; {takes}.",
        ask="Turn the corner post, set two posts, or use another system?",
    )


def sweep_too_high(*, bay: str, sweep: int, limit: int, why: str, step: int) -> Question:
    """The deck falls so much within a bay that the gap under its rail is too high."""
    return Question(
        key=f"sweep.{bay}",
        severity="stop",
        place=bay,
        says=f"Bay {bay}: at the low side the bottom rail's underside stands "
        f"{tape.text_with_unit(sweep, step)} over the deck; {why} "
        f"{tape.text_with_unit(limit, step)}.",
        ask="Shorten the bay, follow the deck's fall, or mend the deck?",
    )


def stepped_rails(*, leg: str, fall: int, each: int, step: int) -> Question:
    """Level rails on a falling deck step at the posts."""
    return Question(
        key=f"fall.{leg}",
        severity="note",
        place=leg,
        says=f"The deck falls {tape.text_with_unit(fall, step)} along leg {leg}. Each bay is set "
        f"level off the spacer block at its high side, so its rails step by up to "
        f"{tape.text_with_unit(each, step)} at a post.",
        ask="Is the step acceptable to the customer?",
    )


def unlike(*, bay: str, clear: int, others: list[tuple[str, int]], step: int) -> Question:
    """A bay is much longer or shorter than those beside it."""
    beside = " and ".join(f"{name} is {tape.text(size, step)}" for name, size in others)
    return Question(
        key=f"unlike.{bay}",
        severity="note",
        place=bay,
        says=f"Bay {bay} is {tape.text_with_unit(clear, step)} clear, {beside}: it differs by more "
        "than a quarter and will look so.",
        ask="Is it measured right, and does the customer know?",
    )


def no_profile() -> Question:
    """Openings were held to an assumed sphere."""
    return Question(
        key="openings.assumed",
        severity="note",
        place="whole job",
        says="No code profile: openings are held under a 100 mm sphere and the stair triangle "
        "under a 6 in sphere, both assumed; stair heights are held to no window.",
        ask="Which code has the authority adopted?",
    )
