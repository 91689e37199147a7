"""Text made to fit its room: wrapped, then smaller, then broken, then cut with a mark."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from schemas.errors import GeometryError
from services.paper.letters import clean
from services.paper.type import BOLD, CUT, REGULAR, fit, width

WORDS = st.text(st.sampled_from("abc WM iü1/2\u00a0-"), max_size=200)


def test_short_text_is_left_as_it_is() -> None:
    """One line at the size wished for."""
    fitted = fit("34 11/16", REGULAR, size=12, room=100, most=3)

    assert fitted.lines == ("34 11/16",)
    assert fitted.size == 12


def test_text_wraps_before_it_shrinks() -> None:
    """As long as there are lines, the size stays."""
    fitted = fit("one two three four five six", REGULAR, size=12, floor=8, room=60, most=9)

    assert fitted.size == 12
    assert " ".join(fitted.lines) == "one two three four five six"
    assert len(fitted.lines) > 1


def test_text_shrinks_before_it_is_cut() -> None:
    """Smaller, but whole, as long as the floor allows it."""
    fitted = fit("one two three four five six", REGULAR, size=12, floor=6, room=75, most=2)

    assert 6 <= fitted.size < 12
    assert " ".join(fitted.lines) == "one two three four five six"


def test_text_that_cannot_fit_is_cut_visibly() -> None:
    """The last line ends in the mark."""
    fitted = fit("word " * 50, REGULAR, size=12, floor=10, room=80, most=2)

    assert fitted.size == 10
    assert len(fitted.lines) == 2
    assert fitted.lines[-1].endswith(CUT)


def test_long_word_is_broken_and_nothing_is_lost() -> None:
    """An unbroken word goes over the line end letter by letter."""
    fitted = fit("A" * 100, REGULAR, size=10, room=80, most=50)

    assert "".join(fitted.lines) == "A" * 100


@pytest.mark.parametrize(
    "measure", ["34 11/16", "12' 4 1/2\"", "148 in", "34 11/16 in", "3772 mm", "12' 4 1/2\" in"]
)
def test_measure_is_never_parted(measure: str) -> None:
    """Wherever the line ends, a number stays with its fraction and its unit."""
    for room in range(70, 240, 3):
        lines = fit(f"set it at {measure} from the edge", REGULAR, size=10, room=room, most=9).lines

        assert sum(measure in line for line in lines) == 1


def test_room_narrower_than_a_letter_is_refused() -> None:
    """There is no honest way to print in it."""
    with pytest.raises(GeometryError, match="holds no type"):
        fit("text", REGULAR, size=10, room=5, most=1)


@given(text=WORDS, room=st.floats(12, 400), most=st.integers(1, 6), floor=st.floats(6, 12))
def test_no_line_is_ever_wider_than_its_room(
    text: str, room: float, most: int, floor: float
) -> None:
    """For any text: lines fit, are no more than allowed, and lose nothing without the mark."""
    fitted = fit(text, BOLD, size=12, floor=floor, room=room, most=most)

    assert len(fitted.lines) <= most
    assert floor <= fitted.size <= 12
    assert all(width(line, fitted.size, BOLD) <= room + 1e-6 for line in fitted.lines)
    if not fitted.lines[-1].endswith(CUT):
        whole = "".join(fitted.lines).replace("\u00a0", "").replace(" ", "")
        assert whole == text.replace("\u00a0", "").replace(" ", "")


@pytest.mark.parametrize(
    "text", ["x" * 100_000, "x y " * 25_000, "\u00a0" * 100_000, "中" * 20_000]
)
def test_time_grows_no_faster_than_the_text(text: str) -> None:
    """A hundred thousand letters take seconds at most on any machine, not minutes."""
    started = time.process_time()

    fit(clean(text), REGULAR, size=22, floor=9, room=40, most=3)

    assert time.process_time() - started < 5
