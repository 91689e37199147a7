"""What is asked of posts."""

from __future__ import annotations

from schemas.site import Question
from schemas.wording import say
from services import tape


def sleeve_too_short(*, post: str, sleeve: int, longest: int, step: int) -> Question:
    """No sleeve on sale covers the post."""
    return Question(
        key=f"sleeve.{post}",
        severity="stop",
        place=post,
        says=say(
            "Post {post} needs a sleeve of {sleeve}; the longest on sale is {longest}.",
            post=post,
            sleeve=tape.text_with_unit(sleeve, step),
            longest=tape.text_with_unit(longest, step),
        ),
        ask=say("Shift the post along the stair, use a smaller reveal, or buy a longer sleeve?"),
    )


def core_has_no_room(*, post: str, least: int, most: int, step: int) -> Question:
    """The core cannot end above the bracket and under the cap at once."""
    return Question(
        key=f"core.{post}",
        severity="stop",
        place=post,
        says=say(
            "Post {post}: the core must end at or above {least} for the top bracket and "
            "at or below {most} for the cap's tab.",
            post=post,
            least=tape.text_with_unit(least, step),
            most=tape.text_with_unit(most, step),
        ),
        ask=say("Use a larger reveal, or a cap with a shorter tab?"),
    )


def core_too_short(*, post: str, core: int, longest: int, step: int) -> Question:
    """No stick on sale reaches from the core's foot to the bracket."""
    return Question(
        key=f"core-short.{post}",
        severity="stop",
        place=post,
        says=say(
            "Post {post} needs a core of {core} from its foot to the top bracket; the "
            "longest on sale is {longest}.",
            post=post,
            core=tape.text_with_unit(core, step),
            longest=tape.text_with_unit(longest, step),
        ),
        ask=say("Which longer core is bought, or which fixing detail applies?"),
    )
