"""The takeoff counts what the plan needs, in whole packages, with its reason and its price."""

from math import ceil
from typing import Any

import pytest

from schemas.company import Rate, Spare
from schemas.errors import UnknownThing
from schemas.lengths import INCH
from schemas.plan import Plan
from schemas.takeoff import Takeoff, TakeoffLine
from services.pipeline import make_plan
from services.takeoff import take_off
from services.takeoff.spares import spare_for
from tests.builders import document, library, submission
from tests.planned import plan

PLANNED = ("l-deck", "porch", "corner-45", "wraparound", "two-stair-sides", "metric")


def line(takeoff: Takeoff, item: str) -> TakeoffLine | None:
    """The line of that stock key; none is not loaded."""
    return next((one for one in takeoff.lines if one.item == item), None)


def needed(takeoff: Takeoff, item: str) -> int:
    """How many of it were counted."""
    found = line(takeoff, item)
    return found.needed if found else 0


def again(whole: Plan, **changed: Any) -> Takeoff:  # noqa: ANN401 any record of the plan
    """Take off the plan again with some of its records changed."""
    given = {"job": whole.job, "layout": whole.layout, "bays": whole.bays, "cuts": whole.cuts}
    return take_off(**(given | changed))


@pytest.mark.parametrize("name", PLANNED)
def test_every_baluster_is_loaded_loose_or_in_a_kit(name: str) -> None:
    """As many as there are marks on the rails, less those boxed with the kits."""
    whole = plan(name)
    rail = whole.job.system.level
    boxed = {kit.key: kit.balusters for kit in rail.kits}

    marks = sum(len(bay.marks) for bay in whole.bays.level)
    in_kits = sum(boxed.get(str(bar.stock.kit), 0) for bar in whole.cuts.bars)

    assert needed(whole.takeoff, rail.baluster_key) == max(0, marks - in_kits)


