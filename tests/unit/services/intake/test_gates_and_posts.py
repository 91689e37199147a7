"""Gates, standing posts, mounts and curves: each doubt, and what just is none."""

from __future__ import annotations

from typing import Any

import pytest

from schemas.errors import BadInput
from schemas.site import Question
from services.intake.cross_checks import check_measure
from tests import builders
from tests.unit.services.layout.decks import FREE, WALL, leg, line


def _tree(**more: object) -> dict[str, Any]:
    plain = {"stairs": [], "gates": [], "remove_feet": 0}
    return (
        builders.document("l-deck") | {"lines": [line(leg("A", "120", drop="20"))]} | plain | more
    )


def _asked(tree: dict[str, Any], mount: str | None = None) -> dict[str, Question]:
    job = builders.job(tree)
    if mount and job.detail:
        job = job.model_copy(update={"detail": job.detail.model_copy(update={"mount": mount})})
    return {question.key: question for question in check_measure(job)}


def _gate(**more: object) -> dict[str, Any]:
    plain = {"name": "G1", "leg": "A", "start": "40", "width": "36", "pool_barrier": False}
    return _tree(gates=[plain | more])


def _porch(**standing: object) -> dict[str, Any]:
    post = {"number": 1, "keep": True, "sleeve": "5 1/2"} | standing
    clears = [{"bottom": "70"}, {"bottom": "68"}]
    porch = line(leg("A", "143 1/2", clears=clears, standing=[post]), start=WALL, end=WALL)
    return _tree(lines=[porch])


def test_plain_gate_asks_nothing() -> None:
    """No pool, a width, and posts of its own."""
    assert _asked(_gate()) == {}


@pytest.mark.parametrize(
    ("barrier", "key"), [(None, "pool.G1"), (True, "pool-rules.G1"), (False, None)]
)
def test_pool_barrier(barrier: bool | None, key: str | None) -> None:  # noqa: FBT001
    """Unknown duty is asked with both answers; a barrier's own rules are the authority's."""
    found = _asked(_gate(pool_barrier=barrier))

    assert set(found) == ({key} if key else set())
    if barrier is None:
        values = [o.sets[0].value for o in found["pool.G1"].options if o.sets]
        assert values == [False, True]


@pytest.mark.parametrize(("opens", "asked"), [("out", True), ("in", False)])
def test_gate_that_opens_over_stairs(opens: str, asked: bool) -> None:  # noqa: FBT001
    """At the head of a stair only a gate that opens in is unasked."""
    stairs = [builders.document("l-deck")["stairs"][0] | {"leg": "A", "start": "40"}]
    hung = {"stair": "S1", "start": "40", "width": "42", "opens": opens}
    tree = _gate(**hung) | {"stairs": stairs}

    assert ("gate-stairs.G1" in _asked(tree)) == asked


def test_gate_at_a_stair_that_is_not_there() -> None:
    """A stair's name that the list lacks is no measure."""
    with pytest.raises(BadInput, match="hangs at a stair that is not in the list"):
        _asked(_gate(stair="S9"))


@pytest.mark.parametrize(("middle", "asked"), [("36", False), ("35 15/16", True)])
def test_smallest_width_counts(middle: str, asked: bool) -> None:  # noqa: FBT001
    """A sixteenth less at one height is the opening."""
    found = _asked(_gate(widths=["36 1/8", middle, "36"]))

    assert ("gate-narrow.G1" in found) == asked
    if asked:
        assert found["gate-narrow.G1"].options[0].sets[0].value == "35 15/16 in"


@pytest.mark.parametrize(
    ("leaf", "severity"),
    [
        ("34 1/4", None),  # 34 1/4 + 1 + 3/4 = 36
        ("34 5/16", "stop"),
        ("34", None),
        ("33 15/16", "hold"),
    ],
)
def test_leaf_and_hardware_fill_the_opening(leaf: str, severity: str | None) -> None:
    """With 1 in at the hinges and 3/4 at the latch; up to 1/4 may be over."""
    found = _asked(_gate(leaf=leaf, hinge_gap="1", latch_gap="3/4"))

    assert getattr(found.get("gate-width.G1"), "severity", None) == severity


def test_leaf_too_wide_offers_the_two_figures_that_would_agree() -> None:
    """Either the opening is as wide as all needs, or the leaf as narrow as it leaves."""
    question = _asked(_gate(leaf="34 3/4", hinge_gap="1", latch_gap="3/4"))["gate-width.G1"]

    assert [(o.sets[0].pointer, o.sets[0].value) for o in question.options] == [
        ("/gates/0/width", "36 1/2 in"),
        ("/gates/0/leaf", "34 1/4 in"),
    ]


def test_hardware_without_its_gaps_holds() -> None:
    """A leaf without the latch's own figure cannot be checked."""
    found = _asked(_gate(leaf="34", hinge_gap="1"))

    assert "latch" in found["gate-width.G1"].says


