"""One figure at true size: a yarn in every structure that shows one, as cloth, side by side."""

from functools import cache

from calculators.appearance.calculators import look_from
from calculators.data import load
from calculators.quantities.sentences import both
from calculators.show.pairs import sentence_html
from calculators.show.pictures import cloth_svg
from calculators.tables import napkin
from calculators.weave.library import weave as weave_named

HEART = """
..##.##..
.#######.
#########
#########
.#######.
..#####..
...###...
....#....
"""
NO_FIGURE = ("plain", "lace_6")  # the windows of lace open in the wash, which is not drawn
DISTANCE = "60 cm"  # so finely as an eye parts it at arm's length


@cache
def true_size_html(name: str) -> str:
    """Draw the heart in one of the yarns of the tables beside it, at the same setts."""
    settings = load("tables")["looking"]
    yarn = next(row for row in settings["yarns"] if row["name"] == name)
    figures = "".join(_one(yarn, weave) for weave in settings["weaves"] if weave not in NO_FIGURE)
    return (
        f'<div class="ft-trues">{figures}</div>'
        '<p><button type="button" data-action="ruler">Is this its true size?</button></p>'
    )


def _one(yarn: dict[str, str], name: str) -> str:
    weave = weave_named(name)
    found = napkin(yarn["label"], yarn["system"], weave)
    each = str(weave.ends)
    yarns = {
        f"{side}_{what}": yarn[key]
        for side in ("warp", "weft")
        for what, key in (("yarn", "label"), ("system", "system"))
    }
    look = look_from(
        {
            **yarns,
            "weave": name,
            "grid": HEART,
            "order": "last",
            "sett": f"{found.likely('reed_sett'):.4f} /cm",
            **{"ends_per_unit": each, "picks_per_unit": each},
            "fibre": yarn["system"],
            "viewing_distance": DISTANCE,
        }
    )
    title = weave.title.partition(",")[0]
    width, height = look.fabric.size_mm
    svg = cloth_svg(
        f"{yarn['title']}, {title}, true size",
        f"A heart of {look.fabric.grid.across} units by {look.fabric.grid.up}; {look.in_words()}.",
        look.whole(),
        (width, height),
        1,
    )
    words = sentence_html(f"{title}, {both(width / 10, 'cm')}")
    return f"<figure>{svg}<figcaption>{words}</figcaption></figure>"
