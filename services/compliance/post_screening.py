"""Posts beside the recorded point load: shown arithmetic that always ends with the authority.

Nothing here is passed or failed. Tests of usual details found that the joint turns long
before the post breaks, so a figure under its limit says little.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from schemas.bays import Bays
from schemas.code_profile import Rule
from schemas.company import FixingDetail
from schemas.compliance import Finding
from schemas.job import Job
from schemas.layout import Layout
from schemas.lengths import INCH
from schemas.wording import Said, counted, row, say, shipped
from services import tape
from services.compliance.bending import (
    allowable_bending,
    bending_stress,
    hold_down_tension,
    section_modulus,
)
from services.compliance.shown import NEWTONS_A_POUND, Shown, share
from services.compliance.wood import load_wood, species_of
from services.compliance.wording import found, posts_words

_DURATIONS = (1.0, 1.6)
_LB_PER_KN = 1000 / NEWTONS_A_POUND
_GUIDE, _GUIDE_HEIGHT = 1800, 36
"""The top bolt's tension that the deck guide names, and the guard it is for. [lb, in]"""
_DECIDES = say("An approved detail or a licensed designer decides; the joint is the weak part.")
_STATICS = say("Statics, and the National Design Specification for Wood Construction")
_LARGEST = 4 * INCH
"""The shipped bending values are for lumber up to 4 in thick."""


