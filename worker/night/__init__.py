"""The night: from the day's accepted jobs to a bundle for every crew and a truthful report.

In: a work date. Out: a folder with bundles, packs, plans and the night report. It may be run
again at any time and then makes only what has changed.
"""

from worker.night.run import Progress, run_night

__all__ = ["Progress", "run_night"]
