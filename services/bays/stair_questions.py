"""What is asked of stair bays, with numbers in tape marks and the likely culprit."""

from __future__ import annotations

from schemas.site import Correction, Option, Question
from schemas.wording import counted, row, say
from services import tape
from services.bays.stair_room import CLOSED


def no_stair_rail(*, stair: str, system: str, height_missing: bool) -> Question:
    """The chosen system has nothing for stairs."""
    lack = say("stair rail in the height asked for") if height_missing else say("stair rail")
    return Question(
        key=f"stair-rail.{stair}",
        severity="stop",
        place=stair,
        says=say("System {system} has no {lack}.", system=system, lack=lack),
        ask=say("Which system is used for the stair?"),
    )


def slope_out(*, stair: str, slope_deg: float, slots: str, bracket: str) -> Question:
    """The stair is steeper or gentler than the rail's slots or its brackets take."""
    return Question(
        key=f"slope.{stair}",
        severity="stop",
        place=stair,
        says=say(
            "Stair {stair} slopes {slope_deg} degrees by its riser and tread; balusters "
            "stand plumb in the slots from {slots} and the stair bracket takes {bracket} "
            "degrees. If the stair looks ordinary, read riser and tread once more.",
            stair=stair,
            slope_deg=f"{slope_deg:.1f}",
            slots=slots,
            bracket=bracket,
        ),
        ask=say(
            "Read riser, tread and total rise again and send them; if they are right, which "
            "stair system takes that slope?"
        ),
    )


def slots_too_open(*, stair: str, gap: int, limit: int, step: int) -> Question:
    """Balusters stand too far apart, seen level."""
    return Question(
        key=f"level-gap.{stair}",
        severity="stop",
        place=stair,
        says=say(
            "Stair {stair}: seen level the balusters stand {gap} apart; it must be under "
            "{limit}. The gentler the stair, the wider the gap.",
            stair=stair,
            gap=tape.text_with_unit(gap, step),
            limit=tape.text_with_unit(limit, step),
        ),
        ask=say(
            "Read riser and tread again and send them; if they are right, which stair system with "
            "closer holes is used?"
        ),
    )


def triangle_unknown(*, stair: str, why: str) -> Question:
    """The triangle under the stair rail cannot be checked."""
    return Question(
        key=f"triangle.{stair}",
        severity="hold",
        place=stair,
        says=say(
            "Stair {stair}: {why}; the opening of riser, tread and bottom rail is not "
            "checked. The rail is planned low, as over closed risers with a 1 1/4 in "
            "nosing.",
            stair=stair,
            why=why,
        ),
        ask=say("What closes the opening below the rail, and does a sphere stop there?"),
        options=_accepted(say("It is closed by other means, or tried with a sphere on site")),
    )


def stair_height_out(
    *,
    stair: str,
    highest: str,
    lowest: str,
    section: str,
    built: int,
    step: int,
    triangle: str | None,
) -> Question:
    """No place of the rail satisfies triangle and height together.

    Args:
        stair: Its name.
        highest: Most that the bottom rail may stand over the nosing line.
        lowest: Least.
        section: Name of the section.
        built: What its rails build, plumb.
        step: Graduation.
        triangle: The rule of the triangle, where no rail at all could close it.
    """
    says = say(
        "Stair {stair}: with the {section} section the rails build {built} plumb. "
        "The bottom rail's underside may stand over the nosing line at most "
        "{highest} and must stand at least {lowest}.",
        stair=stair,
        section=section,
        built=tape.text_with_unit(built, step),
        highest=highest,
        lowest=lowest,
    )
    if triangle is None:
        return Question(
            key=f"stair-height.{stair}",
            severity="stop",
            place=stair,
            says=says,
            ask=say(
                "Read riser, tread and nosing again and send them; if they are right, which rail "
                "height or stair system is used?"
            ),
        )
    return Question(
        key=f"stair-height.{stair}",
        severity="stop",
        place=stair,
        says=row(
            (
                says,
                say(
                    "The likely culprit is the sphere for the triangle of riser, tread and bottom "
                    "rail ({triangle}): on this stair no rail over the nosings keeps inside it.",
                    triangle=triangle,
                ),
            ),
            " ",
        ),
        ask=say("Does that sphere hold for the triangle, and what closes it below the rail?"),
        options=(
            Option(
                key=CLOSED,
                says=say("It is closed by other means; the rail runs just over the nosings"),
            ),
        ),
    )


def triangle_set_aside(
    *, stair: str, triangle: str, planned: str, doubtful: bool, uneven: bool
) -> Question:
    """The rail runs just over the nosings and the triangle stays open under it.

    Args:
        stair: Its name.
        triangle: The rule and where it comes from.
        planned: Where the rail runs, over the nosing line.
        doubtful: Its figure is not sure; else somebody answers for what closes the triangle.
        uneven: On steps all alike a rail could keep to it.
    """
    why = say("a doubtful figure makes no stair impossible") if doubtful else say("as answered")
    aside = say(
        "Stair {stair}: no place of the rail keeps inside the sphere for the triangle of riser, "
        "tread and bottom rail ({triangle}). It was set aside ({why}); the rail runs low, "
        "{planned} over the nosing line. The finding on it is for the authority.",
        stair=stair,
        triangle=triangle,
        why=why,
        planned=planned,
    )
    culprit = say(
        "On risers all alike a rail could keep to it: the likely culprit is a riser read wrong."
    )
    return Question(
        key=f"triangle-aside.{stair}",
        severity="note",
        place=stair,
        says=row((aside, culprit), " ") if uneven else aside,
        ask=say("Does the authority count that triangle, and what closes it then?"),
    )


