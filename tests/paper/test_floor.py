"""The benchmark's floor is honest: it prints the same words and as many lines as we do."""

from collections import Counter

from tests.bench.paper import Floor, make_pack, render
from tests.paper.readers import chars, segments


def test_floor_prints_the_same_pages() -> None:
    """Page for page the same letters, in the same sizes, and no fewer strokes than a tenth less."""
    pack = make_pack(7)

    ours, floor = render(pack), Floor().render(pack)

    for page in (0, 7, 8, 11):
        shown = [Counter((c.text, c.size) for c in chars(pdf, page)) for pdf in (ours, floor)]
        strokes = [len(segments(pdf, page)) for pdf in (ours, floor)]
        assert shown[0] == shown[1]
        assert strokes[1] >= 0.9 * strokes[0]
