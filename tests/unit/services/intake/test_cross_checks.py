"""Every cross check: a measure that trips it, and one that just does not."""

from __future__ import annotations

from typing import Any

import pytest

from schemas.job import Job
from schemas.lengths import read_length
from schemas.site import Question
from services.intake.cross_checks import check_measure
from tests import builders


def _tree(**more: object) -> dict[str, Any]:
    """An L deck with one stair, which agrees with itself in everything."""
    return builders.document("l-deck") | more


def _asked(tree: dict[str, Any]) -> dict[str, Question]:
    return {question.key: question for question in check_measure(builders.job(tree))}


def _stair(**more: object) -> dict[str, Any]:
    """Its stair: 6 risers of 7 1/2 on 11, 45 in up, 55 in out, at 46 along leg D."""
    return _tree(stairs=[builders.document("l-deck")["stairs"][0] | more])


def _line(*legs: dict[str, Any], **more: object) -> dict[str, Any]:
    """One line of legs, with no stair."""
    line = {"measured": "deck-edge", "inset": "3 1/2", "heading": "along", "legs": list(legs)}
    return _tree(lines=[line | more], stairs=[], remove_feet=0)


def _leg(name: str, length: object, **more: object) -> dict[str, Any]:
    return {"name": name, "length": length, "drop": "40", **more}


def _closed(*sides: tuple[str, float]) -> dict[str, Any]:
    corners = ({"turn_deg": turn} for _, turn in sides)
    legs = (
        _leg(name, side, corner=corner)
        for name, (side, _), corner in zip("ABCD", sides, corners, strict=False)
    )
    return _line(*legs, closed=True)


def _porch(*clears: dict[str, str]) -> dict[str, Any]:
    return _line(_leg("A", "217", clears=list(clears)), measured="post-centre", inset="0")


WALL = {"kind": "wall", "substrate": "stud"}


@pytest.mark.parametrize("name", ["l-deck", "porch", "corner-45", "wraparound", "two-stair-sides"])
def test_demo_jobs_agree_with_themselves(name: str) -> None:
    """A good measure asks nothing."""
    assert check_measure(builders.job(name)) == ()


def test_stops_come_first() -> None:
    """A human reads what stops the job before what only holds it."""
    tree = _stair(total_rise="50") | {"permit": None}

    found = check_measure(builders.job(tree))

    assert [question.severity for question in found] == ["stop", "hold"]


@pytest.mark.parametrize(
    ("top", "severity"),
    [("70 1/4", None), ("70 5/16", "hold"), ("70 3/4", "hold"), ("70 13/16", "stop"),
     ("69 11/16", "hold")],
)  # fmt: skip
def test_opening_wider_at_one_height(top: str, severity: str | None) -> None:
    """Up to 1/4 in is unasked, up to 3/4 holds, beyond stops."""
    found = _asked(_porch({"bottom": "70", "top": top}, {"bottom": "70"}))

    assert getattr(found.get("plumb.A.1"), "severity", None) == severity


@pytest.mark.parametrize(("out", "asked"), [("1/4", False), ("5/16", True)])
def test_leaning_wall(out: str, asked: bool) -> None:  # noqa: FBT001
    """A wall out of plumb by more than 1/4 in holds."""
    found = _asked(_line(_leg("A", "90"), start=WALL | {"out_of_plumb": out}))

    assert ("plumb.A.start" in found) == asked


@pytest.mark.parametrize(("third", "asked"), [("100 1/2", False), ("100 9/16", True)])
def test_closed_line_misses_its_start(third: str, asked: bool) -> None:  # noqa: FBT001
    """Half an inch is within tolerance; a sixteenth more holds."""
    found = _asked(_closed(("100", 90), ("80", 90), (third, 90), ("80", 90)))

    assert ("closing.A" in found) == asked


