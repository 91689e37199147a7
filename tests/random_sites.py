"""Random sites as an office would send them: submission trees from one source of chance.

Most measures agree with each other, as a careful tech's do; some sites carry a slip, an
angle that no bracket takes or a rule that they cannot meet, and must then be asked about.
The same dice give the same site, so a failing one is named by its number.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass
from itertools import accumulate
from math import ceil, cos, radians, sin, tan
from random import Random
from typing import Any

Tree = dict[str, Any]

SYSTEMS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "cove": (("36", "42"), ("chalk", "slate")),
    "tern": (("900", "1070"), ("chalk", "moss")),
}
"""Demo rail systems: heights on sale, lower first, and colours."""
SLEEVES = {"cove": 114.3, "tern": 112.0}
"""Outside of their sleeves. [mm]"""
BUILT = {"cove": (916, 1068), "tern": (910, 1084)}
"""How high their sections stand on their spacer blocks. [mm]"""
LOW = ("us-irc-2018", "us-irc-2021", "us-irc-2024")
"""Profiles that a low guard meets."""
HIGH = ("au-ncc-2022", "ca-nbc-2020", "ca-on", "us-ibc-2018", "us-ibc-2021", "us-ibc-2024")
"""Profiles that ask for a high one."""
HIGHER = ("uk-adk",)
"""Profiles whose guard is higher than any on sale."""
GUARD = {
    **dict.fromkeys(LOW, 914), "au-ncc-2022": 1000, "uk-adk": 1100,
    **dict.fromkeys(("ca-nbc-2020", "ca-on"), 1070),
    **dict.fromkeys(("us-ibc-2018", "us-ibc-2021", "us-ibc-2024"), 1067),
}  # fmt: skip
"""How high their guards must be. [mm]"""
UNDER = {"along": "out", "back": "along", "out": "along"}
"""How a landing's first leg heads that lies out from a leg with such a heading; none is there
for one that runs out from the house, so that such a landing is asked about."""
LETTERS = "ABCDEFGHIJKLMNOPQRTUVWXYZ"
"""Names of legs; no S."""
TURNS = (90,) * 10 + (45,) * 6 + (22.5, 22.5, 30, 30, 60, 60, 120, 135)
"""Common corners. [degrees]"""
SLOPES = ((7, 11), (7.25, 10.5), (7.5, 10), (7.5, 11), (7.75, 10), (7, 11), (7.5, 11), (6, 12))
"""Riser and tread of common stairs, a flat one too. [in]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruler:
    """How a site's tape is written: in sixteenths of an inch, or in millimetres."""

    metric: bool

    @property
    def sixteenths(self) -> float:
        """Marks to the inch."""
        return 25.4 if self.metric else 16.0

    def marks(self, inches: float) -> int:
        """The nearest mark."""
        return round(inches * self.sixteenths)

    def text(self, marks: int) -> str | int:
        """As the tech writes it."""
        if self.metric:
            return marks
        whole, over = divmod(abs(marks), 16)
        sign = "-" if marks < 0 else ""
        return f"{sign}{whole} {over}/16" if over else f"{sign}{whole}"

    def written(self, inches: float) -> str | int:
        """A length to the nearest mark, as the tech writes it."""
        return self.text(self.marks(inches))


def random_site(dice: Random) -> Tree:
    """One site."""
    return _Walk(dice).site()


