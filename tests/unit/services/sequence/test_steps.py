"""Steps carry this job's own numbers, as the bays, the layout and the cuts have them."""

from schemas.plan import Plan
from schemas.sequence import Step
from services import tape
from services.sequence import order_work
from tests.planned import plan


def step(key: str, whole: Plan | None = None) -> Step:
    """A step of a planned job by its key."""
    steps = (whole or plan("l-deck")).sequence.steps
    return next(one for one in steps if one.key == key)


def test_post_centres_are_marked_from_one_zero() -> None:
    """Every post of a leg, as the layout has it."""
    whole = plan("l-deck")
    leg = next(leg for leg in whole.layout.legs if leg.name == "B")

    text = step("mark-B").text

    assert text.startswith("Leg B, post centres from zero (centre of B1): B1 0")
    for name in leg.posts:
        post = whole.layout.post(name)
        at = post.at if post.leg == "B" else leg.length
        assert f"{name} {tape.text(at, whole.job.step)}" in text


def test_a_leg_from_the_wall_says_so() -> None:
    """Its zero is the wall, not a post."""
    assert "from zero (the wall)" in step("mark-A").text


def test_every_opening_is_to_be_read_with_what_its_table_holds() -> None:
    """Planned, and the least and greatest opening that the bay's own table has a cut for."""
    whole = plan("l-deck")
    mark = whole.job.step

    for bay in whole.bays.level:
        cut = [row.opening for row in bay.as_measured if row.cut is not None]
        row = (
            f"{bay.name} {tape.text(bay.clear, mark)} "
            f"({tape.text(cut[0], mark)} to {tape.text(cut[-1], mark)})"
        )
        assert row in step(f"openings-{bay.leg}").text


def test_two_heights_of_an_opening_are_both_shown() -> None:
    """A wall out of plumb makes two."""
    assert "68 1/2 / top 68 5/8" in step("openings-A", plan("porch")).text


def test_every_rail_is_cut_once_at_its_set_up() -> None:
    """The first section alone, the rest bar by bar, nothing twice and nothing left out."""
    whole = plan("l-deck")
    texts = [s.text for s in whole.sequence.steps if s.key.startswith(("first-", "saw-"))]

    for bar in whole.cuts.bars:
        for placed in bar.pieces:
            size = tape.text(placed.end - placed.start, whole.job.step)
            at = tape.text(placed.start, whole.job.step)
            cut = f"{placed.piece} {size} from {at} (hole {placed.first_hole} first)"
            assert sum(text.count(cut) for text in texts) == 1, cut


def test_another_job_s_pieces_are_not_ours_to_cut() -> None:
    """A plan for the whole night holds other jobs' rails too."""
    whole = plan("l-deck")
    foreign = tuple(piece.model_copy(update={"job": "P-9"}) for piece in whole.cuts.pieces)
    cuts = whole.cuts.model_copy(update={"pieces": foreign})

    steps = order_work(whole.job, whole.layout, whole.bays, cuts).steps

    assert not [one.key for one in steps if one.key.startswith(("saw-", "first-"))]


def test_a_bay_s_step_has_cut_margins_blocks_and_height() -> None:
    """All that the two people at the bay need."""
    whole = plan("l-deck")
    mark = whole.job.step

    for bay in whole.bays.level:
        one = step(f"bay-{bay.name}")

        assert f"rail {tape.text(bay.bottom_cut, mark)}" in one.text
        assert f"first hole {tape.text(bay.margin_left, mark)} from left" in one.text
        assert f"{bay.balusters} balusters" in one.text
        assert f"top rail to {tape.text(bay.top, mark)}" in one.text
        assert one.people == bay.people
        for block in bay.foot_blocks:
            assert tape.text(block, mark) in one.text


def test_a_stair_s_line_is_proved_at_both_posts() -> None:
    """Top of rail above what each post stands on."""
    whole = plan("l-deck")

    for side in whole.bays.stair:
        upper = f"{tape.text(side.top_at_upper, whole.job.step)} at {side.upper_post}"
        lower = f"{tape.text(side.top_at_lower, whole.job.step)} at {side.lower_post}"

        assert f"{side.name}: {upper}, {lower}" in step("line-S1").text


def test_a_metric_job_has_no_inch_in_its_steps() -> None:
    """One ruler on one sheet: tolerances, lengths and the adhesive's limit too."""
    texts = " ".join(one.text for one in plan("metric").sequence.steps)

    assert " in." not in texts
    assert "1/4" not in texts
    assert "1/8" not in texts
    assert " F." not in texts


def test_what_was_promised_is_a_step() -> None:
    """As it was written."""
    for promise in plan("l-deck").job.promises:
        assert promise in step("promises").text


def test_drilling_into_an_old_house_is_warned_of() -> None:
    """The porch of 1931 has wall ends; the deck of 1998 has them too and no old paint."""
    assert "old-paint" in step("walls", plan("porch")).cautions
    assert "old-paint" not in step("walls").cautions


def test_two_stairs_are_two_of_everything() -> None:
    """Each with its own line, sides and hold point."""
    whole = plan("l-deck")
    second = {"name": "S2"}
    stairs = (*whole.job.stairs, whole.job.stairs[0].model_copy(update=second))
    sides = tuple(
        side.model_copy(update={"stair": "S2", "name": side.name.replace("S1", "S2")})
        for side in whole.bays.stair
    )
    bays = whole.bays.model_copy(update={"stair": (*whole.bays.stair, *sides)})
    job = whole.job.model_copy(update={"stairs": stairs})

    steps = order_work(job, whole.layout, bays, whole.cuts).steps

    assert [s.key for s in steps if s.hold == "H7"] == ["check-S1", "check-S2"]


def test_no_step_claims_anything() -> None:
    """Nothing is called safe, compliant or sure to pass."""
    for name in ("l-deck", "porch", "metric"):
        text = " ".join(one.text for one in plan(name).sequence.steps).casefold()

        assert not [w for w in ("compliant", " safe", "engineered", "will pass") if w in text]


def test_a_post_beside_a_flight_is_set_by_its_clear_from_the_one_above() -> None:
    """Level, face to face, as the schedule has it."""
    whole = plan("l-deck")
    side = whole.bays.stair[0]

    clear = tape.text(side.clear, whole.job.step)

    assert (
        f"{side.lower_post} ({clear} clear of {side.upper_post}, level)" in step("set-lower").text
    )


def test_a_turned_post_says_from_which_leg() -> None:
    """Clockwise, from square to the leg that starts at it."""
    said = step("mark-B", plan("corner-45")).text

    assert "B1 turned 22.5° clockwise from square to leg B" in said
