"""Bays: the cuts, margins, marks and heights of every level and stair bay.

In: a job and its layout. Out: `BaysMade`: the bays with the post heights, and what the
office must be asked. `asks_for` hands the layout the same rules before the posts stand.
"""

from services.bays.asks import BayAsks, asks_for
from services.bays.make import BaysMade, make_bays

__all__ = ["BayAsks", "BaysMade", "asks_for", "make_bays"]
