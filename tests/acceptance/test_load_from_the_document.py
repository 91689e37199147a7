"""The load of every demo job, counted once more from its printed document alone.

Nothing of the program reads the document here: it is plain JSON, counted with a pencil's
arithmetic. What a crew counts on the sheets must be what it finds on the truck.
"""

from __future__ import annotations

import json
from collections import Counter
from math import ceil
from typing import Any

import pytest

from tests.planned import plan

JOBS = ("l-deck", "porch", "corner-45", "wraparound", "two-stair-sides", "metric")


def document(name: str) -> dict[str, Any]:
    """The plan of a demo job as the office reads it."""
    tree: dict[str, Any] = json.loads(plan(name).model_dump_json())
    return tree


def loaded(tree: dict[str, Any]) -> Counter[str]:
    """Pieces on the truck by stock key."""
    lines = tree["takeoff"]["lines"]
    return Counter({line["item"]: line["packages"] * line["package"] for line in lines})


def boxed(tree: dict[str, Any]) -> Counter[str]:
    """What the kits on the cut list bring in their boxes."""
    found: Counter[str] = Counter()
    for system in (tree["job"]["system"], tree["job"]["stair_system"]):
        for orientation in ("level", "stair"):
            rail = system[orientation]
            kits = {kit["key"]: kit for kit in rail["kits"]} if rail else {}
            for bar in tree["cuts"]["bars"]:
                stock = bar["stock"]
                if (stock["system"], stock["orientation"]) == (system["key"], orientation):
                    kit = kits[stock["kit"]]
                    found[rail["baluster_key"]] += kit["balusters"]
                    found[rail["bracket"]["key"]] += kit["brackets"]
                    found[system["foot_block"]["key"]] += kit["foot_blocks"]
        if tree["job"]["stair_system"]["key"] == tree["job"]["system"]["key"]:
            break
    return found


def counted(tree: dict[str, Any]) -> Counter[str]:
    """What the posts and bays on the sheets take."""
    job, level, stair = tree["job"], tree["bays"]["level"], tree["bays"]["stair"]
    to_set = sum(not post["in_place"] for post in tree["layout"]["posts"])
    takes = Counter({job["system"]["sleeve"][key]: to_set for key in ("cap_key", "skirt_key")})
    details = {detail["key"]: detail for detail in job["company"]["details"]}
    feet = {stair["name"]: stair["lower_post"]["detail"] for stair in job["stairs"]}
    for post in tree["layout"]["posts"]:
        if not post["in_place"]:
            number = feet.get(post["leg"], job["detail"]["key"])
            for key, each in details[number]["parts"]:
                takes[key] += each
    for bays, rail in ((level, job["system"]["level"]), (stair, job["stair_system"]["stair"])):
        for bay in bays:
            takes[rail["baluster_key"]] += bay["balusters"]
            takes[job["system"]["foot_block"]["key"]] += len(bay["foot_blocks"])
            for fit in bay["brackets"]:
                bracket = rail["angle_bracket" if fit["kind"] == "angle" else "bracket"]
                takes[bracket["key"]] += 1
                takes[bracket["post_screw"]] += bracket["post_screws"]
                takes[bracket["rail_screw"]] += bracket["rail_screws"]
    takes.update(bar["stock"]["kit"] for bar in tree["cuts"]["bars"])
    takes.update(bar["stock"] for bar in tree["cuts"]["plain"])
    return takes


@pytest.mark.parametrize("name", JOBS)
def test_the_truck_and_the_boxes_hold_what_the_sheets_take(name: str) -> None:
    """Every post, baluster, bracket, screw, block, kit and stick."""
    tree = document(name)
    on_truck, in_boxes = loaded(tree), boxed(tree)

    for key, count in counted(tree).items():
        assert on_truck[key] + in_boxes[key] >= count, key


@pytest.mark.parametrize("name", JOBS)
def test_no_line_carries_more_than_a_package_and_the_spares_too_many(name: str) -> None:
    """What the sheets take, the company's spares, and what fills up the last package."""
    tree = document(name)
    takes, in_boxes = counted(tree), boxed(tree)

    for line in tree["takeoff"]["lines"]:
        if line["item"] in takes:
            loose = max(0, takes[line["item"]] - in_boxes[line["item"]])
            assert line["needed"] == loose, line["item"]
            assert line["packages"] == ceil((loose + line["spare"]) / line["package"])


@pytest.mark.parametrize("name", JOBS)
def test_weights_are_those_of_the_price_book(name: str) -> None:
    """Line by line and in sum, against the truck of the job's own crew."""
    tree = document(name)
    weighs = {item["key"]: item["grams"] for item in tree["job"]["company"]["price_book"]}
    trucks = {crew["key"]: crew["truck_kg"] for crew in tree["job"]["company"]["crews"]}

    on_truck = loaded(tree)

    assert tree["takeoff"]["grams"] == sum(weighs[key] * count for key, count in on_truck.items())
    assert tree["takeoff"]["truck_grams"] == 1000 * trucks[tree["job"]["crew"]]
