"""A metric job's paper, read by a crew that has no tape in inches.

What somebody else named is left out: goods as they are sold (``Through bolt 1/2 in``), the
company's fixing details and their bolts, and the bits that fit those goods.
"""

import re

from services.pipeline import make_sheets
from tests.builders import company
from tests.paper.readers import texts
from tests.paper.test_every_pack import pack
from tests.planned import plan

CUSTOMARY = re.compile(r"\d[ -]?(?:in|ft|lb|psi|oz|in-lb)\b|\bpsi\b|\bin3\b")
BIT = re.compile(r"(?:broca|bit|perno)[^,\"]*? \d+/\d+ in|\d+/\d+ in (?:auger|pilot bit|bit)")
AMERICAN = re.compile(r"CFR|International Residential Code|DCA|\b1978\b")


def sheets() -> str:
    """All that the metric demo pack's sheets say, without what others named."""
    said = " ".join(sheet.model_dump_json() for sheet in make_sheets(plan("metric")))
    theirs = {name for words in company().wording.values() for name in words.values()}
    for name in sorted(theirs, key=len, reverse=True):
        said = said.replace(name, "")
    return BIT.sub("", said)


def test_no_sheet_of_a_metric_pack_reads_a_customary_unit() -> None:
    """No inch, foot, pound or psi in cautions, steps, drawings, sums or lists."""
    found = [m.group() for m in CUSTOMARY.finditer(sheets())]

    assert not found


def test_no_page_of_a_metric_pack_names_an_american_safety_law() -> None:
    """Its profile is Canadian: the local law is named as such, and none is cited."""
    pages = " ".join(texts(pack("metric").pdf))

    assert "29 CFR" not in pages
    assert "ley local" in pages
    assert not re.search(r"\bpsi\b|\blb\b|\d ft\b", pages)


def test_an_inch_pack_still_names_them() -> None:
    """So the search above can find what it looks for."""
    said = " ".join(sheet.model_dump_json() for sheet in make_sheets(plan("l-deck")))

    assert CUSTOMARY.search(said)
    assert AMERICAN.search(said)
