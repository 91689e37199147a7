"""What the bays ask the office, with numbers in tape marks and the likely culprit."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from schemas.site import Correction, Option, Question
from services import tape


def dead_band(
    *,
    bay: str,
    opening: int,
    nearest: tuple[int | None, int | None],
    step: int,
    pointers: Mapping[str, int] = MappingProxyType({}),
) -> Question:
    """No count of balusters leaves two legal ends in this opening.

    Args:
        bay: Its name.
        opening: Clear. [length]
        nearest: Nearest legal openings below and above; none: there is none.
        step: Graduation.
        pointers: Where the submission gives a measured opening, at the bottom and at the top
            rail, and how much wider than at the bottom rail it is there.
    """
    below, above = nearest
    ways = [
        f"{tape.text_with_unit(size, step)} ({'-' if size < opening else '+'}"
        f"{tape.text(abs(size - opening), step)})"
        for size in (below, above)
        if size is not None
    ]
    options = [
        _move_post(key, size, step, pointers)
        for key, size in (("narrower", below), ("wider", above))
        if size is not None and pointers
    ]
    return Question(
        key=f"dead-band.{bay}",
        severity="stop",
        place=bay,
        says=f"Bay {bay}, clear {tape.text_with_unit(opening, step)}: the factory holes leave no "
        "legal pair of end margins for any count of balusters. "
        + (f"Nearest openings that work: {' or '.join(ways)}." if ways else "None nearby works.")
        + " The opening itself is the likely culprit: read it once more between sleeve faces.",
        ask="Which post moves, or is the opening read wrong?",
        options=tuple(options),
    )


def _move_post(key: str, size: int, step: int, pointers: Mapping[str, int]) -> Option:
    return Option(
        key=key,
        says=f"A post is moved so that the opening is {tape.text_with_unit(size, step)}",
        sets=tuple(
            Correction(pointer=pointer, value=tape.text_with_unit(size + more, step))
            for pointer, more in pointers.items()
        ),
    )


def _accepted(says: str) -> tuple[Option, ...]:
    """The one way on that changes no figure: somebody answers for it."""
    return (Option(key="accepted", says=says),)


def too_long(*, bay: str, found: int, longest: int, step: int, along: str) -> Question:
    """The opening is longer than the system allows."""
    return Question(
        key=f"mid-post.{bay}",
        severity="stop",
        place=bay,
        says=f"Bay {bay} is {tape.text_with_unit(found, step)} {along} between sleeve faces; the "
        f"system allows {tape.text_with_unit(longest, step)}.",
        ask="Where may a mid post stand?",
    )


def no_stock(*, bay: str, opening: int, longest_stock: int, step: int) -> Question:
    """No stock rail reaches with its holes where the bay needs them."""
    return Question(
        key=f"no-stock.{bay}",
        severity="stop",
        place=bay,
        says=f"Bay {bay}, clear {tape.text_with_unit(opening, step)}: no stock rail has both the "
        f"length and its holes where this bay needs them; the longest is truly "
        f"{tape.text_with_unit(longest_stock, step)}.",
        ask="Move a post, or buy another length?",
    )


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


def no_stair_rail(*, stair: str, system: str, height_missing: bool) -> Question:
    """The chosen system has nothing for stairs."""
    lack = "stair rail in the height asked for" if height_missing else "stair rail"
    return Question(
        key=f"stair-rail.{stair}",
        severity="stop",
        place=stair,
        says=f"System {system} has no {lack}.",
        ask="Which system is used for the stair?",
    )


def slope_out(*, stair: str, slope_deg: float, slots: str, bracket: str) -> Question:
    """The stair is steeper or gentler than the rail's slots or its brackets take."""
    return Question(
        key=f"slope.{stair}",
        severity="stop",
        place=stair,
        says=f"Stair {stair} slopes {slope_deg:.1f} degrees by its riser and tread; balusters "
        f"stand plumb in the slots from {slots} and the stair bracket takes {bracket} degrees. "
        "If the stair looks ordinary, read riser and tread once more.",
        ask="Is the measure right, or is adjustable or unrouted rail ordered?",
    )


