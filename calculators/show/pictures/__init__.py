"""Pictures inside answers: where people would rather look than read."""

from calculators.show.pictures.charts import range_svg, unit_svg
from calculators.show.pictures.cloth import caption, cloth_svg
from calculators.show.pictures.ground import cords_svg, unit_edges_svg
from calculators.show.pictures.loom import loom_above_svg, loom_side_svg
from calculators.show.pictures.piece import piece_svg
from calculators.show.pictures.squares import squares_svg
from calculators.show.pictures.warp import warp_svg

__all__ = [
    "caption",
    "cloth_svg",
    "cords_svg",
    "loom_above_svg",
    "loom_side_svg",
    "piece_svg",
    "range_svg",
    "squares_svg",
    "unit_edges_svg",
    "unit_svg",
    "warp_svg",
]