def screen_posts(job: Job, layout: Layout, bays: Bays) -> tuple[Finding, ...]:
    """Bending and hold-down tension of every post, like posts together.

    Args:
        job: Core, species, fixing detail and the profile's point load.
        layout: Which posts there are.
        bays: How high the top rail stands on each.
    """
    load = _point_load(job)
    if not layout.posts:
        return ()
    if load is None:
        return (_unloaded(job, layout),)
    return tuple(
        finding
        for alike in _alike(job, layout, bays)
        for finding in (_bending(job, load, alike), _hold_down(job, load, alike))
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Alike:
    """Posts of one height and one fixing."""

    top: int
    """Top of the highest rail over what the posts stand on. [1/320 mm]"""
    detail: FixingDetail | None
    """Their recorded fixing; none is unknown."""
    place: str


def _alike(job: Job, layout: Layout, bays: Bays) -> Iterator[_Alike]:
    fixings = {post.name: job.fixing_of(post) for post in layout.posts}
    details = {detail.key: detail for detail in fixings.values() if detail}
    groups: dict[tuple[int, str], list[str]] = {}
    for height in bays.posts:
        detail = fixings.get(height.post)
        groups.setdefault((height.rail_top, detail.key if detail else ""), []).append(height.post)
    for (top, number), names in sorted(groups.items()):
        yield _Alike(top=top, detail=details.get(number), place=posts_words(names))


def _point_load(job: Job) -> Rule | None:
    rules = job.profile.rules if job.profile else ()
    return next((r for r in rules if r.measures == "load.point" and r.number), None)


def _shown(job: Job) -> Shown:
    return Shown(metric=tape.is_metric(job.step))


def _pounds(load: Rule) -> float:
    return (load.number or 0.0) * (_LB_PER_KN if load.number_unit == "kN" else 1.0)


def _bending(job: Job, load: Rule, alike: _Alike) -> Finding:
    top, below = alike.top, alike.detail.bolt_below if alike.detail else 0
    lever, core, pounds = (top + below) / INCH, job.post.core / INCH, _pounds(load)
    modulus = section_modulus(width=core, depth=core)
    stress = bending_stress(load=pounds, lever=lever, modulus=modulus)
    shown = _shown(job)
    return Finding(
        rule="post-bending",
        clause=load.clause,
        says=say("Bending of the post where it is fixed, under the recorded point load"),
        place=alike.place,
        required=_shown_load(load),
        found=shown.stress(stress),
        verdict="for the authority",
        over_guide=_over(job, stress),
        note=row((
            say(
                "{top} above the foot and {below} down to the top bolt: {sum}.",
                top=found(top, step=job.step, worse="up"),
                below=found(below, step=job.step, worse="up"),
                sum=shown.bending(load=pounds, lever=lever, core=core, stress=stress),
            ),
            _allowables(job, stress),
            _DECIDES,
        ), " "),
        source=say("{sums}; load: {load}", sums=_STATICS, load=shipped(load.source)),
    )  # fmt: skip


def _over(job: Job, stress: float) -> bool:
    """Over what the wood may bear by the least of the load durations; unknown wood has none."""
    species = species_of(job.post.species)
    if species is None or job.post.core > _LARGEST:
        return False
    wood = load_wood()
    return stress > min(allowable_bending(species, wood, duration=d) for d in _DURATIONS)


def _allowables(job: Job, stress: float) -> Said:
    species, wood = species_of(job.post.species), load_wood()
    if species is None:
        written = job.post.species or say("not recorded")
        return say("No design value is kept here for the species ({species}).", species=written)
    if job.post.core > _LARGEST:
        return say("No design value is kept here for this size.")
    shares = []
    for duration in _DURATIONS:
        allowed = allowable_bending(species, wood, duration=duration)
        said = say(
            "{allowed} at {duration} (fb is {share} of it)",
            allowed=_shown(job).stress(allowed, bears=True), duration=f"{duration}",
            share=share(stress, of=allowed),
        )  # fmt: skip
        shares.append(said)
    return say(
        "{species}, wet, {incised}: Fb' {short} and {long}; which load duration a guard takes is "
        "disputed. Bolt holes are not taken off.",
        species=species.name,
        incised=say("incised") if species.incised else say("not incised"),
        short=shares[0],
        long=shares[1],
    )


def _hold_down(job: Job, load: Rule, alike: _Alike) -> Finding:
    detail, pounds, shown = alike.detail, _pounds(load), _shown(job)
    pull: str = say("not computed")
    note = say("No fixing with two bolts up such a post is recorded.")
    over = False
    if detail and detail.bolt_apart:
        lever, apart = (alike.top + detail.bolt_below) / INCH, detail.bolt_apart / INCH
        tension = hold_down_tension(load=pounds, lever=lever, apart=apart)
        pull, over = shown.force(tension), tension > _GUIDE
        note = say(
            "Detail {detail}: {sum}. Other bolts: {others}. The deck guide's {guide} (read at "
            "second hand) is meant for guards of {high} or less.",
            detail=detail.key,
            others=_by_spacing(shown, load=pounds, lever=lever, apart=apart),
            sum=shown.tension(load=pounds, lever=lever, apart=apart, tension=tension),
            guide=shown.force(_GUIDE, bears=True),
            high=shown.size(_GUIDE_HEIGHT),
        )
    return Finding(
        rule="post-hold-down",
        clause=load.clause,
        says=say("Tension at the post's top bolt, under the recorded point load"),
        place=alike.place,
        required=_shown_load(load),
        found=pull,
        verdict="for the authority",
        over_guide=over,
        note=row((note, _DECIDES), " "),
        source=say(
            "Statics; AWC DCA 6, prescriptive residential wood deck guide, read at second hand"
        ),
    )


def _by_spacing(shown: Shown, *, load: float, lever: float, apart: float) -> str:
    """The same tension for bolts an inch closer and an inch further apart."""
    other = [size for size in (apart - 1, apart + 1) if size > 0]
    return ", ".join(
        f"{shown.size(size)} {shown.force(hold_down_tension(load=load, lever=lever, apart=size))}"
        for size in other
    )


def _unloaded(job: Job, layout: Layout) -> Finding:
    names = counted("{count} post", "{count} posts", count=len(layout.posts))
    why = (
        say("no code profile is recorded")
        if job.profile is None
        else say("no point load on the top rail is recorded")
    )
    return Finding(
        rule="post-bending",
        clause=say("none recorded"),
        says=say("Bending and hold-down of the posts"),
        place=names,
        required=why,
        found=say("not computed"),
        verdict="for the authority",
        note=_DECIDES,
        source=say("none recorded"),
    )


def _shown_load(load: Rule) -> Said:
    return say("{load} at the top rail", load=f"{load.number:g} {load.number_unit}")