def test_closing_error_names_the_leg_a_foot_off() -> None:
    """A rectangle with one side 12 in short is mended by that side or the one opposite."""
    question = _asked(_closed(("100", 90), ("80", 90), ("88", 90), ("80", 90)))["closing.A"]

    assert "misses its start by 12 in" in question.says
    assert "just a foot off" in question.says
    pointers = {option.sets[0].pointer for option in question.options if option.sets}
    assert pointers == {"/lines/0/legs/0/length", "/lines/0/legs/2/length"}


def test_closing_error_names_the_corner() -> None:
    """Corners that make 350 degrees: the one that would close the line is offered."""
    question = _asked(_closed(("100", 90), ("80", 80), ("100", 90), ("80", 90)))["closing.A"]

    assert "make 350 degrees" in question.says
    assert [o.sets[0].value for o in question.options if o.key == "corner-B"] == [90]


@pytest.mark.parametrize(
    ("turn", "post", "why"),
    [
        (75, "turned", None),
        (76, "turned", "from the sleeve's edge"),
        (90, "turned", "at the sleeve's very edge"),
        (90, "square", None),
        (100, "turned", "onto the same face"),
        (37, "square", None),
        (45, "square", "at the sleeve's very edge"),
        (127, "square", None),
        (128, "square", "from the sleeve's edge"),
        (136, "square", "onto the same face"),
        (20, None, None),
        (127.5, None, None),
        (142, None, "onto the same face"),
    ],
)
def test_corner_beyond_the_brackets(turn: float, post: str | None, why: str | None) -> None:
    """A rail needs a bracket for its angle, a face to itself, and 1/2 in to the face's edge."""
    corner = {"turn_deg": turn, "post": post}

    found = _asked(_line(_leg("A", "90", corner=corner), _leg("B", "90")))

    assert ("corner.A" in found) == (why is not None)
    assert why is None or why in found["corner.A"].says


def test_bracket_that_does_not_take_the_angle() -> None:
    """A system with line brackets only: 5 degrees are taken, 6 are not."""

    def asked(turn: float) -> str:
        system = builders.system("cove")
        level = system.level.model_copy(update={"angle_bracket": None})
        tree = _line(_leg("A", "90", corner={"turn_deg": turn, "post": "turned"}), _leg("B", "90"))
        job = builders.job(tree).model_copy(
            update={"system": system.model_copy(update={"level": level})}
        )
        return next((q.says for q in check_measure(job) if q.key == "corner.A"), "")

    assert asked(10) == ""
    assert "6 degrees off square; brackets of" in asked(12)


@pytest.mark.parametrize(
    ("turn", "stands"), [(90, "square"), (45, "turned"), (75, "turned"), (85, "square")]
)
def test_corner_post_stands_the_way_that_works(turn: float, stands: str) -> None:
    """Where the measure leaves it open: square at 90, else turned, else the way that can be."""
    job = builders.job(_line(_leg("A", "90", corner={"turn_deg": turn}), _leg("B", "90")))

    corner = job.lines[0].legs[0].corner

    assert corner is not None
    assert corner.post == stands
    assert ("Corner at the end of leg A", True) in [
        (a.place, stands in a.says) for a in job.assumed
    ]


def test_corner_offers_the_post_that_works() -> None:
    """At 120 degrees a square post gives 0 and 30, which brackets take."""
    turned = {"turn_deg": 120, "post": "turned"}
    found = _asked(_line(_leg("A", "90", corner=turned), _leg("B", "90")))

    (option,) = found["corner.A"].options
    assert (option.sets[0].pointer, option.sets[0].value) == (
        "/lines/0/legs/0/corner/post",
        "square",
    )


def test_core_that_does_not_go_into_its_sleeve() -> None:
    """A core named 4 in is offered as the 3 1/2 in that dressed timber measures (PS 20)."""
    sleeve = builders.system("cove").sleeve
    fits = sleeve.inside - sleeve.core_gap_least
    post = builders.document("l-deck")["post"]

    named = _asked(_tree(post=post | {"core": "4"}))["core.sleeve"]
    just = _asked(_tree(post=post | {"core": f"{fits / 8128:.6f}"}))
    over = _asked(_tree(post=post | {"core": f"{fits / 8128 + 1 / 16:.6f}"}))

    assert named.options[0].sets[0].value == "3 1/2 in"
    assert "core.sleeve" not in just
    assert "core.sleeve" in over


