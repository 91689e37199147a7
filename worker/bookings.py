"""What a night's run found wrong with who works where when, and the office's answers to it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from schemas.bundle import DecidedBooking
from schemas.delivery import NightReport
from schemas.errors import BadInput, Conflict, Problem, UnknownThing
from schemas.site import Answer, Question
from worker.bootstrap import Works
from worker.ledger import booking_answers
from worker.ledger.nights import NightRow, night_for
from worker.ledger.opening import Tx


@dataclass(frozen=True, slots=True, kw_only=True)
class Bookings:
    """A day's bookings as its last run found them."""

    day: date
    run: int
    """Which run asked."""
    open: tuple[Question, ...]
    """Not answered yet, stops first."""
    decided: tuple[DecidedBooking, ...]
    """Answered; the next run puts them on the day sheets."""


def bookings_of(works: Works, day: date) -> Bookings:
    """What is asked about a day's bookings, and what was answered.

    Raises:
        UnknownThing: No run of that night has ended yet.
    """
    with works.ledger.reading() as tx:
        night = _night(works, tx, day)
        return _read(works, tx, night)


def answer_booking(
    works: Works, day: date, answer: Answer, *, check: Callable[[Bookings], None] = lambda _: None
) -> Bookings:
    """Answer a question about a day's bookings.

    Args:
        works: The works.
        day: The work day.
        answer: The question by its key, the option, who decided and why.
        check: Refuses to go on from what is asked now.

    Raises:
        UnknownThing: No run of that night has ended yet.
        BadInput: It is not asked, or not with that option.
        Conflict: The night is being run; it will ask anew.
    """
    with works.ledger.writing() as tx:
        night = _night(works, tx, day)
        if night.state == "open":
            msg = f"the night for {day} is being run; ask again when it has ended"
            raise Conflict(msg)
        now = _read(works, tx, night)
        check(now)
        question = _asked(now, answer)
        option = next(one for one in question.options if one.key == answer.option)
        made = DecidedBooking(
            question=question.key, says=str(question.says), option=option.key,
            by=answer.by, why=answer.why,
        )  # fmt: skip
        booking_answers.decide(tx, night, made)
        return _read(works, tx, night)


def _night(works: Works, tx: Tx, day: date) -> NightRow:
    night = night_for(tx, company=works.library.company.key, day=day)
    if night is None or not night.report:
        msg = f"no run for {day} has ended yet"
        raise UnknownThing(msg)
    return night


def _read(works: Works, tx: Tx, night: NightRow) -> Bookings:
    report = NightReport.model_validate_json(works.store.get(night.report))
    given = booking_answers.decided(tx, night)
    known = {(one.question, one.says) for one in given}
    asked = {(q.key, q.says) for q in report.bookings}
    asked |= {(made.question, made.says) for made in report.decided}
    return Bookings(
        day=night.work_date,
        run=report.run,
        open=tuple(q for q in report.bookings if (q.key, q.says) not in known),
        decided=tuple(made for made in given if (made.question, made.says) in asked),
    )


def _asked(now: Bookings, answer: Answer) -> Question:
    keys = {question.key: question for question in now.open}
    question = keys.get(answer.question)
    if question is None:
        says = f"nothing of that key is asked about the bookings of {now.day}"
        mend = f"one of {', '.join(keys)}" if keys else "nothing is open"
        raise BadInput([Problem(pointer="/question", value=answer.question, says=says, mend=mend)])
    options = [option.key for option in question.options]
    if answer.option not in options:
        says = f"{question.key} has no such option"
        mend = f"one of {', '.join(options)}"
        raise BadInput([Problem(pointer="/option", value=answer.option, says=says, mend=mend)])
    return question
