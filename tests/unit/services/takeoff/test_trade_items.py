"""Every item that a railing crew loads, each with where it is counted.

Source:
    common practice, no source: the items and their spares are those that installers list for
    a railing job. Which of them a company loads, and how many spares, is its own data.
"""

from __future__ import annotations

from math import ceil
from typing import Any

import pytest

from schemas.lengths import FOOT, INCH
from schemas.part_rule import PartRule
from schemas.plan import Plan
from schemas.rail_system import RailSystem
from schemas.site import Gate
from schemas.takeoff import Takeoff, TakeoffLine
from services.takeoff import load_doubts, take_off
from tests.planned import plan


def again(whole: Plan, **changed: Any) -> Takeoff:  # noqa: ANN401 any field of the job
    """Take off a plan again with some of its job changed."""
    job = whole.job.model_copy(update=changed)
    return take_off(job=job, layout=whole.layout, bays=whole.bays, cuts=whole.cuts)


def line(taken: Takeoff, item: str) -> TakeoffLine:
    """The line of that stock key."""
    return next(one for one in taken.lines if one.item == item)


def loads(taken: Takeoff, item: str) -> bool:
    """Whether there is such a line."""
    return any(one.item == item for one in taken.lines)


def with_parts(system: RailSystem, *rules: PartRule) -> RailSystem:
    """The system with these part rules besides its own."""
    return system.model_copy(update={"parts": (*system.parts, *rules)})


def rule(key: str, per: str, **more: Any) -> PartRule:  # noqa: ANN401
    """One of it for each."""
    given = {"key": key, "group": "fixings", "per": per, "count": 1, **more}
    return PartRule.model_validate(given, strict=False)


def gates(*names: str, pool: bool) -> tuple[Gate, ...]:
    """Gates of these names in the first leg."""
    return tuple(
        Gate.model_construct(name=name, leg="A", start=0, width=36 * INCH, pool_barrier=pool)
        for name in names
    )


DECK, PORCH, CORNER = plan("l-deck"), plan("porch"), plan("corner-45")
POSTS = sum(not post.in_place for post in DECK.layout.posts)
FEET = sum(post.where == "stair-lower" for post in DECK.layout.posts)
AT_RIM = POSTS - FEET
"""The deck's feet stand on a pad, by a detail for concrete of their own."""
BAYS = len(DECK.bays.level) + len(DECK.bays.stair)
CONCRETE = next(d for d in DECK.job.company.details if d.mount == "concrete")
SCREWED = DECK.job.detail.model_copy(update={"parts": (("screw-post-3", 4),)})  # type: ignore[union-attr]
HALF_POST = with_parts(PORCH.job.system, rule("core-96", "wall-end"))
STIFF = with_parts(
    DECK.job.system, rule("core-96", "level-bay", count=2, over="72 in", group="rails")
)
LONG = sum(bay.clear > 72 * INCH for bay in DECK.bays.level)


def bars(key: str, whole: Plan = DECK) -> int:
    """How many of a stock are on the cut list."""
    kits = sum(bar.stock.kit == key for bar in whole.cuts.bars)
    return kits + sum(bar.stock == key for bar in whole.cuts.plain)


