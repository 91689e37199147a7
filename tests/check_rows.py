"""The forty-two checks of a measure: for each a job that trips it, and one that just does not.

Every row is run through the whole program: read, checked, laid out, made into bays, compared
with the rules, cut and counted. Figures of codes name their clause; the rest is common practice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal

from schemas.company import FixingDetail
from schemas.errors import BadInput, Conflict
from schemas.job import Library
from schemas.lengths import INCH, read_length
from schemas.rail_system import RailSystem
from services.bundle import Booking, check_bookings
from services.pipeline import make_plan
from services.recheck import recheck
from tests import builders
from tests.builders import document
from tests.landings import two_flights
from tests.planned import plan
from tests.stand_in import StandIn, submission_of
from tests.unit.services.layout.decks import WALL, gate, leg, line, stair
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.desk import submit
from worker.ledger.opening import open_ledger
from worker.settings import Settings
from worker.stores.memory import MemoryStore

Tree = dict[str, Any]
Severity = Literal["stop", "hold", "note"]
Asked = Mapping[str, str]
"""Severity by key of question."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Two measures to both sides of one border."""

    trips: Any
    near: Any
    """Just does not trip it."""
    key: str
    severity: Severity
    books: Library | None = None
    """Company and systems; none: the demo's."""
    otherwise: Severity | None = None
    """How the same is asked on the other side; none: it is not."""
    near_books: Library | None = None
    """Those of the other side; none: the same."""
    asks: Callable[[Any, Library], Asked] | None = None
    """How it is asked; none: planned whole."""


def planned(tree: Tree, books: Library) -> Asked:
    """What planning a job asks; what cannot be read stops it at the pointer."""
    try:
        made = make_plan(builders.submission(tree), library=books)
    except BadInput as no:
        return {problem.pointer: "stop" for problem in no.problems}
    return {question.key: question.severity for question in made.questions}


def booked(bookings: tuple[Booking, ...], books: Library) -> Asked:
    """What a crew's day asks."""
    found = check_bookings(company=books.company, bookings=bookings)
    return {question.key: question.severity for question in found}


def counted(change: tuple[str, int], _books: Library) -> Asked:
    """What the second count says when so many of a part are added to the load."""
    item, more = change
    good = plan("l-deck")
    lines = tuple(
        one.model_copy(update={"needed": one.needed + more}) if one.item == item else one
        for one in good.takeoff.lines
    )
    takeoff = good.takeoff.model_copy(update={"lines": lines})
    spoilt = good.model_copy(update={"takeoff": takeoff})
    return {item: "stop"} if any(item in breach for breach in recheck(spoilt)) else {}


def sent(revision: int, *promises: str) -> bytes:
    """A submission with a revision, and with other content where something is promised."""
    return submission_of("J-1", *promises, revision=revision)


def accepted(pair: tuple[bytes, bytes], books: Library) -> Asked:
    """What an empty ledger says to two submissions, one after the other."""
    clock = SetClock()
    with TemporaryDirectory() as folder:
        ledger = open_ledger(f"sqlite:///{folder}/ledger.sqlite", clock)
        works = Works(
            settings=Settings(data=Path(folder)), clock=clock, ledger=ledger, store=MemoryStore(),
            pipeline=StandIn(), library=books, stamp="0" * 64,
        )  # fmt: skip
        try:
            for number, raw in enumerate(pair):
                submit(works, raw, came_as=f"{number}.json")
        except Conflict:
            return {"conflict": "stop"}
        finally:
            ledger.close()
    return {}


def assumed(tree: Tree, _books: Library) -> Asked:
    """What is printed as assumed."""
    return {f"{one.place}: {one.says}": "note" for one in builders.job(tree).assumed}


def site(*lines: Tree, **more: object) -> Tree:
    """The demo's first job with other lines, and nothing else on it."""
    plain = {"lines": list(lines), "stairs": [], "gates": [], "remove_feet": 0}
    return document("l-deck") | plain | more


