"""Rules of ten code editions, row by row, with the clause that each edition gives them.

Source:
    International Residential Code 2018, 2021 and 2024: R311.7, R312.1, Table R301.5; the
    2024 edition moved stairways to R318.7, handrails to R320 and guards to R321.1.
    International Building Code 2018, 2021 and 2024: 1011, 1014, 1015, 1607.8 (2018),
    1607.9 (2021, 2024).
    National Building Code of Canada 2020 and Ontario Building Code, Part 9, section 9.8.
    Approved Document K (England), 2013 edition; BS 6180:2011 Table 2.
    National Construction Code (Australia) 2022, Housing Provisions 11.2 and 11.3.
    AS/NZS 1170.1:2002 Table 3.3.

Rows that were read at second hand are marked S, remembered ones M (from memory); no such row
may meet or break anything on paper. Limits are compared exactly.
"""

import pytest

from schemas.code_profile import Rule
from schemas.lengths import INCH, read_length
from services.compliance import load_profiles

IRC = [  # rule, comparison, limit, clause in 2018 and 2021, clause in 2024
    ("guard-drop", ">", "30 in", "R312.1.1", "R321.1.1"),
    ("guard-height", ">=", "36 in", "R312.1.2", "R321.1.2"),
    ("guard-stair-height", ">=", "34 in", "R312.1.2 exc. 1", "R321.1.2 exc. 1"),
    ("guard-as-handrail", "within", "34 in to 38 in", "R312.1.2 exc. 2", "R321.1.2 exc. 2"),
    ("guard-opening", "<", "4 in", "R312.1.3", "R321.1.3"),
    ("guard-triangle", "<", "6 in", "R312.1.3 exc. 1", "R321.1.3 exc. 1"),
    ("guard-stair-opening", "<", "4 3/8 in", "R312.1.3 exc. 2", "R321.1.3 exc. 2"),
    ("stair-width-above", ">=", "36 in", "R311.7.1", "R318.7.1"),
    ("stair-width-one-rail", ">=", "31 1/2 in", "R311.7.1", "R318.7.1"),
    ("stair-width-two-rails", ">=", "27 in", "R311.7.1", "R318.7.1"),
    ("stair-rise", "<=", "12' 7\"", "R311.7.3", "R318.7.3"),
    ("stair-riser", "<=", "7 3/4 in", "R311.7.5.1", "R318.7.5.1"),
    ("stair-riser-spread", "<=", "3/8 in", "R311.7.5.1", "R318.7.5.1"),
    ("stair-open-riser", "<", "4 in", "R311.7.5.1", "R318.7.5.1"),
    ("stair-tread", ">=", "10 in", "R311.7.5.2", "R318.7.5.2"),
    ("stair-tread-spread", "<=", "3/8 in", "R311.7.5.2", "R318.7.5.2"),
    ("stair-nosing", "within", "3/4 in to 1 1/4 in", "R311.7.5.3", "R318.7.5.3"),
    ("handrail-height", "within", "34 in to 38 in", "R311.7.8.1", "R320.2"),
    ("handrail-projection", "<=", "4 1/2 in", "R311.7.8.2", "R320.3"),
    ("handrail-clearance", ">=", "1 1/2 in", "R311.7.8.3", "R320.4"),
    ("handrail-diameter", "within", "1 1/4 in to 2 in", "R311.7.8.5", "R320.6"),
]
IBC = [  # rule, comparison, limit, clause in all three editions, how it was read
    ("guard-drop", ">", "30 in", "1015.2", "quoted"),
    ("guard-height", ">=", "42 in", "1015.3", "secondary"),
    ("guard-stair-height", ">=", "42 in", "1015.3", "from memory"),
    ("guard-opening", "<", "4 in", "1015.4", "from memory"),
    ("guard-opening-above", "<", "4 3/8 in", "1015.4 exc. 1", "secondary"),
    ("guard-triangle", "<", "6 in", "1015.4 exc. 2", "secondary"),
    ("stair-rise", "<=", "12 ft", "1011.8", "from memory"),
    ("stair-riser", "within", "4 in to 7 in", "1011.5.2", "secondary"),
    ("stair-riser-spread", "<=", "3/8 in", "1011.5.4", "secondary"),
    ("stair-tread", ">=", "11 in", "1011.5.2", "secondary"),
    ("stair-tread-spread", "<=", "3/8 in", "1011.5.4", "secondary"),
    ("handrail-height", "within", "34 in to 38 in", "1014.2", "from memory"),
    ("handrail-projection", "<=", "4 1/2 in", "1014.8", "quoted"),
    ("handrail-clearance", ">=", "1 1/2 in", "1014.7", "from memory"),
    ("handrail-diameter", "within", "1 1/4 in to 2 in", "1014.3", "from memory"),
    ("handrail-top", ">=", "12 in", "1014.6", "from memory"),
]
IBC_NUMBERS = [  # rule, number, unit, clause in 2018, clause in 2021 and 2024, how it was read
    ("handrail-need", 1, "risers", "1011.11", "1011.11", "from memory"),
    ("handrail-sides", 2, "sides", "1011.11", "1011.11", "from memory"),
    ("handrail-bottom", 1, "treads", "1014.6", "1014.6", "from memory"),
    ("load-line", 50, "lb/ft", "1607.8.1", "1607.9.1", "quoted"),
    ("load-point", 200, "lb", "1607.8.1.1", "1607.9.1.1", "quoted"),
    ("load-infill", 50, "lb", "1607.8.1.2", "1607.9.1.2", "quoted"),
]
CANADA = [  # rule, comparison, limit, article of Division B in both, how it was read
    ("guard-drop", ">", "600 mm", "9.8.8.1", "quoted"),
    ("guard-height-low", ">=", "900 mm", "9.8.8.3.(3)", "quoted"),
    ("guard-height", ">=", "1070 mm", "9.8.8.3.(1)", "quoted"),
    ("guard-stair-height", ">=", "900 mm", "9.8.8.3", "from memory"),
    ("guard-opening", "<", "100 mm", "9.8.8.5.(1)", "quoted"),
    ("guard-triangle", "<", "150 mm", "9.8.8.5.(2)", "secondary"),
    ("guard-foothold", "<=", "140 mm", "9.8.8.6", "secondary"),
    ("stair-width-above", ">=", "860 mm", "9.8.2.1", "quoted"),
    ("stair-riser", "within", "125 mm to 200 mm", "9.8.4.1", "quoted"),
    ("stair-tread", "within", "255 mm to 355 mm", "9.8.4.2", "quoted"),
    ("stair-riser-spread", "<=", "10 mm", "9.8.4.4", "quoted"),
    ("stair-tread-spread", "<=", "10 mm", "9.8.4.4", "quoted"),
    ("handrail-height", "within", "865 mm to 1070 mm", "9.8.7.4", "quoted"),
    ("handrail-clearance", ">=", "50 mm", "9.8.7.5", "quoted"),
    ("handrail-bracket", "<=", "1200 mm", "9.8.7.7", "quoted"),
    ("handrail-bracket-end", "<=", "300 mm", "9.8.7.7", "quoted"),
]
CANADA_NUMBERS = [  # rule, number, unit, where in Division B
    ("handrail-need", 3, "risers", "9.8.7.1.(3)"),
    ("load-point", 1.0, "kN", "Table 9.8.8.2"),
    ("load-line", 0.5, "kN/m", "Table 9.8.8.2"),
    ("load-infill", 0.5, "kN", "Table 9.8.8.2"),
    ("load-vertical", 1.5, "kN/m", "Table 9.8.8.2"),
]
HOW = {  # how figures of the house code were read, before 2024 and in 2024; else in a quoted text
    "stair-rise": ("from memory", "secondary"),
    "stair-nosing": ("secondary", "secondary"),
    "handrail-projection": ("secondary", "secondary"),
}
SAID = [  # profile, rule, clause, a word of it, how it was read
    ("us-irc-2018", "handrail-continuous", "R311.7.8.4", "full flight", "secondary"),
    ("us-irc-2024", "handrail-continuous", "R320.5", "full flight", "quoted"),
    ("us-irc-2018", "handrail-ends", "R311.7.8.4", "terminal fitting", "from memory"),
    ("us-irc-2024", "handrail-ends", "R320.5", "1/4 in or less", "secondary"),
    ("us-irc-2021", "post-load-path", "R507.10.1", "deck joists", "quoted"),
    ("us-irc-2024", "post-load-path", "R507.10.1", "deck joists", "quoted"),
    ("us-irc-2021", "post-at-side", "R507.10.1.1", "end grain", "quoted"),
    ("us-irc-2024", "post-on-top", "R507.10.1.2", "blocking", "quoted"),
    ("us-irc-2021", "post-notch", "R507.10.2", "not notched", "quoted"),
    ("us-irc-2024", "post-notch", "R507.10.2", "not notched", "quoted"),
    ("us-irc-2021", "guard-composite", "R507.2.2, R507.10.3", "ASTM D7032", "from memory"),
    ("us-irc-2018", "hardware-coating", "R317.3.1", "galvanised", "quoted"),
    ("us-irc-2021", "hardware-coating", "R317.3.1", "1/2 in", "quoted"),
    ("us-irc-2024", "hardware-coating", "R304", "silicon bronze", "from memory"),
    ("us-ibc-2018", "hardware-coating", "2304.10.5.1", "stainless", "quoted"),
    ("us-ibc-2021", "hardware-coating", "2304.10.6", "stainless", "secondary"),
    ("us-ibc-2024", "hardware-coating", "2304.10.6", "stainless", "from memory"),
    ("us-irc-2021", "handrail-continuous", "R311.7.8.4", "full flight", "secondary"),
    ("us-irc-2021", "handrail-ends", "R311.7.8.4", "terminal fitting", "from memory"),
    ("us-irc-2021", "post-on-top", "R507.10.1.2", "blocking", "quoted"),
    ("us-irc-2024", "post-at-side", "R507.10.1.1", "end grain", "quoted"),
    ("us-irc-2018", "guard-composite", "R507.2.2", "ASTM D7032", "from memory"),
    ("us-irc-2024", "guard-composite", "R507.2.2, R507.10.3", "ASTM D7032", "from memory"),
]
OTHERS = [  # profile, rule, comparison, limit, clause, how it was read
    ("ca-nbc-2020", "stair-riser-adjacent", "<=", "5 mm", "Div. B 9.8.4.4", "quoted"),
    ("ca-on", "guard-height-tall", ">=", "1500 mm", "Div. B 9.8.8.3", "secondary"),
    ("uk-adk", "guard-drop", ">", "600 mm", "3.1", "secondary"),
    ("uk-adk", "guard-height", ">=", "1100 mm", "Diagram 3.1", "quoted"),
    ("uk-adk", "guard-stair-height", ">=", "900 mm", "Diagram 3.1", "quoted"),
    ("uk-adk", "guard-opening", "<", "100 mm", "3.3", "quoted"),
    ("uk-adk", "handrail-height", "within", "900 mm to 1000 mm", "1.34", "quoted"),
    ("uk-adk", "stair-riser", "within", "150 mm to 220 mm", "1.3 to 1.12", "secondary"),
    ("uk-adk", "stair-twice-riser", "within", "550 mm to 700 mm", "1.3 to 1.12", "secondary"),
    ("au-ncc-2022", "guard-drop", ">=", "1000 mm", "11.3.3", "secondary"),
    ("au-ncc-2022", "guard-height", ">=", "1000 mm", "11.3.4", "secondary"),
    ("au-ncc-2022", "guard-stair-height", ">=", "865 mm", "11.3.4", "secondary"),
    ("au-ncc-2022", "guard-opening", "<", "125 mm", "11.3.4", "secondary"),
    ("au-ncc-2022", "guard-triangle", "<", "125 mm", "11.3.4", "from memory"),
    ("uk-adk", "guard-triangle", "<", "100 mm", "3.3", "secondary"),
    ("au-ncc-2022", "guard-foothold", "<=", "150 mm", "11.3.4", "from memory"),
    ("au-ncc-2022", "handrail-height", ">=", "865 mm", "11.3.5", "from memory"),
    ("au-ncc-2022", "stair-twice-riser", "within", "550 mm to 700 mm", "11.2", "secondary"),
    ("uk-adk", "stair-tread", "within", "220 mm to 300 mm", "1.3 to 1.12", "secondary"),
    ("au-ncc-2022", "stair-riser", "within", "115 mm to 190 mm", "11.2", "secondary"),
    ("au-ncc-2022", "stair-tread", "within", "240 mm to 355 mm", "11.2", "secondary"),
    ("ca-on", "stair-riser-adjacent", "<=", "5 mm", "Div. B 9.8.4.4", "secondary"),
]
NUMBERS = [  # profile, rule, number, unit, clause
    ("us-irc-2018", "handrail-need", 4, "risers", "R311.7.8"),
    ("us-irc-2021", "handrail-need", 4, "risers", "R311.7.8"),
    ("us-irc-2024", "handrail-need", 4, "risers", "R318.7.8"),
    ("us-irc-2018", "load-point", 200, "lb", "Table R301.5"),
    ("us-irc-2021", "load-point", 200, "lb", "Table R301.5"),
    ("us-irc-2024", "load-point", 200, "lb", "Table R301.5"),
    ("us-irc-2018", "load-infill", 50, "lb", "Table R301.5"),
    ("us-irc-2021", "load-infill", 50, "lb", "Table R301.5"),
    ("us-irc-2024", "load-infill", 50, "lb", "Table R301.5"),
    ("uk-adk", "load-infill-point", 0.5, "kN", "Table 2 (ii)"),
    ("au-ncc-2022", "load-line", 0.75, "kN/m", "Table 3.3"),
    ("au-ncc-2022", "load-infill", 1.0, "kN/m2", "Table 3.3"),
    ("uk-adk", "handrail-sides", 2, "sides", "1.34"),
    ("uk-adk", "load-line", 0.74, "kN/m", "Table 2 (ii)"),
    ("uk-adk", "load-infill", 1.0, "kN/m2", "Table 2 (ii)"),
    ("uk-adk", "stair-pitch", 42, "degrees", "1.3 to 1.12"),
]
DROPS = [  # profile, rule, where it holds, that drop
    ("us-irc-2021", "stair-open-riser", "drop-over", "30 in"),
    ("ca-nbc-2020", "guard-height-low", "drop-up-to", "1800 mm"),
    ("ca-nbc-2020", "guard-height", "drop-over", "1800 mm"),
    ("ca-nbc-2020", "guard-foothold", "climbable-over", "4200 mm"),
    ("ca-on", "guard-height-tall", "drop-over", "10 m"),
    ("au-ncc-2022", "guard-foothold", "climbable-over", "4 m"),
]


