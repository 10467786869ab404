"""The sett room's calculators: how close, another yarn or weave, denting, reed numbers."""

from collections.abc import Mapping
from typing import Any

from calculators.data import load
from calculators.engine.calculator import Answer, Basis, Calculator, Output, Table, Way
from calculators.engine.formula import unlogged
from calculators.engine.sources import citation
from calculators.engine.vocabulary import aside, ask, give, if_known
from calculators.quantities.sentences import both, figure, percent
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
from calculators.weave.library import WEAVES, weave
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


def _sett(given: Mapping[str, Any]) -> Answer:
    warp: Yarn = given["warp_yarn"]
    weft: Yarn = given["weft_yarn"] or warp
    chosen: Weave = given["weave"].repeat
    firm = warp.system not in SOFT_SYSTEMS
    unlike = weft.tex != warp.tex
    uneven = len(set(chosen.intersections_of_picks)) > 1
    most = maximum_sett(warp.tex, chosen, weft.tex, firm)
    working = working_range(most, given["firmness"])
    with unlogged():
        rules = limits(warp.tex, chosen, weft.tex, firm)
        methods = _methods(rules, chosen, given["wraps"])
        firmnesses = _firmness(most)
        notes = _sett_notes(warp, weft, chosen, firm, most, rules)
        cautions = _sett_cautions(warp, weft, chosen, firm, working.likely, given["wraps"])
    sources = [*(row.source for row in rules), FIRMNESS[given["firmness"]].source]
    worked: Basis = "worked out" if unlike or uneven else "published"
    pictures = [
        range_svg(
            f"Working range of {chosen.title}, in ends per inch, under its limit",
            working.low,
            working.high,
            most,
            [("working", working.likely)],
        )
    ]
    if 0.1 <= per_cm(working.likely) <= 400 and max(chosen.ends, chosen.picks) <= 32:
        square = per_cm(working.likely)
        pictures.append(close_up_svg(chosen, warp.tex, weft.tex, square, square))
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
        bases={"maximum": worked},
    )


def _methods(rules: tuple[Limit, ...], chosen: Weave, wraps: float | None) -> Table:
    rows = [*rules]
    if wraps:
        counted = limit_from_wraps(wraps, chosen.ends, chosen.tightest_pick)
        words = f"your {figure(wraps)} turns, warp and weft alike"
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
        found = working_range(most, name)
        rows.append(
            (
                firmness.title,
                f"{percent(firmness.share.low, 0)} to {percent(firmness.share.high, 0)}",
                f"{figure(found.low, 1)} to {figure(found.high, 1)} per inch",
                f"{figure(per_cm(found.low), 1)} to {figure(per_cm(found.high), 1)} per cm",
                firmness.basis,
            )
        )
    return Table(
        "Working setts, as shares of Ashenhurst's limit",
        ("Firmness", "Share", "Sett", "Metric", "Where it stands"),
        tuple(rows),
    )


def _sett_notes(
    warp: Yarn, weft: Yarn, chosen: Weave, firm: bool, most: float, rules: tuple[Limit, ...]
) -> list[str]:
    found = [row.ends_per_inch for row in rules[:-1]]
    remembered = [row.rule for row in rules[:-1] if row.basis == "from memory"]
    notes = [
        f"The rules put the limit between {both(min(found), '1/inch')} and "
        f"{both(max(found), '1/inch')}: weave a sample before a long warp. From memory, not "
        f"checked: {', '.join(remembered)}.",
        "The working sett is meant in the reed, for a cloth about as close in the weft.",
    ]
    if warp.note:
        notes.append(warp.note)
    if weft.tex != warp.tex:
        alone = maximum_sett(warp.tex, chosen, firm=firm)
        word = "lowers" if most < alone else "raises"
        notes.append(
            f"The weft is {'thicker' if most < alone else 'finer'} than the warp and {word} the "
            f"limit from {both(alone, '1/inch')}: each crossing leaves room for one weft thread, "
            f"{figure(diameter_mm(weft.tex))} mm against {figure(diameter_mm(warp.tex))} mm."
        )
    if len(set(chosen.intersections_of_picks)) > 1:
        notes.append(
            "Its picks do not all cross alike; the tightest pick decides, for all share one reed."
        )
    if not firm:
        notes.append("Counted as a soft yarn, for it is numbered as woollen.")
    notes += [
        f"Common practice: {row['yarn']} {row['system']} in this weave at "
        f"{both(row['ends_per_inch'], '1/inch')}."
        for row in load("setts")["common"]
        if row["weave"] == chosen.name.removesuffix("_warp")
        and abs(parse_yarn(row["yarn"], row["system"]).tex / warp.tex - 1) < 0.001
    ]
    return notes