def straight(length: str = "120", **more: object) -> Tree:
    """One leg from a wall to a free end."""
    return site(line(leg("A", length, **more), start=WALL))


def porch(*clears: str | Tree, length: str | None = None, **more: object) -> Tree:
    """Openings between two walls, their posts in place."""
    row = [{"bottom": one} if isinstance(one, str) else one for one in clears]
    made = sum(read_length(one["bottom"], "in") for one in row) / INCH + 4.5 * (len(row) - 1)
    whole = leg("A", length or f"{made}", clears=row, **more)
    return site(line(whole, start=WALL, end=WALL))


def bent(turn: float, post: str | None) -> Tree:
    """Two legs and a corner."""
    corner = {"turn_deg": turn, "post": post}
    return site(line(leg("A", "90", corner=corner), leg("B", "90")))


def into_corner(clear: str) -> Tree:
    """An opening from a wall to a post that stands turned in a corner of 45 degrees."""
    whole = read_length(clear, "in") / INCH + 2.4375  # half a sleeve over cos 22.5
    standing = leg("A", f"{whole}", clears=[{"bottom": clear}], corner={"turn_deg": 45})
    return site(line(standing, leg("B", "90"), measured="post-centre", inset="0", start=WALL))


def closed(third: str) -> Tree:
    """A rectangle of 100 by 80 whose third side is what it is."""
    sides = zip("ABCD", ("100", "80", third, "80"), strict=True)
    legs = [leg(name, length, corner={"turn_deg": 90}) for name, length in sides]
    line_of = {"measured": "deck-edge", "inset": "3 1/2", "heading": "along", "closed": True}
    return site(line_of | {"legs": legs})


def flight(**more: object) -> Tree:
    """The demo's first job with its stair changed: 6 risers of 7 1/2 on 11."""
    return document("l-deck") | {"stairs": [document("l-deck")["stairs"][0] | more]}


def unchecked(**more: object) -> Tree:
    """The same without the sums that would have to agree."""
    return flight(**{"total_rise": None, "total_run": None, "slope_deg": None} | more)


def foot(beyond: str, **more: object) -> Tree:
    """Its lower posts so far beyond the lowest nosing."""
    lower = {"from_last_nose": beyond, "stands_on": "landing", "detail": "D-7"}
    return unchecked(lower_post=lower, **more)


def upper(back: str) -> Tree:
    """Its upper posts so far back on the deck, along a line of post centres."""
    tree = flight(upper_post={"from_top_nose": f"-{back}"})
    along = tree["lines"][0] | {"measured": "post-centre", "inset": "0"}
    return tree | {"lines": [along]}


def changed(tree: Tree, **more: object) -> Tree:
    """With fields of a part of the document changed, e.g. ``site={...}``."""
    return tree | {part: tree[part] | fields for part, fields in more.items()}


def local(tree: Tree, rule: str, **limits: str) -> Tree:
    """With one figure of the rules changed by the town."""
    change = {"rule": rule, "authority": "Town of Alder Quay", **limits}
    return tree | {"code": {"profile": "us-irc-2021", "local_changes": [change]}}


def wall_side(*rails: str) -> Tree:
    """A stair whose opening begins at the wall, with rails on these sides."""
    at_wall = stair(start="0", rails=list(rails), lower_post={"from_last_nose": "2",
                                                               "detail": "D-7"})  # fmt: skip
    return straight("150") | {"stairs": [at_wall]}


def weather(low: float, high: float, *warnings: str) -> Tree:
    """The demo's first job on such a day."""
    day = {"low": low, "high": high, "unit": "degF", "warnings": list(warnings)}
    return document("l-deck") | {"forecast": day}


def gated(drop: str = "30", **more: object) -> Tree:
    """A gate in an edge."""
    return straight("150", drop=drop) | {"gates": [gate(start="60") | more]}


def left_open(**edge: object) -> Tree:
    """An edge without railing, where old stairs were."""
    gone = {"leg": "A", "where": "where the old stairs were", "why": "stairs-removed",
            "width": "42", "drop": "41"}  # fmt: skip
    return document("l-deck") | {"open_edges": [gone | edge]}


