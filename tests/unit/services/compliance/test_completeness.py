"""The count of the sheets against the job's head."""

from schemas.layout import Layout
from schemas.lengths import INCH
from schemas.plan import Plan
from services.compliance.completeness import chain, complete
from services.pipeline import make_plan
from tests.builders import document, library, submission
from tests.planned import plan


def unequal(whole: Plan) -> set[str]:
    """What does not agree."""
    return {
        what for what, _, _, equal in complete(whole.job, whole.layout, whole.bays) if not equal
    }


def laid(whole: Plan, layout: Layout) -> Plan:
    """The plan with another layout."""
    return whole.model_copy(update={"layout": layout})


def test_a_whole_plan_agrees_with_its_head() -> None:
    """Nothing is missing from the demo deck."""
    assert unequal(plan("l-deck")) == set()


def test_a_missing_stair_side_shows() -> None:
    """The pack that silently omits a stair is the one that must never be made."""
    whole = plan("l-deck")
    bays = whole.bays.model_copy(update={"stair": whole.bays.stair[:1]})

    assert unequal(whole.model_copy(update={"bays": bays})) == {"Stair sides", "Railing, clear"}


def test_a_missing_level_bay_shows_on_the_sheets() -> None:
    """Laid out but not built."""
    whole = plan("l-deck")
    bays = whole.bays.model_copy(update={"level": whole.bays.level[1:]})

    assert unequal(whole.model_copy(update={"bays": bays})) == {
        "Level bays laid out",
        "Railing, clear",
    }


def test_a_bay_that_was_never_laid_out_breaks_its_leg_s_chain() -> None:
    """From one end to the other every bay follows the one before."""
    whole = plan("l-deck")
    left_out = whole.bays.level[0].name
    layout = whole.layout.model_copy(
        update={"bays": tuple(b for b in whole.layout.bays if b.name != left_out)}
    )

    assert f"Leg {whole.bays.level[0].leg} from end to end" in unequal(laid(whole, layout))


def test_a_gap_too_narrow_for_the_sphere_leaves_nothing_out() -> None:
    """Two posts closer than the sphere need no bay between them."""
    tree = document("l-deck")
    tree["lines"] = [
        {
            "measured": "deck-edge",
            "inset": 68,
            "heading": "out",
            "legs": [{"name": "A", "length": 6034, "drop": 1271}],
        }
    ]
    tree["stairs"] = []
    tree["gates"] = [
        {"name": "G1", "leg": "A", "start": 1033, "width": 1319},
        {"name": "G2", "leg": "A", "start": 4392, "width": 1357},
    ]
    tree["unit"] = "mm"
    tree["post"]["core"] = "3 1/2 in"
    made = make_plan(submission(tree), library=library()).plan

    assert made is not None
    assert [bay.right.post for bay in made.layout.bays][-1] == made.layout.legs[0].posts[-2]
    assert unequal(made) == set()


def test_a_leg_without_any_bay_is_whole_only_when_it_is_that_narrow() -> None:
    """A short return between two sleeves needs no bay; an ordinary leg without one lacks it."""
    leg, bays = plan("l-deck").layout.legs[0], plan("l-deck").layout.bays
    bare = plan("l-deck").layout.model_copy(
        update={"bays": tuple(bay for bay in bays if bay.leg != leg.name)}
    )

    assert chain(leg, bare, sphere=leg.length + 1)[3]
    assert not chain(leg, bare, sphere=4 * INCH)[3]


def test_a_leg_shorter_than_measured_shows() -> None:
    """By as little as one mark of the tape."""
    whole = plan("l-deck")
    first, *others = whole.layout.legs
    short = first.model_copy(update={"measured": first.measured - whole.job.step})
    layout = whole.layout.model_copy(update={"legs": (short, *others)})

    assert unequal(laid(whole, layout)) == {f"Leg {first.name} as measured", "All legs"}


def test_a_post_without_a_height_shows() -> None:
    """Every post on the plan has a row in the schedule."""
    whole = plan("l-deck")
    bays = whole.bays.model_copy(update={"posts": whole.bays.posts[1:]})

    assert unequal(whole.model_copy(update={"bays": bays})) == {"Posts"}
