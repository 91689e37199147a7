"""Every tool that a step names is on the load-out."""

from __future__ import annotations

import re

import pytest

from tests import builders, planned

JOBS = sorted(set(builders.JOBS) - {"held", "refused"})
GOES_BY = {
    "tape": "two tapes", "two rules or a tape that was checked": "two tapes",
    "level": "long level", "saw": "mitre saw", "fine blade": "fine-tooth blade",
    "driver": "two drivers", "bar": "pry bars",
    "check ball": "check ball", "check balls": "check ball", "pencil": "pencils",
    "camera": "camera", "lamp": "headlamp", "detector": "detector", "template": "bracket template",
    "temporary guard timber": "temporary rail lumber", "screws": "lumber and screws",
    "barrier": "cones and tape", "laser": "laser level", "clamps": "clamps",
    "long straightedge": "long straightedge", "magnet": "magnet", "shims": "shims",
    "drill and long bit for the bolts": "auger with extension", "sockets": "sockets",
    "two levels": "two levels", "rotary hammer with shroud": "rotary hammer with shroud",
    "adhesive gun": "caulk gun", "cleaner": "cleaner", "cloths": "cloths",
}  # fmt: skip
"""What a step calls a tool and what the list calls it, where the words differ."""


def _named(tool: str) -> list[str]:
    return [part.strip().casefold() for part in re.split("[,;]", tool) if part.strip()]


@pytest.mark.parametrize("name", JOBS)
def test_each_tool_that_a_step_names_is_on_the_list(name: str) -> None:
    """A step that asks for what stayed in the yard costs a drive."""
    plan = planned.plan(name)
    listed = "; ".join(tool for _, tools in plan.takeoff.tools for tool in tools).casefold()

    lacking = {
        part
        for step in plan.sequence.steps
        for part in _named(step.tool)
        if not re.match("(pilot|drain|foot-block) bit|no pilot", part)
        and GOES_BY.get(part, part) not in listed
    }

    assert lacking == set()


@pytest.mark.parametrize("name", JOBS)
def test_the_block_under_the_rails_is_on_the_list(name: str) -> None:
    """With its size, as the steps name it; and a ladder, a long level and an awl."""
    plan = planned.plan(name)
    listed = {tool for _, tools in plan.takeoff.tools for tool in tools}

    assert any("spacer block" in tool for tool in listed) == bool(plan.bays.level)
    assert {"ladder", "long level", "awl", "camera or phone"} <= listed


@pytest.mark.parametrize(("name", "masonry"), [("porch", True), ("l-deck", False)])
def test_a_brick_wall_has_its_own_bit(name: str, masonry: bool) -> None:  # noqa: FBT001  # a row of the table
    """Wood siding needs none."""
    tasks = dict(planned.plan(name).takeoff.tools)

    assert ("Wall ends in masonry" in tasks) == masonry


@pytest.mark.parametrize("name", JOBS)
def test_sheeting_goes_along_where_a_step_warns_of_lead(name: str) -> None:
    """The list and the cautions take the same houses for old."""
    plan = planned.plan(name)

    warned = any("old-paint" in step.cautions for step in plan.sequence.steps)

    assert ("Old paint" in dict(plan.takeoff.tools)) == warned
    assert not warned or plan.job.may_hold_lead
