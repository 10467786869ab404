"""Make the site's fonts from the published ones: fewer signs, fewer weights, small files.

Run by hand when a font changes; the results are committed:

    .venv/bin/python scripts/fonts.py node_modules/@fontsource-variable
"""

import shutil
import sys
from collections.abc import Sequence
from pathlib import Path

from fontTools.subset import Options, Subsetter  # type: ignore[import-untyped]
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]
from fontTools.ttLib.tables._g_l_y_f import GlyphCoordinates  # type: ignore[import-untyped]
from fontTools.varLib import instancer  # type: ignore[import-untyped]
from fontTools.varLib.iup import iup_delta  # type: ignore[import-untyped]

FONTS = Path(__file__).resolve().parent.parent / "docs" / "assets" / "fonts"
LETTERS = (
    "".join(map(chr, range(0x20, 0x7F))) + "ÀÁÂÄÅÆÇÈÉÊËÌÍÎÏÑÒÓÔÖØÙÚÛÜàáâäåæçèéêëìíîïñòóôöøùúûüßœŒ"
)
SIGNS = "\u00a0\u2009\u202f§©°±²³´·¹º»«¼½¾⅓⅔⅛⅜⅝⅞⁄×÷–—‘’“”„…′″‹›€£→←↑↓−√≈≤≥≠∞•¶†₀₁₂₃₄₅₆₇₈₉✓"
GREEK = "αβγδηθλμνπρσφΔΣΩµ"
ITALIC = LETTERS + "\u00a0·–—‘’“”…½¼¾×"  # a word or a sentence at a time
ALL = LETTERS + SIGNS + GREEK
FEATURES = ["kern", "liga", "mark", "mkmk", "ccmp", "locl", "tnum", "lnum", "frac", "sups", "subs"]

SLASHED = {"atkinson-hyperlegible-next": ("zero", "zero.tf")}  # signs that cross their zero out

Points = Sequence[tuple[float, float]]

# result, package, file in the package, weights kept, signs kept
MADE = (
    (
        "atkinson-hyperlegible-next",
        "atkinson-hyperlegible-next",
        "latin-wght-normal",
        (400, 700),
        ALL,
    ),
    ("literata", "literata", "latin-wght-normal", (400, 600), ALL),
    ("literata-italic", "literata", "latin-wght-italic", (400, 400), ITALIC),
)


def within(outline: Points, room: Points) -> list[tuple[float, float]]:
    """Return an outline drawn once more, the other way round, as large as the room inside it."""

    def scaled(place: int) -> list[float]:
        old, new = ([point[place] for point in points] for points in (outline, room))
        factor = (max(new) - min(new)) / (max(old) - min(old))
        return [min(new) + (value - min(old)) * factor for value in old]

    return list(zip(scaled(0), scaled(1), strict=True))[::-1]


def make_plain(font: TTFont, sign: str) -> None:
    """Take the stroke out of a zero, which would read as another letter in the North."""
    glyph = font["glyf"][sign]
    if glyph.isComposite():
        return
    points, ends = list(glyph.coordinates), glyph.endPtsOfContours
    rim, count = ends[0] + 1, len(points)
    inner = within(points[:rim], points[rim:])
    for variation in font["gvar"].variations[sign]:
        moves = iup_delta(variation.coordinates, [*points, *[(0, 0)] * 4], ends)
        moved = [(x + dx, y + dy) for (x, y), (dx, dy) in zip(points, moves, strict=False)]
        wider = within(moved[:rim], moved[rim:count])
        apart = [
            (round(x - was_x), round(y - was_y))
            for (x, y), (was_x, was_y) in zip(wider, inner, strict=True)
        ]
        variation.coordinates = [*moves[:rim], *apart, *moves[count:]]
    glyph.coordinates = GlyphCoordinates([*points[:rim], *((round(x), round(y)) for x, y in inner)])
    glyph.flags = [*glyph.flags[:rim], *reversed(glyph.flags[:rim])]
    glyph.endPtsOfContours = [rim - 1, 2 * rim - 1]
    glyph.numberOfContours = 2


def make(result: str, package: Path, style: str, weights: tuple[int, int], signs: str) -> Path:
    """Write one small font and say where."""
    font = TTFont(package / "files" / f"{package.name}-{style}.woff2")
    for sign in SLASHED.get(package.name, ()):
        make_plain(font, sign)
    options = Options()
    options.layout_features = (
        FEATURES if signs == ALL else [one for one in FEATURES if one != "kern"]
    )
    options.drop_tables += ["vmtx", "vhea", "VVAR"]  # nothing is set in columns
    options.hinting = False
    options.name_IDs = [0, 1, 2, 13, 14]
    subsetter = Subsetter(options)
    subsetter.populate(text=signs)
    subsetter.subset(font)
    lowest, highest = weights
    instancer.instantiateVariableFont(
        font, {"wght": lowest if lowest == highest else (lowest, highest)}, inplace=True
    )
    font.flavor = "woff2"
    path = FONTS / f"{result}.woff2"
    font.save(path)
    shutil.copyfile(package / "LICENSE", FONTS / f"{package.name}-OFL.txt")
    return path


def main(packages: Path) -> None:
    """Make every font and print its size."""
    FONTS.mkdir(parents=True, exist_ok=True)
    for result, package, style, weights, signs in MADE:
        path = make(result, packages / package, style, weights, signs)
        print(f"{path.name}: {path.stat().st_size / 1024:.1f} KB")


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    main(Path(sys.argv[1]))