def _sett_cautions(
    warp: Yarn, weft: Yarn, chosen: Weave, firm: bool, working: float, wraps: float | None
) -> list[str]:
    cautions = [*hand_weaving_caution(working), *float_cautions(chosen, working)]
    if not chosen.hangs_together:
        cautions.append("This weave is not one cloth: it comes apart, and no sett holds it.")
    if not 1 / MOST_ALIKE <= weft.tex / warp.tex <= MOST_ALIKE:
        cautions.append(
            f"One yarn is more than {figure(MOST_ALIKE, 0)} times as heavy as the other: the rules "
            "were made for yarns nearer alike. Trust a sample only."
        )
    if wraps:
        foretold = WRAPS_SHARE * diameters_per_inch_ashenhurst(warp.tex, firm)
        if round(abs(wraps / foretold - 1), 9) > TURNS_OFF:
            cautions.append(
                f"{figure(wraps)} turns in an inch, where {warp.text} should make about "
                f"{figure(foretold, 0)}: look again at the number of the yarn, or wind again."
            )
    return cautions


def float_cautions(chosen: Weave, working: float) -> list[str]:
    """Warn of weft floats that catch, at a sett [1/inch]."""
    longest = chosen.longest_float[1] / working * float(INCH_CM) * 10
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


def _sett_change(given: Mapping[str, Any]) -> Answer:
    start, first, second = given["sett"], given["from_yarn"], given["to_yarn"]
    old, new = given["from_weave"].repeat, given["to_weave"].repeat
    for_yarn = sett_for_count(start, first.tex, second.tex)
    found = sett_for_weave(for_yarn, old, new)
    others = Table(
        "The same firmness in other weaves, with the new yarn",
        ("Weave", "Ends per inch", "Ends per cm"),
        tuple(
            (other.title, sett, per_cm(sett))
            for other, sett in (
                (weave(name), sett_for_weave(for_yarn, old, weave(name)))
                for name in WEAVES
                if not name.endswith("_warp")
            )
        ),
        (None, 1, 1),
    )
    notes = [
        f"As firm as {both(start, '1/inch')} was before. If the first cloth was too open or too "
        "close, the new one will be too.",
        "Warp and weft are taken to change together.",
    ]
    cautions = [*hand_weaving_caution(found)]
    with unlogged():
        closest = maximum_sett(first.tex, old, firm=first.system not in SOFT_SYSTEMS)
    if start > closest:
        cautions.append(
            f"{both(start, '1/inch')} is closer than {first.text} can stand in {old.title}, "
            f"{both(closest, '1/inch')} by Ashenhurst: look again at the sett, the yarn and the "
            "weave, for the answer is as much too close."
        )
    if not 1 / MOST_ALIKE <= second.tex / first.tex <= MOST_ALIKE:
        cautions.append(
            f"One yarn is more than {figure(MOST_ALIKE, 0)} times as heavy as the other: so far "
            "off, what was right for one says little of the other. Weave a sample."
        )
    if not (old.hangs_together and new.hangs_together):
        cautions.append("One of the weaves is not one cloth: it comes apart, and no sett holds it.")
    return Answer(
        {"sett": found},
        tables={"weaves": others},
        notes=tuple(notes),
        cautions=tuple(cautions),
        sources=("taylor-1909", "edinburgh-encyclopaedia"),
    )


