"""One thing spoilt in a finished plan, wherever it stands, and the second measurement names it."""

from collections.abc import Callable
from typing import Any

import pytest

from schemas.cut_plan import Offcut
from schemas.lengths import FOOT, INCH, INSIDE
from schemas.plan import Plan
from schemas.site import KeepOut
from services.recheck import recheck
from tests.planned import plan

Change = Callable[[Any], Any]
Spoil = Callable[[Plan], Plan]


def at(*path: str | int, to: Change) -> Spoil:
    """Change what lies at a path of fields and numbers."""

    def spoil(whole: Any) -> Any:  # noqa: ANN401 a record or a tuple of them
        return _put(whole, path, to)

    return spoil


def _put(thing: Any, path: tuple[str | int, ...], to: Change) -> Any:  # noqa: ANN401
    if not path:
        return to(thing)
    step, *rest = path
    if isinstance(step, int):
        changed = _put(thing[step], tuple(rest), to)
        return (*thing[:step], changed, *thing[step + 1 :])
    return thing.model_copy(update={step: _put(getattr(thing, step), tuple(rest), to)})


def a(value: object) -> Change:
    """Put this value there."""
    return lambda _: value


def more(by: int) -> Change:
    """Add so much."""
    return lambda value: value + by


def less_one(things: tuple[Any, ...]) -> tuple[Any, ...]:
    """Leave the first one out."""
    return things[1:]


def also(**changed: object) -> Change:
    """Change fields of a record."""
    return lambda record: record.model_copy(update=changed)


def line_post(whole: Plan) -> tuple[int, int, float]:
    """Leg, post and place of a chosen post on the first leg that has one."""
    legs = [leg.name for leg in whole.layout.legs]
    number, post = next(
        (n, post) for n, post in enumerate(whole.layout.posts) if post.where == "line"
    )
    return legs.index(post.leg), number, post.at


def shut(whole: Plan) -> Plan:
    """Something stands along the whole of a leg on which a post was chosen."""
    leg, _, _ = line_post(whole)
    size = {"start": 0, "end": 900 * INCH, "why": "downpipe"}
    everywhere = (KeepOut.model_validate(size, context=INSIDE),)
    return at("job", "lines", 0, "legs", leg, "keep_out", to=a(everywhere))(whole)


def fixed(whole: Plan) -> Plan:
    """A post must stand 9 in beside one that was chosen."""
    leg, _, place = line_post(whole)
    return at("job", "lines", 0, "legs", leg, "fixed_posts", to=a((int(place) + 9 * INCH,)))(whole)


def moved(whole: Plan) -> Plan:
    """A chosen post is drawn a foot aside."""
    _, post, _ = line_post(whole)
    return aside(post)(whole)


def lower_moved(whole: Plan) -> Plan:
    """A stair's lower post is drawn a foot aside."""
    duties = [post.where for post in whole.layout.posts]
    return aside(duties.index("stair-lower"))(whole)


def aside(post: int) -> Spoil:
    """That post a foot to the right and a foot up."""
    return at(
        "layout", "posts", post, "point",
        to=lambda p: p.model_copy(update={"x": p.x + FOOT, "y": p.y + FOOT}),
    )  # fmt: skip


def drained(whole: Plan) -> Plan:
    """A drain hole is put under the first baluster."""
    mark = whole.bays.level[0].marks[0]
    return at("bays", "level", 0, "drain_holes", to=a((mark,)))(whole)


