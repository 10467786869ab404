"""Reed numbers against the tables that were read, misprints included."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.data import load
from calculators.errors import InputError
from calculators.sett.reeds import (
    REED_SYSTEMS,
    dents_per_inch,
    ends_per_inch,
    parse_reed_number,
    parse_reeds,
    reed_number,
    reed_system_named,
)


@pytest.mark.parametrize(
    ("number", "system", "per_dent", "printed", "within"),
    [
        (72, "bradford", None, 80, 0),  # Dictionary of the English textile terms, Sett systems
        (12, "leeds", None, 50.67, 0.01),  # the entry prints 5.06: misprint
        (16, "huddersfield", 3, 48, 0),  # the same
        (1200, "linen", None, 60, 0),  # the same, Ireland
        (1200, "silk", None, 133, 0.4),  # the same, 1200/4
        (60, "stockport", 3, 90, 0),  # Taylor 1909, web page 243
        (50, "bradford", None, 55.5556, 0.001),  # Taylor, web page 244
        (2000, "scotch", None, 108.108, 0.01),  # Taylor, web page 244
        (16, "porter", None, 17.297, 0.01),  # Spons, Jute manufactures
        (80, "dents_per_inch", 4, 320, 0),  # Wolfensberger 1921, p. 70
        (64, "dents_per_inch", 5, 320, 0),  # the same
        (33.5, "dents_per_inch", 4, 134, 0),  # Taylor, web page 225
    ],
)
def test_published_setts(number, system, per_dent, printed, within):
    assert ends_per_inch(number, system, per_dent) == pytest.approx(printed, abs=within or 1e-9)


def test_leeds_misprint_is_not_reproduced():
    assert abs(ends_per_inch(12, "leeds") - 5.06) > 45


@pytest.mark.parametrize(
    ("number", "start", "goal", "printed", "within"),
    [
        # C. P. Brooks, Cotton Manufacturing, 3rd edition 1892, web page 92 and pp. 147–148.
        (1, "bolton", "dents_per_inch", 0.8249, 2e-4),
        (30, "bolton", "dents_per_inch", 24.747, 0.006),
        (1, "bolton", "stockport", 1.6495, 1e-4),
        (1, "stockport", "bolton", 0.60625, 1e-9),
        (40, "stockport", "bolton", 24.25, 1e-9),
        (40, "porter", "stockport", 43, 0.3),
        (1700, "scotch", "stockport", 92, 0.2),
        (17, "scotch_hundreds", "dents_per_inch", 46, 0.1),
        (1, "dents_per_inch", "stockport", 2, 1e-9),
        (1, "dents_per_inch", "bolton", 1.2125, 0.02),
        (1, "dents_per_inch", "scotch_hundreds", 0.37, 0.02),
        (1, "dents_per_inch", "porter", 1.85, 0.1),
        (33, "dents_per_inch", "stockport", 66, 1e-9),
        (33, "dents_per_inch", "bolton", 40, 0.02),
        (33, "dents_per_inch", "scotch_hundreds", 12.2, 0.02),
        (33, "dents_per_inch", "porter", 61, 0.1),
        (40, "dents_per_inch", "stockport", 80, 1e-9),
        (40, "dents_per_inch", "bolton", 48.5, 0.02),
        (40, "dents_per_inch", "scotch_hundreds", 14.8, 0.02),
        (40, "dents_per_inch", "porter", 74, 0.1),
        # Definition of the inch; Swedish teaching page, note 3.
        (100, "dents_per_10_cm", "dents_per_inch", 25.4, 1e-9),
        (60, "dents_per_10_cm", "dents_per_cm", 6, 1e-9),
    ],
)
def test_published_conversions(number, start, goal, printed, within):
    assert reed_number(dents_per_inch(number, start), goal) == pytest.approx(printed, abs=within)


@pytest.mark.parametrize(
    ("system", "inches"),
    # Taylor 1909, web page 244: inches that hold a beer of 40 ends.
    [
        ("blackburn", 45),
        ("six_quarter", 58),
        ("nine_eighth", 44),
        ("four_quarter", 39),
        ("seven_eighth", 34),
        ("bradford", 36),
    ],
)
def test_beers_of_forty_ends(system, inches):
    assert 40 / ends_per_inch(1, system, 2) == pytest.approx(inches)


def test_macclesfield_and_dewsbury():
    """From memory, no book at hand: 100 dents in a yard; porters of 38 ends, two in a dent.

    Counted out whole: 9 Macclesfield are 900 dents in 36 inches; a Dewsbury porter fills 90 inches
    with 38 ends, so that it is a tenth as close as the porter of Leeds, in 9 (textile-terms).
    """
    assert dents_per_inch(9, "macclesfield") == 900 / 36
    assert 9000 / reed_number(25, "macclesfield") == 1000
    assert 38 / ends_per_inch(1, "dewsbury") == pytest.approx(90)
    assert dents_per_inch(120, "dewsbury") == pytest.approx(dents_per_inch(12, "leeds"))
    # The silk reed of the same trade counts single dents in the same yard (textile-terms).
    assert dents_per_inch(12, "macclesfield") == pytest.approx(dents_per_inch(1200, "silk"))
    assert parse_reed_number("9 Macclesfield")[1].name == "macclesfield"
    assert parse_reed_number("120 Dewsbury porter")[1].name == "dewsbury"


def test_a_reed_from_memory_is_never_shown_as_published():
    remembered = {name for name, one in REED_SYSTEMS.items() if one.source == "from-memory"}
    assert remembered == {name for name, one in REED_SYSTEMS.items() if one.basis != "published"}
    assert remembered == {"macclesfield", "dewsbury"}


def test_factors_are_exact():
    assert REED_SYSTEMS["dents_per_10_cm"].dents_per_inch == Fraction(254, 1000)
    assert REED_SYSTEMS["bolton"].dents_per_inch == Fraction(80, 97)
    assert REED_SYSTEMS["leeds"].dents_per_inch == Fraction(19, 9)


@given(
    st.sampled_from(sorted(REED_SYSTEMS)),
    st.sampled_from(sorted(REED_SYSTEMS)),
    st.floats(0.1, 5000),
)
def test_there_and_back(one, other, number):
    there = reed_number(dents_per_inch(number, one), other)
    assert reed_number(dents_per_inch(there, other), one) == pytest.approx(number)


@pytest.mark.parametrize(
    ("typed", "number", "system"),
    [
        ("60/10", 60, "dents_per_10_cm"),
        ("60/10 cm", 60, "dents_per_10_cm"),
        (" 45,5 / 10 ", 45.5, "dents_per_10_cm"),
        ("12 dpi", 12, "dents_per_inch"),
        ("12.5 dents per inch", 12.5, "dents_per_inch"),
        ("60 Stockport", 60, "stockport"),
        ("40 porter", 40, "porter"),
        ("5/cm", 5, "dents_per_cm"),
        ("70 per 10 cm", 70, "dents_per_10_cm"),
        ("17 Scotch hundreds", 17, "scotch_hundreds"),
        ("12", 12, "scotch"),
        ("12 1/2", 12.5, "scotch"),
    ],
)
def test_reading_a_reed(typed, number, system):
    found, named = parse_reed_number(typed, "scotch")
    assert (found, named.name) == (pytest.approx(number), system)


@pytest.mark.parametrize("typed", ["", "reed", "0", "-5", "12 ells", "0/10", "🧶", "1" * 10_000])
def test_what_is_no_reed_is_refused(typed):
    with pytest.raises(InputError) as caught:
        parse_reed_number(typed, "scotch", "reed")
    assert caught.value.field == "reed"
    assert len(caught.value.message) < 200


def test_reading_a_list_of_reeds():
    assert parse_reeds("8, 10,12; 60/10 and 60 stockport") == pytest.approx(
        {"8": 8, "10": 10, "12": 12, "60/10": 15.24, "60 stockport": 30}
    )
    for typed in ("", ", ,", "8, fine"):
        with pytest.raises(InputError) as caught:
            parse_reeds(typed, "reeds")
        assert caught.value.field == "reeds"


def test_names_lead_to_one_system_each():
    names = [name for one in REED_SYSTEMS.values() for name in (one.name, one.title, *one.aliases)]
    for one in REED_SYSTEMS.values():
        for name in (one.name, one.title, *one.aliases):
            assert reed_system_named(name) is one, name
    assert len(names) == len(set(names))


def test_every_system_names_a_source():
    keys = {source["key"] for source in load("sources")["source"]}
    for one in REED_SYSTEMS.values():
        assert one.source in keys
        assert one.where


@pytest.mark.parametrize("bad", [0, -1, float("nan"), float("inf")])
def test_impossible_numbers_are_refused(bad):
    for attempt in (
        lambda: dents_per_inch(bad),
        lambda: reed_number(bad, "leeds"),
        lambda: ends_per_inch(10, "leeds", bad),
    ):
        with pytest.raises(InputError):
            attempt()
    with pytest.raises(InputError, match="ell"):
        dents_per_inch(10, "ell")


def test_what_is_not_said_is_dents_in_an_inch():
    assert dents_per_inch(12) == 12
    assert parse_reed_number("12")[1] is REED_SYSTEMS["dents_per_inch"]
    assert parse_reeds("12") == {"12": 12}


@pytest.mark.parametrize("typed", ["60/10cm", "60/10", "60 / 10 cm"])
def test_the_nordic_way_of_writing_with_and_without_blanks(typed):
    number, system = parse_reed_number(typed)
    assert (number, system.name) == (60, "dents_per_10_cm")


def test_a_reed_of_sixty_letters_is_read_and_a_longer_one_is_not():
    longest = "12 dents per inch".rjust(60, "0")
    assert parse_reed_number(longest)[0] == 12
    with pytest.raises(InputError, match="too long"):
        parse_reed_number("0" + longest)


@pytest.mark.parametrize(
    ("attempt", "field"),
    [
        (lambda: reed_system_named("ell"), "system"),
        (lambda: reed_system_named("ell", "goal"), "goal"),
        (lambda: dents_per_inch(0), "reed"),
        (lambda: reed_number(0, "leeds"), "reed"),
        (lambda: ends_per_inch(0, "leeds"), "reed"),
        (lambda: ends_per_inch(12, "leeds", 0), "ends_per_dent"),
        (lambda: parse_reed_number("none"), "reed"),
        (lambda: parse_reed_number("0 stockport"), "reed"),
        (lambda: parse_reed_number("0 stockport", field="first"), "first"),
        (lambda: parse_reed_number("12 ells", field="first"), "first"),
        (lambda: parse_reed_number("0/10", field="first"), "first"),
        (lambda: parse_reed_number("12", "ell", "first"), "system"),
        (lambda: parse_reeds("8, none"), "reeds"),
        (lambda: parse_reeds("0 stockport", "mine"), "mine"),
    ],
)
def test_refusals_name_their_field(attempt, field):
    with pytest.raises(InputError) as caught:
        attempt()
    assert caught.value.field == field
