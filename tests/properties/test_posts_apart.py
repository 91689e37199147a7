"""No planned site has two sleeves, or a sleeve and another post's rail, in one place.

Source:
    shapely (GEOS) places the squares and strips and measures their common area.
"""

from __future__ import annotations

import json
from importlib import import_module
from itertools import combinations
from random import Random
from typing import Any

import pytest

from schemas.lengths import INCH
from schemas.plan import Plan
from schemas.submission import Submission
from services.intake import read_document
from services.pipeline import make_plan
from tests.builders import library
from tests.random_sites import random_site

shapely: Any = import_module("shapely")  # its calls carry no types
affinity: Any = import_module("shapely.affinity")


def planned(numbers: range) -> list[Plan]:
    """The plans of those random sites that have one."""
    sites = (json.dumps(random_site(Random(number))).encode() for number in numbers)
    made = (make_plan(read_document(site, Submission), library=library()) for site in sites)
    return [one.plan for one in made if one.plan is not None]


def squares(plan: Plan) -> dict[str, Any]:
    """Every post's sleeve, turned as it stands."""
    legs = {leg.name: leg.heading_deg for leg in plan.layout.legs}
    legs |= {stair.name: legs[stair.leg] for stair in plan.job.stairs}
    found = {}
    for post in plan.layout.posts:
        x, y, half = post.point.x, post.point.y, post.sleeve / 2
        box = shapely.box(x - half, y - half, x + half, y + half)
        found[post.name] = affinity.rotate(box, legs[post.leg] + post.turned_deg)
    return found


def strips(plan: Plan) -> dict[str, tuple[set[str | None], Any]]:
    """Every rail between posts as wide as it is, and the posts that it ends at."""
    stair = plan.job.stair_system.stair or plan.job.system.level
    found = {}
    for bay in plan.layout.bays:
        ends = (bay.left.post, bay.right.post)
        if bay.kind not in {"level", "stair"} or None in ends:
            continue
        sold = plan.job.system.level if bay.kind == "level" else stair
        points = [plan.layout.post(name or "").point for name in ends]
        axis = shapely.LineString([(point.x, point.y) for point in points])
        wide = max(sold.top_width, sold.bottom_width) / 2
        found[bay.name] = (set(ends), axis.buffer(wide, cap_style="flat"))
    return found


def on_one_surface(plan: Plan) -> bool:
    """Without landings all stands at one level or goes down from it."""
    return len(plan.job.lines) == 1


@pytest.mark.parametrize("start", [5440, 9100, 5260])
def test_sleeves_and_rails_keep_apart(start: int) -> None:
    """Sleeves have no area in common with each other, nor with rails that end elsewhere."""
    plans = [plan for plan in planned(range(start, start + 24)) if on_one_surface(plan)]
    assert plans

    for plan in plans:
        posts, rails = squares(plan), strips(plan)
        for (one, a), (other, b) in combinations(posts.items(), 2):
            assert a.intersection(b).area < INCH**2 / 64, (plan.job.job, one, other)
        for name, (ends, strip) in rails.items():
            for post, square in posts.items():
                if post not in ends:
                    assert square.intersection(strip).area < INCH**2 / 4, (name, post)
