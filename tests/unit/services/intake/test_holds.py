"""A submission becomes a job: what it names is found, what it leaves open is asked."""

import pytest

from schemas.errors import BadInput, UnknownThing
from schemas.lengths import INCH, PER_MM
from schemas.site import Correction
from services.intake import corrected, make_job
from tests.builders import document, job, library, submission


def test_unknown_names_are_refused_together_with_the_known() -> None:
    """A wrong crew, system and profile are three problems, each with its mend."""
    tree = document("l-deck")
    tree["crew"] = "hern"
    tree["rail"]["system"] = "cave"
    tree["code"]["profile"] = "us-irc-2012"

    with pytest.raises(BadInput) as refused:
        make_job(submission(tree), library=library())

    mends = {problem.pointer: problem.mend for problem in refused.value.problems}
    assert mends["/crew"] == "one of heron, wren, plover"
    assert mends["/rail/system"].startswith("one of cove, ")
    assert "us-irc-20" in mends["/code/profile"]


def test_unknown_code_and_detail_become_holds() -> None:
    """What the office does not know is asked, and printed, not guessed."""
    tree = document("l-deck")
    tree["code"]["profile"] = None
    tree["post"]["detail"] = None

    questions = {q.key: q.severity for q in job(tree).questions}

    assert questions["code.unknown"] == "hold"
    assert questions["post.detail-unknown"] == "hold"


def test_local_change_replaces_the_limit_and_names_its_authority() -> None:
    """A recorded amendment stands in the rule, with who says so as its source."""
    tree = document("l-deck")
    rule = next(r for r in library().profiles if r.key == "us-irc-2021").rules[0]
    height = next(
        r
        for p in library().profiles
        if p.key == "us-irc-2021"
        for r in p.rules
        if r.measures == "guard.height"
    )
    change = {"rule": height.id, "limit": "42 in", "authority": "Alder Quay ordinance 7"}
    tree["code"]["local_changes"] = [change]

    profile = job(tree).profile

    assert profile is not None
    changed = next(r for r in profile.rules if r.id == height.id)
    assert changed.limit == 42 * INCH
    assert changed.source.startswith("Alder Quay ordinance 7")
    assert rule.id in {r.id for r in profile.rules}


def test_paper_follows_the_units_of_the_measure() -> None:
    """A metric measure prints whole millimetres, one in inches the company's graduation."""
    assert job("metric").step == PER_MM
    assert job("l-deck").step == INCH // 16


def test_defaults_are_named_as_assumed() -> None:
    """A default that stands in for a measure is printed as such."""
    says = {(a.place, a.says) for a in job("two-stair-sides").assumed}

    assert ("Stair S1", "top nosing is the deck edge") in says
    assert ("Leg A", "deck is level along it") in says


def test_correction_is_read_like_the_document_itself() -> None:
    """A corrected length carries its unit; the rest of the measure stays as it was read."""
    before = submission("held")

    after = corrected(before, [Correction(pointer="/stairs/0/total_rise", value="58 in")])

    assert after.stairs[0].total_rise == 58 * INCH
    assert after.stairs[0].riser == before.stairs[0].riser
    assert after.lines == before.lines


def test_correction_without_a_place_is_refused() -> None:
    """A pointer that leads nowhere changes nothing."""
    with pytest.raises(UnknownThing, match="/stairs/7/riser"):
        corrected(submission("held"), [Correction(pointer="/stairs/7/riser", value="7 in")])


@pytest.mark.parametrize(
    ("crew", "detail", "asked"),
    [("wren", "D-7", True), ("heron", "D-7", False), ("wren", None, False)],
)
def test_anchors_in_concrete_ask_for_a_crew_down_for_them(
    crew: str,
    detail: str | None,
    asked: bool,  # noqa: FBT001
) -> None:
    """Also where only a stair's feet stand on concrete."""
    tree = document("l-deck") | {"crew": crew}
    tree["stairs"][0]["lower_post"]["detail"] = detail

    found = {question.key for question in job(tree).questions}

    assert ("crew.skill-concrete" in found) == asked


@pytest.mark.parametrize(
    ("place", "pointer"),
    [("lower_post", "/stairs/0/lower_post/detail"), ("mid_detail", "/stairs/0/mid_detail")],
)
def test_a_foot_s_unknown_detail_is_refused_with_the_known(place: str, pointer: str) -> None:
    """A guess at a detail is dangerous, so all of them are named."""
    tree = document("l-deck")
    if place == "lower_post":
        tree["stairs"][0]["lower_post"]["detail"] = "D-33"
    else:
        tree["stairs"][0]["mid_detail"] = "D-33"

    with pytest.raises(BadInput) as refused:
        make_job(submission(tree), library=library())

    (problem,) = refused.value.problems
    assert (problem.pointer, problem.mend) == (pointer, "one of D-3, D-5, D-7, D-9")
