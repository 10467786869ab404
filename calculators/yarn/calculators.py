"""The yarn room's calculators: what a label means, plying, a yarn without a label, a cone."""

from collections.abc import Mapping, Sequence

from calculators.engine.calculator import Answer, Calculator, Table, Way
from calculators.engine.first_guesses import guess
from calculators.engine.formula import unlogged
from calculators.engine.vocabulary import Inputs, aside, ask, give, if_known
from calculators.errors import InputError
from calculators.quantities.format import format_number
from calculators.quantities.interval import Range, over_ranges
from calculators.quantities.parse import parse_list, shown
from calculators.quantities.sentences import both, figure, percent, times
from calculators.yarn import cone, diameter, folded, unknown
from calculators.yarn.systems import SYSTEMS, count_of, rounded_tex, tex_of
from calculators.yarn.yarn import (
    Yarn,
    metres_per_kilogram,
    parse_yarn,
    refuse_if_no_yarn,
    yards_per_pound,
)

MOST_OPEN = 0.05  # an interval wider than this share of the figure earns a caution; our choice


LITTLE, MOST_COUNT, MOST_UNLIKE = 0.2, 0.1, 4.0  # beyond these a caution; our choice
COMMON_COUNTS = (  # by their results' names
    ("cotton_count", "cotton"),
    ("linen_lea", "linen"),
    ("metric_count", "metric"),
    ("woollen_run", "woollen_run"),
)
FURTHER_COUNTS = (
    ("worsted_count", "worsted"),
    ("french_count", "french"),
    ("decitex", "decitex"),
    ("denier", "denier"),
)
FINEST, COARSEST = 2.0, 1000.0  # tex of what hand weavers weave with, common practice


def _of_a_thread(tex: float) -> tuple[str, ...]:
    """Say so when a yarn is finer or coarser than any that hand weavers use."""
    if FINEST <= tex <= COARSEST:
        return ()
    words = "finer than any thread" if tex < FINEST else "thicker than any yarn"
    return (
        f"{_tex(tex)} is {words} that hand weavers usually put on a loom. Look at number, ply and "
        "count system again.",
    )


def _tex(value: float) -> str:
    return f"{format_number(value)} tex"


def _system_note(yarn: Yarn, chosen: str) -> tuple[str, ...]:
    """Say so when the label names a system other than the one chosen beside it."""
    if yarn.system == chosen or yarn.system in ("yards_per_pound", "metres_per_kilogram"):
        return ()
    return (
        f"The label itself says {SYSTEMS[yarn.system].title}, so that was used and not "
        f"{SYSTEMS[chosen].title}.",
    )


def _reading_notes(yarn: Yarn, chosen: str) -> tuple[str, ...]:
    notes = [f"Read as {yarn.readings[0].words}. {yarn.note}".strip()]
    with unlogged():
        notes += [
            f"Could also mean {other.words}: {_tex(other.tex)}, "
            f"{format_number(yards_per_pound(other.tex))} yd/lb."
            for other in yarn.readings[1:]
        ]
    return (*notes, *_system_note(yarn, chosen))


def _linear_density_step(yarn: Yarn) -> None:
    """Work the label's linear density out once more, for it to be told among the steps."""
    tex_of(yarn.count, yarn.plies, yarn.system)


