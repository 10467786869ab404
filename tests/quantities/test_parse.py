"""Reading what people type: what is understood, and what is refused with a sentence."""

from itertools import product
from math import isfinite

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.quantities import parse
from calculators.quantities.interval import Range
from tests.every import of_every

INCH, FOOT, YARD = 2.54, 30.48, 91.44
OUNCE, POUND = 28.349523125, 453.59237


@pytest.mark.parametrize(
    ("text", "centimetres"),
    [
        ("19 1/2 in", 19.5 * INCH),
        ('19-1/2"', 19.5 * INCH),
        ("19½″", 19.5 * INCH),
        ("19½ inches", 19.5 * INCH),
        ("½ in", 0.5 * INCH),
        ("1 1/8in.", 1.125 * INCH),
        ("49,5 cm", 49.5),
        ("49.5 CM", 49.5),
        ("0.5 m", 50),
        (".5 m", 50),
        ("5 yd", 5 * YARD),
        ("5 yards", 5 * YARD),
        ("5 ft 6 in", 66 * INCH),
        ("5' 6\"", 66 * INCH),
        ("5′ 6″", 66 * INCH),
        ("5' 6", 66 * INCH),
        ("5 feet", 5 * FOOT),
        ("1 yd 6 in", 42 * INCH),
        ("1 m 20 cm", 120),
        ("2 km", 200_000),
        ("12 mm", 1.2),
        ("48", 48),
        ("１９ cm", 19),
        ("４９，５ ｃｍ", 49.5),
        ("49\u202f500 mm", 4950),
        ("12\u00a0500 cm", 12_500),
        ("12\u2009500,5 cm", 12_500.5),
        ("1,250.5 cm", 1250.5),
        ("1.250,5 cm", 1250.5),
        ("1,250,000 mm", 125_000),
        ("1234,567 cm", 1234.567),
        ("0,125 m", 12.5),
        ("1.250 cm", 1.25),
        ("  48\tcm\n", 48),
        ("+48 cm", 48),
        ("1e3 cm", 1000),
        ("0", 0),
        ("0e5 cm", 0),
    ],
)
def test_lengths(text, centimetres):
    assert parse.parse_length(text) == pytest.approx(centimetres, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("12 oz", 12 * OUNCE),
        ("250 g", 250),
        ("250g", 250),
        ("1,2 kg", 1200),
        ("2 lb 3 oz", 35 * OUNCE),
        ("2lb3oz", 35 * OUNCE),
        ("1 lb. 4 oz.", 20 * OUNCE),
        ("3 lbs", 3 * POUND),
        ("7000 grains", POUND),
        ("16 drams", OUNCE),
        ("500 mg", 0.5),
        ("250", 250),
    ],
)
def test_masses(text, grams):
    assert parse.parse_mass(text) == pytest.approx(grams, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "per_cm"),
    [
        ("30 epi", 30 / INCH),
        ("24 ppi", 24 / INCH),
        ("30 e.p.i.", 30 / INCH),
        ("30 1/2 epi", 30.5 / INCH),
        ("12 /cm", 12),
        ("12/cm", 12),
        ("12 per cm", 12),
        ("12,5 ends/cm", 12.5),
        ("120/10 cm", 12),
        ("120 per 10 cm", 12),
        ("30/in", 30 / INCH),
        ('30 per "', 30 / INCH),
        ("30 picks per inch", 30 / INCH),
        ("60 per 2 inches", 30 / INCH),
        ("30", 30 / INCH),
    ],
)
def test_densities(text, per_cm):
    assert parse.parse_density(text) == pytest.approx(per_cm, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "per_cm"),
    [
        ("60/10", 6),
        ("60/10 cm", 6),
        ("60 / 10", 6),
        ("12 dpi", 12 / INCH),
        ("12 dents per inch", 12 / INCH),
        ("5 /cm", 5),
        ("12", 12 / INCH),
    ],
)
def test_reeds(text, per_cm):
    assert parse.parse_reed(text) == pytest.approx(per_cm, rel=1e-14)


def test_a_bare_number_means_the_unit_of_the_field():
    assert parse.parse_length("2", unit="m") == 200
    assert parse.parse_mass("2", unit="kg") == 2000
    assert parse.parse_density("12", unit="1/cm") == 12
    assert parse.parse_reed("60", unit="1/10cm") == 6
    assert parse.parse_reed("60", unit="1/10 cm") == 6


