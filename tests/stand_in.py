"""A stand-in for the computation: quick, the same every time, and wrong when asked to be.

It reads real submissions. What it is to do wrong stands in the submission's promises, such as
``fault: raise``; a fault of printing strikes in the worker, one of planning at the desk too.
"""

from __future__ import annotations

import json
import os
import signal
import time
from collections.abc import Iterable, Sequence
from datetime import date
from hashlib import sha256
from pathlib import Path

from schemas.bundle import BundleFile, DecidedBooking, LateChange, Missing, Stop
from schemas.cut_plan import CutIn, CutPlan, PlainStock, RackPiece, StockRail
from schemas.delivery import NightReport
from schemas.errors import BadInput, BrokenPlan, NotNow, Problem, UnknownThing
from schemas.job import Library
from schemas.pack import OtherFile, Outcome, PackFile
from schemas.plan import Plan
from schemas.shop import ShopFile, ShopPlan
from schemas.site import Answer, Option, Question
from schemas.submission import Submission
from schemas.what_if import Alternative
from services.intake.reading import read_submission
from tests.gate import pass_gate

EXAMPLE = Path(__file__).parent.parent / "worker" / "demo_data" / "jobs" / "1-l-deck.json"
DAY = date(2026, 12, 3)

WHICH_POST = Question(
    key="which-post",
    severity="stop",
    place="A2",
    says="the legs do not close by 3 in",
    ask="which leg was misread?",
    options=(Option(key="leg-a", says="leg A"), Option(key="leg-b", says="leg B")),
)


DAY_FULL = Question(
    key="day-full.heron",
    severity="hold",
    place="Crew Heron",
    says="H-1 take 11.0 h; crew Heron has 9 h.",
    ask="What is left for another day?",
    options=(Option(key="go-on", says="Go on; the office knows"),),
)

ASKED = {
    "ask": WHICH_POST,
    "ask-more": WHICH_POST.model_copy(update={"key": "which-leg", "place": "A"}),
}
"""What planning asks, by the fault that makes it ask."""


def _answered(question: Question, answers: Sequence[Answer]) -> bool:
    return any(answer.question == question.key for answer in answers)


def submission_of(
    job: str, *faults: str, revision: int = 1, crew: str = "heron", day: date = DAY
) -> bytes:
    """A submission of that number, asking for these faults."""
    document = json.loads(EXAMPLE.read_bytes())
    document |= {
        "job": job,
        "revision": revision,
        "crew": crew,
        "install_date": day.isoformat(),
        "promises": [f"fault: {fault}" for fault in faults],
    }
    return json.dumps(document).encode()


class StandInPlan(Plan):
    """A plan with nothing in it but what it was made from."""

    def model_dump_json(self, **_: object) -> str:
        """What it was made from."""
        return json.dumps(self.__dict__)


def plan_of(**made_from: object) -> Plan:
    """A stand-in plan."""
    plan = StandInPlan.__new__(StandInPlan)
    plan.__dict__.update(made_from)
    return plan


def tag_of(one: StockRail | PlainStock) -> str:
    """Of an offcut."""
    return RackPiece(stock=one, home=None).tag


