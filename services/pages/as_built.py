"""What is written down on site: openings, photos, sign-off. Hours stand on the evening sheet."""

from __future__ import annotations

from schemas.pages import Block, Column, Heading, Prose, Row, Sheet, Table, Tick, Ticks, WriteIn
from schemas.plan import Plan
from schemas.wording import say
from services.pages.wording import Ruler, side_words, units_words


def as_built(plan: Plan) -> Sheet:
    """The sheet that comes back to the office in the evening.

    Args:
        plan: The finished plan.
    """
    ruler = Ruler(step=plan.job.step)
    return Sheet(
        key="as-built",
        title=say("As built, sign-off"),
        place=say("{units}. Comes back to the office", units=units_words(ruler)),
        blocks=(
            *_openings(plan, ruler),
            *_photos(plan),
            *_sign_off(),
        ),
    )


def _openings(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Bay"), share=1.6, bold=True),
        Column(head=say("Planned, bottom"), share=1.1, align="right"),
        Column(head=say("Planned, top"), share=1.1, align="right"),
        Column(head=say("Found, bottom"), share=1.2, box=True),
        Column(head=say("Found, top"), share=1.2, box=True),
        Column(head=say("Cut"), share=1.2, box=True),
    )
    rows = tuple(
        Row(cells=(bay.name, ruler.mark(bay.clear), ruler.mark(bay.clear_top), "", "", ""))
        for bay in plan.layout.bays
    )
    return (
        Prose(text=say("Openings as the posts stand"), role="strong"),
        Table(columns=columns, rows=rows),
    )


def _photos(plan: Plan) -> tuple[Block, ...]:
    """Hidden work first: once it is covered, nobody can see it. Common practice."""
    posts = [post.name for post in plan.layout.posts if not post.in_place]
    lines = [
        say("Arrival, and anything already damaged"),
        say("Each leg, before work and finished"),
    ]
    if posts:
        lines.append(say("Under every post, before and after its fixing, before it is covered"))
        lines.append(say("Every post plumb, level in view"))
    lines.append(say("Tape in each opening, figure readable"))
    for bay in plan.bays.stair:
        side = side_words(bay.stair, bay.side)
        lines.append(
            say("{side}: ball in the triangle; height over each nosing with a level", side=side)
        )
        if bay.handrail is not None:
            lines.append(say("{side}: both ends of the handrail", side=side))
    lines += [say("Gate {gate} closed, and its latch", gate=gate.name) for gate in plan.job.gates]
    lines += [
        say("Anything left open overnight, with its barrier"),
        say("Leftovers"),
    ]
    ticks = tuple(Tick(text=line) for line in dict.fromkeys(lines))
    return (
        Prose(text=say("Photos, with bay or post in the name"), role="strong"),
        Ticks(ticks=ticks, abreast=2),
    )


def _sign_off() -> tuple[Block, ...]:
    lines = (
        say("Posts plumb and stiff under a push by hand, each one"),
        say("Top line straight, end gaps equal"),
        say("Ball tried at every kind of opening"),
        say("Caps seated, skirts down, screws covered, film off, drain holes open"),
        say("Chips and metal shavings picked up, magnet run over the ground, tools counted"),
        say("No opening left unguarded; if one is, a fixed barrier stands and its photo is taken"),
    )
    return (
        Prose(text=say("Before leaving"), role="strong"),
        Ticks(ticks=tuple(Tick(text=line) for line in lines), abreast=2),
        Heading(text=say("Sign-off")),
        WriteIn(
            labels=(
                say("Changed from the drawings"),
                say("Still to do"),
                say("Lead, customer, time"),
            )
        ),
        Prose(text=say("Signing says that the work was shown. It is not an inspection.")),
    )