def rule(profile: str, name: str) -> Rule:
    """A shipped rule."""
    return next(one for one in load_profiles()[profile].rules if one.id == name)


def limits(written: str) -> tuple[int, int | None]:
    """A printed limit, or both ends of a printed span."""
    low, _, high = written.partition(" to ")
    return read_length(low), read_length(high) if high else None


@pytest.mark.parametrize("edition", ["2018", "2021", "2024"])
@pytest.mark.parametrize(("name", "compare", "limit", "before", "after"), IRC)
def test_irc_row(
    *, edition: str, name: str, compare: str, limit: str, before: str, after: str
) -> None:
    """The same figure in all three editions, under the number of each."""
    shipped = rule(f"us-irc-{edition}", name)

    assert (shipped.limit, shipped.upper) == limits(limit)
    assert shipped.compare == compare
    assert shipped.clause == (after if edition == "2024" else before)
    assert shipped.confidence == HOW.get(name, ("quoted", "quoted"))[edition == "2024"]


@pytest.mark.parametrize("edition", ["2018", "2021", "2024"])
@pytest.mark.parametrize(("name", "compare", "limit", "clause", "how"), IBC)
def test_ibc_row(
    *, edition: str, name: str, compare: str, limit: str, clause: str, how: str
) -> None:
    """The building code's own figures, most of them at second hand."""
    shipped = rule(f"us-ibc-{edition}", name)

    assert (shipped.limit, shipped.upper) == limits(limit)
    assert (shipped.compare, shipped.clause, shipped.confidence) == (compare, clause, how)


