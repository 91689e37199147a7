"""How often, how long, and when again: the limits of all work.

A job is counted when a worker claims it, before anything is done, so a worker that dies
of it is counted too. After `STRIKES` the job is set aside as failed, its error kept.
"""

from __future__ import annotations

from typing import Final

from schemas.errors import DawnpackError, NotNow

STRIKES: Final = 3
"""Claims that end in a crash or an unforeseen error before the job is set aside."""

SOFT_LIMIT: Final = 240
"""A pack still computing is told to stop. [s]"""

HARD_LIMIT: Final = 300
"""Its process is ended. [s]"""

TICK_LIMIT: Final = 840
"""A look at the nights, delivery of a finished one included, is told to stop. [s]"""

VISIBLE_AGAIN: Final = 1800
"""The broker offers an unacknowledged message again; twice the longest hard limit, or slow work
would be started a second time. [s]"""

TICK_EVERY: Final = 60.0
"""Between two looks of the scheduler. [s]"""

POST_EVERY: Final = 15.0
"""Between two rounds of the post. [s]"""

LATER: Final = 2.0
"""Wait before an error's second try, doubled for each further one. [s]"""

LEASES_AHEAD: Final = 10.0
"""A lease that ends so many of its lengths from now was given by a clock that has been put back
since: it holds nobody up. A late holder changes nothing by then; its fence is old."""

WAIT_AHEAD: Final = 3600.0
"""The same for a wait or a message's time; no wait between two tries is so long. [s]"""

RING_AGAIN: Final = 300.0
"""A message sent so long ago may be taken as lost even while the queue is not empty. [s]"""

RING_AGAIN_IDLE: Final = 2.0
"""The same while the queue is empty: nobody has the message any more. [s]"""


def lasts(until_ms: int, *, now_ms: int, lease: float) -> bool:
    """Whether a lease lasts, unless the clock was put back since it was given.

    Args:
        until_ms: When it ends. [ms since 1970]
        now_ms: Now. [ms since 1970]
        lease: How long one is given for. [s]
    """
    return now_ms < until_ms <= now_ms + lease_ahead_ms(lease)


def lease_ahead_ms(lease: float) -> int:
    """Milliseconds ahead that a lease may end."""
    return int(1000 * LEASES_AHEAD * lease)


def is_final(error: Exception) -> bool:
    """Whether a second try would say the same: our own refusals, save 'not now'."""
    return isinstance(error, DawnpackError) and not isinstance(error, NotNow)


def is_outside(error: Exception) -> bool:
    """Whether disk or network is at fault, not the job: such a try is not counted."""
    return isinstance(error, NotNow)


def wait_ms(strikes: int) -> int:
    """Milliseconds that a job rests after so many strikes."""
    return int(1000 * LATER * 2 ** max(strikes - 1, 0))
