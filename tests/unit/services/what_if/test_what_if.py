"""What if: alternatives are planned like any job and compared by their own plans' figures."""

from __future__ import annotations

import pytest

from schemas.errors import BadInput
from schemas.lengths import INCH
from schemas.what_if import Alternative
from services.pipeline import compare
from services.what_if import read_try
from tests.builders import library, submission
from tests.planned import plan


def tried(*tries: str, job: str = "l-deck") -> tuple[Alternative, ...]:
    """A demo job as it stands and so."""
    return compare(submission(job), library=library(), tries=tries)


def test_the_job_as_it_stands_has_its_own_plan_s_figures() -> None:
    """Posts, bays, stock, waste, money and hours are those of the plan that is packed."""
    deck = plan("l-deck")

    (found,) = tried()

    assert found.planned
    assert (found.posts, found.level_bays, found.stair_bays) == (
        len(deck.layout.posts), len(deck.bays.level), len(deck.bays.stair),
    )  # fmt: skip
    assert sum(count for _, count in found.kits) == len(deck.cuts.bars)
    assert found.stock_length == sum(bar.stock.length for bar in deck.cuts.bars)
    assert found.waste_length == sum(bar.waste for bar in deck.cuts.bars)
    assert found.waste_share == pytest.approx(found.waste_length / found.stock_length)
    assert found.material_cents == deck.takeoff.cost.material_cents
    assert found.waste_cents == deck.takeoff.cost.waste_cents
    assert found.crew_hours == deck.takeoff.crew_hours


def test_shorter_bays_take_more_posts_and_more_hours() -> None:
    """In inches as the submission has them, or as written."""
    stands, short, written = tried("max-bay=60", "max-bay=5 ft")

    assert short.posts > stands.posts
    assert short.crew_hours > stands.crew_hours
    assert short.model_dump(exclude={"named"}) == written.model_dump(exclude={"named"})


def test_a_bay_longer_than_the_system_allows_changes_nothing() -> None:
    """The rail maker's limit holds."""
    stands, longer = tried("max-bay=30 ft")

    assert longer.model_dump(exclude={"named"}) == stands.model_dump(exclude={"named"})


def test_stock_that_is_named_is_the_only_stock_taken() -> None:
    """For the orientation that it is of; the stairs keep theirs."""
    stands, only = tried("stock=cove-level-96")

    assert {key for key, _ in only.kits} == {"cove-level-96", "cove-stair-96"}
    assert len(stands.kits) > len(only.kits)
    assert only.material_cents >= stands.material_cents


def test_changes_can_be_put_together() -> None:
    """One alternative of several changes is none of them alone."""
    _, bay, stock, both = tried(
        "max-bay=60", "stock=cove-level-96", "max-bay=60,stock=cove-level-96"
    )

    assert both.posts == bay.posts
    assert both.kits != bay.kits
    assert {key for key, _ in both.kits} == {key for key, _ in stock.kits}


def test_what_cannot_be_planned_shows_the_question_that_stops_it() -> None:
    """With its place and its numbers, as the office would be asked."""
    _, other = tried("system=tern,height=900,colour=moss")

    assert not other.planned
    assert [stop.severity for stop in other.stops] == ["stop"]
    assert "the recorded limit is 36" in other.stops[0].says
    assert other.kits == ()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("system=tren", "no rail system that the company buys named 'tren': did you mean tern?"),
        ("system=owl", "no rail system that the company buys named 'owl': there are cove, tern"),
        ("height=35", "no height of cove named '35': did you mean 36? there are 36, 42"),
        ("system=tern,height=90", "no height of tern named '90': did you mean 900?"),
        ("colour=chark", "no colour of cove named 'chark': did you mean chalk?"),
        ("stock=cove-level-95", "did you mean cove-level-96?"),
        ("system=tern,height=900,colour=moss,stock=cove-level-96", "named 'cove-level-96'"),
    ],
)
def test_a_name_that_there_is_not_is_a_slip(text: str, says: str) -> None:
    """Nothing is planned; the nearest name is offered."""
    with pytest.raises(BadInput) as no:
        tried("max-bay=60", text)

    (problem,) = no.value.problems
    assert says in f"{problem.says}: {problem.mend}"


def test_every_unknown_name_is_told_at_once() -> None:
    """Of one try and of several."""
    with pytest.raises(BadInput) as no:
        tried("height=37,colour=pink", "system=owl")

    assert [problem.value for problem in no.value.problems] == ["37", "pink", "owl"]


def test_what_there_is_and_does_not_suit_the_job_stands_beside_it() -> None:
    """A system without the job's height is no slip; the others are planned all the same."""
    stands, other = tried("system=tern")

    assert stands.planned
    assert not other.planned
    assert "there is no height of that system '36': one of 900, 1070" in other.refused


@pytest.mark.parametrize(
    "text",
    ["", "system", "system=", "bays=3", "max-bay=", "max-bay=0", "max-bay=wide",
     "max-bay=60,max-bay=50", "system=no such key!"],
)  # fmt: skip
def test_a_try_that_cannot_be_read_is_refused(text: str) -> None:
    """With what can be written."""
    with pytest.raises(BadInput) as no:
        read_try(text, unit="in")

    assert "stock=KIT+KIT" in no.value.problems[0].mend


def test_a_try_is_read_into_what_it_changes() -> None:
    """Lengths in the submission's unit, kits one by one."""
    read = read_try(" max-bay = 5' 6\" , stock=a+b", unit="in")

    assert (read.max_bay, read.stock, read.system) == (66 * INCH, ("a", "b"), None)
