"""Reads a printed calculation and works it out, knowing nothing of the package that printed it."""

import math
import re

SPACES = "\u202f\u00a0"
UNITS = r"(?:cm|mm|m/kg|m|kg|g/m²|g|tex|h|%|per cm|per inch|per kg|per lb|yd/lb|oz/yd²|in|yd|oz)"
# A unit by its kind and its size, from the definitions of 1959.
SIZES = {
    "mm": ("length", 0.001), "cm": ("length", 0.01), "m": ("length", 1), "in": ("length", 0.0254),
    "yd": ("length", 0.9144), "g": ("mass", 1), "kg": ("mass", 1000), "oz": ("mass", 28.349523125),
    "per kg": ("price", 1), "per lb": ("price", 1 / 0.45359237),
    "per cm": ("density", 100), "per inch": ("density", 1 / 0.0254),
    "g/m²": ("mass of an area", 1), "oz/yd²": ("mass of an area", 28.349523125 / 0.9144**2),
}  # fmt: skip
TOLD_TWICE = re.compile(
    rf"(?P<text>\d[\d.\u202f]* (?P<unit>{UNITS})) \((?P<other>\d[\d.\u202f]* (?P<in>{UNITS}))\)"
)
TOKEN = re.compile(
    rf"\s*(?:(?P<number>\d+(?:[{SPACES} ]\d{{3}})*(?:\.\d+)?)\s*(?P<unit>{UNITS}(?![a-z]))?"
    r"|(?P<mark>[-−+×÷·/^()√])|(?P<word>up|down|nearest|yd/lb))"
)


def evaluate(text: str) -> float:
    """Work out one side of a printed equation; ValueError when any of it cannot be read."""
    tokens, place = [], 0
    text = text.strip()
    while place < len(text):
        match = TOKEN.match(text, place)
        if not match:
            raise ValueError(f"cannot read “{text[place:]}” in “{text}”")
        place = match.end()
        if match["number"]:
            digits = float(re.sub(rf"[{SPACES} ]", "", match["number"]))
            tokens.append(digits / 100 if match["unit"] == "%" else digits)
        else:
            tokens.append(match["mark"] or match["word"])
    reader = _Reader(tokens)
    found = reader.sum()
    if reader.tokens:
        raise ValueError(f"left over in “{text}”: {reader.tokens}")
    return found


def told_once(text: str) -> tuple[str, list[tuple[str, str]]]:
    """Take out each figure that stands in brackets behind the same in another unit."""
    pairs = [(found["text"], found["other"]) for found in TOLD_TWICE.finditer(text)]
    return TOLD_TWICE.sub(r"\g<text>", text), pairs


def quantity(text: str) -> tuple[str, float, float]:
    """Read a figure with its unit: its kind, its size, and half its last place."""
    found = re.fullmatch(rf"([−-]?)(\d[\d{SPACES}]*)(?:\.(\d+))? ({UNITS})", text)
    if not found:
        raise ValueError(f"no figure with a unit: “{text}”")
    kind, size = SIZES[found[4]]
    whole, places = re.sub(rf"[{SPACES}]", "", found[2]), found[3] or ""
    value = float(f"{whole}.{places}0") * size * (-1 if found[1] else 1)
    return kind, value, 0.5 * 10 ** -len(places) * size


def sides(text: str) -> tuple[str, list[str]]:
    """Part a step into its working and the results that it says are equal to it."""
    working, *results = text.split(" = ")
    if not results:
        raise ValueError(f"no result in “{text}”")
    return working, results


class _Reader:
    def __init__(self, tokens):
        self.tokens = tokens

    def take(self, *wanted):
        if self.tokens and self.tokens[0] in wanted:
            return self.tokens.pop(0)
        return None

    def sum(self):
        found = self.product()
        while sign := self.take("+", "−", "-"):
            found = found + self.product() if sign == "+" else found - self.product()
        return found

    def product(self):
        found = self.power()
        while sign := self.take("×", "·", "÷", "/"):
            found = found * self.power() if sign in "×·" else found / self.power()
        return found

    def power(self):
        base = self.atom()
        return base ** self.power() if self.take("^") else base

    def atom(self):
        if not self.tokens:
            raise ValueError("it breaks off")
        token = self.tokens.pop(0)
        if isinstance(token, float):
            return token
        if token == "(":
            found = self.sum()
            if not self.take(")"):
                raise ValueError("a bracket is left open")
            return found
        if token == "√":
            return math.sqrt(self.atom())
        if token in ("−", "-"):
            return -self.atom()
        rounding = {
            "up": lambda x: math.ceil(x - 1e-9),
            "down": lambda x: math.floor(x + 1e-9),
            "nearest": lambda x: math.floor(x + 0.5 + 1e-9),
        }
        if token in rounding:
            return rounding[token](self.atom())
        raise ValueError(f"“{token}” stands where a number should")
