"""The order of work: steps with the job's own numbers, hold points and cautions.

In: the job, the layout, the bays and the cuts. Out: steps that a tired person in gloves can
follow, in an order in which each finds done what it stands on; hold points only where the
job has the thing; cautions that these steps call for.
"""

from services.sequence.order import order_work

__all__ = ["order_work"]
