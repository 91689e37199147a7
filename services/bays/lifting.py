"""Weight of an assembled section and how many people lift it."""

from __future__ import annotations

from math import ceil

from schemas.company import Company
from schemas.lengths import PER_MM


def section_grams(*, cut: int, grams_per_m: int) -> int:
    """Both rails with balusters in, rounded up. [g]."""
    return ceil(cut * grams_per_m / (1000 * PER_MM))


def people_to_lift(*, company: Company, grams: int, cut: int) -> int:
    """Two for what is heavier or longer than the company lets one carry."""
    return 2 if grams > company.two_people_over or cut > company.two_people_longer else 1