ITEMS: list[tuple[str, Takeoff, str, int]] = [
    ("level rail kit", DECK.takeoff, "cove-level-96", bars("cove-level-96")),
    ("stair rail kit", DECK.takeoff, "cove-stair-96", len(DECK.bays.stair)),
    ("stiffener", again(DECK, system=STIFF), "core-96", bars("core-96") + 2 * LONG),
    ("bracket level", DECK.takeoff, "cove-bracket-line", 12),
    ("bracket angle", CORNER.takeoff, "cove-bracket-angle", 4),
    ("core", DECK.takeoff, "core-96", bars("core-96")),
    ("sleeve", DECK.takeoff, "cove-sleeve-48", POSTS),
    ("skirt", DECK.takeoff, "cove-skirt", POSTS),
    ("cap", DECK.takeoff, "cove-cap", POSTS),
    ("half post", again(PORCH, system=HALF_POST), "core-96", 2),
    ("wall block", again(PORCH, extras=("wall-blocks",)), "wall-block", 2),
    ("flashing", PORCH.takeoff, "wall-flashing", 2),
    ("through bolt", DECK.takeoff, "bolt-half", 2 * AT_RIM),
    ("tension tie", DECK.takeoff, "tension-tie", 2 * AT_RIM),
    ("blocking lumber", DECK.takeoff, "blocking-2x8", AT_RIM),
    ("structural screw", again(DECK, detail=SCREWED), "screw-post-3", 4 * AT_RIM + 12 * BAYS),
    ("anchor", again(DECK, detail=CONCRETE), "anchor-half", 4 * POSTS),
    ("anchor of a foot", DECK.takeoff, "anchor-half", 4 * FEET),
    ("plate", again(DECK, detail=CONCRETE), "post-plate", POSTS),
    ("plate shim", again(DECK, detail=CONCRETE), "plate-shim", 4 * POSTS),
    ("plate sealant", again(DECK, detail=CONCRETE), "sealant", ceil(POSTS / 6)),
    ("gate kit", again(DECK, gates=gates("G1", "G2", pool=False)), "gate-kit", 2),
    ("gate hinges", again(DECK, gates=gates("G1", "G2", pool=False)), "gate-hinges", 2),
    ("gate latch", again(DECK, gates=gates("G1", "G2", pool=False)), "gate-latch", 2),
    ("gate closer", again(DECK, gates=gates("G1", "G2", pool=True)), "gate-closer", 2),
    ("handrail stock", DECK.takeoff, "grip-rail-96", bars("grip-rail-96")),
    ("handrail bracket", DECK.takeoff, "grip-bracket", 3),
    ("handrail return", DECK.takeoff, "grip-return", 2),
    ("adhesive", DECK.takeoff, "cap-adhesive", ceil(POSTS / 25)),
    ("screw cover", DECK.takeoff, "screw-cover", 2 * 4 * BAYS),
    ("touch-up and cleaner", DECK.takeoff, "touch-up", 1),
    ("rags", DECK.takeoff, "rags", 1),
    ("cut-end preservative", DECK.takeoff, "cut-end-preservative", 1),
    ("saw blade", DECK.takeoff, "saw-blade", 1),
    (
        "light", again(DECK, extras=("post-lights",)), "post-light", len(DECK.layout.posts),
    ),
    (
        "wire", again(DECK, extras=("post-lights",)), "light-wire",
        ceil(sum(leg.length for leg in DECK.layout.legs) / (25 * FOOT)),
    ),
    ("disposal", DECK.takeoff, "rubble-bag", 3 * ceil(DECK.job.remove_feet / 10)),
    (
        "temporary guard", DECK.takeoff, "temp-guard-2x4",
        2 * ceil(sum(leg.length for leg in DECK.layout.legs) / (8 * FOOT)),
    ),
]  # fmt: skip


@pytest.mark.parametrize(("taken", "item", "count"), [row[1:] for row in ITEMS], ids=[
    row[0] for row in ITEMS
])  # fmt: skip
def test_every_item_of_the_trade_is_counted(taken: Takeoff, item: str, count: int) -> None:
    """So many, with the reason and the places that need them."""
    found = line(taken, item)

    assert found.needed == count
    assert found.why
    assert found.places


@pytest.mark.parametrize(
    ("item", "taken"),
    [
        ("gate-kit", DECK.takeoff),
        ("gate-closer", again(DECK, gates=gates("G1", pool=False))),
        ("post-light", DECK.takeoff),
        ("sealant", CORNER.takeoff),
        ("wall-block", again(CORNER, extras=("wall-blocks",))),
        ("wall-flashing", CORNER.takeoff),
        ("rubble-bag", PORCH.takeoff),
        ("cove-bracket-angle", DECK.takeoff),
    ],
)
def test_what_a_job_has_not_is_not_loaded(item: str, taken: Takeoff) -> None:
    """No gate, no pool, no light sold, no plate, no wall, nothing to take away, no mitre."""
    assert not loads(taken, item)


