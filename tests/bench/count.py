"""A night of 500 jobs for 12 crews on two workers, its report against a count of its files.

The count opens every delivered PDF with another library: pages, bytes, the job numbers on each
crew's sheets. Set DAWNPACK_TEST_NIGHT_JOBS for another size, DAWNPACK_TEST_NIGHT_MINUTES for
another cut-off: what is not made by then is missing, and the night is not complete. Times are
of this machine.
"""

from __future__ import annotations

import os
import tempfile
import time
from pathlib import Path

from tests.night_count import night

MINUTES = float(os.environ.get("DAWNPACK_TEST_NIGHT_MINUTES", "45"))
JOBS, CREWS, WORKERS = int(os.environ.get("DAWNPACK_TEST_NIGHT_JOBS", "500")), 12, 2


def run() -> dict[str, dict[str, object]]:
    """Run the night and count."""
    with tempfile.TemporaryDirectory(prefix="count-") as root:
        start = time.monotonic()
        counted = night(Path(root), jobs=JOBS, crews=CREWS, workers=WORKERS, cut_off=60 * MINUTES)
        wall = time.monotonic() - start
    report = counted.report
    return {
        "figures": {
            "jobs": JOBS,
            "crews": counted.bundles,
            "packs": counted.packs,
            "held": counted.held,
            "pages": counted.pages,
            "wall_s": round(wall, 1),
            "differ": len(counted.wrong),
            "first_differ": list(counted.wrong[:10]),
        },
        "met": {
            "complete": report.complete,
            "report equals count": not counted.wrong,
        },
    }
