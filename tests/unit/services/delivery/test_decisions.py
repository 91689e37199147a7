"""The letter of decisions: the most urgent first, each with its answers, and nothing else."""

from __future__ import annotations

from schemas.delivery import NightException
from schemas.site import Option, Question
from services.delivery import Decision, decisions, letter
from tests.night_reports import LATE, report

WHICH = Question(
    key="which-post", severity="stop", place="A2", says="the legs do not close by 3 in",
    ask="which leg was misread?",
    options=(Option(key="leg-a", says="leg A"), Option(key="leg-b", says="leg B")),
)  # fmt: skip


def held(job: str, *questions: Question) -> NightException:
    """A job on no day sheet."""
    return NightException(
        job=job, revision=1, crew="wren", state="held", reason="held", questions=questions
    )


def told(count: int, *, address: str = "") -> str:
    """A letter of so many decisions."""
    found = tuple(
        Decision(about=f"P-{n}", says="it is held", ask="why?", answers=("because",))
        for n in range(count)
    )
    return letter(found, day="Thu 03 Dec", until="03:00", address=address)


def test_a_good_night_leaves_nothing_to_decide() -> None:
    """Notes, called-back paper and refused files are no decisions."""
    assert decisions(report()) == ()


def test_each_stop_question_is_a_decision_with_a_command_for_each_answer() -> None:
    """Two questions of one job are two decisions."""
    found = decisions(report(exceptions=(held("P-4", WHICH, WHICH),)))

    assert [d.ask for d in found] == ["which leg was misread?"] * 2
    assert [a.split("dawnpack ")[1] for a in found[0].answers] == [
        "answer P-4 which-post leg-a --by YOU --why REASON",
        "answer P-4 which-post leg-b --by YOU --why REASON",
    ]


def test_a_booking_is_a_decision_with_a_command_for_each_answer() -> None:
    """And the way to another crew or day."""
    asked = WHICH.model_copy(update={"key": "at-once.P-4"})

    (found,) = decisions(report(bookings=(asked,)))

    day = report().work_date
    assert [a.split("dawnpack ")[1] for a in found.answers] == [
        f"decide at-once.P-4 leg-a --for {day} --by YOU --why REASON",
        f"decide at-once.P-4 leg-b --for {day} --by YOU --why REASON",
        "move JOB --by YOU --why REASON",
    ]


def test_what_breaks_the_proof_comes_before_jobs_and_late_changes() -> None:
    """It may mean a crew without paper."""
    night = report(faults=("crew heron has no bundle",), exceptions=(held("P-4"),), late=(LATE,))

    assert [d.about for d in decisions(night)] == [
        "The night is not complete",
        "P-4 revision 1, crew wren",
        "P-1 revision 1, crew heron",
    ]


def test_a_long_list_is_told_in_full_for_the_first_ten_only() -> None:
    """The others have a line each; none is left out."""
    text = told(13)

    assert text.startswith("13 decisions for Thu 03 Dec, until 03:00.")
    assert text.count("because") == 10
    assert all(f"P-{n}" in text for n in range(13))


def test_page_and_address_are_named_where_the_company_has_them() -> None:
    """And not where it has none."""
    text = told(1, address="https://office.example.org/")

    assert "https://office.example.org/v1/jobs/JOB/answers" in text
    assert "On the office's page: https://office.example.org/" in text
    assert "HTTP" not in told(1)
