"""End margins and the stock that must hold them."""

from schemas.rail_system import Kit
from services.bays.margins import centred, comes_from_stock, counts
from tests.bays_by_hand import SIXTEENTH, inch


def kit(*, length: str, first_hole: str, holes: int) -> Kit:
    """A stock rail."""
    return Kit.model_construct(
        key="stock",
        length=inch(length),
        first_hole=inch(first_hole),
        holes=holes,
        balusters=holes,
        brackets=4,
    )


def test_pattern_longer_than_the_rail_is_none() -> None:
    """Ten pitches do not lie on nine."""
    assert centred(cut=9 * 100, balusters=11, pitch=100, step=1) is None


def test_pattern_as_long_as_the_rail_has_no_margin() -> None:
    """The border: margins of nothing at both ends."""
    margins = centred(cut=900, balusters=10, pitch=100, step=1)

    assert margins is not None
    assert (margins.left, margins.right) == (0, 0)


def test_left_margin_stands_on_a_mark() -> None:
    """A pitch off the tape leaves its fraction to the right margin."""
    margins = centred(cut=inch("70"), balusters=15, pitch=35_001, step=SIXTEENTH)

    assert margins is not None
    assert margins.left % SIXTEENTH == 0
    assert margins.left + 14 * 35_001 + margins.right == inch("70")


def test_margins_off_the_tape_differ_by_a_mark_at_most() -> None:
    """A metric pitch on an inch tape: the left margin goes to the nearest mark, not down."""
    for cut in range(inch("70"), inch("75"), SIXTEENTH):
        margins = centred(cut=cut, balusters=15, pitch=35_001, step=SIXTEENTH)

        assert margins is not None
        assert abs(margins.right - margins.left) <= SIXTEENTH, cut


def test_half_a_mark_goes_to_the_right() -> None:
    """The border: exactly between two marks the left margin takes the lower one."""
    margins = centred(cut=900 + 3 * SIXTEENTH, balusters=10, pitch=100, step=SIXTEENTH)

    assert margins is not None
    assert (margins.left, margins.right) == (SIXTEENTH, 2 * SIXTEENTH)


def test_counts_cover_every_legal_one() -> None:
    """No count with its margin between the limits is outside the range that is tried."""
    for cut in range(1, 500, 7):
        legal = [n for n in range(1, 60) if 2 * 9 <= cut - (n - 1) * 10 <= 2 * 14]

        tried = counts(cut=cut, pitch=10, least=9, greatest=14)

        assert set(legal) <= set(tried), cut


def from_stock(stock: Kit, *, cut: str, margin: str, balusters: int, trim: str = "0") -> bool:
    """Whether that stock rail holds the piece at a pitch of 5 in."""
    return comes_from_stock(
        kits=(stock,),
        pitch=inch("5"),
        balusters=balusters,
        left=inch(margin),
        right=inch(cut) - inch(margin) - (balusters - 1) * inch("5"),
        trim=inch(trim),
    )


STOCK = kit(length="72", first_hole="2 1/2", holes=14)


def test_margin_up_to_the_first_hole_starts_there() -> None:
    """Fourteen holes serve fourteen balusters while the margin is not over the stock's own."""
    assert from_stock(STOCK, cut="70", margin="2 1/2", balusters=14)
    assert not from_stock(STOCK, cut="70", margin="2 1/2", balusters=15)


def test_wider_margin_passes_one_hole_by() -> None:
    """A margin over the stock's first hole needs the second hole, so one hole is lost."""
    assert not from_stock(STOCK, cut="70 1/8", margin="2 9/16", balusters=14)
    assert from_stock(STOCK, cut="65 1/8", margin="2 9/16", balusters=13)


def test_trim_is_lost_at_both_ends() -> None:
    """A squared stock end moves the first cut."""
    assert from_stock(STOCK, cut="70", margin="2 1/2", balusters=14, trim="0")
    assert not from_stock(STOCK, cut="70", margin="2 1/2", balusters=14, trim="1/16")


def test_piece_longer_than_the_stock_is_refused() -> None:
    """A 72 is 72 long: what begins past its end is not there."""
    assert from_stock(STOCK, cut="72", margin="2 1/2", balusters=14)
    assert not from_stock(STOCK, cut="72 1/16", margin="2 1/2", balusters=14)