def at_stair(opens: str) -> Tree:
    """A gate at the head of the demo's stair."""
    hung = {"name": "G1", "leg": "D", "stair": "S1", "start": "46", "width": "42"}
    return document("l-deck") | {"gates": [hung | {"opens": opens, "pool_barrier": False}]}


def on_top(**post: object) -> Tree:
    """Posts that stand on the surface, with what is known of it."""
    tree = straight()
    spec = {key: value for key, value in tree["post"].items() if key != "edge_distance"}
    return tree | {"post": spec | post}


def one_side(risers: int, *rails: str) -> Tree:
    """A stair of so many risers with rails on these sides."""
    return unchecked(risers=risers, rails=list(rails), handrail=[])


def _cove() -> RailSystem:
    return builders.system("cove")


def _with(other: RailSystem) -> Library:
    """The demo's books with its system changed, or with a second one that the company buys."""
    books = builders.library()
    kept = tuple(one for one in books.systems if one.key != other.key)
    named = tuple(dict.fromkeys((*books.company.systems, other.key)))
    company = books.company.model_copy(update={"systems": named})
    return books.model_copy(update={"systems": (*kept, other), "company": company})


def second_system(*colours: str) -> Library:
    """Beside the demo's system one that is like it but for its name and colours."""
    named = {"key": "gull", "title": "Gull", "colours": colours}
    return _with(_cove().model_copy(update=named))


def stair_of_the_second() -> Tree:
    """The demo's first job with its stair of the other system."""
    return changed(document("l-deck"), rail={"stair_system": "gull"})


def short_kits() -> Library:
    """Only the kit of 72 is on sale."""
    level = _cove().level
    return _with(
        _cove().model_copy(update={"level": level.model_copy(update={"kits": level.kits[:1]})})
    )


def wide_brackets() -> Library:
    """Brackets that ask for 2 1/4 in at each end."""
    level = _cove().level
    bracket = level.bracket.model_copy(update={"least_margin": read_length("2 1/4", "in")})
    return _with(
        _cove().model_copy(update={"level": level.model_copy(update={"bracket": bracket})})
    )


def sleeves_of(length: str) -> Library:
    """Sleeves are sold in one length."""
    sleeve = _cove().sleeve
    stock = ((sleeve.stock[0][0], read_length(length, "in")),)
    return _with(_cove().model_copy(update={"sleeve": sleeve.model_copy(update={"stock": stock})}))


def with_cores() -> Library:
    """Cores of 3 7/8 and of 3 15/16 are on sale too."""
    books = builders.library()
    stick = books.company.cores[0]
    more = [
        stick.model_copy(update={"core": read_length(f"3 {n}", "in")}) for n in ("7/8", "15/16")
    ]
    cores = (*books.company.cores, *more)
    return books.model_copy(update={"company": books.company.model_copy(update={"cores": cores})})


def mounted(mount: str) -> Library:
    """The legs' detail stands on the surface or on concrete."""

    def of(detail: FixingDetail) -> FixingDetail:
        return detail.model_copy(update={"mount": mount}) if detail.key == "D-3" else detail

    books = builders.library()
    details = tuple(of(detail) for detail in books.company.details)
    company = books.company.model_copy(update={"details": details})
    return books.model_copy(update={"company": company})


MONDAY, TUESDAY = date(2026, 6, 8), date(2026, 6, 9)


def day(*, hours: float = 2.0, crew: str = "heron", on: date = MONDAY, **more: object) -> Booking:
    """A job on a crew's day."""
    plain = {"job": "J-1", "crew": crew, "day": on, "hours": hours}
    return Booking(**plain | more)  # type: ignore[arg-type]


EVEN = ["7 1/2"] * 5
LONG = {"risers": 20, "riser": "7.55", "total_run": None, "slope_deg": None, "mid_posts": "auto",
        "mid_detail": "D-7", "handrail": []}  # fmt: skip
