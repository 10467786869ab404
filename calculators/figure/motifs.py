"""Motifs and letters that the handbook brings along, as grids."""

from calculators.data import load
from calculators.errors import InputError
from calculators.figure.grid import MOST_ACROSS, Grid, of_marks, read_grid

SIZES = ("small", "large")
_MARKED = {
    **{"Å": ("A", "ring"), "Ä": ("A", "dots"), "Ö": ("O", "dots"), "Ü": ("U", "dots")},
    "É": ("E", "acute"),
}


def motifs() -> dict[str, str]:
    """Names of the motifs with their titles.

    >>> motifs()["acorn"]
    'Acorn'
    """
    return {name: row["title"] for name, row in load("motifs")["motifs"].items()}


def motif(name: str) -> Grid:
    """One of the motifs, whole.

    >>> grid = motif("acorn")
    >>> grid.across, grid.up
    (19, 29)
    """
    known = load("motifs")["motifs"]
    if name not in known:
        raise InputError(
            "motif", f"There is no motif “{name[:40]}”.", f"There are {', '.join(known)}."
        )
    row = known[name]
    part = read_grid(row["squares"], top_first=True)
    if "mirrored" not in row:
        return part
    left = [list(line) for line in part.marks()]
    return of_marks(line + line[::-1][row["mirrored"] == "about a unit" :] for line in left)


def lettering(text: str, size: str = "small", gap: int | None = None) -> Grid:
    """A line of letters and figures for names and years; small letters are told as capitals.

    >>> from calculators.figure.grid import in_squares
    >>> print(in_squares(lettering("1.", gap=1), top_first=True))
    .#....
    ##....
    .#....
    .#....
    .#....
    .#..##
    ###.##
    """
    if size not in SIZES:
        raise InputError("size", f"There is no size “{size[:40]}”.", "There are small and large.")
    sheet = load("motifs")["letters"][size]
    apart = sheet["gap"] if gap is None else gap
    if not 0 <= apart <= 40:
        raise InputError(
            "gap", f"The letters stand {apart} units apart.", "From 0 to 40 units will do."
        )
    columns: list[int] = []
    written = " ".join(text.replace("-", "–").upper().split())
    if not written:
        raise InputError("text", "There are no letters yet.", "Type a name or a year.")
    for sign in written:
        if sign == " ":
            columns += [0] * (sheet["space"] - apart)
            continue
        columns += ([0] * apart if columns else []) + list(_letter(sign, sheet).columns)
        if len(columns) > MOST_ACROSS:
            raise InputError(
                "text",
                f"“{written[:40]}” is more than {MOST_ACROSS} units wide.",
                "Take the small letters, or fewer of them.",
            )
    up = max(column.bit_length() for column in columns)
    return of_marks([[column >> row & 1 for column in columns] for row in range(up)])


def _letter(sign: str, sheet: dict[str, dict[str, str]]) -> Grid:
    base, mark = _MARKED.get(sign, (sign, ""))
    if base not in sheet["signs"]:
        offered = " ".join([*sheet["signs"], *_MARKED])
        raise InputError("text", f"The letter “{sign}” is not drawn here.", f"There are {offered}")
    letter = read_grid(sheet["signs"][base], top_first=True)
    if not mark:
        return letter
    above = read_grid(sheet["marks"][mark], top_first=True)
    in_middle = (letter.across - above.across) // 2
    rows = tuple(row << in_middle for row in above.rows)
    return Grid(letter.across, (*letter.rows, 0, *rows))