@pytest.mark.parametrize("edition", ["2018", "2021", "2024"])
@pytest.mark.parametrize(("name", "number", "unit", "before", "after", "how"), IBC_NUMBERS)
def test_ibc_row_that_is_no_length(
    *, edition: str, name: str, number: float, unit: str, before: str, after: str, how: str
) -> None:
    """Loads moved from 1607.8 to 1607.9 in 2021."""
    shipped = rule(f"us-ibc-{edition}", name)

    assert (shipped.number, shipped.number_unit, shipped.confidence) == (number, unit, how)
    assert shipped.clause == (before if edition == "2018" else after)


@pytest.mark.parametrize("profile", ["ca-nbc-2020", "ca-on"])
@pytest.mark.parametrize(("name", "compare", "limit", "article", "how"), CANADA)
def test_canadian_row(
    *, profile: str, name: str, compare: str, limit: str, article: str, how: str
) -> None:
    """The national code's and Ontario's, in millimetres."""
    shipped = rule(profile, name)

    assert (shipped.limit, shipped.upper) == limits(limit)
    assert (shipped.compare, shipped.confidence) == (compare, how)
    assert shipped.clause == f"Div. B {article}"


@pytest.mark.parametrize("profile", ["ca-nbc-2020", "ca-on"])
@pytest.mark.parametrize(("name", "number", "unit", "where"), CANADA_NUMBERS)
def test_canadian_row_that_is_no_length(
    *, profile: str, name: str, number: float, unit: str, where: str
) -> None:
    """Risers and loads, alike in both."""
    shipped = rule(profile, name)

    assert (shipped.number, shipped.number_unit) == (number, unit)
    assert shipped.clause == f"Div. B {where}"


