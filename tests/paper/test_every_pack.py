"""Every demo pack as it is printed, read back by programs that did not write it.

Source:
    Filing edge 20 mm and border 10 mm: ISO 5457. Type not under 9 pt (8 pt in a stacked
    fraction): common practice. Scale: read off the page's own coordinates (ISO 32000-1, 8.3).
"""

from __future__ import annotations

import re
from collections import defaultdict
from functools import cache
from itertools import combinations

import pytest

from schemas.pack import PackFile
from schemas.pages import Figure
from services.pipeline import make_pack, make_sheets
from services.tape import text
from tests.paper.readers import Char, fonts, letters_of, opened, operators, segments, texts
from tests.planned import plan

PACKS = ("l-deck", "porch", "corner-45", "wraparound", "two-stair-sides", "metric")
BOUND, EDGE = 20 / 25.4 * 72, 10 / 25.4 * 72
"""20 mm and 10 mm. [pt]"""
THOUSANDTH = 0.072
"""A thousandth of an inch. [pt]"""
MOST_PAGES = {
    "l-deck": 52, "porch": 27, "corner-45": 33, "wraparound": 38, "two-stair-sides": 41,
    "metric": 53,
}  # fmt: skip
"""A pack that grows over this is not carried to the saw."""
_COUNT = re.compile(r"(?:sheet|hoja) (\d+) (?:of|de) (\d+)")
_SAYS = re.compile(r"1 (?:in|mm) = (\d+) (in|ft|mm)")
_BAR = re.compile(r"(\d+) (in|ft|mm): (?:([\d.]+) in \()?([\d.]+) mm")
_POINTS = {"in": 72.0, "ft": 12 * 72.0, "mm": 72 / 25.4}


@cache
def pack(name: str) -> PackFile:
    """A demo job's pack."""
    return make_pack(plan(name), issued="3 December 2026, night run")


@pytest.fixture(params=PACKS)
def name(request: pytest.FixtureRequest) -> str:
    """Each demo job that is packed."""
    return str(request.param)


@cache
def letters(name: str) -> list[list[Char]]:
    """The letters of every page."""
    return letters_of(pack(name).pdf)