class StandIn:
    """Does what the pipeline does, in no time."""

    def read_submission(self, raw: bytes, *, library: Library | None = None) -> Submission:
        """Really read it."""
        return read_submission(raw, library=library)

    def make_plan(
        self,
        submission: Submission,
        *,
        library: Library,
        answers: tuple[Answer, ...] = (),
        rack: tuple[StockRail | PlainStock, ...] = (),
    ) -> Outcome:
        """Ask, refuse or fail when told to."""
        assert library
        faults = [line.removeprefix("fault: ") for line in submission.promises]
        asks = [q for fault, q in ASKED.items() if fault in faults and not _answered(q, answers)]
        if asks:
            return Outcome(plan=None, questions=tuple(asks))
        if "refuse" in faults:
            says = Problem(pointer="/crew", value="owl", says="no such crew", mend="heron")
            raise BadInput([says])
        if "broken" in faults:
            msg = "bay A1-A2 opens 4.02 in, the limit is 4 in"
            raise BrokenPlan(msg)
        made = {
            "job": submission.job,
            "revision": submission.revision,
            "faults": faults,
            "answers": [answer.model_dump() for answer in answers],
            "rack": [tag_of(one) for one in rack],
            "uses": [
                tag_of(one) for one in rack if f"use {tag_of(one)}" in faults or "use all" in faults
            ],
        }
        return Outcome.model_construct(plan=plan_of(**made), questions=())

    def make_shop(
        self,
        plans: Sequence[Plan],
        *,
        pool: str,
        day: date,
        library: Library,
        issued: str,
        rack: tuple[StockRail | PlainStock, ...] = (),
    ) -> tuple[ShopFile, ...]:
        """Cut nothing ahead, or fail when a plan says so."""
        assert library
        assert day
        assert issued
        if any("shop breaks" in vars(plan)["faults"] for plan in plans):
            msg = f"{pool} breaks with {len(rack)} offcuts"
            raise BrokenPlan(msg)
        return ()

    def read_shop(self, raw: bytes) -> ShopPlan:
        """Really read it."""
        return ShopPlan.model_validate_json(raw)

    def tags_taken(self, cuts: CutPlan) -> tuple[str, ...]:
        """Those of a cutting."""
        return tuple(bar.stock.id for bar in cuts.bars if bar.stock.kit is None)

    def off_rack(self, plan: Plan) -> tuple[str, ...]:
        """Those it was told to use."""
        return tuple(vars(plan)["uses"])

    def left_for_rack(self, cuts: CutPlan, *, stem: str, cut_in: CutIn) -> tuple[RackPiece, ...]:
        """Nothing: it cuts nothing."""
        assert cuts
        assert stem
        assert cut_in
        return ()

    def read_plan(self, raw: bytes) -> Plan:
        """Read a stand-in plan back."""
        return plan_of(**json.loads(raw))

    def compare(
        self,
        submission: Submission,
        *,
        library: Library,
        tries: Sequence[str],
        answers: tuple[Answer, ...] = (),
    ) -> tuple[Alternative, ...]:
        """Name what is tried."""
        assert submission
        assert library
        assert answers == ()
        return tuple(Alternative(named=text, planned=False) for text in tries)

    def list_takeoff(self, plan: Plan, *, prices: bool = False) -> bytes:
        """Which job it is."""
        return f"{vars(plan)['job']}{' with prices' if prices else ''}".encode()

    def list_cuts(self, plan: Plan) -> bytes:
        """Which job it is."""
        return f"{vars(plan)['job']}".encode()

    def purchase(
        self,
        plans: Iterable[bytes],
        *,
        library: Library,
        day: date,
        issued: date,
        shops: Iterable[bytes] = (),
    ) -> dict[str, bytes]:
        """List the jobs bought for."""
        assert library
        assert all(shops)
        jobs = sorted(json.loads(raw)["job"] for raw in plans)
        return {"order-totals.csv": f"{day} {issued} {' '.join(jobs)}".encode()} if jobs else {}

    def check_night(self, plans: Iterable[bytes], *, library: Library) -> tuple[Question, ...]:
        """Too long a day where a plan says so."""
        assert library
        read = [json.loads(plan) for plan in plans]
        full = [plan["job"] for plan in read if "long day" in plan["faults"]]
        return (DAY_FULL,) if full else ()

    def make_morning_page(self, report: NightReport, *, library: Library) -> bytes:
        """List what it is given."""
        assert library
        return b"%PDF " + report.model_dump_json().encode()

    def make_pack(
        self, plan: Plan, *, issued: str, replaces: str, before: Plan | None = None
    ) -> PackFile:
        """Print, after doing what it is told to."""
        made = vars(plan)
        for fault in made["faults"]:
            strike(fault)
        content = plan.model_dump_json().encode()
        return PackFile(
            job=made["job"],
            revision=made["revision"],
            code=sha256(content).hexdigest()[:10],
            pages=3,
            pdf=b"%PDF " + content + f" {issued} {replaces}{_since(before)}".encode(),
            sheets=(),
        )

    def make_labels(
        self, plan: Plan, *, issued: str, replaces: str, before: Plan | None = None
    ) -> OtherFile:
        """No rail is cut for a stand-in."""
        del plan, issued, replaces, before
        msg = "nothing of a stand-in is cut to a ticket"
        raise UnknownThing(msg)

    def make_bundle(
        self,
        *,
        crew: str,
        day: date,
        stops: Sequence[Stop],
        missing: Sequence[Missing],
        library: Library,
        issued: str,
        decided: Sequence[DecidedBooking] = (),
    ) -> BundleFile:
        """List what it is given."""
        assert library
        lines = [f"{crew} {day} {issued}"]
        lines += [f"{vars(s.plan)['job']} {s.code} replaces {s.replaces}" for s in stops]
        lines += [f"without {m.job}: {m.why}" for m in missing]
        lines += [f"decided {one.question} {one.option} by {one.by}" for one in decided]
        text = "\n".join(lines).encode()
        code = sha256(text).hexdigest()[:10]
        return BundleFile(crew=crew, day=str(day), code=code, pages=1, pdf=b"%PDF " + text)

    def make_supplement(
        self,
        *,
        crew: str,
        day: date,
        of: str,
        code: str,
        changes: Sequence[LateChange],
        stops: Sequence[Stop],
        library: Library,
        issued: str,
    ) -> BundleFile:
        """List what it is given."""
        assert library
        lines = [f"{crew} {day} {issued}: {of} becomes {code}, {len(stops)} stops"]
        lines += [
            f"{c.job}: {c.destroy or '-'} -> {c.pack or '-'} {c.why}".rstrip() for c in changes
        ]
        text = "\n".join(lines).encode()
        return BundleFile(crew=crew, day=str(day), code=code, pages=1, pdf=b"%PDF " + text)


def strike(fault: str) -> None:
    """Go wrong as told: ``raise``, ``kill``, ``kill-once PATH``, ``late-once PATH``, ``slow S``.

    ``gate`` waits at the gate (`tests.gate`) if there is one.
    """
    name, _, more = fault.partition(" ")
    if name == "raise":
        raise ValueError(fault)
    if name == "slow":
        time.sleep(float(more))
    if name == "gate":
        pass_gate()
    if name == "kill" or (name == "kill-once" and _first(more)):
        os.kill(os.getpid(), signal.SIGKILL)
    if name == "late-once" and _first(more):
        msg = "the disk is full"
        raise NotNow(msg)


def _first(path: str) -> bool:
    """Whether this is the first time; from now on it is not."""
    try:
        Path(path).touch(exist_ok=False)
    except FileExistsError:
        return False
    return True


def _since(before: Plan | None) -> str:
    """What a pack says of the plan it is compared with."""
    return f", was rev {vars(before)['revision']}" if before is not None else ""
