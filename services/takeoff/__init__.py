"""Takeoff: everything the crew would otherwise drive back for.

In: the layout, the bays and the cut plan. Out: counted lines in whole packages with
their reason and places, weights against the truck, hours against the day, cost.
"""

from services.takeoff.counts import Count, count_parts
from services.takeoff.take_off import take_off

__all__ = ["Count", "count_parts", "take_off"]
