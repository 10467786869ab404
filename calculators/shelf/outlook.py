"""What a yarn becomes in a weave, before anything is planned."""

from collections.abc import Mapping

from calculators.cloth import size
from calculators.engine.calculator import Answer, Calculator, Way
from calculators.engine.formula import unlogged
from calculators.engine.network import Figure, Network, Worked
from calculators.engine.vocabulary import Inputs, aside, ask, calculated, give
from calculators.quantities.interval import Range
from calculators.quantities.units import per_cm
from calculators.sett.calculators import is_firm
from calculators.sett.rules import maximum_sett
from calculators.sett.working import working_range
from calculators.shelf.cones_and_looms import fibre_of
from calculators.shelf.scoring import articles, use_part
from calculators.weave.drawing import close_up_svg
from calculators.weave.matrix import Weave

BOLDEST = 2.0  # times the unit usual for an article; common practice, no source
NOTHING_KNOWN = "nothing that is sure: weave a sample"


def good_for(weave: Weave, fibre: str, unit_width: float) -> tuple[str, ...]:
    """Kinds of cloth that weave, fibre and unit suit without a doubt.

    Equation: some article of the kind with a fit for its use of 1, and a unit at most twice as wide
        as the article's usual one   (F-124)
    Parameters:
        weave [Weave]: the weave
        fibre [text]: what the yarn is spun of, empty where it is not known
        unit_width [cm]: a unit in the washed cloth
    Returns:
        [names] the groups of the catalogue, in its order
    Validity: weaves of the catalogue; washing, wear and units are common practice.
    Errors: none.

    Example:
        >>> from calculators.weave.library import weave
        >>> good_for(weave("basket_2_2"), "cotton", 0.3)
        ('mats', 'pillowcases', 'bags', 'upholstery')

    Source: definition.
    """
    name = weave.name.removesuffix("_warp")
    longest = max(weave.longest_float) * unit_width / weave.ends
    return tuple(
        dict.fromkeys(
            article.group
            for article in articles()
            if unit_width <= BOLDEST * article.unit
            and use_part(article, name, longest, (fibre,)) == 1
        )
    )


def _prepared(inputs: Inputs) -> Mapping[str, Figure | None]:
    yarn, weave = inputs["yarn"], inputs["weave"].repeat
    most = maximum_sett(yarn.tex, weave, yarn.tex, is_firm(yarn))
    working = working_range(most)
    return {
        "reed_sett": Range(*map(per_cm, (working.low, working.likely, working.high))),
        "ends_per_unit": weave.ends,
    }


def _remarks(inputs: Inputs, figures: Worked) -> Answer:
    yarn, weave = inputs["yarn"], inputs["weave"].repeat
    with unlogged():
        kinds = good_for(weave, fibre_of(yarn), figures.likely("unit_width"))
    sett = figures.likely("reed_sett")
    return Answer(
        {"good_for": ", ".join(kinds) or NOTHING_KNOWN},
        notes=("Warp and weft are this yarn, and a unit is one repeat of the weave.",),
        pictures=(close_up_svg(weave, yarn.tex, yarn.tex, sett, sett),)
        if max(weave.ends, weave.picks) <= 32
        else (),
    )


OUTLOOK: Calculator = calculated(
    id="outlook",
    code="C-54",
    page="",
    title="Your yarn, at once",
    question="What becomes of this yarn in this weave?",
    asks=(
        ask("warp_yarn", "16/2", name="yarn", label="Yarn", system_field="system"),
        ask("warp_system", "cotton", name="system", label="Counted in"),
        ask("weave", "satin_6"),
        aside("finished_width", "18 in", label="Width of the napkin"),
        aside("width_shrinkage"),
        aside("draw_in"),
    ),
    gives=(
        give("reed_sett", name="sett", unit="1/inch", formula="F-49", headline=True),
        give("unit_width", headline=True),
        give("units_across", label="Units across the napkin", headline=True),
        give("good_for", basis="common practice"),
    ),
    formulas=Network(
        size.loom_width,
        size.cloth_sett,
        size.units_across,
        size.unit_width,
        decided=("units_across",),
    ),
    prepare=_prepared,
    remarks=_remarks,
    ways=(
        Way(
            "cloth-plan",
            "Plan a cloth of it",
            {"finished_length": "finished_width"},
            results={"sett": "sett"},
            empty=("picks",),
        ),
        Way("sett", "More about its sett"),
    ),
)
