"""Every level bay keeps every limit when it is measured again from its marks alone."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from schemas.lengths import INCH, PER_MM
from services.bays.level_rail import LevelRule
from services.bays.margins import Fit
from services.bays.running_marks import running_marks
from services.bays.window import valid_window
from tests.bays_by_hand import LEVEL_RULE


@st.composite
def rules(draw: DrawFn) -> LevelRule:
    """Rail systems of all sorts on all tapes, some with a leaning post."""
    step = draw(st.sampled_from([INCH // 8, INCH // 16, INCH // 32, PER_MM]))
    width = draw(st.integers(INCH // 2, 2 * INCH))
    pitch = width + draw(st.integers(INCH, 5 * INCH))
    greatest = draw(st.integers(pitch // 2, pitch - 1))
    return replace(
        LEVEL_RULE,
        step=step,
        width=width,
        pitch=pitch,
        clearance=draw(st.integers(0, INCH // 2)),
        left_least=draw(st.integers(width // 2, greatest)),
        right_least=draw(st.integers(width // 2, greatest)),
        greatest=greatest,
        limit=draw(st.integers(3 * INCH, 5 * INCH)),
        top_more=step * draw(st.integers(-8, 8)),
        leans=draw(st.sampled_from(["left", "right", "both", 2 * step, -3 * step])),
    )


def openings(rule: LevelRule) -> st.SearchStrategy[int]:
    """Openings on tape marks, from a narrow one to beyond the longest."""
    return st.integers(12 * INCH // rule.step, 100 * INCH // rule.step).map(lambda k: k * rule.step)


def breaks(rule: LevelRule, opening: int, fit: Fit) -> list[str]:
    """What is wrong with a bay, from its marks: each rail hard left and hard right."""
    wrong = []
    rails = (
        (opening, fit.cut, fit.margins.left),
        (opening + rule.top_more, fit.top_cut, fit.top_margins.left),
    )
    for clear, cut, margin in rails:
        marks = running_marks(margin=margin, pitch=rule.pitch, balusters=fit.balusters)
        if clear > rule.longest:
            wrong.append("too long")
        if marks[0] < rule.left_least or cut - marks[-1] < rule.right_least:
            wrong.append("no room for a bracket")
        if marks[0] > rule.greatest or cut - marks[-1] > rule.greatest:
            wrong.append("the saw meets a hole")
        for start in (rule.clearance, clear - rule.clearance - cut):
            faces = [0, *(edge for mark in marks for edge in _edges(rule, start + mark)), 2 * clear]
            gaps = [after - before for before, after in zip(faces[::2], faces[1::2], strict=True)]
            if any(gap >= 2 * rule.limit for gap in gaps):
                wrong.append("a sphere passes")
        if start < rule.clearance:
            wrong.append("an end is jammed")
    return wrong


def _edges(rule: LevelRule, centre: int) -> tuple[int, int]:
    """Both faces of a baluster, in half units."""
    return 2 * centre - rule.width, 2 * centre + rule.width


@given(st.data())
def test_returned_bays_keep_every_limit(data: st.DataObject) -> None:
    """Whatever count is offered, nothing is broken when the marks are measured again."""
    rule = data.draw(rules())
    opening = data.draw(openings(rule))

    fits = rule.fits(opening=opening)

    assert [breaks(rule, opening, fit) for fit in fits] == [[] for _ in fits]


@given(st.data())
def test_no_legal_count_is_missed(data: st.DataObject) -> None:
    """Trying every count from one to a hundred finds no more than the offered ones."""
    rule = data.draw(rules())
    opening = data.draw(openings(rule))

    offered = {fit.balusters for fit in rule.fits(opening=opening)}
    tried = {n for n in range(1, 101) if rule.fit(opening=opening, balusters=n)}

    assert offered == tried


@given(st.data())
def test_window_edges_are_legal_and_a_mark_further_is_not(data: st.DataObject) -> None:
    """The window is as wide as it can be, and no wider."""
    rule = data.draw(rules())
    opening = data.draw(openings(rule))
    fits = rule.fits(opening=opening)
    assume(fits)
    count = fits[0].balusters

    window = valid_window(rule=rule, opening=opening, balusters=count)

    for edge in (window.low, window.high):
        fit = rule.fit(opening=edge, balusters=count)
        assert fit is not None
        assert breaks(rule, edge, fit) == []
    assert rule.fit(opening=window.low - rule.step, balusters=count) is None
    assert rule.fit(opening=window.high + rule.step, balusters=count) is None


@given(st.data())
def test_rails_add_up_to_the_opening(data: st.DataObject) -> None:
    """Both rails: margins and pitches are the cut; cut, clearances and under a mark the opening."""
    rule = data.draw(rules())
    opening = data.draw(openings(rule))
    fits = rule.fits(opening=opening)
    assume(fits)

    for fit in fits:
        pattern = (fit.balusters - 1) * rule.pitch
        assert fit.margins.left + pattern + fit.margins.right == fit.cut
        assert fit.top_margins.left + pattern + fit.top_margins.right == fit.top_cut
        assert 0 <= opening - fit.cut - 2 * rule.clearance < rule.step
        assert fit.cut % rule.step == 0
        assert abs(fit.margins.right - fit.margins.left) <= rule.step


@given(st.data())
def test_the_top_rail_follows_the_bottom_one_through_the_table(data: st.DataObject) -> None:
    """Where ends lean, the top rail differs by the same cut and margin in every row."""
    rule = data.draw(rules())
    opening = data.draw(openings(rule))
    fits = rule.fits(opening=opening)
    assume(fits)
    planned = fits[0]

    for off in range(-4, 5):
        found = rule.fit(opening=opening + off * rule.step, balusters=planned.balusters)
        if found:
            assert found.top_cut - found.cut == planned.top_cut - planned.cut
            assert (
                found.top_margins.left - found.margins.left
                == planned.top_margins.left - planned.margins.left
            )
