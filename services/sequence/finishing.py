"""Steps at the end: gates, caps, the last check, what was promised, hand-over."""

from __future__ import annotations

from schemas.sequence import Step
from schemas.site import Gate
from schemas.wording import row, say, shipped
from services import tape
from services.sequence.stages import key_of, listed
from services.sequence.work import Work


def finishing(work: Work, *, before: tuple[Step, ...]) -> tuple[Step, ...]:
    """From the gates to the customer's signature.

    Args:
        work: The finished plan.
        before: All steps so far: caps and the last check wait for every one of them.
    """
    gates = tuple(step for gate in work.job.gates for step in _gate(gate, work))
    built = tuple(step.key for step in (*before, *gates))
    finish = tuple(
        step.model_copy(update={"after": built}) for step in (*_caps(work), *_promises(work))
    )
    done = (*built, *(step.key for step in finish))
    return (*gates, *finish, _last_check(after=done), _hand_over())


_HINGE = {
    "left": say("hinge left seen from the deck"),
    "right": say("hinge right seen from the deck"),
}
_OPENS = {"in": say("opens in"), "out": say("opens out")}


def _gate(gate: Gate, work: Work) -> tuple[Step, ...]:
    check = say(
        "{gate}: swings free, latches by itself where that is asked for; small ball at hinge, "
        "latch and below.",
        gate=gate.name,
    )
    pool = () if gate.pool_barrier is False else (say("A pool barrier has rules of its own: ask."),)
    return (
        Step(
            number=0,
            key=key_of("gate", gate.name),
            stage="Gates",
            text=say(
                "{gate}: {hinge}, {opens}; clear {width}, read top, middle and bottom, the least "
                "counts. Hinges as far apart as they go, into the core.",
                gate=gate.name, hinge=_HINGE[gate.hinge], opens=_OPENS[gate.opens],
                width=work.mark(gate.width),
            ),
            people=2,
            tool=say("Driver, level, shims"),
            slip=say("Hung on the sleeve instead of the core"),
            cautions=("overdriven", "lifting"),
        ),
        Step(
            number=0,
            key=key_of("gate-check", gate.name),
            stage="Gates",
            hold="H9",
            text=row((check, *pool, say("Photo closed.")), " "),
            tool=say("Check ball, camera"),
            after=(key_of("gate", gate.name),),
        ),
    )  # fmt: skip


def _caps(work: Work) -> tuple[Step, ...]:
    if not work.layout.posts:
        return ()
    new = work.new_posts()
    if not new:
        return (_no_caps(),)
    least = work.job.system.adhesive_least_degf
    cold = f"{(least - 32) / 1.8:.0f} C" if tape.is_metric(work.job.step) else f"{least:.0f} F"
    return (
        Step(
            number=0,
            key="caps",
            stage="Finish",
            text=say(
                "Caps last, after wiring and inspection: {posts}. Dry and clean, adhesive on the "
                "inner lip, none below {cold}. Skirts down, screws covered, touch-up.",
                posts=listed(post.name for post in new), cold=cold,
            ),
            tool=say("Adhesive gun, cleaner, cloths"),
            wait=say("Full strength as the cartridge says, commonly 24 to 72 hours"),
            slip=say("Protective film left on: it bakes on"),
            cautions=("solvent",),
        ),
    )  # fmt: skip


def _no_caps() -> Step:
    return Step(
        number=0,
        key="caps",
        stage="Finish",
        text=say("Posts in place keep what tops them. Screws covered, film off, touch-up."),
        tool=say("Cloths"),
        slip=say("Protective film left on: it bakes on"),
    )


def _promises(work: Work) -> tuple[Step, ...]:
    promises = work.job.promises
    if not promises:
        return ()
    return (
        Step(
            number=0,
            key="promises",
            stage="Finish",
            text=say(
                "Promised to the customer: {promises}.", promises=row(map(shipped, promises), "; ")
            ),
        ),
    )


def _last_check(*, after: tuple[str, ...]) -> Step:
    return Step(
        number=0,
        key="last-check",
        stage="Finish",
        hold="H10",
        text=say(
            "Ball at every kind of opening, all bays; push every post; look along the top; "
            "no sharp edge; drains open. Broom and magnet. Photo of each leg."
        ),
        people=2,
        tool=say("Check balls, magnet, camera"),
        slip=say("Only the bays near the steps tried"),
        cautions=("swarf",),
        after=after,
    )


def _hand_over() -> Step:
    return Step(
        number=0,
        key="hand-over",
        stage="Hand over",
        text=say(
            "Temporary guard off where the section is whole. Any edge left open: strong barrier, "
            "photo, owner told. Walk it with the customer: what was built, what was not looked "
            "at; signature."
        ),
        people=2,
        slip=say("A bay left out overnight"),
        cautions=("finished-guard", "public"),
    )