def _yarn_count(inputs: Inputs) -> Answer:
    yarn: Yarn = inputs["yarn"]
    tex = yarn.tex
    _linear_density_step(yarn)
    metres, yards = metres_per_kilogram(tex), yards_per_pound(tex)
    counts = {name: count_of(tex, system) for name, system in (*COMMON_COUNTS, *FURTHER_COUNTS)}
    diameters, thickness = diameter.diameters_per_inch(tex), diameter.diameter_range(tex)
    rounded, wraps = rounded_tex(tex), diameter.ruler_wraps(tex)
    with unlogged():
        rules = Table(
            "Diameter by each published rule",
            ("Rule", "Diameters in an inch", "Diameter, mm", "Standing"),
            tuple(
                (row.rule, row.per_inch, row.millimetres, row.basis)
                for row in diameter.diameter_rules(tex)
            ),
            (None, 1, 3, None),
        )
        readings = Table(
            "What the label can mean",
            ("Reading", "Tex", "m/kg", "yd/lb"),
            tuple(
                (
                    reading.words if place else f"{reading.words} (used)",
                    reading.tex,
                    metres_per_kilogram(reading.tex),
                    yards_per_pound(reading.tex),
                )
                for place, reading in enumerate(yarn.readings)
            ),
            (None, 2, 0, 0),
        )
    return Answer(
        results={
            "tex": tex,
            **counts,
            "tex_rounded": rounded,
            "yards_per_pound": yards,
            "metres_per_kilogram": metres,
            "plies": yarn.plies,
            "diameter": thickness,
            "diameters_per_inch": diameters,
        },
        tables={"readings": readings, "rules": rules},
        notes=(
            *_reading_notes(yarn, inputs["system"]),
            "All counts are those of a single thread as heavy as the whole yarn.",
            f"The rounded tex, {format_number(rounded)}, is "
            f"{percent(abs(rounded / tex - 1))} from the exact one. ISO 2947 keeps within "
            "2 % as far as it can; its series is given here from memory.",
            f"Wound round a ruler, about {figure(wraps, 0)} turns fill an inch "
            "(0.7 of the diameters).",
        ),
        cautions=_of_a_thread(tex),
        sources=tuple(
            dict.fromkeys(
                (
                    SYSTEMS[yarn.system].source,
                    "yard-pound-1959",
                    "ashenhurst-note",
                    "taylor-1909",
                    "peirce-1937",
                    "osterkamp-2004",
                )
            )
        ),
    )


def _counts(yarns: Sequence[Yarn], system: str) -> list[float]:
    return [count_of(yarn.tex, system) for yarn in yarns]


def _yarns(text: str, system: str, field: str) -> list[Yarn]:
    return [parse_yarn(item, system, field) for item in parse_list(text, field)]


def _folded_yarn(inputs: Inputs) -> Answer:
    system: str = inputs["system"]
    wanted: Yarn | None = inputs["wanted"]
    yarns = _yarns(inputs["yarns"], system, "yarns")
    if len(yarns) == 1 and yarns[0].plies == 1 and not wanted:
        raise InputError(
            "yarns",
            f"“{shown(inputs['yarns'])}” names one single yarn; plying needs two or more.",
            "Write them with a comma and a space between, such as 60, 40.",
        )
    direct = SYSTEMS[system].direct
    with unlogged():
        counts = _counts(yarns, system)
    resultant, side_by_side, equal_masses = (mean(*counts) for mean in folded.MEANS[direct])
    results = {
        "resultant": resultant,
        "tex": tex_of(resultant, 1, system),
        "side_by_side": side_by_side,
        "equal_masses": equal_masses,
    }
    notes = [
        "Read as: " + "; ".join(yarn.readings[0].words for yarn in yarns) + ".",
        "Twist shortens the threads, so a plied yarn is a little heavier than this.",
    ]
    if wanted:
        at_hand = _yarns(inputs["known"], system, "known") if inputs["known"] else yarns
        with unlogged():
            known_counts, (wanted_count,) = _counts(at_hand, system), _counts([wanted], system)
        partner = folded.partner_count(known_counts, wanted_count, direct)
        results["partner"] = partner
        notes.append(
            f"To make {wanted.readings[0].words}, ply "
            f"{' and '.join(yarn.readings[0].words for yarn in at_hand)} with one thread of "
            f"{figure(partner)} ({SYSTEMS[system].title})."
        )
    elif inputs["known"]:
        raise InputError(
            "wanted",
            "A yarn at hand is named, but not the yarn that shall come of it.",
            "Write the count wanted, such as 24, or empty the field of the yarns at hand.",
        )
    return Answer(
        results=results,
        notes=tuple(notes),
        cautions=tuple(_folded_cautions(yarns, results, system)),
        sources=("taylor-1909", "brooks-1892", "davis-hosiery", SYSTEMS[system].source),
    )


def _folded_cautions(yarns: Sequence[Yarn], results: Mapping[str, float], system: str) -> list[str]:
    cautions = list(_of_a_thread(results["tex"]))
    heaviest, lightest = (pick(yarn.tex for yarn in yarns) for pick in (max, min))
    if heaviest > MOST_UNLIKE * lightest:
        cautions.append(
            f"One of these yarns is more than {format_number(MOST_UNLIKE)} times as heavy as "
            "another: plied, the thick one lies straight and the thin one winds round it."
        )
    if "partner" in results and (fine := tex_of(results["partner"], 1, system)) < FINEST:
        cautions.append(
            f"The thread to ply with them would be of {_tex(fine)}, finer than any that hand "
            "weavers use: the yarns at hand are near enough to the count wanted."
        )
    return cautions


