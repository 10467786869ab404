"""What the room of the figure is asked."""

from calculators.engine.calculator import Calculator
from calculators.figure.draw import FIGURE
from calculators.figure.tie_up import GROUND

CALCULATORS: tuple[Calculator, ...] = (GROUND, FIGURE)
