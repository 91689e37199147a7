"""Gates: duties, swing, the width of the opening against leaf and hardware, their posts."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from schemas.job import Job
from schemas.lengths import INCH, Length
from schemas.site import Gate, GuardLine, Option, Question
from services.intake.cross_checks.asking import GO_ON, put_right, set_to
from services.tape import text, text_with_unit

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
                *_narrowest(job, gate, f"/gates/{number}"),
                *_leaf(job, gate),
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
            place=f"Gate {gate.name}",
            says=f"It is not known whether {gate.name} is part of a pool barrier.",
            ask="Is there a pool behind it? Pool barriers have rules of their own.",
            options=(
                set_to("no", "No pool", pointer=f"{pointer}/pool_barrier", value=False),
                set_to(
                    "yes", "It is a pool barrier", pointer=f"{pointer}/pool_barrier", value=True
                ),
                GO_ON,
            ),
        )
    elif gate.pool_barrier:
        yield Question(
            key=f"pool-rules.{gate.name}",
            severity="hold",
            place=f"Gate {gate.name}",
            says=(
                f"{gate.name} is part of a pool barrier: pool barrier rules may apply to its "
                f"height, latch, closer and the way it opens."
            ),
            ask="What does the authority ask of this gate?",
            options=(Option(key="asked", says="The authority was asked and agrees"), GO_ON),
        )


def _over_stairs(gate: Gate, pointer: str) -> Iterator[Question]:
    if gate.stair is not None and gate.opens == "out":
        yield Question(
            key=f"gate-stairs.{gate.name}",
            severity="hold",
            place=f"Gate {gate.name}",
            says=f"{gate.name} hangs at the head of {gate.stair} and opens out over its steps.",
            ask="May it open toward the deck, or is there a landing as deep as its swing?",
            options=(
                set_to(
                    "in", "It opens in, toward the deck", pointer=f"{pointer}/opens", value="in"
                ),
                Option(key="landing", says="A landing as deep as its swing is there"),
            ),
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
        place=f"Gate {gate.name}",
        says=(
            f"{gate.name} is given {text_with_unit(gate.width, step)} wide, but "
            f"{text(least, step)} was read at one height; the smallest counts."
        ),
        ask="Is the smallest figure right, or does a post lean?",
        options=(
            put_right(
                "smallest",
                f"The opening is {text_with_unit(least, step)}",
                pointer=f"{pointer}/width",
                value=least,
                step=step,
            ),
            GO_ON,
        ),
    )


def _leaf(job: Job, gate: Gate) -> Iterator[Question]:
    if gate.leaf is None:
        return
    step, wide = job.step, min((*gate.widths, gate.width))
    if gate.hinge_gap is None or gate.latch_gap is None:
        lacks = "hinges" if gate.hinge_gap is None else "latch"
        yield _hardware(
            gate,
            f"{gate.name}: a leaf of {text_with_unit(gate.leaf, step)} in "
            f"{text(wide, step)}; the gap that its {lacks} need is not given.",
            severity="hold",
        )
        return
    needs = gate.leaf + gate.hinge_gap + gate.latch_gap
    if 0 <= wide - needs <= LOOSE:
        return
    yield _hardware(
        gate,
        f"{gate.name}: the leaf of {text(gate.leaf, step)} with {text(gate.hinge_gap, step)} at "
        f"the hinges and {text(gate.latch_gap, step)} at the latch takes "
        f"{text_with_unit(needs, step)}; the opening is {text(wide, step)}, "
        f"{text(abs(wide - needs), step)} too {'narrow' if wide < needs else 'wide'}.",
        severity="stop" if wide < needs else "hold",
    )


def _hardware(gate: Gate, says: str, *, severity: str) -> Question:
    return Question(
        key=f"gate-width.{gate.name}",
        severity="stop" if severity == "stop" else "hold",
        place=f"Gate {gate.name}",
        says=says,
        ask="Is the opening or the leaf read wrong, and what does the hardware ask for?",
        options=() if severity == "stop" else (GO_ON,),
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
            place=f"Gate {gate.name}",
            says=(
                f"{gate.name} is to hang on its {gate.hinge} side, where its opening ends at the "
                f"wall, so no gate post with a full-length core stands there."
            ),
            ask="Does it hang on the other side, or what carries the hinges at the wall?",
            options=(
                set_to(
                    "other-side",
                    f"It hangs on its {other} side",
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
