"""Takeoff: everything the crew would otherwise drive back for.

In: the layout, the bays and the cut plan. Out: counted lines in whole packages with
their reason and places, weights against the truck, hours against the day, cost; and what
of it must be settled before the crew leaves.
"""

from services.takeoff.counts import count_parts
from services.takeoff.doubts import load_doubts
from services.takeoff.take_off import take_off

__all__ = ["count_parts", "load_doubts", "take_off"]
