"""A sheet for somebody else speaks that one's language from its title to its foot."""

from __future__ import annotations

import pytest

from schemas.wording import Language
from services.pipeline import make_pack
from services.wording import words_for
from tests.paper.readers import texts
from tests.planned import plan

PAIRS: list[tuple[Language, Language]] = [("en", "es"), ("es", "en")]
GIVEN_AWAY = ("homeowner", "open-edge")


def pages(*, crew: Language, owner: Language) -> list[str]:
    """What is printed on the sheets that are given away."""
    made = plan("porch")
    crews = tuple(c.model_copy(update={"language": crew}) for c in made.job.company.crews)
    job = made.job.model_copy(
        update={
            "company": made.job.company.model_copy(update={"crews": crews}),
            "site": made.job.site.model_copy(update={"language": owner}),
        }
    )
    pack = make_pack(made.model_copy(update={"job": job}), issued="2026-12-02")
    said = texts(pack.pdf)
    return [said[page - 1] for key, _, page in pack.sheets if key in GIVEN_AWAY]


@pytest.mark.parametrize(("crew", "owner"), PAIRS)
def test_head_and_foot_are_the_readers_own(crew: Language, owner: Language) -> None:
    """Revision, code, issue and count are told as the card is; none in the crew's words."""
    told = pages(crew=crew, owner=owner)

    assert len(told) == len(GIVEN_AWAY)
    for page in told:
        for message, value in (("Code {code}", "code"), ("Issued {when}", "when")):
            ours, theirs = (
                words_for(language).say(message, **{value: ""}).strip()
                for language in (owner, crew)
            )
            assert ours in page
            assert theirs not in page