def test_every_shipped_rule_stands_in_a_table_here() -> None:
    """No figure of a code is printed that no row of these tables has."""
    tables = {(profile, name) for profile, name, *_ in OTHERS}
    tables |= {(profile, name) for profile, name, *_ in NUMBERS}
    tables |= {(profile, name) for profile, name, *_ in SAID}
    named: dict[str, list[str]] = {
        "us-irc": [row[0] for row in IRC],
        "us-ibc": [row[0] for row in IBC] + [row[0] for row in IBC_NUMBERS],
        "ca-": [row[0] for row in CANADA] + [row[0] for row in CANADA_NUMBERS],
    }
    shipped = {(key, one.id) for key, profile in load_profiles().items() for one in profile.rules}
    tables |= {
        (key, name)
        for key in load_profiles()
        for start, names in named.items()
        if key.startswith(start)
        for name in names
    }

    assert shipped - tables == set()
    assert tables - shipped == set()


@pytest.mark.parametrize(("profile", "name", "compare", "limit", "clause", "how"), OTHERS)
def test_row_of_another_code(
    *, profile: str, name: str, compare: str, limit: str, clause: str, how: str
) -> None:
    """Each figure in its own unit, and how it was come by."""
    shipped = rule(profile, name)

    assert (shipped.limit, shipped.upper) == limits(limit)
    assert (shipped.compare, shipped.clause, shipped.confidence) == (compare, clause, how)


