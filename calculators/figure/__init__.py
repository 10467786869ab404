"""The figure of a unit cloth: squares on a grid, rows of units, cords."""
