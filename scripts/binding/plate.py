"""The plate on the cover: a damask of the handbook's own, close up."""

from calculators.weave.drawing import close_up_svg
from calculators.weave.library import weave
from calculators.weave.matrix import Weave
from calculators.yarn.systems import tex_of

UNITS = 12  # across and up
FINENESS = tex_of(30, 2, "cotton")
SETT = 24.0  # ends and picks in a centimetre


def plate_svg() -> str:
    """Draw rings of warp satin in a ground of weft satin, thread by thread."""
    ground = weave("satin_5")
    faces = (ground, ground.complement)
    middle = (UNITS - 1) / 2

    def lies_up(end: int, pick: int) -> bool:
        across, up = end // ground.ends, pick // ground.picks
        ring = int(abs(across - middle) + abs(up - middle)) // 2
        return faces[ring % 2].matrix[pick % ground.picks][end % ground.ends]

    ends, picks = UNITS * ground.ends, UNITS * ground.picks
    rows = tuple(tuple(lies_up(end, pick) for end in range(ends)) for pick in range(picks))
    cloth = Weave("plate", "Damask on five-end satin", rows)
    return close_up_svg(cloth, FINENESS, FINENESS, SETT, SETT, ends=ends, picks=picks)
