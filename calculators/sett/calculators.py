"""The sett room's calculators: how close, another yarn or weave, sleying, reed numbers."""

from collections.abc import Mapping
from dataclasses import dataclass

from calculators.data import load
from calculators.engine.calculator import BARE, Answer, Basis, Calculator, Output, Table, Way
from calculators.engine.formula import unlogged
from calculators.engine.sources import citation
from calculators.engine.vocabulary import Inputs, aside, ask, give, if_known
from calculators.quantities.sentences import both, figure, many, percent
from calculators.quantities.units import INCH_CM, per_cm
from calculators.sett.change import sett_for_count, sett_for_weave
from calculators.sett.denting import (
    BORNE_BY_ANY_YARN,
    NEAR_ENOUGH,
    Denting,
    denting_choices,
    denting_of,
    ends_borne,
    ends_per_dent,
    width_of,
)
from calculators.sett.reeds import (
    REED_SYSTEMS,
    dents_per_inch,
    parse_reed_number,
    parse_reeds,
    reed_number,
)
from calculators.sett.rules import Limit, limit_from_wraps, limit_row, limits, maximum_sett
from calculators.sett.working import FIRMNESS, working_range
from calculators.show.pictures import range_svg
from calculators.weave.drawing import close_up_svg
from calculators.weave.library import WEAVES
from calculators.weave.library import weave as weave_named
from calculators.weave.matrix import Weave
from calculators.yarn.diameter import WRAPS_SHARE, diameter_mm, diameters_per_inch_ashenhurst
from calculators.yarn.yarn import Yarn, parse_yarn

SOFT_SYSTEMS = ("woollen_run", "woollen_cut", "yorkshire_skein", "galashiels")
LONG_FLOAT_MM = 10.0  # common practice, no source: longer floats catch in use
MOST_CHOICES = 20
CLOSEST_IN_HAND_WEAVING = 100.0  # ends per inch; common practice, no source
FINEST_REED = 90.0  # dents per inch of silk reeds: Wolfensberger 1921, p. 70
COARSEST_REED = 2.0  # dents per inch; common practice, no source
TURNS_OFF = 0.3  # of the turns the yarn's count foretells; common practice, no source
MOST_ALIKE = 4.0  # times as heavy, up to which rules for one yarn serve another; common practice


@dataclass(frozen=True)
class _Cloth:
    """A weave with its two yarns."""

    warp: Yarn
    weft: Yarn
    weave: Weave

    @property
    def firm(self) -> bool:
        return is_firm(self.warp)

    @property
    def unlike(self) -> bool:
        return self.weft.tex != self.warp.tex

    @property
    def uneven(self) -> bool:
        return len(set(self.weave.intersections_of_picks)) > 1


def is_firm(yarn: Yarn) -> bool:
    """Whether a yarn is spun firm, as all are that are not numbered as woollen."""
    return yarn.system not in SOFT_SYSTEMS


def _sett(inputs: Inputs) -> Answer:
    warp, weft = inputs["warp_yarn"], inputs["weft_yarn"]
    weave = inputs["weave"].repeat
    cloth = _Cloth(warp, weft, weave)
    most = maximum_sett(warp.tex, weave, weft.tex, cloth.firm)
    working = working_range(most, inputs["firmness"])
    with unlogged():
        rules = limits(warp.tex, weave, weft.tex, cloth.firm)
        methods = _methods(rules, weave, inputs["wraps"])
        firmnesses = _firmness(most)
        notes = _sett_notes(cloth, most, rules)
        cautions = _sett_cautions(cloth, working.likely, inputs["wraps"])
    sources = [*(row.source for row in rules), FIRMNESS[inputs["firmness"]].source]
    basis: Basis = "worked out" if cloth.unlike or cloth.uneven else "published"
    pictures = [
        range_svg(
            f"Working range of {weave.title}, in ends per inch, under its limit",
            working.low,
            working.high,
            most,
            [("working", working.likely)],
        )
    ]
    if 0.1 <= per_cm(working.likely) <= 400 and max(weave.ends, weave.picks) <= 32:
        square = per_cm(working.likely)
        pictures.append(close_up_svg(weave, warp.tex, weft.tex, square, square))
    return Answer(
        {
            "maximum": most,
            "working_low": working.low,
            "working": working.likely,
            "working_high": working.high,
        },
        tables={"methods": methods, "firmness": firmnesses},
        notes=tuple(notes),
        cautions=tuple(cautions),
        sources=tuple(dict.fromkeys(sources)),
        pictures=tuple(pictures),
        bases={"maximum": basis},
    )


