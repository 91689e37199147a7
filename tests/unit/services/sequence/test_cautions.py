"""Cautions in full, and the few lines that a crew reads first.

Source:
    ANSI Z535.4: DANGER, WARNING and CAUTION are about injury, NOTICE is not.
    29 CFR 1926.501(b)(1): fall protection from 6 ft.
"""

import re
from typing import Any

import pytest

from schemas.lengths import FOOT, INCH, PER_MM
from schemas.plan import Plan
from services.compliance import load_profiles
from services.pages.cautions import cautions
from services.sequence import order_work
from services.sequence.cautions import Law, called_for, law_of, load_cautions
from tests.planned import plan

INJURY = ("kill", "maim", "injur", "burn", "cut", "blind", "strain", "disease", "eyes", "harm",
          "fingers", "shock", "irritat", "head")  # fmt: skip


def hazards(whole: Plan, **changed: Any) -> tuple[str, ...]:  # noqa: ANN401 any field of the site
    """The site's first lines, with another site."""
    site = whole.job.site.model_copy(update=changed)
    job = whole.job.model_copy(update={"site": site})
    return order_work(job, whole.layout, whole.bays, whole.cuts).site_hazards


@pytest.mark.parametrize("key", load_cautions())
def test_only_a_notice_is_not_about_injury(key: str) -> None:
    """The signal word says what can happen."""
    caution = load_cautions()[key]

    about_people = any(word in caution.consequence.casefold() for word in INJURY)

    assert about_people == (caution.signal != "NOTICE")


@pytest.mark.parametrize("name", ["l-deck", "porch", "metric"])
def test_every_caution_of_a_step_stands_in_full(name: str) -> None:
    """And none stands in full that no step calls for."""
    sequence = plan(name).sequence

    named = {key for step in sequence.steps for key in step.cautions}

    assert {caution.key for caution in sequence.cautions} == named


def test_the_worst_come_first() -> None:
    """By signal word."""
    order = ["DANGER", "WARNING", "CAUTION", "NOTICE"]

    signals = [order.index(caution.signal) for caution in plan("l-deck").sequence.cautions]

    assert signals == sorted(signals)


def test_a_caution_that_is_not_written_is_refused() -> None:
    """A step cannot point at nothing."""
    step = plan("l-deck").sequence.steps[0].model_copy(update={"cautions": ("sharks",)})

    with pytest.raises(KeyError, match="sharks"):
        called_for([step], law="us")


def test_the_plan_s_own_dangers_come_first() -> None:
    """What the plan shows, then what the measure tech wrote."""
    lines = hazards(plan("l-deck"), hazards=("Bull in the field",), year_built=1931)

    assert lines[-1] == "Bull in the field"
    assert "Open edge" in lines[0]
    assert any("drop up to 46 in (leg A)" in line for line in lines)
    assert any("Built 1931: old paint may hold lead" in line for line in lines)


def test_eight_lines_at_most() -> None:
    """The eighth says how many more there are, and the cautions sheet prints those in full."""
    own = tuple(f"Hazard {number}" for number in range(10))
    whole = plan("l-deck")
    site = whole.job.site.model_copy(update={"hazards": own})
    job = whole.job.model_copy(update={"site": site})

    order = order_work(job, whole.layout, whole.bays, whole.cuts)

    first, more = order.site_hazards, order.further_hazards
    sheet = repr(cautions(whole.model_copy(update={"sequence": order})))
    assert len(first) == 8
    assert "Open edge" in first[0]
    assert first[-1] == f"and {len(more)} more: see cautions"
    assert set(own) <= {*first, *more}
    assert all(hazard in sheet for hazard in more)


@pytest.mark.parametrize(("year", "lead"), [(1977, True), (1978, False), (None, True)])
def test_old_paint_is_named_up_to_1977_and_where_the_year_is_unknown(
    *, year: int | None, lead: bool
) -> None:
    """The house's year, or that nobody recorded it."""
    lines = hazards(plan("l-deck"), year_built=year)

    assert any("lead" in line for line in lines) == lead


@pytest.mark.parametrize(("drop", "named"), [(6 * FOOT, True), (6 * FOOT - 1, False)])
def test_six_feet_calls_for_fall_protection(*, drop: int, named: bool) -> None:
    """At 6 ft exactly it does."""
    whole = plan("l-deck")
    legs = tuple(leg.model_copy(update={"drop": drop}) for leg in whole.layout.legs)
    whole = whole.model_copy(update={"layout": whole.layout.model_copy(update={"legs": legs})})

    assert any("fall protection" in line for line in hazards(whole)) == named


US_UNITS = re.compile(r"\d ?(in|ft|lb|psi)\b")
"""A figure in a customary unit."""
US_LAW = re.compile(r"CFR|R\d{3}\.|1978")


@pytest.mark.parametrize(
    ("profile", "step", "law"),
    [
        ("us-irc-2021", INCH // 16, "us"),
        ("us-irc-2021", PER_MM, "us_metric"),
        ("ca-nbc-2020", PER_MM, "elsewhere"),
        ("ca-nbc-2020", INCH // 16, "elsewhere"),
        (None, INCH // 16, "us"),
        (None, PER_MM, "elsewhere"),
    ],
)
def test_the_code_profile_says_whose_law_the_cautions_follow(
    *, profile: str | None, step: int, law: str
) -> None:
    """The country by the profile, the units by the tape."""
    found = load_profiles()[profile] if profile else None
    job = plan("l-deck").job.model_copy(update={"profile": found, "step": step})

    assert law_of(job) == law


@pytest.mark.parametrize("law", ["us_metric", "elsewhere"])
def test_a_metric_caution_has_no_figure_in_feet_or_inches(law: Law) -> None:
    """A crew without such a tape could not follow it."""
    for caution in load_cautions(law).values():
        assert not US_UNITS.search(f"{caution.hazard} {caution.avoid} {caution.short}")


def test_another_country_s_crew_reads_no_law_of_the_united_states() -> None:
    """Not as a source, and not as a figure that only that law gives."""
    for caution in load_cautions("elsewhere").values():
        assert not US_LAW.search(f"{caution.hazard} {caution.avoid} {caution.source}")


def test_the_metric_job_asks_for_fall_protection_by_local_law() -> None:
    """Its drop is under 6 ft, and no other law's height is guessed."""
    lines = hazards(plan("metric"), year_built=1997)

    assert "fall protection as the local safety law says" in lines[0]
    assert any("Built 1997: old paint may hold lead" in line for line in lines)
    assert not any("lead" in line for line in hazards(plan("metric"), year_built=1998))
