"""The shipped profiles and what is refused of one."""

import pytest

from services.compliance.loading import load_profiles, read_profile

WHOLE = """
schema_version = 1
key = "xx-town"
title = "A town's own"
edition = "1"
unit = "in"
scope = "Houses"
[[rules]]
id = "guard-drop"
measures = "guard.drop"
compare = ">="
limit = 30
trigger = true
clause = "1"
says = "Guard at 30 in or more"
confidence = "quoted"
source = "Town ordinance 1"
"""


def test_the_ten_editions_are_there() -> None:
    """Each under the key that submissions name."""
    assert set(load_profiles()) == {
        "us-irc-2018", "us-irc-2021", "us-irc-2024", "us-ibc-2018", "us-ibc-2021", "us-ibc-2024",
        "ca-nbc-2020", "ca-on", "uk-adk", "au-ncc-2022",
    }  # fmt: skip


def test_a_bare_number_stands_in_the_profile_s_unit() -> None:
    """30 in inches and 30 in millimetres are not the same."""
    inches = read_profile(WHOLE).rules[0].limit
    millimetres = read_profile(WHOLE.replace('unit = "in"', 'unit = "mm"')).rules[0].limit

    assert (inches, millimetres) == (30 * 8128, 30 * 320)


@pytest.mark.parametrize("lost", ['clause = "1"', 'source = "Town ordinance 1"', "limit = 30"])
def test_a_rule_without_clause_source_or_limit_is_refused(lost: str) -> None:
    """There is no rule of unknown origin."""
    with pytest.raises(ValueError, match="rules"):
        read_profile(WHOLE.replace(lost, ""))


def test_what_is_not_toml_is_refused() -> None:
    """As bad input, before any rule is used."""
    with pytest.raises(ValueError, match="Invalid value"):
        read_profile("key =")


@pytest.mark.parametrize(
    "wrong",
    [
        WHOLE.replace('compare = ">="', 'compare = "as said"'),
        WHOLE.replace('compare = ">="', 'compare = "as said"').replace("limit = 30\n", ""),
        WHOLE.replace('measures = "guard.drop"', 'measures = "said.posts"').replace(
            "limit = 30\n", ""
        ),
    ],
)
def test_words_and_figures_are_not_mixed(wrong: str) -> None:
    """What is compared as said has no figure and is said of something; nothing else is so."""
    with pytest.raises(ValueError, match="rules"):
        read_profile(wrong)