def _methods(rules: tuple[Limit, ...], weave: Weave, wraps: float | None) -> Table:
    rows = [*rules]
    if wraps:
        counted = limit_from_wraps(wraps, weave.ends, weave.tightest_pick)
        words = f"your {many(wraps, 'turns')}, warp and weft alike"
        rows.append(limit_row("F-48", "Ruler turns ÷ 0.7, counted", counted, words))
    return Table(
        "The closest sett, by each rule",
        ("Rule", "Ends per inch", "Ends per cm", "Where it stands", "Source", "Remark"),
        tuple(
            (
                row.rule,
                row.ends_per_inch,
                per_cm(row.ends_per_inch),
                f"{row.basis} ({row.formula})",
                citation(row.source),
                row.remark,
            )
            for row in rows
        ),
        (None, 1, 1),
    )


def _firmness(most: float) -> Table:
    rows = []
    for name, firmness in FIRMNESS.items():
        working = working_range(most, name)
        rows.append(
            (
                firmness.title,
                f"{percent(firmness.share.low, 0)} to {percent(firmness.share.high, 0)}",
                f"{figure(working.low, 1)} to {figure(working.high, 1)}",
                f"{figure(per_cm(working.low), 1)} to {figure(per_cm(working.high), 1)}",
                firmness.basis,
            )
        )
    return Table(
        "Working setts, as shares of Ashenhurst's limit",
        ("Firmness", "Share", "Ends per inch", "Ends per cm", "Where it stands"),
        tuple(rows),
    )


def _sett_notes(cloth: _Cloth, most: float, rules: tuple[Limit, ...]) -> list[str]:
    warp, weft, weave = cloth.warp, cloth.weft, cloth.weave
    setts = [row.ends_per_inch for row in rules[:-1]]
    remembered = [row.rule for row in rules[:-1] if row.basis == "from memory"]
    notes = [
        f"The rules put the limit between {both(min(setts), '1/inch')} and "
        f"{both(max(setts), '1/inch')}: weave a sample before a long warp. From memory, not "
        f"checked: {', '.join(remembered)}.",
        "The working sett is meant in the reed, for a cloth about as close in the weft.",
    ]
    if warp.note:
        notes.append(warp.note)
    if cloth.unlike:
        alone = maximum_sett(warp.tex, weave, firm=cloth.firm)
        word = "lowers" if most < alone else "raises"
        notes.append(
            f"The weft is {'thicker' if most < alone else 'finer'} than the warp and {word} the "
            f"limit from {both(alone, '1/inch')}: each intersection leaves room for one "
            f"weft thread, {figure(diameter_mm(weft.tex))} mm against "
            f"{figure(diameter_mm(warp.tex))} mm."
        )
    if cloth.uneven:
        notes.append(
            "Its picks do not all cross alike; the tightest pick decides, for all share one reed."
        )
    if not cloth.firm:
        notes.append("Counted as a soft yarn, for it is numbered as woollen.")
    notes += [
        f"Common practice: {row['yarn']} {row['system']} in this weave at "
        f"{both(row['ends_per_inch'], '1/inch')}."
        for row in load("setts")["common"]
        if row["weave"] == weave.name.removesuffix("_warp")
        and abs(parse_yarn(row["yarn"], row["system"]).tex / warp.tex - 1) < 0.001
    ]
    return notes


def _sett_cautions(cloth: _Cloth, working: float, wraps: float | None) -> list[str]:
    warp, weft = cloth.warp, cloth.weft
    cautions = [*hand_weaving_caution(working), *float_cautions(cloth.weave, working)]
    if not cloth.weave.hangs_together:
        cautions.append("This weave is not one cloth: it comes apart, and no sett holds it.")
    if not 1 / MOST_ALIKE <= weft.tex / warp.tex <= MOST_ALIKE:
        cautions.append(
            f"One yarn is more than {figure(MOST_ALIKE, 0)} times as heavy as the other: the rules "
            "were made for yarns nearer alike. Trust a sample only."
        )
    if wraps:
        foretold = WRAPS_SHARE * diameters_per_inch_ashenhurst(warp.tex, cloth.firm)
        if round(abs(wraps / foretold - 1), 9) > TURNS_OFF:
            cautions.append(
                f"{many(wraps, 'turns')} in an inch, where {warp.text} should make about "
                f"{figure(foretold, 0)}: look again at the number of the yarn, or wind again."
            )
    return cautions