@pytest.mark.parametrize("spare", [0, 1])
def test_a_foot_block_left_over_by_level_kits_serves_under_a_stair(spare: int) -> None:
    """None is loaded while the level kits bring what both need; one is when they are one short."""
    whole = plan("l-deck")
    key = whole.job.system.foot_block.key
    stairs = sum(len(bay.foot_blocks) for bay in whole.bays.stair)
    levels = sum(len(bay.foot_blocks) for bay in whole.bays.level)
    bars = [bar for bar in whole.cuts.bars if bar.stock.orientation == "level" and bar.stock.kit]
    each = -(-(stairs + levels) // len(bars)) - spare
    level, stair = whole.job.system.level, whole.job.system.stair
    assert stair is not None
    assert stairs

    kits = tuple(kit.model_copy(update={"foot_blocks": each}) for kit in level.kits)
    bare = tuple(kit.model_copy(update={"foot_blocks": 0}) for kit in stair.kits)
    system = whole.job.system.model_copy(
        update={
            "level": level.model_copy(update={"kits": kits}),
            "stair": stair.model_copy(update={"kits": bare}),
        }
    )
    taken = again(
        whole, job=whole.job.model_copy(update={"system": system, "stair_system": system})
    )

    assert needed(taken, key) == max(0, stairs + levels - each * len(bars))
    assert bool(needed(taken, key)) == bool(spare)


def test_a_bay_takes_four_brackets_by_its_own_ends() -> None:
    """Two at a plain end and two at a mitred one, the plain ones less the kits' own."""
    whole = plan("corner-45")
    rail = whole.job.system.level
    assert rail.angle_bracket is not None
    mitred = sum(
        deg > rail.bracket.greatest_deg
        for bay in whole.bays.level
        for deg in (bay.mitre_left_deg, bay.mitre_right_deg)
    )
    boxed = {kit.key: kit.brackets for kit in rail.kits}
    in_kits = sum(boxed.get(str(bar.stock.kit), 0) for bar in whole.cuts.bars)

    plain = 4 * len(whole.bays.level) - 2 * mitred

    assert mitred > 0
    assert needed(whole.takeoff, rail.angle_bracket.key) == 2 * mitred
    assert needed(whole.takeoff, rail.bracket.key) == max(0, plain - in_kits)


@pytest.mark.parametrize("name", PLANNED)
def test_every_bracket_brings_its_screws(name: str) -> None:
    """Into the post and into the rail as its sheet says, for each of four brackets a bay."""
    whole = plan(name)
    brackets = 4 * (len(whole.bays.level) + len(whole.bays.stair))

    assert needed(whole.takeoff, "screw-post-3") == 3 * brackets
    rail_screws = {"cove": 3, "tern": 2}[whole.job.system.key]
    assert needed(whole.takeoff, "screw-rail-1") == rail_screws * brackets


@pytest.mark.parametrize("name", PLANNED)
def test_packages_are_whole_and_none_too_many(name: str) -> None:
    """They hold what is needed with its spares; with one less they would not."""
    for one in plan(name).takeoff.lines:
        wanted = one.needed + one.spare

        assert (one.packages - 1) * one.package < wanted <= one.packages * one.package, one.item


@pytest.mark.parametrize(("count", "spares"), [(0, 0), (1, 2), (66, 2), (67, 3), (99, 3), (100, 4)])
def test_spares_are_one_in_so_many_but_at_least_a_few(count: int, spares: int) -> None:
    """Both sides of each step, and none for nothing."""
    rules = (Spare(kind="baluster", one_in=33, least=2),)

    assert spare_for("baluster", count, rules) == spares


def test_a_kind_without_a_rule_has_no_spares() -> None:
    """The company decides; nothing is added of our own."""
    assert spare_for("cap", 100, ()) == 0
    assert spare_for(None, 100, (Spare(kind="cap", one_in=1, least=1),)) == 0


@pytest.mark.parametrize("name", PLANNED)
def test_every_line_says_why_and_where(name: str) -> None:
    """Each is traced to posts, bays, legs, stairs or the job by the names on the plan."""
    whole = plan(name)
    known = {post.name for post in whole.layout.posts}
    known |= {bay.name for bay in whole.layout.bays}
    known |= {leg.name for leg in whole.layout.legs} | {s.name for s in whole.job.stairs} | {"job"}

    for one in whole.takeoff.lines:
        assert one.why, one.item
        assert one.places, one.item
        assert {place.partition(" ")[0] for place in one.places} <= known, one.item


def test_posts_in_place_bring_no_sleeves_skirts_or_caps() -> None:
    """Nor cores, fixings or adhesive, nor hours to set and dress them."""
    takeoff = plan("porch").takeoff

    assert not {one.group for one in takeoff.lines} & {"posts", "sleeves", "fixings"}
    assert line(takeoff, "cap-adhesive") is None
    assert not any("post" in one.task.lower() for one in takeoff.hours)


def test_posts_to_set_bring_one_of_each() -> None:
    """A skirt and a cap a post, and the parts of its own approved detail."""
    whole = plan("l-deck")
    to_set = [post for post in whole.layout.posts if not post.in_place]
    feet = [post for post in to_set if post.where == "stair-lower"]
    details = {detail.key: detail for detail in whole.job.company.details}

    assert needed(whole.takeoff, "cove-skirt") == needed(whole.takeoff, "cove-cap") == len(to_set)
    for number, posts in (("D-3", len(to_set) - len(feet)), ("D-7", len(feet))):
        for key, count in details[number].parts:
            assert needed(whole.takeoff, key) == count * posts


def test_a_foot_on_a_landing_takes_no_bolts_of_a_rim() -> None:
    """Its detail unknown, nothing is loaded for it; the legs' posts keep their own parts."""
    tree = document("l-deck")
    del tree["stairs"][0]["lower_post"]["detail"]

    planned = make_plan(submission(tree), library=library()).plan
    assert planned is not None
    taken = planned.takeoff

    assert needed(taken, "bolt-half") == 2 * 9
    assert not {"anchor-half", "post-plate"} & {one.item for one in taken.lines}
    assert not {"S1-L", "S1-R"} & {
        place for one in taken.lines if one.group == "fixings" for place in one.places
    }


def test_without_an_approved_detail_no_fixings_are_guessed() -> None:
    """Which bolts go in is the authority's, not ours."""
    whole = plan("l-deck")

    takeoff = again(whole, job=whole.job.model_copy(update={"detail": None}))

    feet = {post.name for post in whole.layout.posts if post.where == "stair-lower"}
    lines = [one for one in takeoff.lines if one.group == "fixings"]
    assert all(set(one.places) <= feet for one in lines)


@pytest.mark.parametrize(("inches", "joiners"), [(96, 0), (97, 1), (192, 1), (193, 2)])
def test_a_handrail_longer_than_a_stick_is_joined(inches: int, joiners: int) -> None:
    """One joiner between each two sticks of 96 in, none for the last."""
    whole = plan("l-deck")
    bays = whole.bays.model_copy(
        update={
            "stair": tuple(
                bay.model_copy(update={"handrail": inches * INCH}) if bay.handrail else bay
                for bay in whole.bays.stair
            )
        }
    )

    assert needed(again(whole, bays=bays), "grip-joiner") == joiners


def test_temporary_guard_follows_the_open_edge() -> None:
    """Two for each 96 in of edge begun."""
    whole = plan("l-deck")
    edge = sum(leg.length for leg in whole.layout.legs)

    assert needed(whole.takeoff, "temp-guard-2x4") == 2 * ceil(edge / (96 * INCH))


@pytest.mark.parametrize("name", PLANNED)
def test_sums_are_those_of_the_lines(name: str) -> None:
    """Load, money by heading, hours and railing add up."""
    whole = plan(name)
    takeoff = whole.takeoff

    assert takeoff.grams == sum(one.grams for one in takeoff.lines)
    assert takeoff.cost.material_cents == sum(one.cents for one in takeoff.lines)
    assert dict(takeoff.cost.by_group) == {
        group: sum(one.cents for one in takeoff.lines if one.group == group)
        for group in {one.group for one in takeoff.lines}
    }
    assert takeoff.crew_hours == pytest.approx(sum(one.hours for one in takeoff.hours))
    clears = [bay.clear for bay in whole.bays.level] + [bay.clear for bay in whole.bays.stair]
    assert takeoff.rail_length == sum(clears)
    loads = [one.load for one in takeoff.lines]
    assert loads == sorted(loads)


@pytest.mark.parametrize("name", PLANNED)
def test_a_line_costs_and_weighs_its_packages(name: str) -> None:
    """By the price book: cents a package, grams a piece."""
    whole = plan(name)
    book = {item.key: item for item in whole.job.company.price_book}

    for one in whole.takeoff.lines:
        item = book[one.item]
        assert one.cents == one.packages * item.cents
        assert one.grams == one.packages * item.package * item.grams


def test_hours_are_the_company_s_rates_times_the_work() -> None:
    """One line a kind of work that the job has; the day is that of pairs of people."""
    whole = plan("l-deck")
    rates = {rate.task: rate.hours for rate in whole.job.company.rates}
    crew = next(crew for crew in whole.job.company.crews if crew.key == whole.job.crew)

    by_task = {one.task: one for one in whole.takeoff.hours}

    level = by_task["Level bay"]
    assert (level.count, level.each) == (len(whole.bays.level), rates["level"])
    assert level.hours == pytest.approx(len(whole.bays.level) * rates["level"], abs=0.005)
    assert by_task["Take away old railing, a foot"].count == whole.job.remove_feet
    assert "Gate" not in by_task
    assert whole.takeoff.day_hours == crew.hours * crew.people / 2


@pytest.mark.parametrize(
    ("mount", "rates", "task"),
    [
        ("concrete", ("post", "post-concrete"), "Set a post on concrete"),
        ("surface", ("post", "post-surface"), "Set a post on the surface"),
        ("concrete", ("post",), "Set a post"),
        ("inside-rim", ("post", "post-concrete"), "Set a post"),
    ],
)
def test_setting_a_post_goes_by_the_rate_of_its_mount(
    mount: str, rates: tuple[str, ...], task: str
) -> None:
    """Where the company has one; else by its rate for any post."""
    whole = plan("l-deck")
    assert whole.job.detail is not None
    company = whole.job.company.model_copy(
        update={"rates": tuple(Rate.model_validate({"task": t, "hours": 0.5}) for t in rates)}
    )
    detail = whole.job.detail.model_copy(update={"mount": mount})

    taken = again(whole, job=whole.job.model_copy(update={"company": company, "detail": detail}))

    feet = "Set a post on concrete" if "post-concrete" in rates else "Set a post"
    want = {task: 0, feet: 0}
    for post in whole.layout.posts:
        want[feet if post.where == "stair-lower" else task] += 1
    assert {one.task: one.count for one in taken.hours} == want


def test_waste_is_the_rail_stock_s_share() -> None:
    """A bar all wasted costs its price; a bar without waste nothing."""
    whole = plan("l-deck")
    first, *others = (bar.model_copy(update={"waste": 0}) for bar in whole.cuts.bars)
    spoilt = first.model_copy(update={"waste": first.stock.length})

    none = again(whole, cuts=whole.cuts.model_copy(update={"bars": (first, *others)}))
    one = again(whole, cuts=whole.cuts.model_copy(update={"bars": (spoilt, *others)}))

    assert none.cost.waste_cents == 0
    assert one.cost.waste_cents == first.stock.cents


def test_waste_of_a_bay_of_two_rail_lengths_is_that_of_both_rails() -> None:
    """Half a kit's price is its top rail's, half its bottom rail's."""
    whole = plan("l-deck")
    first, *others = (bar.model_copy(update={"waste": 0}) for bar in whole.cuts.bars)
    uneven = first.model_copy(update={"waste": first.stock.length, "waste_bottom": 0})

    taken = again(whole, cuts=whole.cuts.model_copy(update={"bars": (uneven, *others)}))

    assert taken.cost.waste_cents == first.stock.cents // 2


def test_ends_of_sticks_are_wasted_at_their_share_of_the_price() -> None:
    """Sleeves, cores and handrail, to a cent a stick."""
    whole = plan("l-deck")
    used = sum(end - start for bar in whole.cuts.plain for _, start, end in bar.pieces)
    book = {item.key: item.cents for item in whole.job.company.price_book}

    exact = sum(
        book[bar.stock] * (1 - sum(e - s for _, s, e in bar.pieces) / bar.length)
        for bar in whole.cuts.plain
    )

    assert 0 < used < sum(bar.length for bar in whole.cuts.plain)
    assert whole.takeoff.cost.stick_waste_cents == pytest.approx(exact, abs=len(whole.cuts.plain))


def test_a_part_the_price_book_lacks_is_named_with_its_place() -> None:
    """The office can mend it: which key, and what needs it."""
    whole = plan("l-deck")
    book = tuple(item for item in whole.job.company.price_book if item.key != "cove-cap")
    company = whole.job.company.model_copy(update={"price_book": book})

    with pytest.raises(UnknownThing, match=r"no cove-cap, which A1 needs"):
        again(whole, job=whole.job.model_copy(update={"company": company}))


def test_tools_come_by_task() -> None:
    """Posts and stairs bring theirs; a porch with posts in place and no stair does not.

    Its brick wall and its old paint bring theirs.
    """
    deck, porch = ({task for task, _ in plan(n).takeoff.tools} for n in ("l-deck", "porch"))

    assert porch - deck == {"Wall ends in masonry", "Old paint"}
    assert not any("Posts" in task for task in porch)
    assert all(tools for _, tools in plan("l-deck").takeoff.tools)


@pytest.mark.parametrize(
    ("name", "balls"),
    [
        ("l-deck", {"4 in check ball", "4 3/8 in check ball", "6 in check ball"}),
        ("metric", {"100 mm check ball", "150 mm check ball"}),
    ],
)
def test_check_balls_have_the_sizes_of_the_jobs_own_rules(name: str, balls: set[str]) -> None:
    """A 4 in ball is larger than 100 mm and passes over what fails.

    Source:
        2021 IRC R312.1.3: 4 in, 4 3/8 in, 6 in. NBC 2020 9.8.8.5: 100 mm, 150 mm.
    """
    listed = {tool for _, tools in plan(name).takeoff.tools for tool in tools}

    assert {tool for tool in listed if "check ball" in tool} == balls
