"""The short version of a big night: every count of the report found again in the files."""

from __future__ import annotations

from pathlib import Path

from tests.night_count import night


def test_the_reports_counts_are_those_of_the_files(tmp_path: Path) -> None:
    """26 real jobs, one of them held, for 12 crews on two workers."""
    counted = night(tmp_path, jobs=26, crews=12, workers=2)

    assert counted.wrong == ()
    assert (counted.packs, counted.held, counted.bundles) == (25, 1, 12)
    assert counted.report.complete
