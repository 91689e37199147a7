"""What a human must decide before the crews leave: questions with their possible answers.

Nothing else is in the letter. A list that is long is not read, so that the first ten are told
in full and the others by a line each.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from schemas.delivery import NightException, NightReport
from schemas.site import Question

IN_FULL: Final = 10
"""So many decisions are told with all their answers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """One thing to decide."""

    about: str
    """Whose it is: job and crew."""
    says: str
    """What is the matter."""
    ask: str
    """The question."""
    answers: tuple[str, ...]
    """What can be answered, each with how to give the answer."""


def decisions(report: NightReport) -> tuple[Decision, ...]:
    """All that a night leaves to be decided, the most urgent first."""
    found = [
        *(_broken(fault) for fault in report.faults),
        *(d for e in report.exceptions for d in _of_job(e)),
        *(_booked(q, report.work_date) for q in report.bookings if q.severity != "note"),
        *(
            Decision(
                about=f"{late.job} revision {late.revision}, crew {late.crew}",
                says=f"It came at {late.came}, after the {late.after}.",
                ask="Does the crew, and whoever picks its parts, know?",
                answers=("Nothing is to be answered here; call them.",),
            )
            for late in report.late
            if late.after != "soft cut-off"
        ),
    ]
    return tuple(found)


def letter(found: tuple[Decision, ...], *, day: str, until: str, address: str) -> str:
    """The decisions as plain text.

    Args:
        found: The decisions.
        day: The work day, as written.
        until: By when they must be answered, as written.
        address: Base address of the company's own service; empty for none.
    """
    many = f"{len(found)} decisions" if len(found) != 1 else "1 decision"
    lines = [f"{many} for {day}, until {until}.", ""]
    for number, decision in enumerate(found[:IN_FULL], 1):
        lines += [*_in_full(number, decision), ""]
    lines += [f"{n}. {d.about}: {d.says}" for n, d in enumerate(found[IN_FULL:], IN_FULL + 1)]
    if address:
        base = address.rstrip("/")
        lines += ["", f"On the office's page: {base}/"]
        lines += [f"By HTTP: POST {base}/v1/jobs/JOB/answers", ANSWERED_AS]
        lines += [f"About bookings: POST {base}/v1/nights/DAY/answers, the same"]
    return "\n".join(lines).strip() + "\n"


ANSWERED_AS: Final = '{"question": "...", "option": "...", "by": "...", "why": "..."}'


def _in_full(number: int, decision: Decision) -> Iterator[str]:
    yield f"{number}. {decision.about}"
    yield f"   {decision.says}"
    yield f"   {decision.ask}"
    yield from (f"   - {answer}" for answer in decision.answers)


def _of_job(job: NightException) -> Iterator[Decision]:
    about = f"{job.job} revision {job.revision}, crew {job.crew}"
    for question in job.questions:
        yield Decision(
            about=f"{about}, at {question.place}",
            says=question.says,
            ask=question.ask,
            answers=_answers(job.job, question),
        )
    if not job.questions:
        yield Decision(
            about=about,
            says=f"It is on no day sheet: {job.reason}",
            ask="What is to become of it?",
            answers=(
                "mended: send it as its next revision",
                f"try again: dawnpack retry {job.job} --by YOU --why REASON",
                f"not on that day: dawnpack withdraw {job.job} --by YOU --why REASON",
            ),
        )


def _answers(job: str, question: Question) -> tuple[str, ...]:
    if not question.options:
        return ("mend the measure and send the job as its next revision",)
    return tuple(
        f"{option.says}\n     dawnpack answer {job} {question.key} {option.key} "
        "--by YOU --why REASON"
        for option in question.options
    )


def _booked(question: Question, day: str) -> Decision:
    return Decision(
        about=question.place,
        says=question.says,
        ask=question.ask,
        answers=(
            *(
                f"{option.says}\n     dawnpack decide {question.key} {option.key} --for {day} "
                "--by YOU --why REASON"
                for option in question.options
            ),
            "another crew or day: dawnpack move JOB --by YOU --why REASON",
        ),
    )


def _broken(fault: str) -> Decision:
    return Decision(
        about="The night is not complete",
        says=fault,
        ask="Who looks into it?",
        answers=("then run it again: dawnpack night",),
    )
