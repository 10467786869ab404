"""What the room of the figure is asked."""

from calculators.engine.calculator import Calculator

CALCULATORS: tuple[Calculator, ...] = ()