@pytest.mark.parametrize(("at", "asked"), [("34 1/2", False), ("34 7/16", True), ("32", True)])
def test_fixed_post_on_a_joist(at: str, asked: bool) -> None:  # noqa: FBT001
    """A 3 1/2 core and a 1 1/2 joist touch at 2 1/2 between centres."""
    leg = _leg("A", "120", fixed_posts=[at], joists="16", first_joist="0")

    assert ("on-joist.A.fixed-1" in _asked(_line(leg))) == asked


@pytest.mark.parametrize(("at", "asked"), [("37 3/4", False), ("37 13/16", True), ("45", True)])
def test_fixed_post_in_a_keep_out(at: str, asked: bool) -> None:  # noqa: FBT001
    """A 4 1/2 sleeve may touch the edge of a keep-out, and not more."""
    shut = [{"start": "40", "end": "50", "why": "downspout"}]
    leg = _leg("A", "120", fixed_posts=[at], keep_out=shut)

    assert ("keep-out.A.fixed-1" in _asked(_line(leg))) == asked


def _least_rail() -> float:
    rail = builders.system("cove").level
    return 2 * (rail.bracket.least_margin + rail.end_clearance) / 8128


@pytest.mark.parametrize(("clear", "asked"), [("3 15/16", False), ("4", None), ("60", False)])
def test_trap_beside_a_wall(clear: str, asked: bool | None) -> None:  # noqa: FBT001
    """An opening that a 4 in sphere passes, and that is too small for a rail."""
    at = read_length(clear, "in") / 8128 + 2.25
    found = _asked(_line(_leg("A", "120", fixed_posts=[f"{at}"]), start=WALL))

    expected = _least_rail() > 4 if asked is None else asked
    assert ("trap.A.start" in found) == expected


def test_trap_where_brackets_ask_for_more_room() -> None:
    """With brackets that need 2 1/4 in at each end, 4 in is a trap and 4 7/8 is not.

    Equal to the sphere fails, so 4 in lets it through and 3 15/16 does not.
    """

    def job(clear: str) -> Job:
        at = read_length(clear, "in") / 8128 + 2.25
        plain = builders.job(_line(_leg("A", "120", fixed_posts=[f"{at}"]), start=WALL))
        level = plain.system.level
        wide = level.bracket.model_copy(update={"least_margin": read_length("2 1/4", "in")})
        rail = level.model_copy(update={"bracket": wide})
        return plain.model_copy(update={"system": plain.system.model_copy(update={"level": rail})})

    def keys(clear: str) -> set[str]:
        return {question.key for question in check_measure(job(clear))}

    assert "trap.A.start" in keys("4")
    assert "trap.A.start" not in keys("3 15/16")
    assert "trap.A.start" not in keys("4 7/8")


def test_rail_lower_than_the_recorded_rule() -> None:
    """A local change to 42 in stops a 36 in section; one to its very height does not."""
    job = builders.job("l-deck")
    rail = job.system.level
    section = rail.bottom_depth + job.level_height.visible + rail.top_depth
    top = (job.system.spacer_block + section) / 8128

    def asked(limit: str) -> dict[str, Question]:
        change = {"rule": "guard-height", "limit": limit, "authority": "Town of Alder Quay"}
        return _asked(_tree(code={"profile": "us-irc-2021", "local_changes": [change]}))

    found = asked("42")["rail-height"]

    assert found.severity == "stop"
    assert "the recorded limit is 42" in found.says
    assert "rail-height" not in asked(f"{top}")
    assert "rail-height" in asked(f"{top + 1 / 16}")