@pytest.mark.parametrize(
    ("hinge", "start", "end", "asked"),
    [
        ("right", WALL, FREE, True),  # seen from the deck, right is the leg's start
        ("left", WALL, FREE, False),
        ("right", FREE, FREE, False),
    ],
)
def test_hinges_hang_on_a_post(
    hinge: str,
    start: dict[str, str],
    end: dict[str, str],
    asked: bool,  # noqa: FBT001
) -> None:
    """A gate whose hinge side is the wall has no gate post."""
    tree = _gate(hinge=hinge, start="0")
    tree["lines"] = [line(leg("A", "120", drop="20"), start=start, end=end)]

    assert ("gate-post.G1" in _asked(tree)) == asked


@pytest.mark.parametrize(("keep", "asked"), [(None, True), (True, False), (False, False)])
def test_standing_post_stays_or_goes(keep: bool | None, asked: bool) -> None:  # noqa: FBT001
    """Unknown is asked, with a figure for either answer."""
    found = _asked(_porch(keep=keep))

    assert ("post-keep.A.1" in found) == asked
    if asked:
        pointers = {o.sets[0].pointer for o in found["post-keep.A.1"].options if o.sets}
        assert pointers == {"/lines/0/legs/0/standing/0/keep"}


@pytest.mark.parametrize(("core", "severity"), [("3 7/8", "hold"), ("3 15/16", "stop")])
def test_bare_core_and_our_sleeve(core: str, severity: str) -> None:
    """4 1/8 inside less 1/4 of play takes 3 7/8; a sixteenth more does not go in."""
    found = _asked(_porch(sleeve=None, core=core))

    assert found["core.A.1"].severity == severity


def test_bare_core_says_what_a_later_sleeve_would_do() -> None:
    """A 4 1/2 sleeve over a 3 1/2 core takes half an inch of each opening beside it."""
    found = _asked(_porch(sleeve=None, core="3 1/2"))

    assert "cut to the bare core" in found["core.A.1"].says
    assert "1/2 in or more too long" in found["core.A.1"].says


def test_bare_core_that_is_replaced_is_not_asked_about() -> None:
    """It goes."""
    assert "core.A.1" not in _asked(_porch(sleeve=None, core="5 1/2", keep=False))


@pytest.mark.parametrize(
    ("mount", "post", "key"),
    [
        ("surface", {}, "mount.surface"),
        ("surface", {"blocking": True}, None),
        ("surface", {"blocking": False}, "mount.no-blocking"),
        ("surface", {"blocking": True, "boards": "membrane"}, "mount.membrane"),
        ("surface", {"blocking": True, "boards": "composite"}, None),
        ("concrete", {}, "mount.concrete"),
        ("concrete", {"edge_distance": "4"}, None),
        ("inside-rim", {}, None),
    ],
)
def test_mount_is_asked_only_when_unknown(
    mount: str, post: dict[str, object], key: str | None
) -> None:
    """Blocking, edge distance and membrane, by the kind of mount."""
    spec = builders.document("l-deck")["post"]
    del spec["edge_distance"]
    tree = _tree(post=spec | post)

    found = {k for k in _asked(tree, mount) if k.startswith("mount.")}

    assert found == ({key} if key else set())


def test_curved_leg_is_refused_with_chords() -> None:
    """120 in along a radius of 120 is one radian: 3 chords of 39.8, or 4 of 29.9, by geometry."""
    curved = line(leg("A", "120", drop="20", curve="120"))

    found = _asked(_tree(lines=[curved]))

    question = found["curve.A"]
    assert question.severity == "stop"
    assert question.options == ()
    assert "3 of 39 13/16 in, 19.1 degrees from one to the next, 1 11/16 inside" in question.says
    assert "4 of 29 15/16 in" in question.says


def test_straight_leg_is_not_curved() -> None:
    """No radius, no question."""
    assert "curve.A" not in _asked(_tree())


def test_curve_longer_than_its_circle_is_misread() -> None:
    """Radius 19 has 119.4 in all round."""
    assert "full circle" in _asked(_tree(lines=[line(leg("A", "120", curve="19"))]))["curve.A"].says


@pytest.mark.parametrize(("width", "asked"), [("24", False), ("23 15/16", True), ("4", True)])
def test_gate_nobody_walks_through_is_asked_about(width: str, *, asked: bool) -> None:
    """Under the company's least clear width a gate is held."""
    found = _asked(_gate(width=width))

    assert ("gate-least.G1" in found) == asked


@pytest.mark.parametrize(("end", "asked"), [("120 1/4", False), ("120 5/16", True)])
def test_keep_out_past_its_leg_is_asked_about(end: str, *, asked: bool) -> None:
    """A keep-out that ends beyond its leg stops, and may end with the leg."""
    shut = {"start": "100", "end": end, "why": "hose tap"}
    tree = _tree(lines=[line(leg("A", "120", drop="20", keep_out=[shut]))])

    found = _asked(tree)

    assert ("keep-out-end.A.1" in found) == asked
    if asked:
        put = found["keep-out-end.A.1"].options[0].sets[0]
        assert (put.pointer, put.value) == ("/lines/0/legs/0/keep_out/0/end", "120 in")