class _Walk:
    """One walk round one site; each part is written down as it is reached."""

    def __init__(self, dice: Random) -> None:
        self.dice = dice
        self.ruler = Ruler(metric=dice.random() < 0.3)
        self.system = dice.choice(["cove", "cove", "cove", "tern"])
        self.letters = iter(LETTERS)
        self.stairs: list[Tree] = []
        self.gates: list[Tree] = []
        self.landings: list[Tree] = []
        self.heading = "out"
        self.inset = 0.0

    def often(self, share: float) -> bool:
        return self.dice.random() < share

    def between(self, least: float, most: float) -> float:
        """A length in inches that stands on a tape mark."""
        low, high = self.ruler.marks(least), self.ruler.marks(most)
        return self.dice.randint(low, max(low, high)) / self.ruler.sixteenths

    def site(self) -> Tree:
        profile, height = self._rules()
        lines = [self._line() for _ in range(self.dice.choice((1, 1, 1, 1, 2)))]
        heights, colours = SYSTEMS[self.system]
        return {
            "schema_version": 1,
            "job": f"R-{self.dice.randrange(10_000)}",
            "revision": self.dice.randint(1, 3),
            "crew": self.dice.choice(("heron", "wren", "plover")),
            "install_date": "2026-12-03",
            "unit": "mm" if self.ruler.metric else "in",
            "use": "commercial" if profile in HIGH[3:] else "one-family",
            "site": {
                "customer": "A. Random",
                "street": "1 Dice Lane",
                "town": "Alder Quay",
                "hazards": ["Open deck edge"],
                "year_built": self.dice.choice((None, 1931, 1998)),
            },
            "measured": {
                "by": "R. O.", "on": "2026-11-19",
                "kind": "sales" if self.often(0.05) else "final",
            },
            "code": {"profile": profile, "local_changes": []},
            "rail": {
                "system": self.system,
                "colour": self.dice.choice(colours),
                "height": heights[height],
            },
            "post": {
                "core": "3 1/2 in",
                "detail": None if self.often(0.05) else self.dice.choice(("D-3", "D-5")),
                "species": self.dice.choice((None, "southern pine", "hem-fir")),
                "treated": True,
            },
            "lines": [*lines, *self.landings],
            "stairs": self.stairs,
            "gates": self.gates,
            "remove_feet": self.dice.choice((0, 0, 24, 52.5)),
            "permit": None,
            "promises": [],
        }  # fmt: skip

    def _rules(self) -> tuple[str | None, int]:
        """A profile and a height, which mostly suit each other."""
        if self.often(0.05):
            return None, self.dice.randrange(2)
        profile = self.dice.choice(LOW * 4 + HIGH + HIGHER)
        if self.often(0.05):
            return profile, self.dice.randrange(2)
        high = [built >= GUARD[profile] for built in BUILT[self.system]]
        if not any(high) and profile not in HIGHER:
            profile = self.dice.choice(LOW)
            high = [built >= GUARD[profile] for built in BUILT[self.system]]
        return profile, high.index(True) if any(high) else 1

    def _line(self) -> Tree:
        self.heading = self.dice.choice(("out", "along", "back"))
        closed = self.often(0.1)
        edge = self.often(0.6)
        inset = self.inset = self.between(2.5, 5) if edge else 0.0
        if closed:
            shape = self._closed_legs()
        else:
            shape = [self._leg() for _ in range(self.dice.choice((1, 2, 2, 3, 3, 4, 5, 6)))]
            for leg in shape[:-1]:
                leg["corner"] = self._corner()
        line: Tree = {
            "measured": "deck-edge" if edge else "post-centre",
            "inset": self.ruler.written(inset),
            "heading": self.heading,
            "closed": closed,
            "legs": shape,
        }
        if not closed:
            line["start"], line["end"] = self._end(), self._end()
        in_place = not closed and self.often(0.25)
        for number, leg in enumerate(shape):
            self._furnish(line, number, leg, inset=inset, in_place=in_place)
        return line

    def _leg(self) -> Tree:
        length = self.between(18, 60) if self.often(0.15) else self.between(48, 300)
        leg = {"name": next(self.letters), "length": self.ruler.written(length)} | self._ground()
        if self.often(0.01):
            leg["curve"] = self.ruler.written(self.between(60, 240))
        return leg

    def _ground(self) -> Tree:
        ground: Tree = {}
        if self.often(0.95):
            ground["drop"] = self.ruler.written(self.between(8, 110))
        if self.often(0.2):
            most = 1.5 if self.often(0.2) else 0.2
            ground["fall"] = self.ruler.written(self.between(0, most))
        if self.often(0.3):
            ground["joists"] = self.ruler.written(self.dice.choice((12, 16, 24)))
            ground["first_joist"] = self.ruler.written(self.between(0, 16))
        return ground

    def _closed_legs(self) -> list[Tree]:
        """A rectangle, an L or any convex shape that closes to the tape; now and then misread."""
        odd = self._convex if self.system == "cove" else self._rectangle
        shape = self.dice.choice((self._rectangle, self._ell, odd))()
        if self.often(0.1):
            wrong = self.dice.randrange(len(shape))
            length, turn = shape[wrong]
            shape[wrong] = (length + self.between(0.5, 6), turn)
        legs = []
        for length, turn in shape:
            corner: Tree = {"turn_deg": abs(turn), "hand": "outside" if turn > 0 else "inside"}
            leg = {"name": next(self.letters), "length": self.ruler.written(length)}
            legs.append(leg | self._ground() | {"corner": corner})
        return legs

    def _rectangle(self) -> list[tuple[float, float]]:
        wide, deep = self.between(70, 240), self.between(70, 240)
        return [(side, 90.0) for side in (wide, deep, wide, deep)]

    def _ell(self) -> list[tuple[float, float]]:
        """A rectangle with a corner taken out: the corner inside it turns the other way."""
        wide, deep = self.between(140, 260), self.between(140, 260)
        out, up = self.between(50, wide - 60), self.between(50, deep - 60)
        return [
            (wide, 90.0), (deep - up, 90.0), (out, -90.0),
            (up, 90.0), (wide - out, 90.0), (deep, 90.0),
        ]  # fmt: skip

    def _convex(self) -> list[tuple[float, float]]:
        """Four to six sides; the last two are those that close it."""
        while True:
            count = self.dice.randint(4, 6)
            turns = [self.dice.choice((30.0, 45.0, 60.0, 75.0, 90.0)) for _ in range(count - 1)]
            turns.append(360 - sum(turns))
            sides = [self.between(60, 180) for _ in range(count - 2)]
            if 10 <= turns[-1] <= 120 and (rest := _closing(sides, turns)):
                return list(zip([*sides, *rest], turns, strict=True))

    def _corner(self) -> Tree:
        turn: float = 90
        if self.system == "cove" and self.often(0.5):
            turn = self.dice.choice(TURNS)
        if self.often(0.04):
            turn = round(self.dice.uniform(3, 170), 1)
        return {
            "turn_deg": turn,
            "hand": self.dice.choice(("outside", "outside", "inside")),
            "post": self._post_in(turn),
        }

    def _post_in(self, turn: float) -> str | None:
        """How a tech notes a corner post: mostly not at all, now and then a way that cannot be."""
        if self.often(0.03):
            return self.dice.choice(("square", "turned"))
        return self.dice.choice((None, None, "square" if turn in {30, 90} else "turned"))

    def _end(self) -> Tree:
        if self.often(0.5):
            end: Tree = {"kind": "post"}
            if self.often(0.2):
                end["inset"] = self.ruler.written(self.between(2, 6))
            return end
        wall: Tree = {"kind": "wall", "substrate": self.dice.choice((None, "stud, blocked"))}
        if self.often(0.3):
            wall["out_of_plumb"] = self.ruler.written(self.between(-0.5, 0.5))
        return wall

    def _furnish(self, line: Tree, number: int, leg: Tree, *, inset: float, in_place: bool) -> None:
        """Put into a leg what stands in it: posts in place, openings, keep-outs, fixed posts."""
        if in_place:
            self._stand_in_place(line, number, leg, inset=inset)
            return
        length = self._read(leg["length"])
        at = self.between(20, 60)
        while at + 60 < length and self.often(0.35):
            width = self.between(36, 60)
            if at + width > length:
                break
            self._open(leg, at, width)
            at += width + self.between(30, 100)
        if self.often(0.12):
            begin = self.between(0, max(1, length - 20))
            leg["keep_out"] = [
                {
                    "start": self.ruler.written(begin),
                    "end": self.ruler.written(begin + self.between(3, 18)),
                    "why": "downpipe",
                }
            ]
        if self.often(0.1) and length > 60:
            leg["fixed_posts"] = [self.ruler.written(self.between(30, length - 30))]
        if self.often(0.2):
            leg["board"] = self.ruler.written(self.between(3.5, 7))
            leg["first_gap"] = self.ruler.written(self.between(0, 6))

    def _read(self, written: str | int) -> float:
        if isinstance(written, int):
            return written / 25.4
        whole, _, over = written.partition(" ")
        return int(whole) + (int(over.partition("/")[0]) / 16 if over else 0)

    def _open(self, leg: Tree, start: float, width: float) -> None:
        place = {
            "leg": leg["name"],
            "start": self.ruler.written(max(0, start)),
            "width": self.ruler.written(width),
        }
        if self.often(0.7):
            self.stairs.append(self._stair() | place)
            if self.often(0.15):
                self._gate_at_head(self.stairs[-1])
            if self.often(0.25) and len(list(copy(self.letters))) > 9:
                self._landing(self.stairs[-1], width)
        else:
            self.gates.append(
                {
                    "name": f"G{len(self.gates) + 1}",
                    "hinge": self.dice.choice(("left", "right")),
                    "opens": self.dice.choice(("in", "out")),
                    "pool_barrier": self.dice.choice((None, False, False, True)),
                }
                | place
                | self._leaf(width)
            )

    def _gate_at_head(self, stair: Tree) -> None:
        """A gate in the stair's own opening."""
        place = {name: stair[name] for name in ("leg", "start", "width")}
        self.gates.append(
            {
                "name": f"G{len(self.gates) + 1}",
                "hinge": self.dice.choice(("left", "right")),
                "opens": self.dice.choice(("in", "in", "out")),
                "pool_barrier": False,
                "stair": stair["name"],
            }
            | place
        )

    def _landing(self, upper: Tree, width: float) -> None:
        """A landing under a flight, and a second flight that goes on down from it to the left."""
        sleeve = SLEEVES[self.system] / 25.4
        below = self.between(36, 48)
        upper |= {
            "goes_on": "left", "landing": "framed landing", "rails": ["left", "right"],
            "handrail": [], "lower_post": {"from_last_nose": self.ruler.written(1)},
        }  # fmt: skip
        first, second, third = (next(self.letters) for _ in range(3))
        lower = self._stair() | {
            "leg": first,
            "start": self.ruler.written(sleeve / 2),
            "width": self.ruler.written(below),
            "from_landing": {
                "stair": upper["name"], "turn": "left", "guard": "legs",
                "shared": self.dice.choice((None, "left")),
            },
        }  # fmt: skip
        if "left" not in lower["rails"]:
            lower["from_landing"]["shared"] = None
        sides = ((first, below), (second, width), (third, below))
        self.stairs.append(lower)
        self.landings.append(
            {
                "measured": "post-centre",
                "heading": UNDER[self.heading] if self.often(0.9) else "back",
                "start": {"kind": "post"},
                "end": {"kind": "post", "same_as": f"{upper['name']}-R"},
                "legs": [
                    {"name": name, "length": self.ruler.written(side + sleeve), "fall": 0}
                    | ({} if name == third else {"corner": {"turn_deg": 90}})
                    | {"drop": self.ruler.written(self.between(10, 60))}
                    for name, side in sides
                ],
            }
        )

    def _leaf(self, width: float) -> Tree:
        """The gate itself, where it was chosen already."""
        if self.often(0.6):
            return {}
        gaps = {"hinge_gap": self.ruler.written(0.75), "latch_gap": self.ruler.written(0.5)}
        slip = 0.5 if self.often(0.1) else 0
        return {"leaf": self.ruler.written(width - 1.25 + slip)} | gaps

    def _stair(self) -> Tree:
        riser, tread = self.dice.choice(SLOPES)
        if self.often(0.3):
            riser, tread = self.between(6, 8), self.between(9.5, 12)
        riser, tread = (self.ruler.marks(size) for size in (riser, tread))
        risers = self.dice.randint(2, 7) if self.often(0.85) else self.dice.randint(2, 16)
        rails = self.dice.choice((["left"], ["right"], ["left", "right"], ["left", "right"]))
        stair: Tree = {
            "name": f"S{len(self.stairs) + 1}",
            "risers": risers,
            "riser": self.ruler.text(riser),
            "tread": self.ruler.text(tread),
            "nosing": self.dice.choice((None, 0, self.ruler.written(1), self.ruler.written(0.75))),
            "open_risers": self.dice.choice((None, False, False, False, False, True)),
            "rails": rails,
            "lower_post": {
                "from_last_nose": self.ruler.written(self.between(0, 6)),
                "stands_on": self.dice.choice(("landing", "landing", "landing", "grade", "tread")),
            },
            "landing": self.dice.choice((None, "concrete pad")),
            "handrail": [side for side in rails if self.often(0.7)],
        }
        if self.often(0.6):
            slip = self.between(0.5, 2) if self.often(0.05) else 0
            stair["total_rise"] = self.ruler.text(riser * risers + self.ruler.marks(slip))
            stair["total_run"] = self.ruler.text(tread * (risers - 1))
        if self.often(0.5 if risers > 6 else 0.1):
            stair["mid_posts"] = "auto"
        elif self.often(0.08):
            stair["mid_posts"] = [self.ruler.text(round(tread * (risers - 1) * 0.45))]
        if self.often(0.3):
            face = SLEEVES[self.system] / 25.4 / 2 - self.inset
            slip = self.between(-3, 3) if self.often(0.2) else self.between(-0.2, 0.2)
            stair["upper_post"] = {"from_top_nose": self.ruler.written(face + slip)}
        if self.often(0.15):
            jumps = [self.dice.choice((-1, 0, 0, 1)) for _ in range(risers)]
            stair["each_riser"] = [self.ruler.text(riser + jump) for jump in jumps]
        return stair

    def _stand_in_place(self, line: Tree, number: int, leg: Tree, *, inset: float) -> None:
        """Openings between posts that already stand; with the ends they make up the leg."""
        sleeve = SLEEVES[self.system] / 25.4
        clears = [self.between(26, 90) for _ in range(self.dice.randint(1, 4))]
        before = self._reach(line, number - 1, number, inset=inset, sleeve=sleeve, at="start")
        after = self._reach(line, number, number + 1, inset=inset, sleeve=sleeve, at="end")
        total = before + sum(clears) + sleeve * (len(clears) - 1) + after
        slip = self.between(0.5, 5) if self.often(0.05) else 0
        leg["length"] = self.ruler.written(total + slip)
        leg["clears"] = []
        for clear in clears:
            opening: Tree = {"bottom": self.ruler.written(clear)}
            if self.often(0.3):
                opening["top"] = self.ruler.written(clear + self.between(-0.25, 0.25))
            leg["clears"].append(opening)
        if len(clears) > 1 and self.often(0.12):
            leg["standing"] = [self._standing(self.dice.randint(1, len(clears) - 1))]
        chosen = self.dice.randrange(len(clears))
        if self.often(0.25) and clears[chosen] > 36:
            start = before + sum(clears[:chosen]) + sleeve * chosen
            self._open(leg, start, clears[chosen])

    def _standing(self, number: int) -> Tree:
        """A post in place that is not like the others."""
        own = {"sleeve": self.ruler.written(SLEEVES[self.system] / 25.4)}
        bare = {"core": "3 1/2 in"}
        other = {"sleeve": self.ruler.written(self.between(3.5, 6))}
        keep = self.dice.choice((None, True, True, False))
        return {"number": number, "keep": keep} | self.dice.choice((own, bare, other))

    def _reach(
        self, line: Tree, one: int, other: int, *, inset: float, sleeve: float, at: str
    ) -> float:
        """Measured end of a leg to the first sleeve face within it. [in]."""
        legs = line["legs"]
        if one < 0 or other >= len(legs):
            end = line[at]
            if end["kind"] == "wall":
                return 0.0
            own = end.get("inset")
            return (inset if own is None else self._read(own)) + sleeve / 2
        corner = legs[one]["corner"]
        turn = corner["turn_deg"]
        offset = inset * tan(radians(turn / 2)) * (1 if corner["hand"] == "outside" else -1)
        turned = corner["post"] == "turned" or (corner["post"] is None and turn <= 75)
        if turned:
            angle = turn / 2
        elif at == "end":
            angle = 0.0
        else:
            angle = turn if turn <= 45 else abs(turn - 90)
        return offset + ceil(1000 * sleeve / 2 / cos(radians(angle))) / 1000


def _closing(sides: Sequence[float], turns: Sequence[float]) -> tuple[float, float] | None:
    """The last two sides of a shape that starts along x; none where they would be too short."""
    ways = list(accumulate(turns[:-1], initial=0.0))
    x = sum(side * cos(radians(way)) for side, way in zip(sides, ways, strict=False))
    y = sum(side * sin(radians(way)) for side, way in zip(sides, ways, strict=False))
    (ax, ay), (bx, by) = ((cos(radians(way)), sin(radians(way))) for way in ways[-2:])
    across = ax * by - ay * bx
    if abs(across) < 0.1:
        return None
    first, last = (bx * y - by * x) / across, (ay * x - ax * y) / across
    return (first, last) if min(first, last) >= 50 and max(first, last) <= 320 else None