@pytest.mark.parametrize(
    ("total", "asked"), [("45 1/4", False), ("45 5/16", True), ("44 3/4", False)]
)
def test_rise_against_risers(total: str, asked: bool) -> None:  # noqa: FBT001
    """Six risers of 7 1/2 make 45: a quarter inch is within tolerance."""
    assert ("rise.S1" in _asked(_stair(total_rise=total, total_run=None))) == asked


def test_rise_answers_make_it_agree() -> None:
    """Each single correction, put in, leaves the rise unasked."""
    sent = _stair(total_rise="48", total_run=None, slope_deg=None)
    question = _asked(sent)["rise.S1"]

    assert [option.key for option in question.options] == ["riser", "total-rise"]
    for option in question.options:
        (put,) = option.sets
        name = put.pointer.rsplit("/", 1)[-1]
        stair = sent["stairs"][0] | {name: put.value}
        assert "rise.S1" not in _asked(_tree(stairs=[stair]))


def test_risers_measured_one_by_one_outrank_the_one() -> None:
    """The sum of all risers is compared, where each was measured."""
    each = ["7 1/2"] * 5 + ["7 3/4"]

    agrees = _asked(_stair(each_riser=each, total_rise="45 1/4"))
    differs = _asked(_stair(each_riser=each, total_rise="45 9/16"))

    assert "rise.S1" not in agrees
    assert "measured one by one make 45 1/4 in" in differs["rise.S1"].says


def test_one_riser_too_few_measured() -> None:
    """Five figures for six risers are asked about; six are not."""
    assert "riser-count.S1" in _asked(_stair(each_riser=["7 1/2"] * 5))
    assert "riser-count.S1" not in _asked(_stair(each_riser=["7 1/2"] * 6))


@pytest.mark.parametrize(("odd", "asked"), [("7 7/8", False), ("7 15/16", True)])
def test_uneven_risers(odd: str, asked: bool) -> None:  # noqa: FBT001
    """3/8 in between risers is the recorded limit; more holds: the stair's own fault."""
    found = _asked(_stair(each_riser=[odd, *["7 1/2"] * 5], total_rise=None))

    assert ("riser-spread.S1" in found) == asked


@pytest.mark.parametrize(("total", "asked"), [("55 1/2", False), ("55 9/16", True), ("66", True)])
def test_run_against_treads(total: str, asked: bool) -> None:  # noqa: FBT001
    """Six risers have five treads of 11 between them: 55, to half an inch."""
    found = _asked(_stair(total_run=total))

    assert ("run.S1" in found) == asked


@pytest.mark.parametrize(("deg", "asked"), [(35.2, False), (35.4, True), (33.2, True)])
def test_slope_read_against_slope_made(deg: float, asked: bool) -> None:  # noqa: FBT001
    """7 1/2 on 11 is 34.3 degrees (framing square); a degree is within tolerance."""
    assert ("slope.S1" in _asked(_stair(slope_deg=deg))) == asked


def test_slope_read_from_plumb() -> None:
    """55.7 degrees is the same slope from the other side."""
    assert "read from plumb" in _asked(_stair(slope_deg=55.7))["slope.S1"].says


def _range_edges() -> tuple[float, float]:
    rail = builders.system("cove").stair
    assert rail is not None
    least = max(rail.slot_least_deg, rail.bracket.least_deg)
    return least, min(rail.slot_greatest_deg, rail.bracket.greatest_deg)


def test_slope_beyond_the_stair_rail() -> None:
    """8 on 9 (41.6 degrees) and 6 on 13 (24.8) are outside the demo rail; its own slope is not."""
    least, most = _range_edges()
    own = {"total_rise": None, "total_run": None, "slope_deg": None}

    assert 24.8 < least < 34.3 < most < 41.6
    assert "stair-range.S1" in _asked(_stair(riser="8", tread="9", **own))
    assert "stair-range.S1" in _asked(_stair(riser="6", tread="13", **own))
    assert "stair-range.S1" not in _asked(_stair())


