"""Steps at the end: gates, caps, the last check, what was promised, hand-over."""

from __future__ import annotations

from schemas.sequence import Step
from schemas.site import Gate
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


def _gate(gate: Gate, work: Work) -> tuple[Step, ...]:
    pool = "" if gate.pool_barrier is False else " A pool barrier has rules of its own: ask."
    swing = f"{gate.name}: hinge {gate.hinge} seen from the deck, opens {gate.opens}"
    return (
        Step(
            number=0,
            key=key_of("gate", gate.name),
            stage="Gates",
            text=f"{swing}; clear {work.mark(gate.width)}, read top, middle and bottom, the least "
            "counts. Hinges as far apart as they go, into the core.",
            people=2,
            tool="Driver, level, shims",
            slip="Hung on the sleeve instead of the core",
            cautions=("overdriven", "lifting"),
        ),
        Step(
            number=0,
            key=key_of("gate-check", gate.name),
            stage="Gates",
            hold="H9",
            text=f"{gate.name}: swings free, latches by itself where that is asked for; small ball "
            f"at hinge, latch and below.{pool} Photo closed.",
            tool="Check ball, camera",
            after=(key_of("gate", gate.name),),
        ),
    )


def _caps(work: Work) -> tuple[Step, ...]:
    posts = work.layout.posts
    if not posts:
        return ()
    least = work.job.system.adhesive_least_degf
    cold = f"{(least - 32) / 1.8:.0f} C" if tape.is_metric(work.job.step) else f"{least:.0f} F"
    return (
        Step(
            number=0,
            key="caps",
            stage="Finish",
            text=f"Caps last, after wiring and inspection: {listed(post.name for post in posts)}. "
            f"Dry and clean, adhesive on the inner lip, none below {cold}. Skirts down, screws "
            "covered, touch-up.",
            tool="Adhesive gun, cleaner, cloths",
            wait="Full strength as the cartridge says, commonly 24 to 72 hours",
            slip="Protective film left on: it bakes on",
            cautions=("solvent",),
        ),
    )


def _promises(work: Work) -> tuple[Step, ...]:
    if not work.job.promises:
        return ()
    return (
        Step(
            number=0,
            key="promises",
            stage="Finish",
            text=f"Promised to the customer: {'; '.join(work.job.promises)}.",
        ),
    )


def _last_check(*, after: tuple[str, ...]) -> Step:
    return Step(
        number=0,
        key="last-check",
        stage="Finish",
        hold="H10",
        text="Ball at every kind of opening, all bays; push every post; look along the top; "
        "no sharp edge; drains open. Sweep and magnet. Photo of each leg.",
        people=2,
        tool="Check balls, magnet, camera",
        slip="Only the bays near the steps tried",
        cautions=("swarf",),
        after=after,
    )


def _hand_over() -> Step:
    return Step(
        number=0,
        key="hand-over",
        stage="Hand over",
        text="Temporary guard off where the section is whole. Any edge left open: strong barrier, "
        "photo, owner told. Walk it with the customer: what was built, what was not looked at; "
        "signature.",
        people=2,
        slip="A bay left out overnight",
        cautions=("finished-guard", "public"),
    )
