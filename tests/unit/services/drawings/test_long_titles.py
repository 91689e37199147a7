"""Titles of stock bars: long names run over two lines, never past the sheet."""

from __future__ import annotations

from schemas.drawings import WIDEST
from services.drawings.boxes import outside, overlapping
from services.drawings.stock_bars import stock_bars
from services.tape import is_metric
from tests.planned import plan


def test_a_long_stock_name_is_set_in_two_lines() -> None:
    """A name of 100 letters stands whole beside length and colour, over its own bar."""
    whole = plan("metric")
    name = ", ".join(["Rail kit of a very long name indeed"] * 3)

    drawn = stock_bars(
        cuts=whole.cuts,
        step=whole.job.step,
        metric=is_metric(whole.job.step),
        called=lambda _: name,
    )

    assert drawn
    assert all(drawing.width <= WIDEST for drawing in drawn)
    assert not any(overlapping(drawing) or outside(drawing) for drawing in drawn)
    shown = [label.text for label in drawn[0].labels if "very long name" in label.text]
    assert len(shown) >= 2
