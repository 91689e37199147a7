"""Post heights: sleeves, cores and the marks on each face."""

from schemas.job import Job
from services.bays import BaysMade, make_bays
from tests.bays_by_hand import FLIGHT, inch, job, level_layout, stair_layout, with_level_bay


def with_sleeve(base: Job, **sizes: object) -> Job:
    """The job with another sleeve sheet."""
    sleeve = base.system.sleeve.model_copy(update=sizes)
    return base.model_copy(update={"system": base.system.model_copy(update={"sleeve": sleeve})})


def made(base: Job) -> BaysMade:
    """A level bay that ends at a stair's upper post, and the stair bay down from it."""
    at = base.model_copy(update={"stairs": (FLIGHT,)})
    return make_bays(at, with_level_bay(stair_layout(FLIGHT), clear=inch("72")))


def test_sleeve_is_rail_reveal_and_cap() -> None:
    """Height of the top rail, what is seen above it, and what the cap covers."""
    at = job()

    bays = make_bays(at, level_layout(clear=inch("72"))).bays

    assert bays is not None
    post, sleeve = bays.posts[0], at.system.sleeve
    assert post.sleeve == post.rail_top + post.reveal + sleeve.cap_depth
    assert sleeve.reveal <= post.reveal < sleeve.reveal + at.step


def test_core_ends_between_bracket_and_tab() -> None:
    """Above the rail, under the cap's tab, and there is room between."""
    at = job()

    bays = make_bays(at, level_layout(clear=inch("72"))).bays

    assert bays is not None
    post = bays.posts[0]
    assert post.core_least >= post.rail_top
    assert post.core_most <= post.sleeve - at.system.sleeve.cap_tab
    assert post.core_least <= post.core_most


def test_falling_deck_lengthens_the_sleeve_at_the_low_post() -> None:
    """The rail is level, so the low post stands that much taller."""
    bays = make_bays(job(), level_layout(clear=inch("72"), fall=inch("1/16"))).bays

    assert bays is not None
    high, low = bays.posts
    assert low.sleeve - high.sleeve == inch("1/16")


def test_upper_post_carries_both_rails() -> None:
    """Marks of the level bay and of the rake; the higher rail decides the sleeve."""
    bays = made(job()).bays

    assert bays is not None
    upper = next(post for post in bays.posts if post.post == "A2")
    level, rake = bays.level[0], bays.stair[0]
    assert {(mark.bay, mark.rail) for mark in upper.faces} == {
        ("A1-A2", "bottom"), ("A1-A2", "top"), ("S1-L", "bottom"), ("S1-L", "top"),
    }  # fmt: skip
    assert upper.rail_top == max(level.top, rake.top_at_upper)


def test_lower_cap_shows_the_upper_ones_reveal() -> None:
    """From its highest rail to its cap each stair post shows the system's reveal."""
    at = job()

    bays = made(at).bays

    assert bays is not None
    heights = {post.post: post for post in bays.posts}
    reveal, cap = at.system.sleeve.reveal, at.system.sleeve.cap_depth
    assert heights["A2"].reveal == heights["S1-L"].reveal == reveal
    assert heights["S1-L"].sleeve == bays.stair[0].top_at_lower + reveal + cap


def test_rake_marks_are_plumb_depths() -> None:
    """A 2 in rail on 3 in 4 takes 2 1/2 in of the post's face."""
    bays = made(job()).bays

    assert bays is not None
    lower = next(post for post in bays.posts if post.post == "S1-L")
    bottom = next(mark for mark in lower.faces if mark.rail == "bottom")
    assert bottom.topside - bottom.underside == inch("2 1/2")


def test_sleeve_longer_than_stock_is_a_stop() -> None:
    """The lower stair post needs more than a 40 in sleeve."""
    found = made(with_sleeve(job(), stock=(("short", inch("41")),)))

    assert ("sleeve.S1-L", "stop") in {(q.key, q.severity) for q in found.questions}


def test_core_without_room_is_a_stop() -> None:
    """A tab that reaches down to the rail leaves the core no place to end."""
    found = make_bays(with_sleeve(job(), cap_tab=inch("6")), level_layout(clear=inch("72")))

    assert {q.key for q in found.questions} == {"core.A1", "core.A2"}