@pytest.mark.parametrize("item", ["cove-baluster", "cove-bracket-stair", "cove-foot-block"])
def test_what_comes_boxed_is_counted_where_the_boxes_fall_short(item: str) -> None:
    """With empty boxes all of them are loose; with the real ones none or fewer."""
    level, stair = DECK.job.system.level, DECK.job.system.stair
    assert stair is not None
    empty = {"balusters": 0, "brackets": 0, "foot_blocks": 0}
    bare = DECK.job.system.model_copy(
        update={
            "level": level.model_copy(
                update={"kits": tuple(kit.model_copy(update=empty) for kit in level.kits)}
            ),
            "stair": stair.model_copy(
                update={"kits": tuple(kit.model_copy(update=empty) for kit in stair.kits)}
            ),
        }
    )
    by_item = {
        "cove-baluster": sum(len(bay.marks) for bay in DECK.bays.level),
        "cove-bracket-stair": 4 * len(DECK.bays.stair),
        "cove-foot-block": sum(len(bay.foot_blocks) for bay in DECK.bays.level)
        + sum(len(bay.foot_blocks) for bay in DECK.bays.stair),
    }

    taken = again(DECK, system=bare, stair_system=bare)

    assert line(taken, item).needed == by_item[item]


@pytest.mark.parametrize(("sections", "spare"), [(11, 0), (12, 1), (30, 1)])
def test_a_kit_goes_along_to_spare_from_twelve_sections(sections: int, spare: int) -> None:
    """One, of the longest that is used; none for small jobs."""
    many = (DECK.bays.level * 4)[:sections]
    bays = DECK.bays.model_copy(update={"level": many})

    taken = take_off(job=DECK.job, layout=DECK.layout, bays=bays, cuts=DECK.cuts)

    spares = {one.item: one.spare for one in taken.lines if "level" in one.item}
    assert spares == {"cove-level-120": spare, "cove-level-96": 0, "cove-level-72": 0}


def test_a_colour_that_is_not_on_the_shelf_takes_a_spare_kit_along() -> None:
    """However small the job: a second one would take weeks."""
    special = DECK.job.system.model_copy(update={"special_order": (DECK.job.colour,)})

    assert line(again(DECK, system=special), "cove-level-120").spare == 1


@pytest.mark.parametrize(
    ("item", "spares", "needed"),
    [("bolt-half", 1 + 2, 18), ("tension-tie", 1 + 2, 18), ("blocking-2x8", 1 + 1, 9)],
)
def test_fixings_take_five_percent_and_a_full_set_along(
    item: str, spares: int, needed: int
) -> None:
    """One in twenty, begun ones too, and what one post takes on top."""
    found = line(DECK.takeoff, item)

    assert (found.needed, found.spare) == (needed, spares)


def test_anchors_take_ten_percent_along() -> None:
    """44 anchors, 5 more; they come by fours."""
    found = line(again(DECK, detail=CONCRETE), "anchor-half")

    assert (found.needed, found.spare, found.packages) == (44, 5, 13)


@pytest.mark.parametrize("item", ["grip-joiner", "grip-bracket"])
def test_one_joiner_and_one_bracket_go_along_with_a_handrail(item: str) -> None:
    """A stick that was cut wrong is joined, where none was to be."""
    assert line(DECK.takeoff, item).spare == 1
    assert not loads(PORCH.takeoff, item)


def test_stair_kits_have_no_spare_but_a_check_before_ordering() -> None:
    """It stands with the line."""
    found = line(DECK.takeoff, "cove-stair-96")

    assert found.spare == 0
    assert found.note is not None
    assert "before ordering" in found.note


