"""The plate on the cover: a damask of the handbook's own, close up."""

from calculators.weave.drawing import close_up_svg
from calculators.weave.library import weave
from calculators.weave.matrix import Weave
from calculators.yarn.systems import tex_of

FINENESS = tex_of(30, 2, "cotton")
SETT = 24.0  # ends and picks in a centimetre
UNITS = 12  # across and up, on the cover


def rings(across: int, up: int) -> Weave:
    """Rings of warp satin in a ground of weft satin, of so many units of five-end satin."""
    ground = weave("satin_5")
    faces = (ground, ground.complement)

    def lies_up(end: int, pick: int) -> bool:
        right, above = end // ground.ends, pick // ground.picks
        ring = int(abs(right - (across - 1) / 2) + abs(above - (up - 1) / 2)) // 2
        return faces[ring % 2].matrix[pick % ground.picks][end % ground.ends]

    ends, picks = range(across * ground.ends), range(up * ground.picks)
    rows = tuple(tuple(lies_up(end, pick) for end in ends) for pick in picks)
    return Weave("plate", "Damask on five-end satin", rows)


def plate_svg() -> str:
    """Draw the rings close up, thread by thread, true to sett and thickness."""
    cloth = rings(UNITS, UNITS)
    return close_up_svg(cloth, FINENESS, FINENESS, SETT, SETT, ends=cloth.ends, picks=cloth.picks)
