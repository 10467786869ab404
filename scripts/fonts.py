"""Make the site's fonts from the published ones: fewer signs, fewer weights, small files.

Run by hand when a font changes; the results are committed:

    .venv/bin/python scripts/fonts.py node_modules/@fontsource-variable
"""

import shutil
import sys
from pathlib import Path

from fontTools.subset import Options, Subsetter  # type: ignore[import-untyped]
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]
from fontTools.varLib import instancer  # type: ignore[import-untyped]

FONTS = Path(__file__).resolve().parent.parent / "docs" / "assets" / "fonts"
LETTERS = (
    "".join(map(chr, range(0x20, 0x7F))) + "ÀÁÂÄÅÆÇÈÉÊËÌÍÎÏÑÒÓÔÖØÙÚÛÜàáâäåæçèéêëìíîïñòóôöøùúûüßœŒ"
)
SIGNS = "\u00a0\u2009\u202f§©°±²³´·¹º»«¼½¾⅓⅔⅛⅜⅝⅞⁄×÷–—‘’“”„…′″‹›€£→←↑↓−√≈≤≥≠∞•¶†₀₁₂₃₄₅₆₇₈₉✓"
GREEK = "αβγδηθλμνπρσφΔΣΩµ"
FEATURES = ["kern", "liga", "mark", "mkmk", "ccmp", "locl", "tnum", "lnum", "frac", "sups", "subs"]

# result, package, file in the package, weights kept
MADE = (
    ("atkinson-hyperlegible-next", "atkinson-hyperlegible-next", "latin-wght-normal", (400, 700)),
    ("literata", "literata", "latin-wght-normal", (400, 600)),
    ("literata-italic", "literata", "latin-wght-italic", (400, 400)),
)


def make(result: str, package: Path, style: str, weights: tuple[int, int]) -> Path:
    """Write one small font and say where."""
    font = TTFont(package / "files" / f"{package.name}-{style}.woff2")
    options = Options()
    options.layout_features = FEATURES
    options.hinting = False
    options.name_IDs = [0, 1, 2, 13, 14]
    subsetter = Subsetter(options)
    subsetter.populate(text=LETTERS + SIGNS + GREEK)
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
    for result, package, style, weights in MADE:
        path = make(result, packages / package, f"{style}", weights)
        print(f"{path.name}: {path.stat().st_size / 1024:.1f} KB")


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    main(Path(sys.argv[1]))
