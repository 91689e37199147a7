"""All findings of a job: each measured thing beside each rule that speaks of it."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.bays import Bays
from schemas.code_profile import CodeProfile, Measured, Rule
from schemas.compliance import Compliance, Finding
from schemas.job import Job
from schemas.layout import Layout
from schemas.wording import say, shipped
from services.compliance.compare import applies, compare, needed, unrecorded
from services.compliance.completeness import complete
from services.compliance.measure import measure
from services.compliance.measured import Measure
from services.compliance.post_screening import screen_posts
from services.compliance.questions import with_allowances
from services.compliance.wording import graduation
from services.wording.terms import term

_ELSE = {"guard.stair_opening": "guard.opening", "guard.stair_height": "guard.height"}
"""Which rule speaks for a stair where a code makes no difference."""
_SPHERES = {"guard.opening", "guard.stair_opening", "guard.triangle"}
_HEIGHTS = {"guard.height", "guard.stair_height", "guard.stair_height_as_handrail"}


def find(job: Job, layout: Layout, bays: Bays) -> Compliance:
    """Lay the finished plan beside the recorded rules.

    Args:
        job: The job with its code profile, local changes already put in, and the company's
            working limits.
        layout: Where every post stands.
        bays: Every bay as it is built.
    """
    measures = measure(job, layout, bays)
    findings = (
        tuple(unrecorded(one) for one in measures if not one.by_rule)
        if job.profile is None
        else tuple(_against(job.profile, measures, job=job))
    )
    return with_allowances(
        Compliance(
            profile=say("No code profile is recorded")
            if job.profile is None
            else f"{job.profile.title}, {job.profile.edition}",
            findings=(*findings, *screen_posts(job, layout, bays)),
            doubts=doubts(job),
            complete=complete(job, layout, bays),
        ),
        answers=job.answers,
    )


def doubts(job: Job) -> tuple[str, ...]:
    """What is not settled about the rules that this job was laid beside."""
    profile = job.profile
    if profile is None:
        return (say("No code profile is recorded: every line is for the authority."),)
    use = say(
        "This job is {use}; the profile is for: {scope}.",
        use=term(job.use), scope=shipped(profile.scope),
    )  # fmt: skip
    other_use = profile.uses and job.use not in profile.uses
    changed = [
        say("{rule}: changed by {authority}", rule=change.rule, authority=change.authority)
        for change in job.local_changes
    ]
    return (*((use,) if other_use else ()), *changed, *map(shipped, profile.doubts))


def _against(profile: CodeProfile, measures: tuple[Measure, ...], *, job: Job) -> Iterator[Finding]:
    for one in measures:
        for rule in rules_for(profile, one):
            yield compare(
                one,
                rule,
                inside=working_inside(rule, job=job),
                step=graduation(profile),
                asked=guard_asked(profile, one) is not False,
            )


def rules_for(profile: CodeProfile, one: Measure) -> tuple[Rule, ...]:
    """The rules that speak of a measured thing, at its drop."""
    names = {rule.measures for rule in profile.rules}
    named = one.measures if one.measures in names else _ELSE.get(one.measures)
    rules = tuple(rule for rule in profile.rules if rule.measures == named)
    if one.measures == "guard.stair_height_as_handrail":
        return rules if _asked(profile, "handrail.risers", one) else ()
    return tuple(rule for rule in rules if applies(one, rule) is not False)


def guard_asked(profile: CodeProfile, one: Measure) -> bool | None:
    """Whether the profile asks for a guard at that drop; none when it is not measured."""
    if one.drop is None:
        return None
    drop = Measure(measures="guard.drop", place=one.place, says="", low=one.drop)
    return _asked(profile, "guard.drop", drop)


def working_inside(rule: Rule, *, job: Job) -> int:
    """How far the company's working limit stands inside a rule's own. [1/320 mm]."""
    if rule.measures in _SPHERES:
        return job.company.sphere_margin
    return job.company.height_margin if rule.measures in _HEIGHTS else 0


def _asked(profile: CodeProfile, measures: Measured, one: Measure) -> bool:
    triggers = [rule for rule in profile.rules if rule.trigger and rule.measures == measures]
    return any(needed(one, rule) for rule in triggers) or not triggers