def slots_too_open(*, stair: str, gap: int, limit: int, step: int) -> Question:
    """Balusters stand too far apart, seen level."""
    return Question(
        key=f"level-gap.{stair}",
        severity="stop",
        place=stair,
        says=f"Stair {stair}: seen level the balusters stand {tape.text_with_unit(gap, step)} "
        f"apart; it must be under {tape.text_with_unit(limit, step)}. The gentler the stair, the "
        "wider the gap.",
        ask="Which rail with closer holes is used?",
    )


def triangle_unknown(*, stair: str, why: str) -> Question:
    """The triangle under the stair rail cannot be checked."""
    return Question(
        key=f"triangle.{stair}",
        severity="hold",
        place=stair,
        says=f"Stair {stair}: {why}; the opening of riser, tread and bottom rail is not checked. "
        "The rail is planned low, as over closed risers with a 1 1/4 in nosing.",
        ask="What closes the opening below the rail, and does a sphere stop there?",
        options=_accepted("It is closed by other means, or tried with a sphere on site"),
    )


def stair_height_out(
    *, stair: str, highest: str, lowest: str, section: str, built: int, step: int
) -> Question:
    """No place of the rail satisfies triangle and height together."""
    return Question(
        key=f"stair-height.{stair}",
        severity="stop",
        place=stair,
        says=f"Stair {stair}: with the {section} section the rails build "
        f"{tape.text_with_unit(built, step)} plumb. The bottom rail's underside may stand over "
        f"the nosing line at most {highest} and must stand at least {lowest}.",
        ask="Which section height is used, or is a riser or tread read wrong?",
    )


def gap_at_upper(*, bay: str, gap: int, limit: int, step: int) -> Question:
    """The rail runs out over the deck to an upper post that stands far back."""
    return Question(
        key=f"gap-at-upper.{bay}",
        severity="stop",
        place=bay,
        says=f"Bay {bay}: at the upper post, which stands back on the deck, the bottom rail is "
        f"{tape.text_with_unit(gap, step)} over the deck; it must be under "
        f"{tape.text_with_unit(limit, step)}.",
        ask="Can the upper post stand nearer to the top nosing?",
        options=_accepted("The gap over the deck is closed by other means"),
    )


def block_out_of_reach(*, bay: str, wanted: int, placed: int, reach: int, step: int) -> Question:
    """A foot block finds no tread within its reach under a baluster."""
    return Question(
        key=f"foot-block.{bay}",
        severity="hold",
        place=bay,
        says=f"Bay {bay} takes {wanted} foot block{'s' if wanted > 1 else ''} and only {placed} "
        f"can stand on a tread under a baluster within a reach of "
        f"{tape.text_with_unit(reach, step)}.",
        ask="Is a longer block at hand, or another support?",
        options=_accepted("Another support is brought"),
    )


def no_handrail(*, stair: str, system: str) -> Question:
    """A graspable handrail is wanted and the system has none."""
    return Question(
        key=f"handrail.{stair}",
        severity="hold",
        place=stair,
        says=f"Stair {stair} asks for a graspable handrail; system {system} lists none.",
        ask="Which handrail is fitted?",
        options=_accepted("A handrail is brought that is not on this sheet"),
    )


def sleeve_too_short(*, post: str, sleeve: int, longest: int, step: int) -> Question:
    """No sleeve on sale covers the post."""
    return Question(
        key=f"sleeve.{post}",
        severity="stop",
        place=post,
        says=f"Post {post} needs a sleeve of {tape.text_with_unit(sleeve, step)}; the longest on "
        f"sale is {tape.text_with_unit(longest, step)}.",
        ask="Shift the post along the stair, use a smaller reveal, or buy a longer sleeve?",
    )


def core_has_no_room(*, post: str, least: int, most: int, step: int) -> Question:
    """The core cannot end above the bracket and under the cap at once."""
    return Question(
        key=f"core.{post}",
        severity="stop",
        place=post,
        says=f"Post {post}: the core must end at or above {tape.text_with_unit(least, step)} for "
        f"the top bracket and at or below {tape.text_with_unit(most, step)} for the cap's tab.",
        ask="Use a larger reveal, or a cap with a shorter tab?",
    )