@pytest.mark.parametrize(
    ("riser", "tread", "asked"),
    [
        ("6", "11 1/4", False),  # 28.07 degrees
        ("6", "11 5/16", True),  # 27.94
        ("8", "9 9/16", False),  # 39.92
        ("8", "9 1/2", True),  # 40.10
    ],
)
def test_slope_at_the_edges_of_the_stair_rail(riser: str, tread: str, asked: bool) -> None:  # noqa: FBT001
    """Slots and brackets of the demo rail take 28 to 40 degrees."""
    own = {"total_rise": None, "total_run": None, "slope_deg": None}

    assert _range_edges() == (28, 40)
    assert ("stair-range.S1" in _asked(_stair(riser=riser, tread=tread, **own))) == asked


def test_stair_longer_than_its_rail() -> None:
    """One tread at a time, the stair asks for a mid post from just beyond what the rail reaches."""
    rail = builders.system("cove").stair
    assert rail is not None
    reach = min(rail.longest_clear, max(k.length for k in rail.kits) + 2 * rail.end_clearance)
    own = {"total_rise": None, "total_run": None, "slope_deg": None}
    asked = {}
    for beyond in (0, 1):
        level = (reach * 11 / (7.5**2 + 11**2) ** 0.5) // 508 * 508 + beyond * 508
        last = level - 5 * 11 * 8128 + (2.25 - 3.5) * 8128
        lower = {"from_last_nose": f"{last / 8128} in"}
        asked[beyond] = "mid-post.S1" in _asked(_stair(lower_post=lower, **own))

    assert asked == {0: False, 1: True}


@pytest.mark.parametrize(
    ("given", "asked"),
    [("-1 1/2", False), ("-1 9/16", True), ("-1", False), ("-15/16", True), ("12", True)],
)
def test_top_nose_and_inset_tell_of_one_face(given: str, asked: bool) -> None:  # noqa: FBT001
    """Half a 4 1/2 in sleeve less 3 1/2 in is 1 1/4 in back: a quarter inch off is let be."""
    found = _asked(_stair(upper_post={"from_top_nose": given}))

    assert ("top-nose.S1" in found) == asked


def test_face_from_the_top_nosing_is_put_right_either_way() -> None:
    """At 1 in downhill: the face goes back by the inset, or the inset comes out to the face."""
    asked = _asked(_stair(upper_post={"from_top_nose": "1"}))["top-nose.S1"]

    sets = {
        option.key: [(one.pointer, one.value) for one in option.sets] for option in asked.options
    }
    assert asked.severity == "stop"
    assert sets == {
        "from-top-nose": [("/stairs/0/upper_post/from_top_nose", "-1 1/4 in")],
        "inset": [("/lines/0/inset", "1 1/4 in")],
        "both-right": [],
    }


def test_post_line_without_an_inset_says_nothing_of_the_top_nosing() -> None:
    """Along post centres nobody measured the deck edge; the face counts as measured."""
    tree = _stair(upper_post={"from_top_nose": "-3"})
    line = tree["lines"][0] | {"measured": "post-centre", "inset": 0}

    assert "top-nose.S1" not in _asked(tree | {"lines": [line]})
    assert "top-nose.S1" in _asked(tree | {"lines": [line | {"inset": "3 1/2"}]})


def test_section_too_tall_or_too_low_for_the_stair() -> None:
    """A 36 in section suits; a recorded window far above or below it holds."""

    def found(rule: str, **limits: str) -> set[str]:
        change = {"rule": rule, "authority": "Town of Alder Quay", **limits}
        code = {"profile": "us-irc-2021", "local_changes": [change]}
        return set(
            _asked(_stair(handrail=[], risers=3, total_rise=None, total_run=None) | {"code": code})
        )

    assert "stair-height.S1" in found("guard-stair-height", limit="42")
    assert "stair-height.S1" in found("guard-as-handrail", limit="20", upper="30")
    assert "stair-height.S1" not in found("guard-stair-height", limit="34")