def stacked(page: list[Char]) -> list[tuple[Char, Char]]:
    """Letters that stand on others: more than 35 % of the smaller one both ways."""
    cells: defaultdict[tuple[int, int], list[Char]] = defaultdict(list)
    for char in page:
        cells[int(char.left // 40), int(char.bottom // 40)].append(char)
    return [
        (a, b)
        for cell in cells.values()
        for a, b in combinations(cell, 2)
        if min(a.right, b.right) - max(a.left, b.left) > 0.35 * min(a.wide, b.wide)
        and min(a.top, b.top) - max(a.bottom, b.bottom) > 0.35 * min(a.high, b.high)
    ]


def test_file_is_sound_and_its_fonts_are_ours(name: str) -> None:
    """No structural fault; two embedded subset faces and no other."""
    assert opened(pack(name).pdf).check_pdf_syntax() == []
    found = fonts(pack(name).pdf)
    assert {base.split("+")[1] for base in found} <= {
        "DejaVuSansCondensed", "DejaVuSansCondensed-Bold",
    }  # fmt: skip
    assert all({"/FontFile2", "/ToUnicode"} <= carried for carried in found.values())


def test_every_page_says_which_of_how_many_it_is(name: str) -> None:
    """Sheet i of k in order, the pack's own code beside it, and no more pages than can be read."""
    pages = texts(pack(name).pdf)

    counts = [_COUNT.findall(page) for page in pages]

    assert counts == [[(str(i), str(len(pages)))] for i in range(1, len(pages) + 1)]
    assert all(f" {pack(name).code} " in page for page in pages)
    assert len(pages) == pack(name).pages <= MOST_PAGES[name]


def test_letters_keep_to_the_margins_and_off_each_other(name: str) -> None:
    """20 mm stay free where a sheet is bound, 10 mm above and below; no letter covers another."""
    document = opened(pack(name).pdf)
    wide, high = map(float, list(document.pages[0].obj.MediaBox)[2:])

    for number, page in enumerate(letters(name), 1):
        assert min(c.left for c in page) >= BOUND, number
        assert max(c.right for c in page) <= wide - BOUND, number
        assert min(c.bottom for c in page) >= EDGE, number
        assert max(c.top for c in page) <= high - EDGE, number
        assert stacked(page) == [], number


def test_no_type_is_too_small_to_read(name: str) -> None:
    """Nine points at least; figures of a stacked fraction eight."""
    sizes = {round(char.size, 1) for page in letters(name) for char in page}

    assert min(sizes) >= 8
    assert not {size for size in sizes if size < 9} - {8.0}


def test_black_white_and_one_light_grey_are_all_there_is(name: str) -> None:
    """No colour; the grey is 0.88, black on which has a contrast of 15:1 (WCAG 2.1, 1.4.3)."""
    for number in range(pack(name).pages):
        inks = {
            (operator, *map(float, operands))
            for operator, operands in operators(pack(name).pdf, number)
            if operator in {"g", "G", "rg", "RG", "k", "K", "sc", "scn", "SC", "SCN", "cs", "CS"}
        }
        assert inks <= {("g", 0.0), ("g", 1.0), ("g", 0.88), ("G", 0.0)}, number


def test_check_bars_are_as_long_as_they_say(name: str) -> None:
    """On every page with a scale: what the bar stands for, over the scale, to 0.001 in."""
    checked = 0
    for number, page in enumerate(texts(pack(name).pdf)):
        said = zip(_SAYS.findall(page), _BAR.findall(page), strict=True)
        heavy = [
            abs(s.x1 - s.x0)
            for s in segments(pack(name).pdf, number)
            if s.weight == 1.4 and s.y0 == s.y1
        ]
        for (ratio, unit), (stands, of, inches, millimetres) in said:
            paper = _POINTS[of] * int(stands) / (int(ratio) * {"ft": 12}.get(unit, 1))
            assert min(abs(long - paper) for long in heavy) < THOUSANDTH, number
            assert bool(inches) == (of != "mm")
            assert not inches or float(inches) == pytest.approx(paper / 72, abs=0.005)
            assert float(millimetres) == pytest.approx(paper / 72 * 25.4, abs=0.05)
            checked += 1
    assert checked >= 5


def test_hole_marks_stand_to_scale(name: str) -> None:
    """On each level bay's page some stroke stands at every hole centre, to 0.001 in from zero."""
    made = plan(name)
    firsts = {key: page for key, _, page in pack(name).sheets}
    for bay, *_ in made.bays.alike(made.layout):
        page = firsts[f"bay-{bay.name}"] - 1
        ((number, unit),) = _SAYS.findall(texts(pack(name).pdf)[page])
        upright = sorted(
            {s.x0 for s in segments(pack(name).pdf, page) if s.x0 == s.x1 and s.weight == 0.5}
        )
        ratio = int(number) * {"ft": 12}.get(unit, 1)
        wanted = [mark / 8128 * 72 / ratio for mark in bay.marks]

        assert any(
            all(min(abs(zero + at - x) for x in upright) < THOUSANDTH for at in wanted)
            for zero in upright
        ), bay.name


def test_every_cut_is_on_its_page(name: str) -> None:
    """The page's text has the bay's cuts, its opening and each of its hole marks."""
    made, pages = plan(name), texts(pack(name).pdf)
    firsts = {key: page for key, _, page in pack(name).sheets}
    for bay, *_ in made.bays.alike(made.layout):
        page = pages[firsts[f"bay-{bay.name}"] - 1]
        step = made.job.step
        for length in (bay.bottom_cut, bay.top_cut, bay.clear, *bay.marks):
            assert text(length, step) in page, (bay.name, length)


def test_figures_are_said_for_those_who_cannot_see_them(name: str) -> None:
    """As many figures carry a sentence in the file as the sheets have."""
    wanted = sum(isinstance(b, Figure) for s in make_sheets(plan(name)) for b in s.blocks)

    said = sum(
        operator == "BDC" and str(operands[0]) == "/Figure" and "/Alt" in operands[1]
        for number in range(pack(name).pages)
        for operator, operands in operators(pack(name).pdf, number)
    )

    assert said == wanted
