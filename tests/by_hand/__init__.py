"""The demo's jobs worked out a second time, from their JSON with a pencil's arithmetic.

In: the submission and the system sheet as they were written, and where the chosen posts stand.
Out: every length of the legs, bays, stairs and posts. Nothing of ours is imported here but the
number of units in an inch: lengths are exact fractions, and only what lies on a slope or at an
odd angle is a float, rounded where the tape rounds it.
"""
