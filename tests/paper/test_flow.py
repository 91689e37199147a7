"""Pieces down the page: order kept, nothing parted that belongs together."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from schemas.errors import GeometryError
from services.paper.flow import Piece, flow
from services.paper.frame import Frame
from services.paper.ink import Ink

FRAME = Frame(left=0, right=100, top=100, bottom=0)


def set_down(*wanted: tuple[str, float, bool], again: str = "") -> list[list[tuple[str, float]]]:
    """Pieces of a name, height and keep, set; what each page shows, and at which height."""
    shown: list[list[tuple[str, float]]] = []

    def fresh(before: int) -> Ink:
        assert before == len(shown)
        shown.append([])
        return Ink()

    def piece(name: str, height: float, *, keep: bool, again: tuple[Piece, ...] = ()) -> Piece:
        def paint(_ink: Ink, top: float) -> None:
            shown[-1].append((name, top))

        return Piece(height=height, paint=paint, gap=2, keep=keep, again=again)

    repeated = (piece(again, 10, keep=True),) if again else ()
    flow([piece(n, h, keep=k, again=repeated) for n, h, k in wanted], FRAME, fresh)
    return shown


def names(pages: list[list[tuple[str, float]]]) -> list[str]:
    """What stands on each page, run together."""
    return ["".join(name for name, _ in page) for page in pages]


def test_pieces_follow_each_other_with_their_gaps() -> None:
    """The first stands at the top without its gap."""
    pages = set_down(("a", 10, False), ("b", 20, False), ("c", 5, False))

    assert pages == [[("a", 100), ("b", 88), ("c", 66)]]


def test_full_page_passes_the_rest_on() -> None:
    """What does not fit goes over whole."""
    assert names(set_down(("a", 60, False), ("b", 39, False), ("c", 10, False))) == ["a", "bc"]


def test_piece_that_just_fits_stays() -> None:
    """Equal to the room left is not too much."""
    assert names(set_down(("a", 60, False), ("b", 38, False))) == ["ab"]


def test_kept_pieces_go_over_together() -> None:
    """A heading goes with its first line."""
    assert names(set_down(("a", 80, False), ("h", 8, True), ("b", 20, False))) == ["a", "hb"]


def test_kept_run_longer_than_a_page_is_parted_where_it_must() -> None:
    """It cannot be helped, and nothing is lost."""
    assert names(set_down(("a", 60, True), ("b", 60, True), ("c", 30, False))) == ["a", "bc"]


def test_what_is_repeated_opens_each_later_page() -> None:
    """A table's head comes again, on later pages only."""
    pages = set_down(*((str(i), 40, False) for i in range(5)), again="h")

    assert names(pages) == ["01", "h23", "h4"]
    assert pages[1][1] == ("2", 88)


def test_piece_taller_than_a_page_is_refused() -> None:
    """It would run off the paper."""
    with pytest.raises(GeometryError, match="does not fit an empty page"):
        set_down(("a", 101, False))


def test_nothing_at_all_is_still_a_page() -> None:
    """A sheet without blocks has its head and foot."""
    assert set_down() == [[]]


@given(
    st.lists(
        st.tuples(st.text("abc", min_size=1, max_size=1), st.floats(1, 90), st.booleans()),
        max_size=40,
    )
)
def test_order_is_kept_and_pages_never_overflow(wanted: list[tuple[str, float, bool]]) -> None:
    """For any pieces: all of them once, in order, none under the frame."""
    pages = set_down(*wanted)
    heights = iter(height for _, height, _ in wanted)

    assert "".join(names(pages)) == "".join(name for name, _, _ in wanted)
    assert all(top - next(heights) >= -0.02 for page in pages for _, top in page)