@pytest.mark.parametrize(("profile", "name", "number", "unit", "clause"), NUMBERS)
def test_row_that_is_no_length(
    *, profile: str, name: str, number: float, unit: str, clause: str
) -> None:
    """Risers, loads and degrees."""
    shipped = rule(profile, name)

    assert (shipped.number, shipped.number_unit, shipped.clause) == (number, unit, clause)


@pytest.mark.parametrize(("profile", "name", "clause", "word", "how"), SAID)
def test_row_that_is_words(*, profile: str, name: str, clause: str, word: str, how: str) -> None:
    """No figure: what is looked at on site, under the number of each edition."""
    shipped = rule(profile, name)

    assert (shipped.limit, shipped.number, shipped.compare) == (None, None, "as said")
    assert (shipped.clause, shipped.confidence) == (clause, how)
    assert word in shipped.says


@pytest.mark.parametrize("name", ["post-load-path", "post-at-side", "post-on-top", "post-notch"])
def test_the_2018_house_code_says_nothing_of_deck_posts(name: str) -> None:
    """R507.10 came with 2021."""
    assert name not in {one.id for one in load_profiles()["us-irc-2018"].rules}


@pytest.mark.parametrize(
    ("profile", "compare"), [("us-irc-2021", ">"), ("ca-nbc-2020", ">"), ("au-ncc-2022", ">=")]
)
def test_the_border_of_the_drop(profile: str, compare: str) -> None:
    """A border of "more than" leaves the drop itself free; "1 m or more" does not."""
    shipped = rule(profile, "guard-drop")
    assert shipped.limit is not None

    assert shipped.compare == compare
    assert shipped.stands(shipped.limit) is (compare == ">=")
    assert shipped.stands(shipped.limit + 1) is True
    assert shipped.stands(shipped.limit - 1) is False