@pytest.mark.parametrize(("risers", "asked"), [(3, False), (4, True)])
def test_handrail_from_four_risers_on(risers: int, asked: bool) -> None:  # noqa: FBT001
    """The recorded rule (IRC 2021 R311.7.8) asks for a handrail from four risers on."""
    found = _asked(_stair(risers=risers, handrail=[], total_rise=None, total_run=None))

    assert ("handrail.S1" in found) == asked
    assert "handrail.S1" not in _asked(_stair())


@pytest.mark.parametrize(("rise", "asked"), [("151", False), ("151 1/16", True)])
def test_flight_without_a_landing(rise: str, asked: bool) -> None:  # noqa: FBT001
    """The recorded limit of one flight is 151 in (IRC 2021 R311.7.3)."""
    assert ("flight.S1" in _asked(_stair(total_rise=rise))) == asked


@pytest.mark.parametrize(
    ("riser", "tread", "asked"),
    [("7 3/4", "10", False), ("7 13/16", "10", True), ("7 3/4", "9 15/16", True)],
)
def test_stair_that_may_fail_itself(riser: str, tread: str, asked: bool) -> None:  # noqa: FBT001
    """Riser to 7 3/4, tread from 10 in (IRC 2021 R311.7.5): information only, so it holds."""
    own = {"total_rise": None, "total_run": None, "slope_deg": None}
    found = _asked(_stair(riser=riser, tread=tread, **own))

    assert ("stair-own.S1" in found) == asked
    assert all(found[key].severity == "hold" for key in found if key == "stair-own.S1")


def test_metric_window_of_risers_is_read_at_its_top() -> None:
    """A rule with both a least and a greatest riser compares with the greatest."""
    tree = builders.document("metric")
    own = {"total_rise": None, "total_run": None}
    taller = [tree["stairs"][0] | {"riser": 201} | own]

    assert "stair-own.S1" not in _asked(tree)
    assert "stair-own.S1" in _asked(tree | {"stairs": taller})


def test_stair_promised_but_not_measured() -> None:
    """A promise that mentions a stair, in a job without one, stops it."""
    promise = {"promises": ["White stair rail both sides"]}

    assert "stair.missing" in _asked(_line(_leg("A", "90")) | promise)
    assert "stair.missing" not in _asked(_tree() | promise)
    assert "stair.missing" not in _asked(_line(_leg("A", "90")) | {"promises": ["Flat caps"]})


def test_sales_measure_holds() -> None:
    """A measure taken for the price is not cut to."""
    measured = builders.document("l-deck")["measured"]

    assert "measure.sales" in _asked(_tree(measured=measured | {"kind": "sales"}))
    assert "measure.sales" not in _asked(_tree())


@pytest.mark.parametrize(
    ("on", "key"),
    [("2026-09-10", None), ("2026-09-09", "measure.old"), ("2026-12-03", None),
     ("2026-12-04", "measure.later")],
)  # fmt: skip
def test_age_of_the_measure(on: str, key: str | None) -> None:
    """Twelve weeks before the day of work are the most; after it is a slip of the pen."""
    measured = builders.document("l-deck")["measured"]

    found = set(_asked(_tree(measured=measured | {"on": on}, install_date="2026-12-03")))

    assert found == ({key} if key else set())


@pytest.mark.parametrize(("drop", "asked"), [("30", False), ("30 1/16", True)])
def test_gate_at_an_edge_that_needs_a_guard(drop: str, asked: bool) -> None:  # noqa: FBT001
    """Over 30 in down (IRC 2021 R312.1.1) an opened gate leaves the edge bare."""
    gate = {"name": "G1", "leg": "A", "start": "60", "width": "36", "pool_barrier": False}

    found = _asked(_line(_leg("A", "150") | {"drop": drop}) | {"gates": [gate]})

    assert ("guard-gap.G1" in found) == asked


