"""Light on a thread, as a model has it: the darker, the more the thread lies along the light.

After the model of J. T. Kajiya and T. L. Kay (1989) for thin cylinders: what is thrown back hangs
on the angle between the thread and the light, and its gloss also on that between the thread and the
eye. The eye looks straight down.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import cos, isfinite, radians, sin

from calculators.data import load
from calculators.engine.expression import root
from calculators.engine.formula import bare, formula
from calculators.errors import InputError

HOURS = 12
STANDING = 40.0  # degrees over the table: a window across the room
LOWEST, HIGHEST = 10.0, 80.0
_WORDS = {"behind": 0.0, "top": 0.0, "right": 90.0, "front": 180.0, "bottom": 180.0, "left": 270.0}


@dataclass(frozen=True)
class Fibre:
    """How a fibre throws back the light; ``even``, ``spread`` and ``gloss`` make one."""

    name: str
    words: str
    even: float
    spread: float
    gloss: float
    sharpness: float


@dataclass(frozen=True)
class Light:
    """Where the light comes from.

    ``bearing`` is counted in degrees from the far end of the cloth by way of the right, ``height``
    in degrees over the table.
    """

    bearing: float = 0.0
    height: float = STANDING

    def beside(self, warp: bool) -> float:
        """Share of the light's direction that runs along the warp, or along the weft."""
        turn = radians(self.bearing)
        return cos(radians(self.height)) * (cos(turn) if warp else sin(turn))

    def above(self) -> float:
        """Share of the light's direction that points straight down."""
        return sin(radians(self.height))

    def in_words(self) -> str:
        """Say it by the clock.

        >>> Light(45).in_words(), Light().in_words()
        ('light from 1:30', 'light from 12 o’clock')
        """
        hour, minutes = divmod(round(self.bearing % 360 * 60 * HOURS / 360), 60)
        return f"light from {hour or HOURS}{f':{minutes:02}' if minutes else ' o’clock'}"


@cache
def fibres() -> Mapping[str, Fibre]:
    """Every fibre by its name (F-203).

    >>> fibres()["linen"].sharpness > fibres()["cotton"].sharpness
    True
    """
    return {row["name"]: Fibre(**row) for row in load("appearance")["fibre"]}


@formula(
    "F-200",
    "How far a thread lies along the light",
    "kajiya-kay-1989",
    gives="along_light",
    where="the product of the thread’s direction and the light’s, each of length one",
    basis="published",
)
def along(
    thread_level: float, light_beside: float, thread_rise: float, light_above: float
) -> float:
    """Cosine of the angle between a thread and the light: 1 lies along it, 0 across it.

    >>> along(1, 0.8, 0, 0.6)
    0.8
    """
    return thread_level * light_beside + thread_rise * light_above


@formula(
    "F-201",
    "How far a thread lies across the light",
    "kajiya-kay-1989",
    gives="across_light",
    where="sine of the angle between thread and light",
    basis="published",
)
def across(along_light: float) -> float:
    """Sine of the angle between a thread and the light, from the cosine.

    >>> round(across(0.8), 9)
    0.6
    """
    return root(1 - along_light**2)


@formula(
    "F-202",
    "How near the eye is to the mirrored light",
    "kajiya-kay-1989",
    gives="to_mirror",
    where="cosine of the angle between the eye and the cone of mirrored light, as quoted by two "
    "works; the eye straight above",
    basis="published",
    validity="nothing where it is below nothing",
)
def to_mirror(
    across_light: float, thread_level: float, along_light: float, thread_rise: float
) -> float:
    """Cosine of the angle between the eye above and the light that a thread mirrors.

    >>> round(to_mirror(0.6, 1, 0.8, 0), 9)
    0.6
    """
    return across_light * thread_level - along_light * thread_rise


@formula(
    "F-203",
    "Light from the body of a thread",
    "kajiya-kay-1989",
    gives="body_light",
    where="spread by the sine; the even light, which comes from the whole room, and the fibres’ "
    "figures are ours, chosen by eye",
    basis="published",
    validity="a model: no shadow of one thread on another, no twist, no fluff",
)
def body_light(even: float, spread: float, across_light: float) -> float:
    """Share of the light that the body of a white thread sends to the eye.

    >>> body_light(0.25, 0.5, 0.5)
    0.5
    """
    return even + spread * across_light


@formula(
    "F-203",
    "Light from the gloss of a thread",
    "kajiya-kay-1989",
    gives="gloss_light",
    where="a power of the cosine; the fibres’ figures are ours, chosen by eye",
    basis="published",
    validity="white, whatever the colour of the yarn",
)
def gloss_light(gloss: float, to_mirror: float, sharpness: float) -> float:
    """Share of the light that the gloss of a thread sends to the eye.

    >>> gloss_light(0.2, 0.5, 2)
    0.05
    """
    left: float = to_mirror**sharpness  # a power may be anything to a checker of types
    return gloss * left


@formula(
    "F-204",
    "Slope of a thread that goes under",
    "exact-arithmetic",
    gives="slope",
    where="it sinks by half of both diameters on its way past one thread",
)
def slope(warp_diameter: float, weft_diameter: float, thread_room: float) -> float:
    """Slope with which a thread goes under the next one, whose room is given.

    >>> round(slope(0.3, 0.3, 0.5), 9)
    0.6
    """
    return (warp_diameter + weft_diameter) / 2 / thread_room


_along, _across, _to_mirror = bare(along), bare(across), bare(to_mirror)
_body_light, _gloss_light = bare(body_light), bare(gloss_light)


def thrown_back(light: Light, fibre: Fibre, warp: bool, steep: float) -> tuple[float, float]:
    """Light from the body of a thread and from its gloss, where it rises so steeply (F-203).

    >>> body, gloss = thrown_back(Light(90), fibres()["cotton"], True, 0)
    >>> round(body, 9), round(gloss, 9)
    (0.85, 0.15)
    """
    level = 1 / (1 + steep**2) ** 0.5
    rise = level * steep
    lies_along = _along(level, light.beside(warp), rise, light.above())
    lies_across = _across(max(-1.0, min(1.0, lies_along)))
    mirrored = max(0.0, _to_mirror(lies_across, level, lies_along, rise))
    body = _body_light(fibre.even, fibre.spread, lies_across)
    return body, _gloss_light(fibre.gloss, mirrored, fibre.sharpness)


def read_light(text: str, field: str = "light") -> Light:
    """Light from an hour of the clock, twelve being the far end, or from degrees (F-200).

    >>> read_light("3").bearing, read_light("45°").bearing, read_light("left").bearing
    (90.0, 45.0, 270.0)
    """
    plain = text.strip().casefold()
    if plain in _WORDS:
        return Light(_WORDS[plain])
    found = re.fullmatch(
        r"(-?\d+(?:[.,:]\d+)?)\s*(o['’]?\s*clock|h|hours?|°|deg(?:rees?)?)?", plain
    )
    if found:
        number = float(found[1].replace(",", ".").replace(":", "."))
        if ":" in found[1]:
            hour, _, minutes = found[1].partition(":")
            number = float(hour) + float(minutes) / 60
        degrees = bool(found[2]) and found[2][0] in "°d"
        if isfinite(number) and (degrees or 0 <= number <= HOURS):
            return Light((number if degrees else number * 360 / HOURS) % 360)
    raise InputError(
        field,
        f"“{text.strip()[:30]}” is no direction of the light.",
        "Write a clock hour from 0 to 12 – 12 at the far end of the cloth, 3 on the right – or "
        "degrees, such as 45°.",
    )
