"""A small whole plan, built by hand around a demo job, for what is printed of it."""

from __future__ import annotations

from functools import cache
from random import Random

from schemas.compliance import Compliance, Finding
from schemas.lengths import INCH
from schemas.plan import Plan
from schemas.sequence import Caution, Sequence, Step
from schemas.site import Answer, Assumed, Option, Question
from schemas.takeoff import Cost, HoursLine, Takeoff, TakeoffLine
from tests import builders
from tests.unit.services.drawings import made_records as made

PRICE = 987_654
"""Cents that must never be seen in the field."""
GATE_CODE = "Gate code 4711"
"""What the crew needs and nobody else may find lying about."""


@cache
def made_plan(name: str = "l-deck", seed: int = 11) -> Plan:
    """A plan of any demo job's size, deterministic for its seed."""
    rng, job = Random(seed), builders.job(name)
    site = job.site.model_copy(update={"access": (GATE_CODE,)})
    job = job.model_copy(
        update={
            "site": site,
            "questions": (question("corner.B", "hold"), question("wall.A", "note"), ANSWERED),
            "answers": (Answer(question="fall.A", option="ok", by="J. Marsh", why="seen again"),),
            "assumed": (Assumed(place="Leg A", says="deck is level"),),
        }
    )
    layout = made.layout_of(rng, job=job)
    bays = made.bays_of(rng, layout, job=job)
    return Plan(
        job=job, layout=layout, bays=bays, cuts=made.cuts_of(rng, bays, job=job),
        takeoff=takeoff(), compliance=compliance(), sequence=sequence(),
    )  # fmt: skip


def question(key: str, severity: str) -> Question:
    """A question that is still open."""
    return Question.model_validate(
        {
            "key": key, "severity": severity, "place": "Leg A", "says": f"{key} was not measured",
            "ask": f"What is {key}?",
        }
    )  # fmt: skip


ANSWERED = Question(
    key="fall.A", severity="hold", place="Leg A", says="The deck falls 1/2 in",
    ask="Is that right?", options=(Option(key="ok", says="as measured"),),
)  # fmt: skip


def takeoff() -> Takeoff:
    """Two things to load, two kinds of work."""
    return Takeoff(
        lines=(line("Level kit, 96 in", load=40), line("Temporary guard rail", load=70)),
        hours=(HoursLine(task="Level bay", count=4, each=0.5, hours=2),),
        crew_hours=6.5, day_hours=8, grams=100_000, truck_grams=600_000,
        cost=Cost(material_cents=PRICE, waste_cents=PRICE, by_group=(("rails", PRICE),)),
        rail_length=400 * INCH, tools=(("Cutting", ("mitre saw", "spare blade")),),
    )  # fmt: skip


def line(says: str, *, load: int) -> TakeoffLine:
    """Something to load."""
    return TakeoffLine(
        group="rails", item="x", says=says, needed=4, spare=1, package=1, packages=5, grams=50_000,
        cents=PRICE, load=load, why="1 a bay x 4 bays", places=("A1-A2",),
    )  # fmt: skip


def compliance() -> Compliance:
    """One of each verdict; two places with the same figures."""
    return Compliance(
        profile="Rules of a test, 2021",
        findings=(
            finding("guard-height", "A1-A2", "meets", INCH),
            finding("guard-height", "A2-A3", "meets", INCH),
            finding("post-bending", "A1", "for the authority", None),
            finding("guard-opening", "A1-A2", "breaks", -INCH),
        ),
        doubts=("Taken from a second source.",),
        complete=(("Level bays", "4", "4", True), ("Posts", "5", "4", False)),
    )


def finding(rule: str, place: str, verdict: str, margin: int | None) -> Finding:
    """A finding with the same figures for every place."""
    return Finding.model_validate(
        {
            "rule": rule, "clause": "R9.1", "says": f"Rule {rule}", "place": place,
            "required": "36 in or more", "found": "37 in", "margin": margin, "verdict": verdict,
            "note": f"shown for {rule}", "source": "a test",
        },
        context={"inside": True},
    )  # fmt: skip


def sequence() -> Sequence:
    """A step and a hold point, with one caution."""
    caution = Caution(
        key="edge", signal="WARNING", task="Open edge", hazard="A fall",
        consequence="A fall can kill.", avoid="Guard it first.", short="guard the edge",
        source="29 CFR 1926.501",
    )  # fmt: skip
    return Sequence(
        steps=(
            Step(number=1, key="arrive", stage="Arrive", text="Compare the code.", hold="H0"),
            Step(number=2, key="post", stage="Posts", text="Set post A1.", people=2,
                 tool="level", wait="24 h", slip="skirt forgotten", cautions=("edge",)),
        ),
        cautions=(caution,), site_hazards=tuple(f"Danger {i}" for i in range(1, 12)),
    )  # fmt: skip