def float_cautions(weave: Weave, sett_per_inch: float) -> list[str]:
    """Warn of weft floats that catch, at a sett [1/inch]."""
    longest = weave.longest_float[1] / sett_per_inch * float(INCH_CM) * 10
    if longest <= LONG_FLOAT_MM:
        return []
    return [
        f"The longest weft float would be {figure(longest, 0)} mm. Over "
        f"{figure(LONG_FLOAT_MM, 0)} mm they catch in use (common practice): take a finer yarn or "
        "a shorter float."
    ]


def hand_weaving_caution(sett_per_inch: float) -> tuple[str, ...]:
    """Warn of a sett closer than hand weavers set up; each end is threaded by hand."""
    if round(sett_per_inch, 6) <= CLOSEST_IN_HAND_WEAVING:
        return ()
    return (
        f"{both(sett_per_inch, '1/inch')} is closer than {figure(CLOSEST_IN_HAND_WEAVING, 0)} "
        "ends an inch, which hand weavers seldom pass (common practice): look again at the yarn "
        "and its numbering, and weave a sample before a warp.",
    )


def _sett_change(inputs: Inputs) -> Answer:
    sett, yarn_from, yarn_to = inputs["sett"], inputs["from_yarn"], inputs["to_yarn"]
    weave_from, weave_to = inputs["from_weave"].repeat, inputs["to_weave"].repeat
    sett_in_yarn = sett_for_count(sett, yarn_from.tex, yarn_to.tex)
    sett_to = sett_for_weave(sett_in_yarn, weave_from, weave_to)
    others = [weave_named(name) for name in WEAVES if not name.endswith("_warp")]
    setts = [sett_for_weave(sett_in_yarn, weave_from, other) for other in others]
    table = Table(
        "The same firmness in other weaves, with the new yarn",
        ("Weave", "Ends per inch", "Ends per cm"),
        tuple(
            (other.title, per_inch, per_cm(per_inch))
            for other, per_inch in zip(others, setts, strict=True)
        ),
        (None, 1, 1),
    )
    notes = [
        f"As firm as {both(sett, '1/inch')} was before. If the first cloth was too open or too "
        "close, the new one will be too.",
        "Warp and weft are taken to change together.",
    ]
    cautions = [*hand_weaving_caution(sett_to)]
    with unlogged():
        closest = maximum_sett(yarn_from.tex, weave_from, firm=is_firm(yarn_from))
    if sett > closest:
        cautions.append(
            f"{both(sett, '1/inch')} is closer than {yarn_from.text} can stand in "
            f"{weave_from.title}, {both(closest, '1/inch')} by Ashenhurst: look again at the sett, "
            "the yarn and the weave, for the answer is as much too close."
        )
    if not 1 / MOST_ALIKE <= yarn_to.tex / yarn_from.tex <= MOST_ALIKE:
        cautions.append(
            f"One yarn is more than {figure(MOST_ALIKE, 0)} times as heavy as the other: so far "
            "off, what was right for one says little of the other. Weave a sample."
        )
    if not (weave_from.hangs_together and weave_to.hangs_together):
        cautions.append("One of the weaves is not one cloth: it comes apart, and no sett holds it.")
    return Answer(
        {"sett": sett_to},
        tables={"weaves": table},
        notes=tuple(notes),
        cautions=tuple(cautions),
        sources=("taylor-1909", "edinburgh-encyclopaedia"),
    )


def _denting(inputs: Inputs) -> Answer:
    sett, unit, ends = inputs["sett"], inputs["ends_per_unit"], inputs["ends"]
    reeds, yarn = parse_reeds(inputs["reeds"], "reeds", inputs.get(BARE, "")), inputs["yarn"]
    diameters = yarn and diameters_per_inch_ashenhurst(yarn.tex, is_firm(yarn))
    choices = denting_choices(sett, list(reeds.values()), unit, diameters_per_inch=diameters)
    typed = {dents: text for text, dents in reeds.items()}
    best = choices[0]
    ends_per_dent(sett, best.reed)  # told, as the next line is
    denting_of(best.reed, best.order, sett, unit, ends_borne(sett, best.reed, diameters))
    cautions = [*hand_weaving_caution(sett)]
    if diameters and sett > diameters:
        cautions.append(
            f"Only {both(diameters, '1/inch')} of this yarn lie side by side: at this sett the "
            "ends ride over each other, and no reed helps. Take a finer yarn or a more open sett."
        )
    if abs(best.error) > NEAR_ENOUGH:
        cautions.append(
            f"The best is {percent(abs(best.error))} off: none of these reeds suits well."
        )
    if best.marks:
        cautions.append(f"{best.order_text} in the dents: {best.marks}. Weave and wash a sample.")
    if not best.whole:
        cautions.append(
            f"With {best.order_text} in the dents, units of {many(unit, 'ends')} do not begin "
            "at a dent: "
            "mind the threading and the last dent."
        )
    if ends and ends < unit:
        cautions.append(f"Too few for one unit of {unit}: {many(ends, 'ends')}.")
    notes = [
        f"Orders of up to 5 dents within 6 % of {both(sett, '1/inch')}, weighed in this turn: "
        "within 3 % of the sett; a fullest dent that the yarn bears; all dents alike, then uneven "
        "ones, then empty ones; units on whole dents; then the nearest.",
        f"{yarn.text} at this sett bears {best.borne} in a dent of the {typed[best.reed]} reed: "
        "more would leave lines that washing does not close (worked out from its diameter; that "
        "an end moves one diameter in the wash is common practice)."
        if yarn
        else f"Without a yarn, more than {BORNE_BY_ANY_YARN} in a dent are counted as crowded "
        "(common practice). Name the yarn for a closer answer.",
        "A unit on whole dents begins with a new dent every time.",
    ]
    return Answer(
        {
            "best_reed": typed[best.reed],
            "best_order": best.order_text,
            "best_sett": best.sett,
            "best_error": 100 * best.error,
        },
        tables={"choices": choices_table(choices[:MOST_CHOICES], typed, ends)},
        notes=tuple(notes),
        cautions=tuple(cautions),
        sources=("weaving-columns", "taylor-1909"),
    )


