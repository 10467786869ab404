"""Writing figures: rounded once, with the way said, in both unit worlds."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.quantities.format import (
    format_fixed,
    format_number,
    format_quantity,
    format_range,
    round_nearest,
    round_up,
)
from calculators.quantities.interval import Range
from calculators.quantities.parse import parse_length, parse_mass, plain_text

SPACE = "\u202f"


@pytest.mark.parametrize(
    ("value", "unit", "metric", "imperial"),
    [
        (52.63, "cm", "52.6 cm", "20 3/4 in"),
        (2.54, "cm", "2.5 cm", "1 in"),
        (0.32, "cm", "0.3 cm", "1/8 in"),
        (0, "cm", "0 cm", "0 in"),
        (91.4, "cm", "91.4 cm", "36 in"),  # nearly 36: the eighths carry over
        (5.366, "m", "5.366 m", "5.87 yd, or 5 yd 31 1/4 in"),
        (0.9143, "m", "0.914 m", "1 yd"),
        (6831, "m", f"6{SPACE}831 m", f"7{SPACE}470 yd"),
        (2.08, "mm", "2.08 mm", "0.082 in"),
        (705.8, "g", "705.8 g", "1 lb 8.9 oz"),
        (453.5, "g", "453.5 g", "1 lb"),  # 15.997 oz carries to the pound
        (1284, "g", "1.284 kg", "2 lb 13.3 oz"),
        (0.706, "kg", "706 g", "1 lb 8.9 oz"),
        (24, "1/cm", "24 /cm", "61 per inch"),
        (30, "1/inch", "11.8 /cm", "30 per inch"),
        (26.09, "%", "26.1 %", "26.1 %"),
        (3.34, "hours", "3 h 20 min", "3 h 20 min"),
        (0.5, "hours", "30 min", "30 min"),
        (-7.6, "%", "−7.6 %", "−7.6 %"),
        (-0.001, "%", "0 %", "0 %"),
        (100, "g/m2", "100 g/m²", "2.95 oz/yd²"),
        (73.8177, "tex", "73.82 tex", "73.82 tex"),
    ],
)
def test_both_worlds(value, unit, metric, imperial):
    assert format_quantity(value, unit, "metric") == metric
    assert format_quantity(value, unit, "imperial") == imperial


def test_counts_are_whole():
    assert format_quantity(1273, "", "metric", whole=True) == f"1{SPACE}273"


def test_numbers():
    assert format_number(0.0371) == "0.0371"
    assert format_number(12.5) == "12.5"
    assert format_number(-3) == "−3"
    assert format_number(0) == "0"
    assert format_number(1_000_000) == f"1{SPACE}000{SPACE}000"


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_what_is_not_finite_is_never_written(value):
    with pytest.raises(ValueError, match="not finite"):
        format_number(value)
    with pytest.raises(ValueError, match="not finite"):
        format_quantity(value, "cm", "metric")
    with pytest.raises(ValueError, match="not finite"):
        format_fixed(value, 2)


def test_ranges():
    assert format_range(Range.exactly(0.08)) == "8 %"
    assert format_range(Range(0.05, 0.085, 0.12)) == "5–8.5–12 %"


def test_rounding_says_which_way():
    assert round_up(3.2) == (4, "up")
    assert round_up(4.0) == (4, "exact")
    assert round_up(0.1 + 0.2, 0.1) == (pytest.approx(0.3), "exact")
    assert round_nearest(252.63) == (253, "up")
    assert round_nearest(252.4) == (252, "down")
    assert round_nearest(2.5) == (3, "up")
    assert round_nearest(20.72, 0.125) == (20.75, "up")


@given(st.floats(min_value=0, max_value=1e6))
def test_rounding_up_is_never_less_and_never_a_step_more(value):
    found = round_up(value)
    assert value - 1e-9 <= found.value < value + 1
    nearest = round_nearest(value).value
    assert abs(nearest - value) <= 0.5 + 1e-9


@given(st.floats(min_value=0, max_value=900))
def test_a_written_length_reads_back_within_its_rounding(centimetres):
    metric = parse_length(plain_text(format_quantity(centimetres, "cm", "metric")))
    imperial = parse_length(plain_text(format_quantity(centimetres, "cm", "imperial")))
    assert abs(metric - centimetres) <= 0.05 + 1e-9
    assert abs(imperial - centimetres) <= 2.54 / 16 + 1e-9


@given(st.floats(min_value=30, max_value=5e4))
def test_a_written_weight_reads_back_within_its_rounding(grams):
    metric = parse_mass(plain_text(format_quantity(grams, "g", "metric")))
    imperial = parse_mass(plain_text(format_quantity(grams, "g", "imperial")))
    assert abs(metric - grams) <= 0.5 + 1e-9
    assert abs(imperial - grams) <= 28.35 / 20 + 1e-9
