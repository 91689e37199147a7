"""From a submission that reads to a job: references found, defaults named, doubts asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from schemas.code_profile import CodeProfile, Rule
from schemas.company import Company, FixingDetail
from schemas.errors import BadInput, Problem
from schemas.job import Job, Library
from schemas.lengths import PER_MM
from schemas.part_rule import PartRule
from schemas.rail_system import RailSystem, RoutedRail, SectionHeight
from schemas.site import Answer, LocalChange, Option, Question
from schemas.submission import Submission
from schemas.wording import say, shipped
from services.intake.assumed import METRIC, assumed
from services.intake.corner_posts import stood
from services.wording.terms import term


def make_job(submission: Submission, *, library: Library, answers: tuple[Answer, ...] = ()) -> Job:
    """Find everything a submission refers to.

    Args:
        submission: As it was read.
        library: The company's own documents.
        answers: What the office has answered so far, carried to the paper.

    Raises:
        BadInput: A crew, system, colour, height, detail, profile or rule that the
            company does not have; all of them at once, with the nearest known name.
    """
    wrong: list[Problem] = []
    company = library.company
    system = _system(submission.rail.system, library, "/rail/system", wrong)
    second = submission.rail.stair_system
    stairs_by = _system(second, library, "/rail/stair_system", wrong) if second else system
    profile = _profile(submission, library, wrong)
    detail = _detail(submission.post.detail, company, wrong)
    _known(submission.crew, (c.key for c in company.crews), "/crew", "crew", wrong)
    if system:
        _known(
            submission.rail.colour,
            system.colours,
            "/rail/colour",
            say("colour of {system}", system=system.key),
            wrong,
        )
    level = _height(system.level if system else None, submission.rail.height, wrong)
    stair = None
    if submission.stairs and stairs_by:
        stair = _height(stairs_by.stair, submission.rail.height, wrong)
        if stairs_by.stair is None:
            wrong.append(_no_stair_rail(submission, stairs_by))
    _extras(submission, [company.extras, *(s.parts for s in (system, stairs_by) if s)], wrong)
    if wrong or system is None or stairs_by is None or level is None:
        raise BadInput(wrong)
    lines = stood(submission.lines, system=system)
    return Job(
        job=submission.job,
        revision=submission.revision,
        crew=submission.crew,
        install_date=submission.install_date,
        use=submission.use,
        site=submission.site,
        measured=submission.measured,
        post=submission.post,
        detail=detail,
        lines=lines,
        stairs=submission.stairs,
        gates=submission.gates,
        extras=submission.extras,
        remove_feet=submission.remove_feet,
        permit=submission.permit,
        reserved=submission.reserved,
        inspection=submission.inspection,
        deck_work=submission.deck_work,
        promises=submission.promises,
        sold=submission.sold,
        forecast=submission.forecast,
        part=submission.part,
        colour=submission.rail.colour,
        system=system,
        stair_system=stairs_by,
        level_height=level,
        stair_height=stair,
        profile=profile,
        local_changes=submission.code.local_changes,
        company=company,
        step=PER_MM if submission.unit in METRIC else company.step,
        questions=tuple(_doubts(submission, company, profile, detail)),
        answers=answers,
        assumed=assumed(submission, company=company, stand=lines),
    )


def _extras(
    submission: Submission, rules: Iterable[Iterable[PartRule]], wrong: list[Problem]
) -> None:
    sold = sorted({rule.sold_as for some in rules for rule in some if rule.sold_as})
    for number, extra in enumerate(submission.extras):
        _known(extra, sold, f"/extras/{number}", say("extra in the part rules"), wrong)


def _system(key: str, library: Library, pointer: str, wrong: list[Problem]) -> RailSystem | None:
    bought = {s.key: s for s in library.systems if s.key in library.company.systems}
    _known(key, bought, pointer, say("rail system that the company buys"), wrong)
    return bought.get(key)


def _profile(submission: Submission, library: Library, wrong: list[Problem]) -> CodeProfile | None:
    key = submission.code.profile
    if key is None:
        return None
    profiles = {p.key: p for p in library.profiles}
    _known(key, profiles, "/code/profile", say("code profile"), wrong)
    profile = profiles.get(key)
    if profile is None:
        return None
    ids = [rule.id for rule in profile.rules]
    for number, change in enumerate(submission.code.local_changes):
        where = f"/code/local_changes/{number}/rule"
        _known(change.rule, ids, where, say("rule of {profile}", profile=profile.key), wrong)
    return profile.model_copy(
        update={"rules": tuple(_changed(r, submission.code.local_changes) for r in profile.rules)}
    )


def _changed(rule: Rule, changes: Iterable[LocalChange]) -> Rule:
    for change in changes:
        if change.rule == rule.id:
            put = {
                name: value
                for name in ("limit", "upper", "number", "compare", "says")
                if (value := getattr(change, name)) is not None
            }
            source = say(
                "{authority} (local change; {source})",
                authority=change.authority,
                source=shipped(rule.source),
            )
            return rule.model_copy(update={**put, "source": source})
    return rule


def _detail(key: str | None, company: Company, wrong: list[Problem]) -> FixingDetail | None:
    if key is None:
        return None
    details = {d.key: d for d in company.details}
    _known(key, details, "/post/detail", say("approved fixing detail"), wrong)
    return details.get(key)


def _height(rail: RoutedRail | None, name: str, wrong: list[Problem]) -> SectionHeight | None:
    if rail is None:
        return None
    heights = {h.name: h for h in rail.heights}
    if not any(p.pointer == "/rail/height" for p in wrong):
        _known(name, heights, "/rail/height", say("height of that system"), wrong)
    return heights.get(name)


def _no_stair_rail(submission: Submission, system: RailSystem) -> Problem:
    return Problem(
        pointer="/rail/system",
        value=submission.rail.system,
        says=f"{system.key} has no stair rail, but the job has stairs",
        mend="name another system in stair_system",
    )


def _known(key: str, known: Iterable[str], pointer: str, what: str, wrong: list[Problem]) -> None:
    names = list(known)
    if key in names:
        return
    mend = f"one of {', '.join(names) or 'none'}"  # all: a guess at a fixing detail is dangerous
    wrong.append(Problem(pointer=pointer, value=key, says=f"there is no {what} {key!r}", mend=mend))


_GO_ON = Option(key="go-on", says=say("Go on; the lead checks it on site before cutting"))


def _doubts(
    submission: Submission,
    company: Company,
    profile: CodeProfile | None,
    detail: FixingDetail | None,
) -> Iterator[Question]:
    if profile is None:
        yield Question(
            key="code.unknown",
            severity="hold",
            place=say("Job"),
            says=say("No code profile is recorded for this address."),
            ask=say("Which edition does the authority apply?"),
            options=(_GO_ON,),
        )
    if detail is None:
        yield Question(
            key="post.detail-unknown",
            severity="hold",
            place=say("Posts"),
            says=say("No approved fixing detail is recorded for the posts."),
            ask=say("Which approved detail applies? Posts are not drilled before it is known."),
            options=(_GO_ON,),
        )
    crew = next(c for c in company.crews if c.key == submission.crew)
    needs = {"stair": bool(submission.stairs), "gate": bool(submission.gates)}
    for skill in (name for name, needed in needs.items() if needed and name not in crew.skills):
        yield Question(
            key=f"crew.skill-{skill}",
            severity="hold",
            place=say("Crew {crew}", crew=crew.name),
            says=say(
                "Crew {crew} is not down for this part of the job: {skill}.",
                crew=crew.name,
                skill=term(skill),
            ),
            ask=say("Who does that part?"),
            options=(_GO_ON,),
        )