def _denting(given: Mapping[str, Any]) -> Answer:
    sett, unit, ends = given["sett"], given["ends_per_unit"], given["ends"]
    reeds, yarn = parse_reeds(given["reeds"], "reeds"), given["yarn"]
    across = yarn and diameters_per_inch_ashenhurst(yarn.tex, yarn.system not in SOFT_SYSTEMS)
    choices = denting_choices(sett, list(reeds.values()), unit, diameters_per_inch=across)
    choices = choices[:MOST_CHOICES]
    typed = {dents: text for text, dents in reeds.items()}
    reed, order = choices[0].reed, choices[0].order
    ends_per_dent(sett, reed)
    best = denting_of(reed, order, sett, unit, ends_borne(sett, reed, across))
    cautions = [*hand_weaving_caution(sett)]
    if across and sett > across:
        cautions.append(
            f"Only {both(across, '1/inch')} of this yarn lie side by side: at this sett the ends "
            "ride over each other, and no reed helps. Take a finer yarn or a more open sett."
        )
    if abs(best.error) > NEAR_ENOUGH:
        cautions.append(
            f"The best is {percent(abs(best.error))} off: none of these reeds suits well."
        )
    if best.marks:
        cautions.append(f"{best.order_text} in the dents: {best.marks}. Weave and wash a sample.")
    if not best.whole:
        cautions.append(
            f"With {best.order_text} in the dents, units of {unit} ends do not begin at a dent: "
            "mind the threading and the last dent."
        )
    if ends and ends < unit:
        cautions.append(f"{ends} ends do not make one unit of {unit}.")
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
        tables={"choices": choices_table(choices, typed, ends)},
        notes=tuple(notes),
        cautions=tuple(cautions),
        sources=("weaving-columns", "taylor-1909"),
    )


def choices_table(choices: list[Denting], typed: Mapping[float, str], ends: int | None) -> Table:
    """Set out denting orders; ``typed`` has each reed as the weaver wrote it."""
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
        columns.append(f"Width of {ends} ends")
    rows = []
    for one in choices:
        cells: list[str | float | int | bool | None] = [
            typed[one.reed],
            one.reed,
            one.order_text,
            one.sett,
            per_cm(one.sett),
            100 * one.error,
            one.dents_per_unit,
            one.whole,
            one.marks or "none expected",
            f"{max(one.order)}, {one.borne}",
        ]
        if ends:
            cells.append(both(width_of(ends, per_cm(one.sett)), "cm"))
        rows.append(tuple(cells))
    digits = (None, 2, None, 1, 1, 1, 2)
    return Table("Denting orders near the sett", tuple(columns), tuple(rows), digits)


def _reed_number(given: Mapping[str, Any]) -> Answer:
    number, system = parse_reed_number(given["reed"], given["system"], "reed")
    dents = dents_per_inch(number, system.name)
    with unlogged():
        found = {name: reed_number(dents, name) for name in REED_SYSTEMS}
    notes = [
        f"Read as {figure(number)} {system.title}.",
        f"Two ends in a dent make {both(2 * dents, '1/inch')}.",
    ]
    if system.name != given["system"]:
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
        found,
        tables={
            "systems": Table(
                "The same reed in every system",
                ("System", "Number", "Source", "Where"),
                tuple(
                    (
                        other.title,
                        found[name],
                        citation(other.source),
                        other.where,
                    )
                    for name, other in REED_SYSTEMS.items()
                ),
                (None, 2),
            )
        },
        notes=tuple(notes),
        cautions=tuple(cautions),
        sources=tuple(dict.fromkeys(one.source for one in REED_SYSTEMS.values())),
    )


