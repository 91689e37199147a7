"""The demo's jobs, from the office's JSON to the pack, in one process."""

import json
import re

import pytest
from pypdfium2 import PdfDocument

from schemas.errors import BrokenPlan
from schemas.site import Answer
from services.pipeline import make_pack, make_plan, read_plan, read_submission
from services.recheck import recheck
from tests.builders import document, library, submission
from tests.planned import outcome, plan

BUILT = ["l-deck", "porch", "corner-45", "wraparound", "two-stair-sides", "metric"]
BROKEN_MEASURE = re.compile(r"\d/\r?\n\d|\d/1\r?\n6|\d/3\r?\n2|\d/6\r?\n4")
"""A tape fraction parted by a line's end."""
WITH_STAIRS = ["l-deck", "two-stair-sides", "metric"]


@pytest.mark.parametrize("name", BUILT)
def test_job_is_planned_and_holds_when_measured_again(name: str) -> None:
    """Each buildable job gets a plan in which the second routine finds no breach."""
    assert recheck(plan(name)) == ()


@pytest.mark.parametrize("name", BUILT)
def test_plan_survives_being_written_and_read(name: str) -> None:
    """The machine-readable plan is the plan: read back, it is equal."""
    assert read_plan(plan(name).model_dump_json().encode()) == plan(name)


@pytest.mark.parametrize("name", WITH_STAIRS)
def test_a_job_with_a_stair_fills_ten_pages_or_more(name: str) -> None:
    """A pack with a stair has a sheet for everything the crew asks for."""
    pack = make_pack(plan(name), issued="test")

    keys = {key for key, _, _ in pack.sheets}
    assert pack.pages >= 10
    assert len(keys) >= 10
    assert pack.pdf.startswith(b"%PDF-")


@pytest.mark.parametrize("name", BUILT)
def test_no_measure_is_broken_across_lines(name: str) -> None:
    """`3 11/16` never ends one line as `3 11/1`: 1, 3 and 6 are no tape's denominators."""
    pages = PdfDocument(make_pack(plan(name), issued="test").pdf)

    broken = [
        number
        for number, page in enumerate(pages, start=1)
        if BROKEN_MEASURE.search(page.get_textpage().get_text_bounded())
    ]

    assert broken == []


def test_same_job_gives_the_same_bytes_and_code() -> None:
    """Planned and set twice, the pack is byte for byte the same."""
    once, again = (
        make_pack(made, issued="test")
        for made in (
            make_plan(submission("l-deck"), library=library()).plan,
            make_plan(submission("l-deck"), library=library()).plan,
        )
        if made is not None
    )

    assert once.pdf == again.pdf
    assert once.code == again.code


def test_code_follows_what_the_crew_sees_and_nothing_else() -> None:
    """A dearer price book leaves the code; a higher rail changes it."""
    dearer = library().company.model_copy(
        update={
            "price_book": tuple(
                item.model_copy(update={"cents": item.cents + 100})
                for item in library().company.price_book
            )
        }
    )
    other = document("l-deck")
    other["promises"] = ["Caps with lights"]

    codes = [
        make_pack(made.plan, issued=issued).code
        for made, issued in (
            (outcome("l-deck"), "Monday"),
            (outcome("l-deck"), "Tuesday"),
            (
                make_plan(
                    submission("l-deck"), library=library().model_copy(update={"company": dearer})
                ),
                "Monday",
            ),
            (make_plan(submission(other), library=library()), "Monday"),
        )
        if made.plan
    ]

    assert codes[0] == codes[1] == codes[2]
    assert codes[0] != codes[3]


def test_held_job_asks_and_an_answer_lets_it_go_on() -> None:
    """Total rise against risers: a stop with figures and options, and each option resolves it."""
    held = outcome("held")

    stops = [question for question in held.questions if question.severity == "stop"]
    assert held.plan is None
    assert stops
    assert "52 1/2" in stops[0].says
    for option in stops[0].options:
        answer = Answer(question=stops[0].key, option=option.key, by="R. Oyelaran", why="re-read")
        answered = make_plan(submission("held"), library=library(), answers=(answer,))
        assert not [q for q in answered.questions if q.key == stops[0].key]


def test_an_answer_that_was_not_offered_opens_nothing() -> None:
    """Only a listed option of a listed question counts."""
    stop = outcome("held").questions[0]
    made_up = Answer(question=stop.key, option="do-it-anyway", by="somebody", why="no reason")

    assert make_plan(submission("held"), library=library(), answers=(made_up,)).plan is None


def test_order_of_fields_does_not_matter() -> None:
    """The same facts in another order of fields give the same pack."""
    tree = document("two-stair-sides")
    turned = json.dumps(dict(reversed(list(tree.items())))).encode()

    made = make_plan(read_submission(turned), library=library()).plan

    assert made == plan("two-stair-sides")


def test_broken_plan_is_refused_not_printed(monkeypatch: pytest.MonkeyPatch) -> None:
    """When the second measurement finds a breach, planning ends with an error that names it."""
    monkeypatch.setattr("services.recheck.recheck", lambda _: ("A1-A2: gap too wide",))

    with pytest.raises(BrokenPlan, match="A1-A2: gap too wide"):
        make_plan(submission("porch"), library=library())
