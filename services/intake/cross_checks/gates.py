"""Gates: duties, swing, the width of the opening against leaf and hardware, their posts."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from schemas.job import Job
from schemas.lengths import INCH, Length
from schemas.site import Gate, GuardLine, Option, Question
from schemas.wording import say
from services.intake.cross_checks.asking import GO_ON, put_right, set_to
from services.tape import text, text_with_unit
from services.wording.terms import term

LOOSE = INCH // 4
"""Leaf and hardware may leave so much over. Source: common practice."""
AT_THE_WALL = INCH // 4
"""An opening that begins so near a wall begins at it. Source: common practice."""


def check(job: Job) -> tuple[Question, ...]:
    """Everything about gates that holds or stops."""
    return tuple(
        chain.from_iterable(
            (
                *_pool(gate, f"/gates/{number}"),
                *_over_stairs(gate, f"/gates/{number}"),
                *_too_narrow(job, gate),
                *_narrowest(job, gate, f"/gates/{number}"),
                *_leaf(job, gate, f"/gates/{number}"),
                *_hinge_post(job, gate, f"/gates/{number}"),
            )
            for number, gate in enumerate(job.gates)
        )
    )


def _pool(gate: Gate, pointer: str) -> Iterator[Question]:
    if gate.pool_barrier is None:
        yield Question(
            key=f"pool.{gate.name}",
            severity="hold",
            place=say("Gate {gate}", gate=gate.name),
            says=say("It is not known whether {gate} is part of a pool barrier.", gate=gate.name),
            ask=say("Is there a pool behind it? Pool barriers have rules of their own."),
            options=(
                set_to("no", say("No pool"), pointer=f"{pointer}/pool_barrier", value=False),
                set_to(
                    "yes",
                    say("It is a pool barrier"),
                    pointer=f"{pointer}/pool_barrier",
                    value=True,
                ),
                GO_ON,
            ),
        )
    elif gate.pool_barrier:
        yield Question(
            key=f"pool-rules.{gate.name}",
            severity="hold",
            place=say("Gate {gate}", gate=gate.name),
            says=say(
                "{gate} is part of a pool barrier: pool barrier rules may apply to its "
                "height, latch, closer and the way it opens.",
                gate=gate.name,
            ),
            ask=say("What does the authority ask of this gate?"),
            options=(Option(key="asked", says=say("The authority was asked and agrees")), GO_ON),
        )


def _over_stairs(gate: Gate, pointer: str) -> Iterator[Question]:
    if gate.stair is not None and gate.opens == "out":
        yield Question(
            key=f"gate-stairs.{gate.name}",
            severity="hold",
            place=say("Gate {gate}", gate=gate.name),
            says=say(
                "{gate} hangs at the head of {stair} and opens out over its steps.",
                gate=gate.name,
                stair=gate.stair,
            ),
            ask=say("May it open toward the deck, or is there a landing as deep as its swing?"),
            options=(
                set_to(
                    "in",
                    say("It opens in, toward the deck"),
                    pointer=f"{pointer}/opens",
                    value="in",
                ),
                Option(key="landing", says=say("A landing as deep as its swing is there")),
            ),
        )


def _too_narrow(job: Job, gate: Gate) -> Iterator[Question]:
    """A width that nobody walks through is likely a slip of a foot, or another gap's."""
    least, wide, step = job.company.least_gate, min((*gate.widths, gate.width)), job.step
    if wide >= least:
        return
    yield Question(
        key=f"gate-least.{gate.name}",
        severity="hold",
        place=say("Gate {gate}", gate=gate.name),
        says=say(
            "{gate} is {width} clear; under {least} a person with a load hardly gets through.",
            gate=gate.name,
            width=text_with_unit(wide, step),
            least=text(least, step),
        ),
        ask=say("Is the clear width right, and is the gate no way out that the code sizes?"),
        options=(GO_ON,),
    )


def _narrowest(job: Job, gate: Gate, pointer: str) -> Iterator[Question]:
    """Of top, middle and bottom the smallest counts."""
    least = min(gate.widths, default=gate.width)
    if least >= gate.width:
        return
    step = job.step
    yield Question(
        key=f"gate-narrow.{gate.name}",
        severity="hold",
        place=say("Gate {gate}", gate=gate.name),
        says=say(
            "{gate} is given {width} wide, but {least} was read at one height; the "
            "smallest counts.",
            gate=gate.name,
            width=text_with_unit(gate.width, step),
            least=text(least, step),
        ),
        ask=say("Is the smallest figure right, or does a post lean?"),
        options=(
            put_right(
                "smallest",
                say("The opening is {least}", least=text_with_unit(least, step)),
                pointer=f"{pointer}/width",
                value=least,
                step=step,
            ),
            GO_ON,
        ),
    )


