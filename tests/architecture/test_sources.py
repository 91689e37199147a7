"""Every rule, caution and design value names where it was published."""

import re

import pytest

from services.compliance import find, load_profiles
from services.compliance.wood import load_wood
from services.sequence.cautions import LAWS, Law, load_cautions
from tests.planned import plan

PUBLICATION = re.compile(r"\d{4}|\d+/\d+")
"""A publication has a year, an edition or a regulation number."""
LAW = re.compile(r"\b(CFR|R\d{3}|ANSI|ASTM)\b")
RULES = [
    pytest.param(rule, id=f"{key}-{rule.id}")
    for key, profile in load_profiles().items()
    for rule in profile.rules
]


@pytest.mark.parametrize("rule", RULES)
def test_a_rule_names_publication_and_clause(rule: object) -> None:
    """Publication with its year, and the clause in that edition."""
    source, clause = getattr(rule, "source", ""), getattr(rule, "clause", "")

    assert PUBLICATION.search(source), source
    assert re.search(r"\d", clause), clause


@pytest.mark.parametrize("key", load_profiles())
def test_what_is_remembered_is_confessed(key: str) -> None:
    """A profile with doubtful figures says so among its doubts."""
    profile = load_profiles()[key]

    doubtful = [rule.id for rule in profile.rules if rule.confidence != "quoted"]

    assert not doubtful or profile.doubts


@pytest.mark.parametrize("key", load_cautions())
@pytest.mark.parametrize("law", LAWS)
def test_a_caution_names_a_law_or_common_practice(*, key: str, law: Law) -> None:
    """There is no third kind, and none of the United States where another country's law holds."""
    source = load_cautions(law)[key].source

    assert "common practice" in source or "local safety law" in source or LAW.search(source)
    assert law != "elsewhere" or not LAW.search(source), source


@pytest.mark.parametrize("species", load_wood().species, ids=lambda species: species.says)
def test_a_design_value_names_its_table(species: object) -> None:
    """And how it was read."""
    assert getattr(species, "source", "")
    assert load_wood().factors_source


def test_every_finding_of_a_job_carries_its_source() -> None:
    """On paper too."""
    whole = plan("l-deck")

    findings = find(whole.job, whole.layout, whole.bays).findings

    assert all(finding.source and finding.clause for finding in findings)