@pytest.mark.parametrize(
    ("text", "low", "likely", "high"),
    [
        ("8 %", 8, 8, 8),
        ("8", 8, 8, 8),
        ("8%", 8, 8, 8),
        ("８％", 8, 8, 8),
        ("8 per cent", 8, 8, 8),
        ("7½ %", 7.5, 7.5, 7.5),
        ("7-1/2 %", 7.5, 7.5, 7.5),
        ("7,5", 7.5, 7.5, 7.5),
        ("0", 0, 0, 0),
        ("0.5 %", 0.5, 0.5, 0.5),
        ("0,08 %", 0.08, 0.08, 0.08),
        ("5–8–12 %", 5, 8, 12),
        ("5-8-12", 5, 8, 12),
        ("5 % – 8 % – 12 %", 5, 8, 12),
        ("5 to 12 %", 5, 8.5, 12),
        ("5 to 8 to 12", 5, 8, 12),
        ("5–12", 5, 8.5, 12),
        ("0.5–2", 0.5, 1.25, 2),
        ("5 … 12 %", 5, 8.5, 12),
    ],
)
def test_losses(text, low, likely, high):
    found = parse.parse_loss(text)
    assert [found.low, found.likely, found.high] == pytest.approx(
        [low / 100, likely / 100, high / 100], rel=1e-12
    )


@pytest.mark.parametrize("text", ["0.08", "0,08", ".08", "0.08–0.12", "8e-2"])
def test_a_bare_loss_below_one_may_mean_two_things(text):
    with pytest.raises(InputError, match="without a % sign may mean") as error:
        parse.parse_loss(text, "shrinkage")
    assert "%" in error.value.hint
    assert error.value.field == "shrinkage"


@pytest.mark.parametrize("text", ["1,250", "12,500", "999,000"])
@pytest.mark.parametrize(
    "read", [parse.parse_length, parse.parse_mass, parse.parse_number, parse.parse_count]
)
def test_one_comma_before_three_digits_is_refused_with_both_meanings(text, read):
    with pytest.raises(InputError, match="can be read in two ways") as error:
        read(text)
    assert text.replace(",", "") in error.value.hint
    assert "point" in error.value.hint


@pytest.mark.parametrize(
    ("read", "text", "words"),
    [
        (parse.parse_length, "250 g", "is a weight; a length is wanted"),
        (parse.parse_length, "30 epi", "is a number of threads per cm or inch; a length is wanted"),
        (parse.parse_length, "12 dpi", "is a reed; a length is wanted"),
        (parse.parse_length, "8 %", "is a percentage; a length is wanted"),
        (parse.parse_mass, "48 cm", "is a length; a weight is wanted"),
        (parse.parse_mass, "5 gr", "may mean grams or grains"),
        (parse.parse_density, "48 cm", "is a length"),
        (parse.parse_density, "12 dpi", "counts dents of a reed"),
        (parse.parse_density, "12 dents per inch", "counts dents of a reed"),
        (parse.parse_density, "1/2 in", "is a length"),
        (parse.parse_density, "12 per 0 cm", "could not be read"),
        (parse.parse_density, "12 furlongs per cm", "could not be read"),
        (parse.parse_loss, "1–2–3–4 %", "could not be read"),
        (parse.parse_reed, "30 epi", "counts threads; a reed is wanted"),
        (parse.parse_reed, "250 g", "is a weight; a reed is wanted"),
        (parse.parse_loss, "5 cm", "is a length; a percentage is wanted"),
        (parse.parse_count, "12 cm", "is a length; a whole number is wanted"),
        (parse.parse_count, "12.5", "is not a whole number"),
        (parse.parse_number, "3 cm", "is a length; a plain number is wanted"),
        (parse.parse_number, "16/2", "is not a fraction smaller than one"),
        (parse.parse_length, "5/0 in", "is not a fraction smaller than one"),
        (parse.parse_length, "1.2.3", "more commas or points"),
        (parse.parse_length, "1e400", "larger than anything"),
        (parse.parse_length, "1e-400", "smaller than anything"),
        (parse.parse_length, "9" * 150, "larger than anything"),
        (parse.parse_length, "0." + "0" * 40 + "1", "smaller than anything"),
        (parse.parse_loss, "12–5", "does not rise"),
        (parse.parse_loss, "100 %", "would leave nothing"),
        (parse.parse_loss, "-3 %", "is below zero"),
        (parse.parse_density, "0", "is nothing"),
        (parse.parse_reed, "0", "is nothing"),
    ],
)
def test_what_was_understood_is_said(read, text, words):
    with pytest.raises(InputError, match=words) as error:
        read(text)
    assert error.value.hint


