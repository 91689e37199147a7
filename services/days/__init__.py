"""A job's work shared out over two days, with a safe state between them.

In: the plan of the whole job. Out: the plan of each day: its steps, cuts, load and hours. The
first day ends with posts that stand dressed and a temporary guard along every edge; the second
takes that over before anything is cut. Nothing is in neither, and no part is loaded twice.
"""

from services.days.share_out import share_out
from services.days.shares import posts_to_set

__all__ = ["posts_to_set", "share_out"]
