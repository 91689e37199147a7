"""What the measure tech noted of this site is said again where something is drilled or dug."""

from __future__ import annotations

from services.sequence import order_work
from tests.planned import plan

DRILLING = {"framing", "set-ends", "set-between", "set-lower", "walls"}


def test_gas_line_is_named_at_every_step_that_drills() -> None:
    """On the job card it was read at a quarter past six; the bit goes in at ten."""
    made = plan("l-deck")
    assert "Grill gas line runs along leg E under the rim" in made.job.site.hazards

    steps = {step.key: step.text for step in made.sequence.steps}

    found = DRILLING & steps.keys()
    assert {"framing", "set-ends"} <= found
    assert all("Grill gas line runs along leg E" in steps[key] for key in found)


def test_site_without_hazards_says_nothing_of_them() -> None:
    """No empty phrase."""
    made = plan("porch")
    site = made.job.site.model_copy(update={"hazards": ()})
    job = made.job.model_copy(update={"site": site})

    order = order_work(job, made.layout, made.bays, made.cuts)

    assert not any("Noted here" in step.text for step in order.steps)
