"""Printed tables, worked out again from the rules they stand for."""

from math import sqrt

import pytest

from calculators.sett.working import FIRMNESS
from calculators.tables import structure

# 8/2, 16/2, 30/2 and 60/2 cotton as single counts.
COUNTS = {"8/2": 4, "16/2": 8, "30/2": 15, "60/2": 30}


def test_a_structure_in_four_yarns():
    """Ashenhurst: 0.9 √(yards in a pound) threads side by side; five-end satin leaves 5 of 7."""
    share = FIRMNESS["table"].share
    rows = structure("satin_5", 5).rows
    assert [row[0] for row in rows] == list(COUNTS)
    for label, printed, per_cm, longest, units, unit in rows:
        limit = 0.9 * sqrt(840 * COUNTS[label]) * 5 / 7
        low, likely, high = (round(limit * part) for part in (share.low, share.likely, share.high))
        assert printed == f"{likely} ({low}–{high})"
        assert per_cm == pytest.approx(limit * share.likely / 2.54)
        assert longest == pytest.approx(4 * 10 / per_cm)
        assert units == pytest.approx(limit * share.likely / 5)
        assert unit == pytest.approx(5 * 10 / per_cm)


def test_a_structure_without_a_unit_has_no_columns_for_it():
    with_unit, alone = structure("satin_5", 5), structure("satin_5")
    assert len(alone.columns) == len(alone.digits) == 4
    assert len(with_unit.columns) == len(with_unit.digits) == 6
    assert alone.rows == tuple(row[:4] for row in with_unit.rows)