def _unknown_yarn(inputs: Inputs) -> Answer:
    length, mass, step = inputs["length"], inputs["mass"], inputs["scale_step"] or 0.0
    length_error = (inputs["length_off"] or Range.exactly(0.0)).high
    tex = unknown.tex_from_sample(length, mass, step, length_error)
    refuse_if_no_yarn(tex.likely, f"{format_number(mass)} g in {both(length, 'cm')}", "mass")
    counts = {
        name: over_ranges(lambda tex, system=system: count_of(tex, system), tex=tex)
        for name, system in COMMON_COUNTS
    }
    with unlogged():
        neighbours = unknown.nearest_yarns(tex.likely)
    nearest = Table(
        "Common yarns nearest in weight",
        ("Yarn", "Tex", "Heavier by, %", "Within what scale and length leave open"),
        tuple(
            (
                row.entry.name,
                row.entry.yarn.tex,
                100 * row.deviation,
                "yes" if tex.low <= row.entry.yarn.tex <= tex.high else "no",
            )
            for row in neighbours
        ),
        (None, 2, 1, None),
    )
    cautions = list(_of_a_thread(tex.likely))
    if step / mass > MOST_OPEN:
        enough = unknown.length_for_accuracy(tex.likely, step)
        cautions.append(
            f"The scale’s step leaves {percent(step / mass)} open. "
            f"Weigh {both(enough / 100, 'm')} and it leaves no more than 1 % either way."
        )
    if 2 * length_error > MOST_OPEN:
        cautions.append(
            f"The length leaves {percent(2 * length_error)} open. Measure a turn of the reel with "
            "the yarn itself, or a longer piece against a tape."
        )
    if step == 0 and length_error == 0:
        cautions.append("Scale and length were taken as exact, which neither is.")
    return Answer(
        results={
            "tex": tex,
            **counts,
            "tex_low": tex.low,
            "tex_high": tex.high,
        },
        tables={"nearest": nearest},
        notes=(
            "At the least and at the most hold the yarn in 95 of 100 samples or more, if the "
            "length is no farther off than you say nineteen times in twenty.",
            "Counts are those of a single thread of this weight: a two-ply yarn shows as half the "
            "number on its label.",
            "Weight does not tell the fibre; judge that by eye, hand and a burnt end.",
        ),
        cautions=tuple(cautions),
        sources=("ucum", "astm-d2260", "trade-knowledge"),
    )


def _cone(inputs: Inputs) -> Answer:
    gross, empty, yarn = inputs["gross"], inputs["empty"], inputs["yarn"]
    step, tolerance = inputs["scale_step"] or 0.0, inputs["tolerance"] or Range.exactly(0.0)
    _linear_density_step(yarn)
    net = cone.net_mass(gross, empty)
    length = times(cone.cone_length(gross, empty, yarn.tex, step, tolerance.high), 0.01)
    cautions = list(_of_a_thread(yarn.tex))
    if net <= step:
        cautions.append("The scale cannot tell this cone from an empty one.")
    elif empty == 0:
        cautions.append("The empty cone was taken as nothing, so the length is too long.")
    elif 2 * step > MOST_OPEN * net:
        cautions.append(
            f"So little yarn is left that the scale’s step alone leaves {percent(2 * step / net)} "
            "of it open. A finer scale tells more."
        )
    if 0 < net < empty * LITTLE:
        cautions.append(
            f"The empty cone weighs more than {format_number(1 / LITTLE)} times the yarn on it: if "
            "it is not this very cone, the length is a guess."
        )
    if tolerance.high > MOST_COUNT:
        cautions.append(
            f"A count that may be more than {percent(MOST_COUNT, 0)} off is hardly a label: weigh "
            "a measured length."
        )
    return Answer(
        results={
            "net_mass": net,
            "length": length.likely,
            "length_low": length.low,
            "length_high": length.high,
        },
        notes=(
            *_reading_notes(yarn, inputs["system"]),
            "At the least and at the most: one cone in ten holds less, one in ten more, and fewer "
            "where the scale is coarse.",
            "Plan with the low length: a warp cannot be wound from the last metres of a guess.",
            "Weigh the cone after some days in the room; damp yarn is heavier, linen most of all.",
        ),
        cautions=tuple(cautions),
        sources=("weaving-columns", SYSTEMS[yarn.system].source, "astm-d1909"),
    )