@pytest.mark.parametrize(
    ("mount", "asked"),
    [("inside-rim", False), ("outside-rim", False), ("surface", True), ("concrete", True)],
)
def test_mounts_that_hide_what_holds_them(mount: str, asked: bool) -> None:  # noqa: FBT001
    """Boards hide the blocking, concrete its edge distance; a rim can be seen."""
    tree = _tree()
    del tree["post"]["edge_distance"]
    tree["stairs"] = []
    tree["lines"][0]["inset"] = "0"
    job = builders.job(tree)
    assert job.detail is not None
    detail = job.detail.model_copy(update={"mount": mount})

    found = {q.key for q in check_measure(job.model_copy(update={"detail": detail}))}

    assert found == ({f"mount.{mount}"} if asked else set())


def test_permit_not_recorded_holds() -> None:
    """No number, no silent go-ahead."""
    assert "permit.unknown" in _asked(_tree(permit=None))
    assert "permit.unknown" not in _asked(_tree())


@pytest.mark.parametrize(
    ("year", "feet", "asked"),
    [(1977, 10, True), (1978, 10, False), (None, 10, True), (1950, 0, False)],
)
def test_old_paint(year: int | None, feet: float, asked: bool) -> None:  # noqa: FBT001
    """Housing built before 1978 (40 CFR 745) from which old railing comes off."""
    site = builders.document("l-deck")["site"] | {"year_built": year}

    assert ("paint.old" in _asked(_tree(site=site, remove_feet=feet))) == asked


def test_millimetres_among_inches() -> None:
    """An opening of 2400 among 94s stops the job and is offered as millimetres."""
    found = _asked(_porch({"bottom": "94"}, {"bottom": "2400"}))["unit.A.2"]

    assert found.severity == "stop"
    assert found.options[0].sets[0].pointer == "/lines/0/legs/0/clears/1/bottom"
    assert found.options[0].sets[0].value == "2400 mm"
    assert "unit.A.2" not in _asked(_porch({"bottom": "94"}, {"bottom": "94 1/2"}))


def test_inches_among_millimetres() -> None:
    """94 among openings of 2400 mm is inches."""
    tree = builders.document("metric")
    clears = [{"bottom": 2400}, {"bottom": 94}, {"bottom": 2400}]
    line = tree["lines"][0] | {
        "legs": [{"name": "A", "length": 5000, "clears": clears, "drop": 1000}]
    }

    found = _asked(tree | {"lines": [line], "stairs": []})

    assert found["unit.A.2"].options[0].sets[0].value == "94 in"


@pytest.mark.parametrize(
    ("field", "value"), [("riser", "190"), ("tread", "280"), ("total_rise", "1140")]
)
def test_millimetres_in_a_stair(field: str, value: str) -> None:
    """A riser of 190 in is one of 190 mm."""
    found = _asked(_stair(**{field: value}))

    assert found[f"unit.S1.{field}"].options[0].sets[0].value == f"{value} mm"


def test_large_but_not_in_the_other_unit_either() -> None:
    """A leg of 90 ft is long, and no slip of units."""
    assert not any(key.startswith("unit.") for key in _asked(_line(_leg("A", "90'  0\""))))


def test_a_metric_limit_is_told_in_millimetres() -> None:
    """7 1/2 in is over 190 mm, and on an inch tape both would read 7 1/2."""
    tree = builders.document("l-deck")
    tree["code"] = {"profile": "au-ncc-2022"}

    (own,) = [q for q in check_measure(builders.job(tree)) if q.key == "stair-own.S1"]

    assert "a riser of 7 1/2 (recorded limit 190 mm)" in own.says


@pytest.mark.parametrize(
    ("given", "stands_on", "asked"),
    [
        ("-4 1/2", "landing", False),  # the sleeve's own width
        ("-4 9/16", "landing", True),
        ("-12", "grade", True),
        ("-12", "tread", False),
    ],
)
def test_lower_post_stands_at_the_lowest_nosing(
    given: str,
    stands_on: str,
    asked: bool,  # noqa: FBT001
) -> None:
    """Further uphill its rail would end short of the nosing; on a tread it may."""
    found = _asked(_stair(lower_post={"from_last_nose": given, "stands_on": stands_on}))

    assert ("last-nose.S1" in found) == asked