def block_drained(whole: Plan) -> Plan:
    """A drain hole is put under the first foot block."""
    block = whole.bays.level[0].foot_blocks[0]
    return at("bays", "level", 0, "drain_holes", to=a((block + INCH // 8,)))(whole)


def no_findings(whole: Plan) -> Plan:
    """Nothing was found out about the first bay."""
    name = whole.bays.level[0].name
    kept = tuple(f for f in whole.compliance.findings if f.place != name)
    return at("compliance", "findings", to=a(kept))(whole)


def without(key: str) -> Spoil:
    """A line of the load left out."""
    return at("takeoff", "lines", to=lambda lines: tuple(x for x in lines if x.item != key))


def miscounted(key: str) -> Spoil:
    """One more of it counted than the plan takes."""

    def one_more(lines: tuple[Any, ...]) -> tuple[Any, ...]:
        return tuple(
            x.model_copy(update={"needed": x.needed + 1}) if x.item == key else x for x in lines
        )

    return at("takeoff", "lines", to=one_more)


def short_bar(what: str) -> Spoil:
    """The first plain piece of a kind is cut four inches short."""

    def cut(bars: tuple[Any, ...]) -> tuple[Any, ...]:
        number = next(n for n, bar in enumerate(bars) if bar.what == what)
        (name, start, end), *others = bars[number].pieces
        spoilt = bars[number].model_copy(
            update={"pieces": ((name, start, end - 4 * INCH), *others)}
        )
        return (*bars[:number], spoilt, *bars[number + 1 :])

    return at("cuts", "plain", to=cut)


def shifted(whole: Plan) -> Plan:
    """The first piece and its place on the stock are moved an inch against its bay's holes."""
    piece = whole.cuts.pieces[0]
    bar, lies = next(
        (n, m)
        for n, bar in enumerate(whole.cuts.bars)
        for m, placed in enumerate(bar.pieces)
        if placed.piece == piece.id
    )
    margins = also(
        margin_left=piece.margin_left - INCH // 2, margin_right=piece.margin_right + INCH // 2
    )
    moved_on = at(
        "cuts", "bars", bar, "pieces", lies,
        to=lambda p: p.model_copy(
            update={"start": p.start + INCH // 2, "end": p.end + INCH // 2}
        ),
    )  # fmt: skip
    return at("cuts", "pieces", 0, to=margins)(moved_on(whole))


def stair_square(whole: Plan) -> Plan:
    """A stair's rails are to be cut square."""
    number = next(n for n, p in enumerate(whole.cuts.pieces) if p.orientation == "stair")
    return at("cuts", "pieces", number, to=also(saw_left_deg=0.0, saw_right_deg=0.0))(whole)


def stair_blunt(whole: Plan) -> Plan:
    """No room is kept for the long points of a stair's rails."""
    number = next(n for n, p in enumerate(whole.cuts.pieces) if p.orientation == "stair")
    return at("cuts", "pieces", number, to=also(reach_left=0, reach_right=0))(whole)


def with_offcut(*, length: int = 2 * FOOT, holes: int = 99, first_hole: int = 1) -> Spoil:
    """An offcut is invented at the left end of the first bar, where a piece lies."""
    offcut = Offcut(start=0, length=length, first_hole=first_hole, holes=holes)
    return at("cuts", "bars", 0, "offcuts", to=a((offcut,)))


def longer_stick(whole: Plan) -> Plan:
    """A stick is a foot longer than it is sold."""
    return at("cuts", "plain", 0, "length", to=more(FOOT))(whole)


def swapped(one: str, other: str) -> Spoil:
    """Two steps done in each other's place."""

    def swap(steps: tuple[Any, ...]) -> tuple[Any, ...]:
        number = {step.key: step.number for step in steps}
        turn = {one: number[other], other: number[one]}
        moved = [s.model_copy(update={"number": turn.get(s.key, s.number)}) for s in steps]
        return tuple(sorted(moved, key=lambda step: step.number))

    return at("sequence", "steps", to=swap)


def without_step(start: str) -> Spoil:
    """The first step of such a key left out, those after it moved up."""

    def leave_out(steps: tuple[Any, ...]) -> tuple[Any, ...]:
        gone = next(step for step in steps if step.key.startswith(start))
        kept = [step for step in steps if step is not gone]
        return tuple(s.model_copy(update={"number": n}) for n, s in enumerate(kept, start=1))

    return at("sequence", "steps", to=leave_out)


def too_early(whole: Plan) -> Plan:
    """The first bay is built before its opening is measured again."""
    return swapped("openings-proved", f"bay-{whole.bays.level[0].name}")(whole)


GROUND: list[tuple[str, Spoil]] = [
    ("stands beside leg", moved),
    ("is left without railing", at("layout", "bays", to=less_one)),
    ("keeps posts out", shut),
    ("where one must stand", fixed),
    ("nothing was measured so there", at("job", "stairs", 0, "width", to=more(2 * INCH))),
    ("straight out from", lower_moved),
    ("degrees printed", at("layout", "bays", 0, "right", "mitre_deg", to=a(3.0))),
    ("legs measured are not the legs", at("layout", "legs", to=lambda legs: legs[::-1])),
]
POSTS: list[tuple[str, Spoil]] = [
    ("not the reveal", at("bays", "posts", 0, "sleeve", to=more(-INCH))),
    ("prints", at("bays", "posts", 0, "reveal", to=more(-INCH))),
    ("no sleeve of", at("bays", "posts", 0, "sleeve", to=more(40 * INCH))),
    ("cap's tab", at("bays", "posts", 0, "core_most", to=more(INCH))),
    ("end under the top bracket", at("bays", "posts", 0, "core_least", to=more(-INCH))),
    ("not one mark for each rail", at("bays", "posts", 0, "faces", to=lambda f: f[2:])),
    ("not one mark for each", at("bays", "posts", 0, "faces", to=less_one)),
    ("rail meets it from", at("bays", "posts", 0, "faces", 0, "topside", to=a(0))),
    ("rail meets it from", at("bays", "posts", 0, "faces", 0, "topside", to=more(40 * INCH))),
    ("sleeve is not on the cut list", short_bar("sleeve")),
    ("core ends", short_bar("core")),
    ("core is left", at("cuts", "plain_pieces", 0, "over", to=a(INCH // 2))),
    ("lowest bolt asks for", short_bar("core")),
    ("lowest bolt asks for", at("job", "detail", "bolt_end", to=a(4 * INCH))),
]
BAYS: list[tuple[str, Spoil]] = [
    ("foot blocks, not", at("bays", "level", 0, "foot_blocks", to=a(()))),
    (
        "under no baluster",
        at("bays", "level", 0, "foot_blocks", to=lambda b: (b[0] + INCH, *b[1:])),
    ),
    ("more than a foot block spans", at("bays", "level", 0, "sweep_low", to=a(5 * INCH))),
    ("drain hole meets", drained),
    ("under the top, not", at("bays", "stair", 0, "heights", 2, "top", to=more(INCH))),
    ("nosings have heights", at("bays", "stair", 0, "heights", to=less_one)),
    ("its posts leave", at("bays", "stair", 0, "clear", to=more(INCH))),
    ("over that post's foot", at("bays", "stair", 0, "bottom_at_upper", to=a(0))),
    ("over that post's foot", at("bays", "stair", 0, "rail_over_nosing", to=more(-3 * INCH))),
    ("meets the lower post", at("bays", "stair", 0, "bottom_at_lower", to=more(2 * INCH))),
    ("under no baluster", at("bays", "stair", 0, "foot_blocks", to=a((INCH,)))),
    ("nosing to nosing", at("bays", "stair", 1, "handrail", to=more(-INCH))),
    ("over the nosing line lets", at("bays", "stair", 0, "rail_over_nosing", to=more(6 * INCH))),
    ("long to short", at("bays", "stair", 0, "top_first_hole_to_long", to=more(INCH))),
    (
        "long points, long to short",
        at("bays", "stair", 0, "bottom_last_hole_to_long", to=more(INCH)),
    ),
    ("long to short", at("bays", "stair", 0, "bottom_long_to_short", to=more(INCH))),
    ("outside the recorded window", at("bays", "stair", 1, "handrail_height", to=a(39 * INCH))),
    ("outside the recorded window", at("bays", "stair", 1, "handrail_height", to=a(33 * INCH))),
    ("of handrail on the cut list", short_bar("handrail")),
    ("its handrail is missing", at("bays", "stair", 1, "handrail", to=a(None))),
    ("is free behind", at("job", "stair_system", "handrail", "clearance", to=a(INCH))),
    ("handrail thick", at("job", "stair_system", "handrail", "diameter", to=a(3 * INCH))),
    ("left clear beside", at("job", "stairs", 0, "clear_width", to=a(34 * INCH))),
    ("too long between", at("bays", "stair", 1, "handrail_brackets", to=a(1))),
    ("none was asked for", at("bays", "stair", 0, "handrail", to=a(60 * INCH))),
]
COUNTS: list[tuple[str, Spoil]] = [
    ("stair sides measured", at("bays", "stair", to=less_one)),
    ("stair bays laid out", at("bays", "stair", to=less_one)),
    ("not one at each end", at("bays", "level", 0, "brackets", to=less_one)),
    ("cove-cap (chalk) loaded for", without("cove-cap")),
    ("cove-skirt (chalk) loaded for", without("cove-skirt")),
    ("screw-post-3 loaded for", without("screw-post-3")),
    ("screw-rail-1: ", miscounted("screw-rail-1")),
    ("cove-bracket-line (chalk): ", miscounted("cove-bracket-line")),
    ("grip-bracket: ", miscounted("grip-bracket")),
    ("packages do not hold", at("takeoff", "lines", 0, "packages", to=a(0))),
]
FINDINGS: list[tuple[str, Spoil]] = [
    ("no finding on guard-height", no_findings),
    ("no finding at all", no_findings),
    ("nobody allowed it", at("compliance", "findings", 0, "verdict", to=a("breaks"))),
    ("from outside its", at("compliance", "findings", 1, to=also(verdict="meets", margin=-1))),
    ("job head", at("compliance", "complete", 0, to=lambda row: (*row[:3], False))),
]  # fmt: skip
ORDER: list[tuple[str, Spoil]] = [
    ("not numbered one after another", at("sequence", "steps", to=less_one)),
    ("which it waits for", swapped("arrive", "verify")),
    ("built before H5", too_early),
    ("built before skirts", swapped("skirts", "hand-over")),
    ("built before its brackets", swapped("brackets-A", "hand-over")),
    ("no step builds it", without_step("bay-")),
    ("in that order", swapped("line-S1", "lower-S1")),
    ("in that order", without_step("check-S1")),
    ("no step for", without_step("caps")),
    ("after the last check", swapped("last-check", "caps")),
]
PARTS: list[tuple[str, Spoil]] = [
    ("line bracket takes", at("bays", "level", 0, "mitre_left_deg", to=a(30.0))),
    ("meets a bracket", at("bays", "level", 0, "drain_holes", to=a((INCH // 4,)))),
    ("meets a foot block", block_drained),
    ("degrees, not", at("bays", "stair", 0, "slope_deg", to=more(1))),
    ("degrees, not", at("bays", "stair", 0, "saw_deg", to=more(-1))),
    ("slots do not take", at("job", "stair_system", "stair", "slot_greatest_deg", to=a(30.0))),
    (
        "bracket does not take",
        at("job", "stair_system", "stair", "bracket", "least_deg", to=a(36.0)),
    ),
    (
        "too short for its bracket",
        at("job", "stair_system", "stair", "bracket", "least_margin", to=a(4 * INCH)),
    ),
    ("next factory hole", at("job", "stair_system", "stair", "greatest_margin", to=a(INCH))),
    ("over that post's foot", at("bays", "stair", 0, "bottom_at_lower", to=a(0))),
    ("which nobody allowed", at("bays", "stair", 0, "top_at_lower", to=a(33 * INCH))),
    ("system's longest", at("job", "stair_system", "stair", "longest_clear", to=a(40 * INCH))),
    ("not as printed", at("bays", "level", 0, "movement", "free", to=more(INCH))),
    ("not as printed", at("bays", "stair", 0, "movement", "room", to=more(INCH))),
    ("room for its movement", at("job", "system", "expansion_per_degf", to=a(9e-5))),
    ("too long for one", at("bays", "level", 0, "weight", to=a(99_000))),
    ("too long for one", at("job", "company", "two_people_longer", to=a(12 * INCH))),
]
TABLES: list[tuple[str, Spoil]] = [
    ("skips a mark", at("bays", "level", 0, "as_measured", to=lambda r: (*r[:3], *r[4:]))),
    ("does not hold the plan", at("bays", "level", 0, "as_measured", to=lambda r: r[-3:])),
    ("does not hold the plan", at("bays", "stair", 0, "balusters", to=more(1))),
    ("half a row", at("bays", "level", 0, "as_measured", 3, "margin", to=a(None))),
    ("its end clearances", at("bays", "level", 0, "as_measured", 3, "cut", to=more(INCH))),
    ("its end clearances", at("bays", "stair", 0, "as_measured", 3, "cut", to=more(INCH))),
    ("out of its limits", at("bays", "level", 0, "as_measured", 3, "margin", to=more(4 * INCH))),
    ("out of its limits", at("bays", "stair", 0, "as_measured", 3, "margin", to=more(-2 * INCH))),
    ("longest opening", at("job", "system", "level", "longest_clear", to=a(40 * INCH))),
    ("found: a gap of", at("job", "system", "level", "baluster_width", to=a(INCH // 8))),
    ("outside its own window", at("bays", "level", 0, "window_low", to=more(30 * INCH))),
    ("disagree at", at("bays", "stair", 0, "window_high", to=more(-20 * INCH))),
]  # fmt: skip
FIRST_BAR = ("cuts", "bars", 0, "stock")
CUTS: list[tuple[str, Spoil]] = [
    ("on the cut list, its bay has others", shifted),
    ("holes on the cut list", at("cuts", "pieces", 0, "holes", to=more(-1))),
    ("saw at 0.00 and 0.00 degrees", stair_square),
    ("its long point stands out", stair_blunt),
    ("another rail than its bay's", at("cuts", "pieces", 0, "colour", to=a("another"))),
    ("a piece of", at("cuts", "pieces", 0, "revision", to=more(1))),
    ("cut tickets are not", at("cuts", "pieces", 0, "tickets", to=lambda t: (t[0], t[0]))),
    ("cut tickets are not", at("cuts", "pieces", 0, "tickets", 0, to=a("J-9-01"))),
    ("one for each rail", at("cuts", "pieces", 0, "tickets", to=less_one)),
    ("stands 0 times in the saw set-ups", at("cuts", "set_ups", to=less_one)),
    ("stands 0 times", at("cuts", "set_ups", 0, "pieces", to=less_one)),
    ("stands 2 times", at("cuts", "set_ups", to=lambda s: (*s, s[0]))),
    ("cut at other angles", at("cuts", "set_ups", 0, "saw_left_deg", to=more(5))),
    ("do not hold its pieces", at("cuts", "set_ups", 0, "stops", to=less_one)),
    ("in long", at("cuts", "set_ups", 0, "stops", 0, "length", to=more(INCH))),
    ("lie on other bars", at("cuts", "set_ups", 0, "bars", to=a((99,)))),
    ("is not sold so", at(*FIRST_BAR, "length", to=more(INCH))),
    ("is not sold so", at(*FIRST_BAR, "first_hole", to=more(INCH))),
    ("is not sold so", at(*FIRST_BAR, "colour", to=a("another"))),
    ("is not sold so", at(*FIRST_BAR, "trim_left", to=more(1))),
    ("stock of another kind", at(*FIRST_BAR, "orientation", to=a("stair"))),
    ("the company's is", at("cuts", "kerf", to=a(0))),
    ("an offcut lies over", with_offcut()),
    ("an offcut of", with_offcut()),
    ("first hole is not at", with_offcut()),
    ("too short to keep", with_offcut(length=INCH)),
    ("stands over the cost", at("cuts", "bound_cents", to=more(100_000))),
    ("its bars cost", at("cuts", "cents", to=more(1))),
    ("stands over the cost", at("cuts", "plain_bound_cents", to=more(100_000))),
    ("not sold", longer_stick),
]
ALL = [*GROUND, *POSTS, *BAYS, *COUNTS, *FINDINGS, *ORDER, *PARTS, *TABLES, *CUTS]


@pytest.mark.parametrize(("says", "spoil"), ALL, ids=[says for says, _ in ALL])
def test_what_is_spoilt_is_named(says: str, spoil: Spoil) -> None:
    """The plan holds; one thing in it is spoilt; the breach says which."""
    good = plan("l-deck")
    assert recheck(good) == ()

    breaches = recheck(spoil(good))

    assert any(says in breach for breach in breaches), breaches


def test_mitres_make_the_corner_s_turn() -> None:
    """At a corner of 45 degrees one mitre printed square does not."""
    good = plan("corner-45")
    number, end = next(
        (number, end)
        for number, bay in enumerate(good.layout.bays)
        for end in ("left", "right")
        if getattr(bay, end).mitre_deg
    )
    assert recheck(good) == ()

    breaches = recheck(at("layout", "bays", number, end, "mitre_deg", to=a(0.0))(good))

    assert any("do not make the corner's turn" in breach for breach in breaches), breaches


def test_each_record_names_the_same_long_point() -> None:
    """Layout, bay, piece and saw set-up: a mitre of the wrong hand on any of them is named."""
    good = plan("corner-45")
    bay = next(n for n, one in enumerate(good.bays.level) if one.long_right)
    name = good.bays.level[bay].name
    laid = next(n for n, one in enumerate(good.layout.bays) if one.name == name)
    piece = next(n for n, one in enumerate(good.cuts.pieces) if one.bay == name)
    step = next(n for n, one in enumerate(good.cuts.set_ups) if one.long_right)
    wrong = "deck" if good.bays.level[bay].long_right == "yard" else "yard"
    spoilt = {
        "side is longer, not": at("layout", "bays", laid, "right", "long_side", to=a(wrong)),
        "another hand than it was": at("bays", "level", bay, "long_right", to=a(wrong)),
        "another hand than its bay": at("cuts", "pieces", piece, "long_right", to=a(wrong)),
        "to another hand": at("cuts", "set_ups", step, "long_right", to=a(wrong)),
    }

    for says, spoil in spoilt.items():
        assert any(says in breach for breach in recheck(spoil(good))), says


def test_posts_in_place_are_not_dressed() -> None:
    """A cap on the load of a job whose posts all stand is one too many."""
    good = plan("porch")
    line = good.takeoff.lines[0].model_copy(update={"item": good.job.system.sleeve.cap_key})
    assert recheck(good) == ()

    breaches = recheck(at("takeoff", "lines", to=lambda lines: (*lines, line))(good))

    assert any("cove-cap" in b and "nothing in the plan takes it" in b for b in breaches), breaches


def test_a_free_guard_may_be_lower_than_the_rule() -> None:
    """Where the drop asks for no guard, its height breaks nothing; a foot more, and it does."""
    good = plan("l-deck")
    low = at("bays", "level", 0, "top", to=a(30 * INCH))(good)
    leg = next(n for n, one in enumerate(good.layout.legs) if one.name == good.bays.level[0].leg)

    free = recheck(at("layout", "legs", leg, "drop", to=a(30 * INCH))(low))
    asked = recheck(at("layout", "legs", leg, "drop", to=a(42 * INCH))(low))

    assert not any("under the least height" in breach for breach in free)
    assert any("under the least height" in breach for breach in asked)
