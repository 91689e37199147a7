"""The schedule: every night's runs, started, looked after and ended by short looks at the ledger.

In: the time, once a minute. Out: bundles, reports, and runs written down as done or missed. A
look that comes late, twice or not at all changes nothing but when.
"""

from worker.schedule.keep import keep_until
from worker.schedule.tick import tick

__all__ = ["keep_until", "tick"]