SHOWN_LARGE = {"dents_per_inch": "Per inch", "dents_per_10_cm": "Per 10 cm"}


def choices_table(choices: list[Denting], typed: Mapping[float, str], ends: int | None) -> Table:
    """Set out sleying orders; ``typed`` has each reed as the weaver wrote it."""
    columns = [
        "Reed",
        "Dents per inch",
        "Ends in the dents",
        "Ends per inch",
        "Ends per cm",
        "Error, %",
        "Dents per unit",
        "Unit on whole dents",
        "Reed marks",
        "Fullest dent, ends borne",
    ]
    if ends:
        columns.append(f"Width of {many(ends, 'ends')}")
    rows = []
    for denting in choices:
        cells: list[str | float | int | bool | None] = [
            typed[denting.reed],
            denting.reed,
            denting.order_text,
            denting.sett,
            per_cm(denting.sett),
            100 * denting.error,
            denting.dents_per_unit,
            denting.whole,
            denting.marks or "none expected",
            f"{max(denting.order)}, {denting.borne}",
        ]
        if ends:
            cells.append(both(width_of(ends, per_cm(denting.sett)), "cm"))
        rows.append(tuple(cells))
    digits = (None, 2, None, 1, 1, 1, 2)
    return Table("Sleying orders near the sett", tuple(columns), tuple(rows), digits)


def _reed_number(inputs: Inputs) -> Answer:
    number, system = parse_reed_number(inputs["reed"], inputs["system"], "reed")
    dents = dents_per_inch(number, system.name)
    with unlogged():
        numbers = {name: reed_number(dents, name) for name in REED_SYSTEMS}
    notes = [
        f"Read as {figure(number)} {system.title}.",
        f"Two ends in a dent make {both(2 * dents, '1/inch')}.",
    ]
    if system.name != inputs["system"]:
        notes.append("The system written with the number was used, not the one chosen.")
    if system.basis != "published":
        notes.append(f"{system.title[0].upper()}{system.title[1:]}: from memory, not checked.")
    if system.name == "leeds":
        notes.append("One glossary prints 5.06 ends for the Leeds 12 porter; it is 50.67.")
    cautions = []
    if round(dents, 9) > FINEST_REED:
        cautions.append(
            f"{both(dents, '1/inch')} dents: the reeds of silk weavers end at about "
            f"{figure(FINEST_REED, 0)} an inch (Wolfensberger 1921, p. 70). Look again at the "
            "number and how it is counted."
        )
    if round(dents, 9) < COARSEST_REED:
        cautions.append(
            f"{both(dents, '1/inch')} dents: hardly a reed is so coarse (common practice). Look "
            "again at the number and how it is counted, and lay a ruler on the reed."
        )
    return Answer(
        numbers,
        tables={
            "systems": Table(
                "The same reed in every system",
                ("System", "Number", "Source", "Where"),
                tuple(
                    (row.title, numbers[name], citation(row.source), row.where)
                    for name, row in REED_SYSTEMS.items()
                ),
                (None, 2),
            )
        },
        notes=tuple(notes),
        cautions=tuple(cautions),
        sources=tuple(dict.fromkeys(row.source for row in REED_SYSTEMS.values())),
    )