SHARE = {"risers": 4, "handrail": [], "total_rise": None, "total_run": None, "slope_deg": None}
LOTS = [{"kit": "cove-level-96", "count": 9, "lot": "7A"}]
KEEP_OUT = [{"start": "40", "end": "50", "why": "downspout"}]
JOISTS = {"joists": "16", "first_joist": "0"}


def _crews() -> tuple[str, str, float]:
    first, second, *_ = builders.company().crews
    return first.key, second.key, first.hours


ONE, TWO, HOURS = _crews()


def _unmeasured() -> Tree:
    tree = two_flights()
    return tree | {"stairs": tree["stairs"][:1]}


def _no_nosing() -> Tree:
    tree = flight()
    del tree["stairs"][0]["nosing"]
    return tree


# fmt: off
ROWS: dict[int, tuple[str, tuple[Case, ...]]] = {
    1: ("running measures grow and end with the leg", (
        Case(trips=straight(fixed_posts=["80", "40"]), near=straight(fixed_posts=["40", "80"]),
             key="running.A", severity="stop"),
        Case(trips=straight(fixed_posts=["40", "40"]), near=straight(fixed_posts=["40", "46"]),
             key="running.A", severity="stop"),
        Case(trips=straight(fixed_posts=["40", "120 1/4"]),
             near=straight(fixed_posts=["40", "120 3/16"]), key="running.A", severity="stop"),
    )),
    2: ("openings, posts and gates make the leg, to a quarter inch", (
        Case(trips=porch("70", "68", length="142 13/16"), near=porch("70", "68", length="142 3/4"),
             key="clears.A", severity="stop"),
        Case(trips=porch("70", "68", length="142 3/16"), near=porch("70", "68", length="142 1/4"),
             key="clears.A", severity="stop"),
    )),
    3: ("no opening beyond the allowed span or the longest kit", (
        Case(trips=porch("94 1/16", "80"), near=porch("94", "80"), key="dead-band.A",
             severity="stop"),
        Case(trips=porch("72 7/16", "60"), near=porch("72 3/8", "60"), key="dead-band.A",
             severity="stop", books=short_kits()),
    )),
    # cut 62 3/8 holds 13 balusters with 4 3/16 at both ends; a sixteenth more is over the margin,
    # 14 balusters need 2 1/4 at the angle bracket, which 62 15/16 is the first to leave
    4: ("no dead band", (
        Case(trips=into_corner("62 13/16"), near=into_corner("62 3/4"), key="dead-band.W-B1",
             severity="stop"),
        Case(trips=into_corner("63 1/4"), near=into_corner("63 5/16"), key="dead-band.W-B1",
             severity="stop"),
    )),
    5: ("openings alike at both heights", (
        Case(trips=porch({"bottom": "70", "top": "70 5/16"}, "70"),
             near=porch({"bottom": "70", "top": "70 1/4"}, "70"), key="plumb.A.1",
             severity="hold"),
        Case(trips=porch({"bottom": "70", "top": "69 11/16"}, "70"),
             near=porch({"bottom": "70", "top": "69 3/4"}, "70"), key="plumb.A.1",
             severity="hold"),
        Case(trips=porch({"bottom": "70", "top": "70 13/16"}, "70"),
             near=porch({"bottom": "70", "top": "70 3/4"}, "70"), key="plumb.A.1",
             severity="stop", otherwise="hold"),
        Case(trips=site(line(leg("A", "90"), start=WALL | {"out_of_plumb": "5/16"})),
             near=site(line(leg("A", "90"), start=WALL | {"out_of_plumb": "1/4"})),
             key="plumb.A.start", severity="hold"),
    )),
    6: ("closed lines close, to half an inch", (
        Case(trips=closed("100 9/16"), near=closed("100 1/2"), key="closing.A", severity="hold"),
        Case(trips=closed("104 9/16"), near=closed("104 1/2"), key="closing.A",
             severity="stop", otherwise="hold"),
    )),
    7: ("corners within the brackets and on the post's faces", (
        Case(trips=bent(76, "turned"), near=bent(75, "turned"), key="corner.A", severity="stop"),
        Case(trips=bent(128, "square"), near=bent(127, "square"), key="corner.A",
             severity="stop"),
    )),
    # 4 1/8 inside less 1/4 of play
    8: ("cores go into sleeves", (
        Case(trips=changed(straight(), post={"core": "3 15/16"}),
             near=changed(straight(), post={"core": "3 7/8"}), key="core.sleeve",
             severity="stop", books=with_cores()),
    )),
    # a 3 1/2 core and a 1 1/2 joist touch at 2 1/2 between centres; a sleeve is 4 1/2
    9: ("no post on a joist or in a keep-out", (
        Case(trips=straight(fixed_posts=["34 7/16"], **JOISTS),
             near=straight(fixed_posts=["34 1/2"], **JOISTS), key="on-joist.A.fixed-1",
             severity="hold"),
        Case(trips=straight(fixed_posts=["37 13/16"], keep_out=KEEP_OUT),
             near=straight(fixed_posts=["37 3/4"], keep_out=KEEP_OUT), key="keep-out.A.fixed-1",
             severity="hold"),
        # 8 in of clear opening are what a driver needs
        Case(trips=straight("122", fixed_posts=["10 3/16"]),
             near=straight("122", fixed_posts=["10 1/4"]), key="near-wall.A.A1",
             severity="hold"),
    )),
    # the sphere of 4 in passes 4 in; a rail needs 2 x (2 1/4 + 3/16) = 4 7/8
    10: ("no trap beside a wall", (
        Case(trips=straight(fixed_posts=["6 1/4"]), near=straight(fixed_posts=["6 3/16"]),
             key="trap.A.start", severity="hold", books=wide_brackets()),
        Case(trips=straight(fixed_posts=["7 1/16"]), near=straight(fixed_posts=["7 1/8"]),
             key="trap.A.start", severity="hold", books=wide_brackets()),
    )),
    11: ("bays like their neighbours, to a quarter", (
        Case(trips=porch("70", "52 7/16", "70"), near=porch("70", "52 1/2", "70"),
             key="unlike.A1-A2", severity="note"),
        Case(trips=porch("70", "87 9/16", "70"), near=porch("70", "87 1/2", "70"),
             key="unlike.A1-A2", severity="note"),
    )),
    # 3 3/4 + 2 + 28 1/16 + 2 1/4 = 36 1/16, and 2 1/2 + 1 1/2 over it
    12: ("rail high enough, posts long enough", (
        Case(trips=local(straight(), "guard-height", limit="36 1/8"),
             near=local(straight(), "guard-height", limit="36 1/16"), key="rail-height",
             severity="stop"),
        Case(trips=straight(), near=straight(), key="sleeve.A1", severity="stop",
             books=sleeves_of("40"), near_books=sleeves_of("40 1/16")),
    )),
    # the 3 3/4 in block and a bay's share of the fall stay under the working limit, 3 15/16:
    # 70 of 142 1/2 share 1/4 as 1/8, and 5/16 as 3/16
    13: ("no gap under a falling rail", (
        Case(trips=porch("70", "68", fall="5/16"), near=porch("70", "68", fall="1/4"),
             key="sweep.W-A1", severity="stop"),
    )),
    14: ("one product on a post", (
        Case(trips=stair_of_the_second(), near=document("l-deck"), key="products.stair",
             severity="hold", books=second_system("chalk")),
    )),
    15: ("risers make the rise, and are alike", (
        Case(trips=flight(total_rise="45 5/16"), near=flight(total_rise="45 1/4"), key="rise.S1",
             severity="stop"),
        Case(trips=flight(total_rise="44 11/16"), near=flight(total_rise="44 3/4"),
             key="rise.S1", severity="stop"),
        Case(trips=flight(each_riser=["7 1/16", *EVEN], total_rise=None),
             near=flight(each_riser=["7 1/8", *EVEN], total_rise=None), key="riser-spread.S1",
             severity="hold"),
    )),
    16: ("treads make the run, to half an inch", (
        Case(trips=flight(total_run="55 9/16"), near=flight(total_run="55 1/2"), key="run.S1",
             severity="stop"),
        Case(trips=flight(total_run="54 7/16"), near=flight(total_run="54 1/2"), key="run.S1",
             severity="stop"),
    )),
    # 7 1/2 on 11 is 34.287 degrees
    17: ("slope read is slope made, to a degree", (
        Case(trips=flight(slope_deg=35.29), near=flight(slope_deg=35.28), key="slope.S1",
             severity="stop"),
        Case(trips=flight(slope_deg=33.28), near=flight(slope_deg=33.29), key="slope.S1",
             severity="stop"),
    )),
    # slots and brackets take 28 to 40 degrees
    18: ("slope within slots and brackets", (
        Case(trips=unchecked(riser="6", tread="11 5/16"),
             near=unchecked(riser="6", tread="11 1/4"), key="stair-range.S1", severity="stop"),
        Case(trips=unchecked(riser="8", tread="9 1/2"),
             near=unchecked(riser="8", tread="9 9/16"), key="stair-range.S1", severity="stop"),
    )),
    # 77 in between 8 nosings, 1 1/4 back at the top: 95 along the slope is 78.49 level
    19: ("flight within its rail, or a mid post", (
        Case(trips=foot("1/4", risers=8), near=foot("3/16", risers=8), key="mid-post.S1",
             severity="stop"),
    )),
    20: ("lower and upper stair posts near their nosings", (
        Case(trips=foot("11 7/16"), near=foot("11 3/8"), key="low-at-lower.S1-L",
             severity="stop"),
        Case(trips=foot("-4 9/16"), near=foot("-4 1/2"), key="last-nose.S1", severity="stop"),
        Case(trips=upper("5 5/16"), near=upper("5 1/4"), key="gap-at-upper.S1-L",
             severity="stop"),
    )),
    # the highest place under the triangle, 5/16 over the nosings, has the top at 34.96
    21: ("triangle closed", (
        Case(trips=local(flight(), "guard-stair-height", limit="34 15/16"),
             near=local(flight(), "guard-stair-height", limit="34 7/8"), key="stair-height.S1",
             severity="stop"),
        Case(trips=local(flight(), "guard-triangle", limit="5 11/16"),
             near=local(flight(), "guard-triangle", limit="5 3/4"), key="stair-height.S1",
             severity="stop"),
        Case(trips=flight(open_risers=None), near=flight(open_risers=False), key="triangle.S1",
             severity="hold"),
        Case(trips=_no_nosing(), near=flight(), key="triangle.S1", severity="hold"),
    )),
    # no rail of the system stands lower than 34.65 over the nosings
    22: ("stair rail in its window", (
        Case(trips=local(flight(**SHARE), "guard-as-handrail", limit="20", upper="34 11/16"),
             near=local(flight(**SHARE), "guard-as-handrail", limit="20", upper="34 3/4"),
             key="stair-height.S1", severity="stop"),
    )),
    23: ("handrail from four risers (IRC 2021 R311.7.8)", (
        Case(trips=one_side(4, "left", "right"), near=one_side(3, "left", "right"),
             key="handrail.S1", severity="hold"),
    )),
    24: ("both flights of a turn measured", (
        Case(trips=_unmeasured(), near=two_flights(), key="landing.S1", severity="hold"),
    )),
    25: ("flight not over 151 in (IRC 2021 R311.7.3)", (
        Case(trips=flight(**LONG, total_rise="151 1/16"), near=flight(**LONG, total_rise="151"),
             key="flight.S1", severity="hold"),
    )),
    26: ("the stair's own steps (IRC 2021 R311.7.5)", (
        Case(trips=unchecked(riser="7 13/16"), near=unchecked(riser="7 3/4"), key="stair-own.S1",
             severity="hold"),
        Case(trips=unchecked(tread="9 15/16"), near=unchecked(tread="10"), key="stair-own.S1",
             severity="hold"),
    )),
    27: ("what was sold was measured; rails end at posts", (
        Case(trips=document("l-deck") | {"sold": "2 stairs"},
             near=document("l-deck") | {"sold": "1 stair"}, key="sold.stair", severity="stop"),
        Case(trips=straight() | {"promises": ["White stair rail both sides"]},
             near=straight() | {"promises": ["White rail both sides"]}, key="stair.missing",
             severity="stop"),
        Case(trips=wall_side("left", "right"), near=wall_side("right"),
             key="stair-rail.S1.left", severity="stop"),
    )),
    28: ("parts match posts and bays", tuple(
        Case(trips=(item, -1), near=(item, 0), key=item, severity="stop", asks=counted)
        for item in ("cove-bracket-line", "cove-cap", "cove-skirt", "cove-foot-block")
    )),
    # the leg of 150 takes two kits of 72
    29: ("cut list within the stock set aside, in one lot", (
        Case(trips=straight("150") | {"reserved": [{"kit": "cove-level-72", "count": 1}]},
             near=straight("150") | {"reserved": [{"kit": "cove-level-72", "count": 2}]},
             key="reserved.short", severity="stop"),
        Case(trips=straight("150") | {"reserved": [*LOTS, LOTS[0] | {"lot": "7B"}]},
             near=straight("150") | {"reserved": [*LOTS, LOTS[0]]}, key="reserved.lots",
             severity="hold"),
    )),
    30: ("one style and colour", (
        Case(trips=stair_of_the_second(), near=stair_of_the_second(), key="colour.stair",
             severity="stop", books=second_system("slate"),
             near_books=second_system("slate", "chalk")),
        Case(trips=changed(document("l-deck"), rail={"colour": "coral"}), near=document("l-deck"),
             key="/rail/colour", severity="stop"),
    )),
    31: ("weather fit for glue and rails", (
        Case(trips=weather(39, 70), near=weather(40, 70), key="weather.adhesive",
             severity="hold"),
        Case(trips=weather(50, 121), near=weather(50, 120), key="weather.range",
             severity="hold"),
        *(Case(trips=weather(60, 70, what), near=weather(60, 70), key=f"weather.{what}",
               severity="hold") for what in ("rain", "wind", "lightning")),
    )),
    32: ("no crew or job booked twice", (
        Case(trips=(day(), day(crew=TWO)), near=(day(), day(crew=TWO, on=TUESDAY)),
             key="booked-twice.J-1", severity="stop", asks=booked),
        Case(trips=(day(starts=8.0), day(job="J-2", starts=9.9)),
             near=(day(starts=8.0), day(job="J-2", starts=10.0)), key="at-once.J-2",
             severity="stop", asks=booked),
        Case(trips=(day(hours=HOURS - 2), day(job="J-2", hours=2.1)),
             near=(day(hours=HOURS - 2), day(job="J-2", hours=2.0)), key=f"day-full.{ONE}",
             severity="hold", asks=booked),
    )),
    33: ("one content a revision, and no lower one after a higher", (
        Case(trips=(sent(1), sent(1, "raise")), near=(sent(1), sent(1)), key="conflict",
             severity="stop", asks=accepted),
        Case(trips=(sent(2), sent(1, "raise")), near=(sent(2), sent(3, "raise")),
             key="conflict", severity="stop", asks=accepted),
    )),
    34: ("a final and fresh measure", (
        Case(trips=changed(document("l-deck"), measured={"kind": "sales"}),
             near=document("l-deck"), key="measure.sales", severity="hold"),
        Case(trips=changed(document("l-deck"), measured={"on": "2026-09-09"}),
             near=changed(document("l-deck"), measured={"on": "2026-09-10"}), key="measure.old",
             severity="hold"),
        # a Saturday and a Friday
        Case(trips=document("l-deck") | {"install_date": "2026-12-05"},
             near=document("l-deck") | {"install_date": "2026-12-04"},
             key="install-date.day-off", severity="hold"),
        Case(trips=document("l-deck") | {"deck_work": "2026-11-19"},
             near=document("l-deck") | {"deck_work": "2026-11-18"}, key="measure.before-deck",
             severity="hold"),
    )),
    # over 30 in (IRC 2021 R312.1.1); five risers of 7 1/2 are more, four are not
    35: ("no open edge that needs a guard", (
        Case(trips=gated("30 1/16"), near=gated("30"), key="guard-gap.G1", severity="hold"),
        Case(trips=one_side(5, "left"), near=one_side(4, "left"), key="open-side.S1.right",
             severity="hold"),
        Case(trips=left_open(drop="30 1/16"), near=left_open(drop="30"), key="open-edge.1",
             severity="hold"),
        Case(trips=left_open(width="4"), near=left_open(width="3 15/16"), key="open-edge.1",
             severity="hold"),
        Case(trips=left_open(why="bench"), near=left_open(why="bench", closed_by="planter, fixed"),
             key="open-edge.1", severity="hold"),
    )),
    36: ("gates at pools and stairs", (
        Case(trips=gated(pool_barrier=None), near=gated(pool_barrier=False), key="pool.G1",
             severity="hold"),
        Case(trips=gated(pool_barrier=True), near=gated(pool_barrier=False),
             key="pool-rules.G1", severity="hold"),
        Case(trips=at_stair("out"), near=at_stair("in"), key="gate-stairs.G1", severity="hold"),
    )),
    37: ("mounts known", (
        Case(trips=on_top(), near=on_top(blocking=True), key="mount.surface", severity="hold",
             books=mounted("surface")),
        Case(trips=on_top(blocking=False), near=on_top(blocking=True), key="mount.no-blocking",
             severity="hold", books=mounted("surface")),
        Case(trips=on_top(blocking=True, boards="membrane"),
             near=on_top(blocking=True, boards="composite"), key="mount.membrane",
             severity="hold", books=mounted("surface")),
        Case(trips=on_top(), near=on_top(edge_distance="4"), key="mount.concrete",
             severity="hold", books=mounted("concrete")),
    )),
    38: ("permit recorded, inspection not too early", (
        Case(trips=document("l-deck") | {"permit": None}, near=document("l-deck"),
             key="permit.unknown", severity="hold"),
        Case(trips=document("l-deck") | {"inspection": "2026-12-03"},
             near=document("l-deck") | {"inspection": "2026-12-04"}, key="inspection.early",
             severity="hold"),
    )),
    # housing built before 1978 (40 CFR 745)
    39: ("old paint", (
        Case(trips=changed(document("l-deck"), site={"year_built": 1977}),
             near=changed(document("l-deck"), site={"year_built": 1978}), key="paint.old",
             severity="hold"),
    )),
    40: ("defaults named", (
        Case(trips=_no_nosing(), near=flight(),
             key="Stair S1: nosing projects as far as usual", severity="note", asks=assumed),
        Case(trips=gated(), near=gated(opens="in"), key="Gate G1: opens in", severity="note",
             asks=assumed),
    )),
    41: ("numbers that are numbers, in their unit", (
        Case(trips=porch("94", "2400"), near=porch("94", "94"), key="unit.A.2",
             severity="stop"),
        *(Case(trips=straight(wrong), near=straight("94"), key="/lines/0/legs/0/length",
               severity="stop") for wrong in ("", "NaN", "-94", "94 yd", "7-1/4", "1e400")),
    )),
    42: ("text that cannot break a sheet", (
        Case(trips=changed(document("l-deck"), site={"customer": "A" * 201}),
             near=changed(document("l-deck"), site={"customer": "A" * 200}),
             key="/site/customer", severity="stop"),
        Case(trips=changed(document("l-deck"), site={"street": "14\x07 Tidewater Lane"}),
             near=changed(document("l-deck"), site={"street": "14 Tidewater Lane"}),
             key="/site/street", severity="stop"),
    )),
}
# fmt: on
"""What each check holds, and both sides of its borders."""
