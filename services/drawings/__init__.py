"""Drawings: what the crew sees of the plan, to scale, without a device.

In: the plan's own numbers. Out: strokes and labels on a plane measured in points, each
label in a lane of its own, so that none covers another at any size of job.
"""

from services.drawings.draw import draw
from services.drawings.room import no_room
from services.drawings.stock_bars import plain_bars, stock_bars

__all__ = ["draw", "no_room", "plain_bars", "stock_bars"]
