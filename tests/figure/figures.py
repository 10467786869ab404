"""Figures for the tests of this room."""

from hypothesis import strategies as st

from calculators.figure.grid import Grid


@st.composite
def grids(draw, most=40):
    across, up = draw(st.integers(1, most)), draw(st.integers(1, most))
    rows = st.lists(st.integers(0, (1 << across) - 1), min_size=up, max_size=up)
    return Grid(across, tuple(draw(rows)))