@pytest.mark.parametrize(("profile", "name", "where", "drop"), DROPS)
def test_row_that_holds_at_some_drops_only(
    *, profile: str, name: str, where: str, drop: str
) -> None:
    """Beyond, or up to and with, that drop."""
    shipped = rule(profile, name)

    assert (shipped.where, shipped.where_drop) == (where, read_length(drop))


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        ("stair-riser", "196 mm"),  # is 196.85
        ("stair-width-one-rail", "787 mm"),  # is 800.1: 31 in
        ("stair-width-two-rails", "698 mm"),  # is 685.8: 27 1/2 in
        ("guard-stair-height", "864 mm"),  # is 863.6
        ("guard-opening", "102 mm"),  # is 101.6
        ("guard-stair-opening", "111 mm"),  # is 111.125
    ],
)
@pytest.mark.parametrize("edition", ["2018", "2021", "2024"])
def test_no_limit_is_its_printed_metric_equivalent(
    *, edition: str, name: str, printed: str
) -> None:
    """What stands in brackets beside it is truncated, rounded or wrong; inches are primary."""
    shipped = rule(f"us-irc-{edition}", name)

    assert shipped.limit is not None
    assert shipped.limit != read_length(printed)
    assert shipped.limit % (INCH // 8) == 0


@pytest.mark.parametrize("edition", ["2018", "2021"])
def test_no_clause_of_the_newest_edition_stands_in_an_older_one(edition: str) -> None:
    """R318, R320 and R321 mean something else before 2024."""
    clauses = {one.clause for one in load_profiles()[f"us-irc-{edition}"].rules}

    assert not [c for c in clauses if c.startswith(("R318", "R320", "R321"))]


def test_no_clause_of_an_older_edition_stands_in_the_newest() -> None:
    """R311.7 and R312 are gone from 2024."""
    clauses = {one.clause for one in load_profiles()["us-irc-2024"].rules}

    assert not [c for c in clauses if c.startswith(("R311", "R312"))]


def test_the_load_of_a_plain_guard_has_its_direction_by_edition() -> None:
    """Any direction in 2018; outward and downward after it."""
    says = {year: rule(f"us-irc-{year}", "load-point").says for year in ("2018", "2021", "2024")}

    assert "in any direction" in says["2018"]
    assert "outward and downward" not in says["2018"]
    assert "outward and downward" in says["2021"]
    assert "outward and downward" in says["2024"]


@pytest.mark.parametrize("profile", [key for key in load_profiles() if "irc" in key])
def test_the_house_code_has_no_line_load(profile: str) -> None:
    """50 lb/ft is the building code's, not the house code's."""
    assert not [one for one in load_profiles()[profile].rules if one.measures == "load.line"]


def test_a_profile_s_unit_is_that_of_its_country() -> None:
    """Inches are primary in the United States, millimetres elsewhere."""
    units = {key: profile.unit for key, profile in load_profiles().items()}

    assert all((unit == "in") == key.startswith("us-") for key, unit in units.items())
