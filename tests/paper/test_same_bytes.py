"""The same sheets give the same bytes, here and in another process; other sheets do not."""

import hashlib
import os
import subprocess
import sys

import pytest

from services.paper.book import Part, set_book
from tests.paper.sample_book import day_sheet, imprint, pack, sheets

PRINT_DIGEST = (
    "import hashlib, sys;"
    "from services.paper.book import set_book;"
    "from tests.paper.sample_book import day_sheet, pack;"
    "pdf = set_book(parts=[day_sheet(), pack()], size='letter').pdf;"
    "sys.stdout.write(hashlib.sha256(pdf).hexdigest())"
)


def test_printing_twice_changes_nothing() -> None:
    """A second run in this process gives the same file."""
    first = set_book(parts=[pack()], size="a4")

    assert set_book(parts=[pack()], size="a4") == first


@pytest.mark.parametrize("seed", ["1", "4242"])
def test_another_process_prints_the_same(seed: str) -> None:
    """Neither the hash seed nor the time zone of a process shows in the file."""
    here = hashlib.sha256(set_book(parts=[day_sheet(), pack()], size="letter").pdf).hexdigest()

    there = subprocess.run(
        [sys.executable, "-c", PRINT_DIGEST],
        env=os.environ | {"PYTHONHASHSEED": seed, "TZ": "Asia/Tokyo"},
        capture_output=True,
        text=True,
        check=True,
    )

    assert there.stdout == here


def test_what_was_printed_before_does_not_show() -> None:
    """Odd characters in one pack leave no trace in the next."""
    alone = set_book(parts=[pack()], size="letter").pdf

    set_book(parts=[Part(imprint=imprint(site="Ωμέγα, Łódź ⚠"), sheets=sheets())], size="letter")

    assert set_book(parts=[pack()], size="letter").pdf == alone


def test_file_identity_follows_the_content_code() -> None:
    """Files of two codes are told apart by their identifier too."""
    ids = {
        set_book(parts=[Part(imprint=imprint(code=code), sheets=sheets())], size="letter").pdf[
            -200:
        ]
        for code in ("AAAA", "BBBB")
    }

    assert len(ids) == 2
