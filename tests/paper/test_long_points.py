"""On paper every mitred rail has its long point on the side where the layout has it.

Source:
    ISO 129-1 asks that each figure says from where it is measured; that a mitred rail is told
    by its long point is common practice.
"""

from __future__ import annotations

from schemas.drawings import Label
from schemas.pages import Figure, Sheet, Table, Tickets
from services.pipeline import make_sheets
from tests.planned import plan

WORDS = {"yard": "yard side", "deck": "deck side"}


def sheets() -> dict[str, Sheet]:
    """Of the demo's job with a corner of 45 degrees, by key."""
    return {sheet.key: sheet for sheet in make_sheets(plan("corner-45"), replaces="nothing")}


def says(side: str | None, end: str) -> str:
    """What a rail with one mitred end is said to have."""
    return f"long point of the {end} end: {WORDS[side]}" if side else ""


def labels_of(sheet: Sheet) -> list[Label]:
    """Every label of a sheet's drawings."""
    figures = [block for block in sheet.blocks if isinstance(block, Figure)]
    return [label for figure in figures for label in figure.drawing.labels]


def test_tickets_and_cut_list_name_the_longer_side_of_every_mitred_rail() -> None:
    """One end of each such bay is mitred in this job; square rails name none."""
    made, on_paper = plan("corner-45"), sheets()
    tickets = [
        ticket
        for block in on_paper["cut-tickets"].blocks
        if isinstance(block, Tickets)
        for ticket in block.tickets
    ]
    groups = {
        row.cells[0]: row.group
        for block in on_paper["cut-list"].blocks
        if isinstance(block, Table)
        for row in block.rows
    }

    for bay in made.layout.bays:
        named = says(bay.left.long_side, "left") or says(bay.right.long_side, "right")
        ours = [ticket for ticket in tickets if ticket.piece.startswith(f"{bay.name} ")]
        assert len(ours) == 2
        for ticket in ours:
            assert [line for line in ticket.lines if "long point" in line] == [named] * bool(named)
        assert groups[bay.name].endswith(named or "saw square, both ends")


def test_corner_is_drawn_with_a_dot_at_each_long_point() -> None:
    """On the side named under it: as far from the words DECK and YARD as the layout says."""
    made, sheet = plan("corner-45"), sheets()["post-schedule"]
    (figure,) = [
        block
        for block in sheet.blocks
        if isinstance(block, Figure) and block.drawing.name.startswith("corner-")
    ]
    sides = {label.text: label for label in figure.drawing.labels if label.lane == "side"}
    dots = [stroke for stroke in figure.drawing.strokes if stroke.fill == "black"]
    ends = [end for bay in made.layout.bays for end in (bay.left, bay.right) if end.long_side]

    assert len(dots) == len(ends) == 2
    assert {end.long_side for end in ends} == {"yard"}
    for dot in dots:
        x, y = (sum(values) / len(values) for values in zip(*dot.points, strict=True))
        far = {text: (label.x - x) ** 2 + (label.y - y) ** 2 for text, label in sides.items()}
        assert far["YARD"] < far["DECK"]


def test_each_mitred_end_is_labelled_where_it_is_drawn() -> None:
    """The elevation has the setting and the longer side at that end, and no other."""
    made, on_paper = plan("corner-45"), sheets()

    for bay in made.layout.bays:
        found = [
            label
            for label in labels_of(on_paper[f"bay-{bay.name}"])
            if "saw 22.5°, long point: " in label.text
        ]
        sides = [end.long_side for end in (bay.left, bay.right) if end.long_side]
        assert [label.text.rpartition(": ")[2] for label in found] == [WORDS[s] for s in sides]
