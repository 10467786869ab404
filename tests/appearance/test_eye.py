"""What an eye reads, against the definition of the chart."""

from math import ceil, radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.appearance.eye import detail, stroke_units

FOOT = 30.48


def test_the_chart_at_twenty_feet():
    """A letter of acuity 1 is five minutes high: 8.87 mm at twenty feet, 88.7 for a tenth."""
    assert 5 * detail(20 * FOOT, 1) == pytest.approx(8.87, abs=0.005)
    assert 5 * detail(20 * FOOT, 0.1) == pytest.approx(88.7, abs=0.05)


@given(st.floats(10, 10_000), st.floats(0.1, 3))
def test_a_minute_of_arc_by_trigonometry(distance, acuity):
    """Acuity is one by the gap in minutes of arc (ISO 8596, clause 4)."""
    gap = 2 * distance * 10 * tan(radians(1 / acuity / 60) / 2)
    assert detail(distance, acuity) == pytest.approx(gap, rel=1e-5)


@given(st.floats(0.01, 50), st.floats(0.2, 50))
def test_the_smallest_stroke_is_the_first_that_is_wide_enough(gap, side):
    units = stroke_units(gap, side / 10)
    assert units * side >= gap * (1 - 1e-6)
    assert units == 1 or (units - 1) * side < gap
    assert units == max(1, ceil(gap / side - 1e-9))