def _leaf(job: Job, gate: Gate, pointer: str) -> Iterator[Question]:
    if gate.leaf is None:
        return
    step, wide = job.step, min((*gate.widths, gate.width))
    if gate.hinge_gap is None or gate.latch_gap is None:
        lacks = say("hinges") if gate.hinge_gap is None else say("latch")
        yield _hardware(
            gate,
            say(
                "{gate}: a leaf of {leaf} in {wide}; the gap that its {lacks} need is not given.",
                gate=gate.name,
                leaf=text_with_unit(gate.leaf, step),
                wide=text(wide, step),
                lacks=lacks,
            ),
            severity="hold",
        )
        return
    needs = gate.leaf + gate.hinge_gap + gate.latch_gap
    if 0 <= wide - needs <= LOOSE:
        return
    yield _hardware(
        gate,
        say(
            "{gate}: the leaf of {leaf} with {hinge_gap} at the hinges and {latch_gap} "
            "at the latch takes {needs}; the opening is {wide}, {off} too {narrow}.",
            gate=gate.name,
            leaf=text(gate.leaf, step),
            hinge_gap=text(gate.hinge_gap, step),
            latch_gap=text(gate.latch_gap, step),
            needs=text_with_unit(needs, step),
            wide=text(wide, step),
            off=text(abs(wide - needs), step),
            narrow=say("narrow") if wide < needs else say("wide"),
        ),
        severity="stop" if wide < needs else "hold",
        options=_to_agree(gate, pointer, needs=needs, wide=wide, step=step),
    )


def _to_agree(
    gate: Gate, pointer: str, *, needs: Length, wide: Length, step: Length
) -> tuple[Option, ...]:
    """The two single figures that would make leaf, hardware and opening agree."""
    assert gate.leaf is not None
    leaf = gate.leaf + wide - needs
    found = []
    if not gate.widths:
        found.append(
            put_right(
                "opening",
                say("The opening is {width}", width=text_with_unit(needs, step)),
                pointer=f"{pointer}/width",
                value=needs,
                step=step,
            )
        )
    if leaf > 0:
        found.append(
            put_right(
                "leaf",
                say("The leaf is {leaf}", leaf=text_with_unit(leaf, step)),
                pointer=f"{pointer}/leaf",
                value=leaf,
                step=step,
            )
        )
    return tuple(found)


def _hardware(
    gate: Gate, says: str, *, severity: str, options: tuple[Option, ...] = ()
) -> Question:
    return Question(
        key=f"gate-width.{gate.name}",
        severity="stop" if severity == "stop" else "hold",
        place=say("Gate {gate}", gate=gate.name),
        says=says,
        ask=say("Is the opening or the leaf read wrong, and what does the hardware ask for?"),
        options=options if severity == "stop" else (*options, GO_ON),
    )


def _hinge_post(job: Job, gate: Gate, pointer: str) -> Iterator[Question]:
    """A gate hangs on a post of its own, not on the wall."""
    if gate.stair is not None:
        return
    line = next(line for line in job.lines if gate.leg in {leg.name for leg in line.legs})
    leg = next(leg for leg in line.legs if leg.name == gate.leg)
    at_far = gate.hinge == "left"  # seen from the deck the leg runs from right to left
    from_end: Length = leg.length - gate.start - gate.width if at_far else gate.start
    if from_end <= AT_THE_WALL and _is_wall(line, leg.name, far=at_far):
        other = "right" if at_far else "left"
        yield Question(
            key=f"gate-post.{gate.name}",
            severity="hold",
            place=say("Gate {gate}", gate=gate.name),
            says=say(
                "{gate} is to hang on its {hinge} side, where its opening ends at the wall, "
                "so no gate post with a full-length core stands there.",
                gate=gate.name,
                hinge=term(gate.hinge),
            ),
            ask=say("Does it hang on the other side, or what carries the hinges at the wall?"),
            options=(
                set_to(
                    "other-side",
                    say("It hangs on its {other} side", other=term(other)),
                    pointer=f"{pointer}/hinge",
                    value=other,
                ),
                GO_ON,
            ),
        )


def _is_wall(line: GuardLine, leg: str, *, far: bool) -> bool:
    if line.closed:
        return False
    end, last = (line.end, line.legs[-1]) if far else (line.start, line.legs[0])
    return end.kind == "wall" and last.name == leg