NONSENSE = (
    *("", "   ", "words", "about 5 cm", "NaN", "inf", "-", ".", "/", "1/", "/2", "%", "to"),
    *("1/2/3", "5 5", "5 cm cm", "6 in 5 ft", "2 lb 30 oz", "-5", "−5", "- 5 cm", "5²", "🧶"),
    *("5️⃣", "<b>5</b>", "<script>alert(1)</script>", "x" * 10_000, "5" * 10_000, "5 " * 5_000),
)
READERS = (
    *(parse.parse_length, parse.parse_mass, parse.parse_density, parse.parse_reed),
    *(parse.parse_loss, parse.parse_number, parse.parse_count),
)


@of_every(product(READERS, NONSENSE))
def test_nonsense_gets_a_sentence_and_a_hint(read, text):
    if read is parse.parse_loss and text == "5 5":
        text = "5 5 5"
    with pytest.raises(InputError) as error:
        read(text, field="somewhere")
    assert error.value.field == "somewhere"
    assert error.value.message.endswith(".")
    assert len(error.value.message) < 200
    assert error.value.hint


def test_counts_numbers_speeds():
    assert parse.parse_count("1 250 ends") == 1250
    assert parse.parse_count("253") == 253
    assert parse.parse_count("12.0 units") == 12
    assert parse.parse_number("3½") == 3.5
    assert parse.parse_number("-1,5", signed=True) == -1.5


def test_lists():
    assert parse.parse_list("60, 40") == ["60", "40"]
    assert parse.parse_list("60/10, 70/10; 12 dpi") == ["60/10", "70/10", "12 dpi"]
    assert parse.parse_list("49,5 and 3") == ["49,5", "3"]
    assert parse.parse_list("8/2\n16/2") == ["8/2", "16/2"]
    for text in ("", " , ;", "x" * 10_000):
        with pytest.raises(InputError):
            parse.parse_list(text)


def attempt(read, text):
    try:
        return read(text), None
    except InputError as error:
        return None, error


READERS = st.sampled_from(
    [
        parse.parse_length,
        parse.parse_mass,
        parse.parse_density,
        parse.parse_reed,
        parse.parse_loss,
        parse.parse_number,
        parse.parse_count,
    ]
)
TYPED = st.one_of(
    st.text(),
    st.text(alphabet="0123456789½¼²/.,-–− '\"″%e+×cmingoztlbdpyf", max_size=30),
    st.floats().map(str),
    st.integers().map(str),
)


@given(READERS, TYPED)
@example(parse.parse_length, "1e999999999")
@example(parse.parse_loss, "1-2-3/4")
@settings(max_examples=5 * settings.default.max_examples)
def test_any_text_gives_a_finite_figure_or_a_sentence(read, text):
    found, refused = attempt(read, text)
    if refused:
        assert refused.message
        assert refused.hint
    elif isinstance(found, Range):
        assert 0 <= found.low <= found.likely <= found.high < 1
    else:
        assert isfinite(found)
        assert found >= 0


@given(st.decimals(min_value=0, max_value=100_000, places=3))
def test_point_comma_and_full_width_are_one(number):
    point = f"{number:f} cm"
    comma = point.replace(".", ",")
    full = "".join(chr(ord(c) + 0xFEE0) if c.isdigit() else c for c in point)
    expected = float(number)
    assert parse.parse_length(point) == pytest.approx(expected)
    assert parse.parse_length(full) == pytest.approx(expected)
    found, refused = attempt(parse.parse_length, comma)
    if 1 <= expected < 1000:  # three digits behind one comma, not behind a nought
        assert "two ways" in refused.message
    else:
        assert found == pytest.approx(expected)
