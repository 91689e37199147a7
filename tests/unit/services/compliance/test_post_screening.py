"""Posts are screened with shown arithmetic and never passed."""

from typing import Any

import pytest

from schemas.compliance import Finding
from schemas.errors import GeometryError
from schemas.lengths import INCH, PER_MM
from services.compliance import load_profiles
from services.compliance.bending import (
    allowable_bending,
    bending_stress,
    hold_down_tension,
    section_modulus,
)
from services.compliance.post_screening import screen_posts
from services.compliance.wood import load_wood, species_of
from tests.planned import plan


def screened(**changed: Any) -> tuple[Finding, ...]:  # noqa: ANN401 any field of the job
    """The post findings of the demo deck, with another job head."""
    whole = plan("l-deck")
    return screen_posts(whole.job.model_copy(update=changed), whole.layout, whole.bays)


def test_every_post_is_screened_and_none_is_passed() -> None:
    """Bending and hold-down, each for all posts, each for the authority."""
    names = {post.name for post in plan("l-deck").layout.posts}

    for rule in ("post-bending", "post-hold-down"):
        findings = [f for f in screened() if f.rule == rule]
        places = {n for f in findings for n in f.place.removeprefix("posts ").split(", ")}

        assert places == names
        assert {f.verdict for f in findings} == {"for the authority"}


def test_both_load_durations_are_shown() -> None:
    """Which one a guard takes is disputed, so neither is chosen."""
    bending = next(f for f in screened() if f.rule == "post-bending")

    assert "1,100 psi at 1.0" in bending.note
    assert "1,760 psi at 1.6" in bending.note


def test_a_rim_detail_does_not_speak_for_a_post_on_a_pad() -> None:
    """The lower stair posts have no recorded fixing."""
    lower = next(f for f in screened() if f.rule == "post-hold-down" and "S1-L" in f.place)

    assert lower.found == "not computed"


@pytest.mark.parametrize(
    "changed",
    [{"detail": None}, {"profile": None}, {"profile": load_profiles()["uk-adk"]}],
)
def test_what_is_not_recorded_is_not_computed(changed: dict[str, Any]) -> None:
    """No detail, no profile, or a code that gives a line load only."""
    assert "not computed" in {f.found for f in screened(**changed)}


def test_an_unknown_species_has_no_allowable() -> None:
    """The stress is shown; no value is invented."""
    post = plan("l-deck").job.post.model_copy(update={"species": "ipe"})

    bending = next(f for f in screened(post=post) if f.rule == "post-bending")

    assert "No design value is kept here for the species (ipe)" in bending.note


def test_a_larger_post_is_not_given_the_values_of_a_smaller() -> None:
    """The shipped values are for lumber up to 4 in thick."""
    post = plan("l-deck").job.post.model_copy(update={"core": 11 * INCH // 2})

    bending = next(f for f in screened(post=post) if f.rule == "post-bending")

    assert "No design value is kept here for this size" in bending.note


def test_kilonewtons_are_turned_to_pounds() -> None:
    """1.0 kN is 224.8 lb (1 lbf is 4.4482216152605 N exactly)."""
    findings = screened(profile=load_profiles()["ca-nbc-2020"])

    assert "M = 224.8 lb x" in next(f for f in findings if f.rule == "post-bending").note


def test_impossible_posts_are_refused_with_their_values() -> None:
    """Each sum names what it was given."""
    with pytest.raises(GeometryError, match=r"hole=3\.5"):
        section_modulus(width=3.5, depth=3.5, hole=3.5)
    with pytest.raises(GeometryError, match="lever=0"):
        bending_stress(load=200, lever=0, modulus=7)
    with pytest.raises(GeometryError, match="apart=0"):
        hold_down_tension(load=200, lever=39, apart=0)
    species = species_of("hem fir")
    assert species is not None
    with pytest.raises(GeometryError, match="duration=3"):
        allowable_bending(species, load_wood(), duration=3)


def test_a_metric_job_reads_the_same_screening_in_metric_units() -> None:
    """By NIST SP 811, appendix B (from memory): 1 psi is 6.894757 kPa, 1 lbf 4.448222 N."""
    customary, metric = screened(), screened(step=PER_MM)

    pairs = [
        (float(a.found.split()[0].replace(",", "")), float(b.found.split()[0]), b.found.split()[1])
        for a, b in zip(customary, metric, strict=True)
        if a.found[0].isdigit()
    ]
    assert {unit for *_, unit in pairs} == {"MPa", "kN"}
    for us, si, unit in pairs:
        factor = 0.006894757 if unit == "MPa" else 0.004448222
        assert si == pytest.approx(us * factor, abs=0.005 + factor / 2)
    assert all("psi" not in finding.note and " lb" not in finding.note for finding in metric)


def test_over_its_guide_is_said_of_just_that() -> None:
    """Bending over the least allowable (1,100 psi at 1.0), or tension over 1,800 lb; no other."""
    bending, *_ = (f for f in screened() if f.rule == "post-bending")
    unknown, *_ = (f for f in screened(detail=None) if f.rule == "post-hold-down")

    assert bending.over_guide == (float(bending.found.removesuffix(" psi").replace(",", "")) > 1100)
    assert not unknown.over_guide