def gap_at_upper(*, bay: str, gap: int, limit: int, step: int) -> Question:
    """The rail runs out over the deck to an upper post that stands far back."""
    return Question(
        key=f"gap-at-upper.{bay}",
        severity="stop",
        place=bay,
        says=say(
            "Bay {bay}: at the upper post, which stands back on the deck, the bottom "
            "rail is {gap} over the deck; it must be under {limit}.",
            bay=bay,
            gap=tape.text_with_unit(gap, step),
            limit=tape.text_with_unit(limit, step),
        ),
        ask=say("Can the upper post stand nearer to the top nosing?"),
        options=_accepted(say("The gap over the deck is closed by other means")),
    )


def buried_at_upper(
    *,
    bay: str,
    mark: int,
    face: int,
    nearer: int,
    step: int,
    back: Option | None,
    outside: bool,
) -> Question:
    """The bottom rail would meet the upper post at or below what that post stands on.

    Args:
        bay: Its name.
        mark: Where the underside meets the post, above what that stands on.
        face: The post's stair-side face, downhill of the top nosing.
        nearer: By how much that face must stand nearer to the deck, at least.
        step: Graduation.
        back: The posts' line set back so far; none: its posts stand already.
        outside: The post stands on the outside of the rim.
    """
    return Question(
        key=f"buried-at-upper.{bay}",
        severity="stop",
        place=bay,
        says=row(
            (
                say(
                    "Bay {bay}: the underside of the bottom rail meets the upper post {mark} over "
                    "what the post stands on, and below that no sleeve carries a bracket. The "
                    "post's face is planned {face} downhill of the top nosing.",
                    bay=bay,
                    mark=tape.text_with_unit(mark, step),
                    face=tape.text_with_unit(face, step),
                ),
                say(
                    "The likely culprit is that the post stands on the outside of the rim, where "
                    "the rake runs out below the deck."
                )
                if outside
                else say(
                    "The likely culprit is the measure from the top nosing to that face, or else "
                    "the line's inset."
                ),
            ),
            " ",
        ),
        ask=say(
            "Measure level from the top nosing to the upper post's stair-side face, and from the "
            "deck edge back to post centres, and send both: the rail needs the face {least} "
            "nearer to the deck, or more.",
            least=tape.text_with_unit(nearer, step),
        ),
        options=(back,) if back else (),
    )


def low_at_lower(
    *, bay: str, top: int, least: int | None, beyond: int, step: int, nearer: Option | None
) -> Question:
    """The lower post stands so far beyond the lowest nosing that the rail ends too low.

    Args:
        bay: Its name.
        top: Top of the top rail over the post's foot.
        least: Least height that is worked to; none: the bottom rail is in the ground, which
            nobody can accept.
        beyond: From the lowest nosing to the post's uphill face.
        step: Graduation.
        nearer: The farthest place of the post that would do; none: there is none.
    """
    wrong = (
        say("where at least {least} is worked to", least=tape.text_with_unit(least, step))
        if least is not None
        else say("and its bottom rail runs into the ground")
    )
    accepted = _accepted(say("It stands so far out, and the authority agrees"))
    return Question(
        key=f"low-at-lower.{bay}",
        severity="stop",
        place=bay,
        says=say(
            "Bay {bay}: the lower post stands {beyond} beyond the lowest nosing; the top "
            "rail meets it {top} above what it stands on, {wrong}. The distance from the "
            "nosing is the likely culprit.",
            bay=bay,
            beyond=tape.text_with_unit(beyond, step),
            top=tape.text_with_unit(top, step),
            wrong=wrong,
        ),
        ask=say("Does the lower post stand nearer to the lowest nosing?"),
        options=(*((nearer,) if nearer else ()), *(accepted if least is not None else ())),
    )


def lower_post_nearer(*, number: int, beyond: int, step: int) -> Option:
    """The lower post nearer to the lowest nosing."""
    return Option(
        key="nearer",
        says=say(
            "The lower post's uphill face stands {beyond} beyond the lowest nosing",
            beyond=tape.text_with_unit(beyond, step),
        ),
        sets=(
            Correction(
                pointer=f"/stairs/{number}/lower_post/from_last_nose",
                value=tape.as_written(beyond, step),
            ),
        ),
    )


def block_out_of_reach(*, bay: str, wanted: int, placed: int, reach: int, step: int) -> Question:
    """A foot block finds no tread within its reach under a baluster."""
    return Question(
        key=f"foot-block.{bay}",
        severity="hold",
        place=bay,
        says=counted(
            "Bay {bay} takes {count} foot block and only {placed} can stand on a tread under a "
            "baluster within a reach of {reach}.",
            "Bay {bay} takes {count} foot blocks and only {placed} can stand on a tread under a "
            "baluster within a reach of {reach}.",
            count=wanted,
            bay=bay,
            placed=placed,
            reach=tape.text_with_unit(reach, step),
        ),
        ask=say("Is a longer block at hand, or another support?"),
        options=_accepted(say("Another support is brought")),
    )


def no_handrail(*, stair: str, system: str) -> Question:
    """A graspable handrail is wanted and the system has none."""
    return Question(
        key=f"handrail.{stair}",
        severity="hold",
        place=stair,
        says=say(
            "Stair {stair} asks for a graspable handrail; system {system} lists none.",
            stair=stair,
            system=system,
        ),
        ask=say("Which handrail is fitted?"),
        options=_accepted(say("A handrail is brought that is not on this sheet")),
    )


def _accepted(says: str) -> tuple[Option, ...]:
    """The one way on that changes no figure: somebody answers for it."""
    return (Option(key="accepted", says=says),)