ASK_FIRMNESS = ask(
    "firmness",
    "table",
    choices=tuple((name, firmness.title) for name, firmness in FIRMNESS.items()),
    basis="common practice",
)

CALCULATORS = (
    Calculator(
        id="sett",
        code="C-12",
        page="sett/",
        title="Sett from yarn and weave",
        question="How close should this yarn stand in this weave?",
        fields=(
            ask("warp_yarn", "16/2", system_field="warp_system"),
            aside("warp_system", "cotton"),
            ask(
                "weft_yarn",
                "",
                system_field="weft_system",
                required=False,
                follows="warp_yarn",
                hint="Leave empty for the same yarn as the warp; a thicker weft wants a more open "
                "warp.",
            ),
            aside("weft_system", "cotton"),
            ask("weave", "satin_6", label="Weave"),
            ASK_FIRMNESS,
            if_known("wraps"),
        ),
        outputs=(
            give("working", basis="common practice", formula="F-49", headline=True),
            give("working_low", basis="common practice", formula="F-49"),
            give("working_high", basis="common practice", formula="F-49"),
            give("maximum", basis="published", formula="F-42", headline=True),
        ),
        answer=_sett,
        ways=(
            Way(
                "denting",
                "Find a reed for it",
                {"ends_per_unit": "weave"},
                results={"sett": "working"},
                empty=("ends",),
            ),
            Way(
                "unit-grid",
                "How large a unit becomes",
                {"ends_per_unit": "weave", "picks_per_unit": "weave"},
                results={"sett": "working"},
                empty=("picks",),
            ),
            Way(
                "cloth-plan",
                "Plan the whole cloth",
                results={"sett": "working"},
                empty=("picks",),
            ),
        ),
    ),
    Calculator(
        id="sett-change",
        code="C-13",
        page="sett/changing/",
        title="Another yarn or another weave",
        question="This sett was right; what is right for another yarn or weave?",
        fields=(
            ask("sett", "12 /cm", label="Sett that was right", maximum=None),
            ask("from_yarn", "16/2", system_field="from_system"),
            aside("from_system", "cotton"),
            ask("from_weave", "plain"),
            ask("to_yarn", "30/2", system_field="to_system"),
            aside("to_system", "cotton"),
            ask("to_weave", "satin_6"),
        ),
        outputs=(give("sett_to", name="sett", basis="published", formula="F-51", headline=True),),
        answer=_sett_change,
        ways=(
            Way(
                "denting",
                "Find a reed for it",
                {"ends_per_unit": "to_weave", "yarn": "to_yarn", "system": "to_system"},
                results={"sett": "sett"},
                empty=("ends",),
            ),
        ),
    ),
    Calculator(
        id="denting",
        code="C-14",
        page="sett/reeds/",
        title="Sleying with the reeds you have",
        question="Which reed and how many ends in a dent come nearest this sett?",
        fields=(
            ask("sett", "18 /cm", label="Sett wanted"),
            ask(
                "reeds",
                "40/10, 50/10, 60/10, 80/10, 90/10",
                hint="With commas between: 60/10 is 60 dents in 10 cm, 12 dpi or 12-dent is 12 in "
                "an inch, and 60 Stockport or 40 porter may be written out.",
            ),
            ask("ends_per_unit", "6", maximum=1000),
            ask(
                "warp_yarn",
                "",
                name="yarn",
                hint="For how many ends a dent bears; empty counts five and more as crowded.",
                required=False,
                system_field="system",
            ),
            aside("warp_system", "cotton", name="system"),
            aside("ends", "1200", hint="For the width; may be left empty.", required=False),
        ),
        outputs=(
            give("best_reed", formula="F-53", headline=True),
            give("best_order", formula="F-53", headline=True),
            give("best_sett", formula="F-53", headline=True),
            give("best_error", formula="F-54"),
        ),
        answer=_denting,
    ),
    Calculator(
        id="reed-number",
        code="C-15",
        page="sett/reeds/",
        title="Reed numbers",
        question="What is this old or foreign reed in numbers I know?",
        fields=(
            ask("reed", "50"),
            ask(
                "reed_system",
                "dents_per_10_cm",
                name="system",
                choices=tuple((name, system.title) for name, system in REED_SYSTEMS.items()),
            ),
        ),
        outputs=tuple(
            Output(
                name,
                system.title[0].upper() + system.title[1:],
                basis="published" if system.basis == "published" else "from memory",
                formula="F-52",
                headline=name in SHOWN_LARGE,
                short=SHOWN_LARGE.get(name, ""),
            )
            for name, system in REED_SYSTEMS.items()
        ),
        answer=_reed_number,
    ),
)
