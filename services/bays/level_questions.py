"""What is asked of level bays and of the whole job."""

from __future__ import annotations

from schemas.bays import LevelBay
from schemas.site import Correction, Option, Question
from schemas.wording import joined, say
from services import tape
from services.wording.terms import term


def bracket_missing(*, bay: str, end: str, mitre_deg: float, takes: str) -> Question:
    """No bracket of the system takes the angle at this end."""
    return Question(
        key=f"bracket-angle.{bay}",
        severity="stop",
        place=bay,
        says=say(
            "Bay {bay}, {end} end: the rail meets the post at {mitre_deg} degrees off "
            "square; {takes}.",
            bay=bay,
            end=term(end),
            mitre_deg=f"{mitre_deg:.1f}",
            takes=takes,
        ),
        ask=say("Turn the corner post, set two posts, or use another system?"),
    )


def sweep_too_high(
    *, bay: str, sweep: int, limit: int, why: str, step: int, options: tuple[Option, ...]
) -> Question:
    """The deck falls so much within a bay that the gap under its rail is too high."""
    return Question(
        key=f"sweep.{bay}",
        severity="stop",
        place=bay,
        says=say(
            "Bay {bay}: at the low side the bottom rail's underside stands {sweep} over "
            "the deck; {why} {limit}.",
            bay=bay,
            sweep=tape.text_with_unit(sweep, step),
            why=why,
            limit=tape.text_with_unit(limit, step),
        ),
        ask=say("Shorten the bay, follow the deck's fall, or mend the deck?"),
        options=options,
    )


def mended_fall(*, leg: str, fall: int, pointer: str, step: int) -> Option:
    """The deck is brought, or was found, level enough."""
    return Option(
        key="level-enough",
        says=say(
            "The deck is made to fall no more than {fall} along leg {leg}, or was misread",
            fall=tape.text_with_unit(fall, step),
            leg=leg,
        ),
        sets=(Correction(pointer=pointer, value=tape.as_written(fall, step)),),
    )


def open_at_edge(*, bay: LevelBay, limit: int, step: int, pointer: str, inset: int) -> Question:
    """The rail stands so far outside the deck edge that a sphere falls between the two."""
    return Question(
        key=f"edge-gap.{bay.name}",
        severity="stop",
        place=bay.name,
        says=say(
            "Bay {bay}: its bottom rail stands {out} outside the deck edge and {sweep} up, so "
            "{under} is open between the two; it must be under {limit}. The inset of the line is "
            "the likely culprit.",
            bay=bay.name,
            out=tape.text_with_unit(bay.edge_gap, step),
            sweep=tape.text(bay.sweep_low, step),
            under=tape.text_with_unit(tape.up(bay.under, step), step),
            limit=tape.text_with_unit(limit, step),
        ),
        ask=say("Is the inset right, and what closes the gap along the edge?"),
        options=(
            Option(
                key="nearer",
                says=say("The inset is {inset}", inset=tape.text_with_unit(inset, step)),
                sets=(Correction(pointer=pointer, value=tape.as_written(inset, step)),),
            ),
        ),
    )


def stepped_rails(*, leg: str, fall: int, each: int, step: int) -> Question:
    """Level rails on a falling deck step at the posts."""
    return Question(
        key=f"fall.{leg}",
        severity="note",
        place=leg,
        says=say(
            "The deck falls {fall} along leg {leg}. Each bay is set level off the spacer "
            "block at its high side, so its rails step by up to {each} at a post.",
            fall=tape.text_with_unit(fall, step),
            leg=leg,
            each=tape.text_with_unit(each, step),
        ),
        ask=say("Is the step acceptable to the customer?"),
    )


def block_over_gap(*, bay: str, at: tuple[int, ...], step: int) -> Question:
    """No baluster near enough stands over a board."""
    places = ", ".join(tape.text(mark, step) for mark in at)
    return Question(
        key=f"foot-block.{bay}",
        severity="note",
        place=bay,
        says=f"Bay {bay}: the foot block at {places} from the bottom rail's left end comes over a "
        "gap between two deck boards.",
        ask="Does a wider block or a pad carry it there?",
    )


def unlike(*, bay: str, clear: int, others: list[tuple[str, int]], step: int) -> Question:
    """A bay is much longer or shorter than those beside it."""
    beside = joined(
        say("{bay} is {size}", bay=name, size=tape.text(size, step)) for name, size in others
    )
    return Question(
        key=f"unlike.{bay}",
        severity="note",
        place=bay,
        says=say(
            "Bay {bay} is {clear} clear, {beside}: it differs by more than a quarter and "
            "will look so.",
            bay=bay,
            clear=tape.text_with_unit(clear, step),
            beside=beside,
        ),
        ask=say("Is it measured right, and does the customer know?"),
    )


def no_profile() -> Question:
    """Openings were held to an assumed sphere."""
    return Question(
        key="openings.assumed",
        severity="note",
        place=say("whole job"),
        says=say(
            "No code profile: openings are held under a 100 mm sphere and the stair "
            "triangle under a 6 in sphere, both assumed; stair heights are held to no "
            "window."
        ),
        ask=say("Which code has the authority adopted?"),
    )