def count_systems() -> Table:
    """Set out the count systems with their definitions."""
    return Table(
        "Systems of yarn count",
        ("System", "Written", "Count 1 is", "Higher number", "m/kg for count 1", "Number names"),
        tuple(
            (
                kind.title,
                kind.symbol,
                f"{kind.length} weighing {kind.mass}",
                "thicker" if kind.direct else "finer",
                metres_per_kilogram(float(kind.constant)),
                {
                    "single": "the single thread",
                    "resultant": "the finished yarn",
                    "whole": "the yarn as it is",
                }[kind.numbers],
            )
            for kind in SYSTEMS.values()
        ),
        (None, None, None, None, 2, None),
    )


CALCULATORS: tuple[Calculator, ...] = (
    Calculator(
        id="yarn-count",
        code="C-1",
        page="yarn/",
        title="What a yarn label means",
        question="How fine is this yarn, in every system, and how thick?",
        fields=(
            ask(
                "yarn",
                "16/2",
                system_field="system",
            ),
            ask("system", "cotton"),
        ),
        outputs=(
            give("metres_per_kilogram", formula="F-5", headline=True),
            give("yards_per_pound", formula="F-4", headline=True),
            give("tex", formula="F-1", headline=True),
            give("decitex", formula="F-3"),
            give("denier", formula="F-3"),
            give("cotton_count", formula="F-3"),
            give("linen_lea", formula="F-3"),
            give("worsted_count", formula="F-3"),
            give("metric_count", formula="F-3"),
            give("woollen_run", formula="F-3"),
            give("french_count", formula="F-3"),
            give("tex_rounded", basis="from memory", formula="F-143"),
            give("plies"),
            give("diameter", basis="published", formula="F-11"),
            give("diameters_per_inch", basis="published", formula="F-8"),
        ),
        answer=_yarn_count,
        ways=(
            Way(
                "sett",
                "How close to set it",
                {"warp_yarn": "yarn", "warp_system": "system"},
            ),
            Way("cone", "How much is left on a cone of it"),
        ),
    ),
    Calculator(
        id="folded-yarn",
        code="C-2",
        page="yarn/choosing/",
        title="Plying yarns of different counts",
        question="What count comes of these yarns together, and what is missing for another?",
        fields=(
            ask("yarns", "60, 40"),
            ask("system", "cotton"),
            ask("wanted", "", system_field="system", required=False),
            if_known("known"),
        ),
        outputs=(
            give("resultant", short="Plied", formula="F-13", headline=True),
            give("tex", label="Plied together", formula="F-1"),
            give("average_count", name="side_by_side", formula="F-15", headline=True),
            give("equal_masses", formula="F-142"),
            give("partner", formula="F-14", headline=True),
        ),
        answer=_folded_yarn,
    ),
    Calculator(
        id="unknown-yarn",
        code="C-3",
        page="yarn/unknown-cone/",
        title="A yarn without a label",
        question="What count is this yarn, from a measured length and its weight?",
        fields=(
            ask("sample_length", "20 m", name="length"),
            ask("sample_mass", "1.48 g", name="mass"),
            ask("scale_step", "0.01 g", required=False),
            aside("length_off", "0.5 %", basis="common practice", required=False),
        ),
        outputs=(
            give("tex", formula="F-16", headline=True),
            give("cotton_count", formula="F-3", headline=True),
            give("linen_lea", formula="F-3", headline=True),
            give("metric_count", formula="F-3"),
            give("woollen_run", formula="F-3"),
            give("tex_low", formula="F-16"),
            give("tex_high", formula="F-16"),
        ),
        answer=_unknown_yarn,
    ),
    Calculator(
        id="cone",
        code="C-4",
        page="yarn/part-cone/",
        title="What is left on a cone",
        question="How many metres are on this cone?",
        fields=(
            ask("gross", "412 g"),
            ask("empty", "46 g"),
            ask(
                "yarn",
                "16/2",
                system_field="system",
            ),
            ask("system", "cotton"),
            aside("scale_step", "1 g", required=False),
            aside("tolerance", guess("count_tolerance"), basis="from memory", required=False),
        ),
        outputs=(
            give("thread_length", name="length", label="Length left", formula="F-7", headline=True),
            give("length_low", formula="F-7"),
            give("length_high", formula="F-7"),
            give("net_mass", formula="F-19"),
        ),
        answer=_cone,
        ways=(
            Way(
                "cloth-plan",
                "Plan a cloth from it",
                {"warp_yarn": "yarn", "warp_system": "system"},
                empty=("sett", "picks"),
            ),
        ),
    ),
)
