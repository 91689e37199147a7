"""From a submission that reads to a job: references found, defaults named, doubts asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from schemas.code_profile import CodeProfile, Rule
from schemas.company import Company, FixingDetail
from schemas.errors import BadInput
from schemas.job import Job, Library
from schemas.lengths import PER_MM
from schemas.rail_system import RoutedRail, SectionHeight
from schemas.site import Answer, LocalChange, Option, Question
from schemas.submission import Submission
from schemas.wording import say, shipped
from services.intake.assumed import METRIC, assumed
from services.intake.corner_posts import stood
from services.intake.references import named_in, strange_names
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
    if wrong := tuple(strange_names(named_in(submission), library=library)):
        raise BadInput(wrong)
    company = library.company
    systems = {system.key: system for system in library.systems}
    system = systems[submission.rail.system]
    stairs_by = systems[submission.rail.stair_system or system.key]
    profile = _profile(submission, library)
    detail = next((d for d in company.details if d.key == submission.post.detail), None)
    level = _height(system.level, submission)
    flights = submission.stairs and stairs_by.stair
    stair = _height(flights, submission) if flights else None
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
        open_edges=submission.open_edges,
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


def _profile(submission: Submission, library: Library) -> CodeProfile | None:
    """The profile with the place's own changes; none if it is unknown."""
    changes = submission.code.local_changes
    for profile in library.profiles:
        if profile.key == submission.code.profile:
            rules = tuple(_changed(rule, changes) for rule in profile.rules)
            return profile.model_copy(update={"rules": rules})
    return None


def _height(rail: RoutedRail, submission: Submission) -> SectionHeight:
    return next(h for h in rail.heights if h.name == submission.rail.height)


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
    feet = [n for one in submission.stairs for n in (one.lower_post.detail, one.mid_detail)]
    used = {submission.post.detail, *feet}
    needs = {
        "stair": bool(submission.stairs),
        "gate": bool(submission.gates),
        "concrete": any(d.key in used and d.mount == "concrete" for d in company.details),
    }
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
