"""Posts in place are marked and never cut: no sheet gives them a length to saw."""

from __future__ import annotations

from services.pipeline import make_sheets
from services.recheck import recheck
from services.tape import text
from tests.planned import plan
from tests.unit.services.pages.sheet_text import words


def test_no_sheet_says_what_to_cut_off_a_post_that_stays() -> None:
    """Neither its sleeve's length nor a core's, in no table and in no drawing; no cap either."""
    whole = plan("porch")
    stays = {post.name for post in whole.layout.posts if post.in_place}
    sheets = make_sheets(whole)

    said = "\n".join(words(sheet) for sheet in sheets)

    assert stays == {height.post for height in whole.bays.posts}
    for height in whole.bays.posts:
        assert f"sleeve {text(height.sleeve, whole.job.step)}" not in said
    schedule = next(words(sheet) for sheet in sheets if sheet.key == "post-schedule")
    assert "do not cut, shorten or loosen them" in schedule
    assert schedule.count("not cut\n") == len(stays)
    assert "Sleeve, outside" not in schedule
    assert "Caps last" not in said


def test_a_post_that_is_set_is_cut() -> None:
    """Its sleeve stands in the schedule and on its face."""
    whole = plan("l-deck")
    height = whole.bays.posts[0]

    said = "\n".join(words(sheet) for sheet in make_sheets(whole))

    assert f"sleeve {text(height.sleeve, whole.job.step)}" in said
    assert "not cut\n" not in said
    assert "Caps last" in said


def test_a_post_that_stays_may_not_be_marked_for_the_saw() -> None:
    """The second look knows from the layout which posts stand."""
    whole = plan("porch")
    first, *others = whole.bays.posts
    sawn = first.model_copy(update={"in_place": False})
    spoilt = whole.model_copy(
        update={"bays": whole.bays.model_copy(update={"posts": (sawn, *others)})}
    )

    broken = recheck(spoilt)

    assert any("cut although it stays" in says for says in broken)


def test_the_job_card_holds_posts_whose_screen_is_over_its_guide() -> None:
    """One line where a finding is over, none where none is."""
    whole = plan("l-deck")
    calm = tuple(f.model_copy(update={"over_guide": False}) for f in whole.compliance.findings)
    quiet = whole.model_copy(
        update={"compliance": whole.compliance.model_copy(update={"findings": calm})}
    )

    cards = [
        next(words(s) for s in make_sheets(one) if s.key == "job-card") for one in (whole, quiet)
    ]

    assert any(finding.over_guide for finding in whole.compliance.findings)
    assert ["Post screen over its guide" in card for card in cards] == [True, False]