ASK_FIRMNESS = ask(
    "firmness",
    "table",
    choices=tuple((name, one.title) for name, one in FIRMNESS.items()),
    basis="common practice",
)

CALCULATORS = (
    Calculator(
        "sett",
        "C-12",
        "sett/",
        "Sett from yarn and weave",
        "How close should this yarn stand in this weave?",
        (
            ask("warp_yarn", "16/2", system_field="warp_system"),
            aside("warp_system", "cotton"),
            ask(
                "weft_yarn",
                "",
                system_field="weft_system",
                required=False,
                hint="Leave empty for the same yarn as the warp; a thicker weft wants a more open "
                "warp.",
            ),
            aside("weft_system", "cotton"),
            ask("weave", "satin_6", label="Weave"),
            ASK_FIRMNESS,
            if_known("wraps"),
        ),
        (
            give("working", basis="common practice", formula="F-49", headline=True),
            give("working_low", basis="common practice", formula="F-49"),
            give("working_high", basis="common practice", formula="F-49"),
            give("maximum", basis="published", formula="F-42", headline=True),
        ),
        _sett,
        ways=(
            Way(
                "denting",
                "Find a reed for it",
                results={"working": "sett"},
            ),
            Way(
                "unit-grid",
                "How large a unit becomes",
                results={"working": "sett"},
            ),
            Way(
                "cloth-plan",
                "Plan the whole cloth",
                {
                    "warp_yarn": "warp_yarn",
                    "warp_system": "warp_system",
                    "weft_yarn": "weft_yarn",
                    "weft_system": "weft_system",
                    "weave": "weave",
                },
                results={"working": "sett"},
            ),
        ),
    ),
    Calculator(
        "sett-change",
        "C-13",
        "sett/changing/",
        "Another yarn or another weave",
        "This sett was right; what is right for another yarn or weave?",
        (
            ask("sett", "30", label="Sett that was right", maximum=None),
            ask("from_yarn", "16/2", system_field="from_system"),
            aside("from_system", "cotton"),
            ask("from_weave", "plain"),
            ask("to_yarn", "30/2", system_field="to_system"),
            aside("to_system", "cotton"),
            ask("to_weave", "satin_6"),
        ),
        (give("sett_to", name="sett", basis="published", formula="F-51", headline=True),),
        _sett_change,
        ways=(Way("denting", "Find a reed for it", results={"sett": "sett"}),),
    ),
    Calculator(
        "denting",
        "C-14",
        "sett/reeds/",
        "Denting with the reeds you have",
        "Which reed and how many ends in a dent come nearest this sett?",
        (
            ask("sett", "46", label="Sett wanted"),
            ask(
                "reeds",
                "8, 10, 12, 15, 60/10",
                hint="With commas between; a bare number is dents in an inch, 60/10 is 60 dents in "
                "10 cm, and 60 Stockport or 40 porter may be written out.",
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
        (
            give("best_reed", formula="F-53", headline=True),
            give("best_order", formula="F-53", headline=True),
            give("best_sett", formula="F-53", headline=True),
            give("best_error", formula="F-54"),
        ),
        _denting,
    ),
    Calculator(
        "reed-number",
        "C-15",
        "sett/reeds/",
        "Reed numbers",
        "What is this old or foreign reed in numbers I know?",
        (
            ask("reed", "50"),
            ask(
                "reed_system",
                "dents_per_10_cm",
                name="system",
                choices=tuple((name, one.title) for name, one in REED_SYSTEMS.items()),
            ),
        ),
        tuple(
            Output(
                name,
                one.title[0].upper() + one.title[1:],
                basis="published" if one.basis == "published" else "from memory",
                formula="F-52",
                headline=name in ("dents_per_inch", "dents_per_10_cm"),
            )
            for name, one in REED_SYSTEMS.items()
        ),
        _reed_number,
    ),
)