@pytest.mark.parametrize(
    ("finish", "says", "held"),
    [
        ("hot-dip-galvanized", None, False),
        ("stainless", None, False),
        ("aluminium", "liner, shim or sealant", False),
        ("zinc-plated", "not into treated wood", True),
        (None, "not into treated wood", True),
    ],
)
def test_metal_in_treated_wood_is_minded(
    finish: str | None, says: str | None, *, held: bool
) -> None:
    """Galvanized and stainless may touch it, bare aluminium not bare, the rest not at all."""
    book = tuple(
        item.model_copy(update={"finish": finish}) if item.key == "bolt-half" else item
        for item in DECK.job.company.price_book
    )
    changed = DECK.job.company.model_copy(update={"price_book": book})
    job = DECK.job.model_copy(update={"company": changed})

    taken = again(DECK, company=changed)
    dry = again(DECK, company=changed, post=DECK.job.post.model_copy(update={"treated": False}))

    note = line(taken, "bolt-half").note
    assert note is None if says is None else says in str(note)
    assert line(dry, "bolt-half").note is None
    asked = {question.key: question.severity for question in load_doubts(taken, job)}
    assert (asked.get("corrosion.bolt-half") == "hold") == held


def test_a_day_that_is_too_long_is_a_hold() -> None:
    """By the company's own rates; an hour less, and nothing is asked."""
    taken = DECK.takeoff
    long = taken.model_copy(update={"day_hours": taken.crew_hours - 1})
    even = taken.model_copy(update={"day_hours": taken.crew_hours})

    (asked,) = load_doubts(long, DECK.job)

    assert (asked.key, asked.severity) == ("day-over.hours", "hold")
    assert "1.0 too long" in asked.says
    assert load_doubts(even, DECK.job) == ()


def test_a_load_over_the_truck_s_limit_is_a_hold() -> None:
    """A gram over, and it is asked about; at the limit it goes."""
    taken = DECK.takeoff
    over = taken.model_copy(update={"truck_grams": taken.grams - 1})
    even = taken.model_copy(update={"truck_grams": taken.grams})

    (asked,) = load_doubts(over, DECK.job)

    assert (asked.key, asked.severity) == ("truck-over.load", "hold")
    assert load_doubts(even, DECK.job) == ()


def test_set_up_and_travel_stand_apart_from_the_work() -> None:
    """Each on a line of its own, marked."""
    apart = {one.task: one.hours for one in DECK.takeoff.hours if one.apart}
    rates = {rate.task: rate.hours for rate in DECK.job.company.rates}

    assert sorted(apart.values()) == sorted((rates["set-up"], rates["travel"]))


@pytest.mark.parametrize(
    "given",
    [
        {"per": "open-edge"},
        {"per": "post", "every": "96 in"},
        {"per": "post", "over": "72 in"},
    ],
)
def test_a_rule_that_cannot_be_counted_is_refused(given: dict[str, str]) -> None:
    """A length without its every, an every or an over that nothing goes by."""
    with pytest.raises(ValueError, match="goes with per"):
        rule("rags", **given)


@pytest.mark.parametrize(
    ("task", "on", "off"),
    [
        ("Posts on concrete", DECK.takeoff, CORNER.takeoff),
        ("Old railing away", DECK.takeoff, PORCH.takeoff),
        ("Gates", again(DECK, gates=gates("G1", pool=False)), DECK.takeoff),
        ("Handrail", DECK.takeoff, PORCH.takeoff),
        ("Stairs", DECK.takeoff, PORCH.takeoff),
    ],
)
def test_tools_come_with_the_work_that_needs_them(task: str, on: Takeoff, off: Takeoff) -> None:
    """And stay at the yard where there is none."""
    assert task in {name for name, _ in on.tools}
    assert task not in {name for name, _ in off.tools}
