"""What stands outside a limit is asked, and who allowed it is printed."""

from schemas.lengths import INCH
from schemas.plan import Plan
from schemas.site import Answer
from services.compliance import breaks_as_questions, find, load_profiles
from services.pipeline import make_plan
from services.recheck import recheck
from tests.builders import document, library, submission
from tests.planned import plan


def low_rails(inches: int, *, profile: str = "us-irc-2021") -> Plan:
    """The demo deck with every level rail so tall, under a profile."""
    whole = plan("l-deck")
    level = tuple(bay.model_copy(update={"top": inches * INCH}) for bay in whole.bays.level)
    job = whole.job.model_copy(update={"profile": load_profiles()[profile]})
    bays = whole.bays.model_copy(update={"level": level})
    return whole.model_copy(update={"bays": bays, "job": job})


def answered(whole: Plan, key: str) -> Plan:
    """The plan after the office has answered."""
    answer = Answer(question=key, option="allow", by="J. Okafor", why="letter of the authority")
    return whole.model_copy(update={"job": whole.job.model_copy(update={"answers": (answer,)})})


def test_nothing_is_asked_where_nothing_breaks() -> None:
    """The demo deck as it is."""
    whole = plan("l-deck")

    compliance = find(whole.job, whole.layout, whole.bays)

    assert breaks_as_questions(compliance, whole.job) == ()


def test_a_break_stops_the_pack_once_for_all_its_bays() -> None:
    """Nine low bays are one question that names them all."""
    whole = low_rails(35)
    compliance = find(whole.job, whole.layout, whole.bays)

    (question,) = breaks_as_questions(compliance, whole.job)

    assert question.severity == "stop"
    assert all(bay.name in question.place for bay in whole.bays.level)
    assert "R312.1.2" in question.says
    assert "35 in" in question.says
    assert [option.key for option in question.options] == ["allow"]


def test_a_doubtful_figure_only_holds() -> None:
    """The 42 in of another code was read at second hand: the pack prints with a hold point."""
    whole = low_rails(36, profile="us-ibc-2021")
    compliance = find(whole.job, whole.layout, whole.bays)

    asked = {q.key.split(".")[1]: q for q in breaks_as_questions(compliance, whole.job)}

    assert asked["guard-height"].severity == "hold"


def test_an_allowance_is_printed_and_not_asked_again() -> None:
    """Who allowed it, and why, stands at each finding."""
    whole = low_rails(35)
    compliance = find(whole.job, whole.layout, whole.bays)
    (question,) = breaks_as_questions(compliance, whole.job)

    allowed = answered(whole, question.key)
    again = find(allowed.job, allowed.layout, allowed.bays)

    assert breaks_as_questions(again, allowed.job) == ()
    breaking = [f for f in again.findings if f.verdict == "breaks"]
    assert breaking
    assert all("J. Okafor" in f.note for f in breaking)


def test_an_allowance_does_not_cover_another_figure() -> None:
    """Allowed at 35 in is not allowed at 34 in."""
    whole = low_rails(35)
    compliance = find(whole.job, whole.layout, whole.bays)
    (question,) = breaks_as_questions(compliance, whole.job)

    lower = answered(low_rails(34), question.key)
    again = find(lower.job, lower.layout, lower.bays)

    assert [q.severity for q in breaks_as_questions(again, lower.job)] == ["stop"]


def test_steps_that_others_built_hold_and_do_not_stop() -> None:
    """A riser over 7 3/4 in (IRC 2021 R311.7.5.1) is the stair's own: the pack prints, and holds.

    A plan that keeps silent about it is refused.
    """
    tree = document("l-deck")
    taller = {"riser": "7 13/16", "total_rise": None, "total_run": None, "slope_deg": None}
    tree["stairs"][0] |= taller

    made = make_plan(submission(tree), library=library())

    assert made.plan is not None
    asked = {q.key.rpartition(".")[0]: q.severity for q in made.questions}
    assert asked["outside.stair-riser"] == "hold"
    job = made.plan.job.model_copy(update={"questions": ()})
    silent = made.plan.model_copy(update={"job": job})
    assert recheck(made.plan) == ()
    assert any("breaks stair-riser" in breach for breach in recheck(silent))
