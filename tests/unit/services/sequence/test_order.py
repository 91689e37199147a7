"""The order of steps: each after what it stands on, always the same."""

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from schemas.errors import BrokenPlan
from schemas.sequence import Step
from services.sequence import order_work
from services.sequence.order import in_order
from services.sequence.stages import STAGES
from tests.planned import plan

JOBS = ("l-deck", "porch", "corner-45", "wraparound", "two-stair-sides", "metric")


def step(key: str, *after: str, stage: str = "Posts") -> Step:
    """A step that waits for others."""
    return Step(number=0, key=key, stage=stage, text=key, after=after)


def keys(steps: tuple[Step, ...]) -> list[str]:
    """The order in which they come out."""
    return [one.key for one in in_order(steps)]


@st.composite
def waiting(draw: st.DrawFn) -> tuple[Step, ...]:
    """Steps in any written order, each waiting for some of those before it in a hidden one."""
    count = draw(st.integers(min_value=1, max_value=12))
    names = [f"k{number}" for number in range(count)]
    steps = [
        step(
            name,
            *draw(st.sets(st.sampled_from(names[:number]))) if number else (),
            stage=draw(st.sampled_from(STAGES)),
        )
        for number, name in enumerate(names)
    ]
    return tuple(draw(st.permutations(steps)))


def graph(steps: tuple[Step, ...]) -> "nx.DiGraph[str]":
    """Who waits for whom."""
    made: nx.DiGraph[str] = nx.DiGraph()
    made.add_nodes_from(one.key for one in steps)
    made.add_edges_from((before, one.key) for one in steps for before in one.after)
    return made


@given(waiting())
def test_the_order_is_the_one_networkx_finds(steps: tuple[Step, ...]) -> None:
    """The same rule of choice, stage then writing, through networkx's topological sort."""
    rank = {one.key: (STAGES.index(one.stage), place) for place, one in enumerate(steps)}

    want = list(nx.lexicographical_topological_sort(graph(steps), key=rank.__getitem__))

    assert keys(steps) == want


def test_the_earlier_stage_goes_first_among_the_free() -> None:
    """Written last, done first."""
    assert keys((step("b", stage="Finish"), step("a", stage="Arrive"))) == ["a", "b"]


def test_steps_are_numbered_from_one() -> None:
    """As they are printed."""
    assert [one.number for one in in_order((step("a"), step("b", "a")))] == [1, 2]


def test_a_circle_is_refused_by_name() -> None:
    """Two steps that wait for each other."""
    with pytest.raises(BrokenPlan, match="a, b"):
        in_order((step("a", "b"), step("b", "a"), step("c")))


@pytest.mark.parametrize("steps", [(step("a", "gone"),), (step("a"), step("a"))])
def test_a_missing_or_doubled_step_is_refused(steps: tuple[Step, ...]) -> None:
    """What a step waits for must be there, once."""
    with pytest.raises(BrokenPlan):
        in_order(steps)


@pytest.mark.parametrize("name", JOBS)
def test_every_demo_job_s_steps_stand_in_a_topological_order(name: str) -> None:
    """By networkx: no circle, and each edge runs forward in the printed order."""
    steps = plan(name).sequence.steps
    number = {one.key: one.number for one in steps}

    waits = graph(steps)

    assert nx.is_directed_acyclic_graph(waits)
    assert all(number[before] < number[after] for before, after in waits.edges)
    assert [one.number for one in steps] == list(range(1, len(steps) + 1))


@pytest.mark.parametrize("name", JOBS)
def test_the_same_job_has_the_same_steps(name: str) -> None:
    """Computed twice, equal to the letter."""
    whole = plan(name)

    again = order_work(whole.job, whole.layout, whole.bays, whole.cuts)

    assert again == order_work(whole.job, whole.layout, whole.bays, whole.cuts)
    assert again == whole.sequence
