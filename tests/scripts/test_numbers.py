"""Every figure on the built pages: tables, answers, examples and prose against the package."""

import csv
import io
import json
import re
from fractions import Fraction
from functools import cache, partial
from html import unescape
from math import pi, tan
from unicodedata import numeric
from urllib.parse import parse_qsl

import pytest

from calculators import run
from calculators.data import load
from calculators.engine.run import work_out
from calculators.quantities.format import format_number
from calculators.quantities.units import INCH_CM, per_cm
from calculators.registry import registry
from calculators.sett.rules import limits
from calculators.show.columns import cell_text
from calculators.show.in_inches import example_in_inches
from calculators.show.pairs import PAIR
from calculators.show.text import answer_text
from calculators.tables import TABLES, as_object, structure
from calculators.weave.library import weave
from calculators.yarn.yarn import metres_per_kilogram, parse_yarn, yards_per_pound
from scripts.check_references import check
from scripts.pages import worked_examples as examples
from tests.every import of_every
from tests.scripts.test_words import pages

TIMES = {4: "four times", 5: "five times", 6: "six times"}
EMBED = re.compile(r"^\[\[(?P<kind>[a-z-]+): *(?P<name>[^|\]]+?) *(?:\|(?P<rest>.*))?\]\]$", re.M)

RESULT = re.compile(
    r'<li data-result="([a-z_0-9]+)">.*?<span class="ft-value">(.*?)</summary>', re.S
)


@cache
def embedded(kind):
    found = []
    for name, text in sorted(pages().items()):
        for match in EMBED.finditer(text):
            if match["kind"] == kind:
                pairs = (
                    part.split("=", 1) for part in (match["rest"] or "").split("|") if part.strip()
                )
                found.append((name, match["name"], {k.strip(): v.strip() for k, v in pairs}))
    return found


def built(site, name):
    inner = name.removesuffix(".md").removesuffix("index").rstrip("/")
    return (site / inner / "index.html").read_text(encoding="utf-8")


def plain(html):
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", html)).split())


OTHER_READERS = (
    re.compile(r'<span class="ft-metric">.*?</span>|<span class="ft-paren">.</span>'),
    re.compile(r'<span class="ft-imperial">.*?\)</span></span>'),
)


def tables(html):
    """Every table of a page by its caption: head and rows, each cell as each reader sees it."""
    found = {}
    for table in re.findall(r"<table class=\"ft-table[^>]*>.*?</table>", html, re.S):
        caption = re.search(r"<caption>(.*?)</caption>", table, re.S)
        rows = [
            [
                [plain(other.sub("", cell)) for other in OTHER_READERS]
                for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.S)
            ]
            for row in re.findall(r"<tr>(.*?)</tr>", table, re.S)
        ]
        if caption:
            found[plain(re.sub(r" <small.*?</small>", "", caption[1]))] = rows
    return found


def shown(table):
    digits = [*table.digits, *[None] * (len(table.columns) - len(table.digits))]
    rows = [
        [plain(cell_text(value, places)) for value, places in zip(row, digits, strict=True)]
        for row in table.rows
    ]
    return [[plain(column) for column in table.columns], *rows]


def assert_holds(found, wanted):
    """Every cell of the table reaches some reader as it stands in the package."""
    assert [len(row) for row in found] == [len(row) for row in wanted]
    for cells, texts in zip(found, wanted, strict=True):
        for cell, text in zip(cells, texts, strict=True):
            assert text in cell


# Tables -------------------------------------------------------------------------------------------


def test_a_table_on_its_page_is_the_packages(site):
    for page, name, _ in embedded("table"):
        table = TABLES[name]()
        assert_holds(tables(built(site, page))[plain(table.title)], shown(table))


def test_a_structure_on_its_page_is_the_packages(site):
    for page, name, settings in embedded("structure"):
        table = structure(name, int(settings["unit"]) if settings else None)
        assert_holds(tables(built(site, page))[plain(table.title)], shown(table))


def test_every_table_is_on_a_page_and_every_structure_has_one():
    assert {name for _, name, _ in embedded("table")} == set(TABLES)
    told = {name for _, name, _ in embedded("structure")}
    assert told >= set(load("tables")["structures"]["unit_ends"]) - {"twill_2_2"}


@pytest.mark.parametrize("name", TABLES)
def test_downloads_hold_the_same(site, name):
    told = as_object(name)
    assert json.loads((site / f"tables/{name}.json").read_text("utf-8")) == told
    text = (site / f"tables/{name}.csv").read_text("utf-8")
    head, *rows = csv.reader(io.StringIO(text))
    assert head == told["columns"]
    assert rows == [["" if cell is None else str(cell) for cell in row] for row in told["rows"]]
    page = built(site, "reference/downloads.md")
    assert f'href="../../tables/{name}.csv"' in page
    assert f'href="../../tables/{name}.json"' in page


@pytest.mark.parametrize(
    ("label", "system", "yards"),
    [
        ("16/2", "cotton", 16 * 840 / 2),
        ("60/2", "spun_silk", 60 * 840),
        ("40/2", "linen", 40 * 300 / 2),
        ("2/24", "worsted", 24 * 560 / 2),
    ],
)
def test_the_table_of_labels_is_right_by_hand(label, system, yards):
    rows = {(row[0], row[1].split(",")[0].split()[0]): row for row in TABLES["labels"]().rows}
    word = {"spun_silk": "spun"}.get(system, system)
    assert rows[label, word][3] == pytest.approx(yards)


def test_a_unit_is_its_ends_over_the_sett_and_a_float_its_threads():
    for name, ends in load("tables")["structures"]["unit_ends"].items():
        for row in structure(name, ends).rows:
            assert row[4] * ends == pytest.approx(row[2] * float(INCH_CM))
            assert row[5] == pytest.approx(10 * ends / row[2])
            assert row[3] == pytest.approx(10 * max(weave(name).longest_float) / row[2])


# Answers and examples -----------------------------------------------------------------------------


def test_a_worked_answer_on_its_page_is_the_packages(site):
    for page, name, settings in embedded("calculator"):
        html = built(site, page)
        part = html.split(f'id="calculator-{name}"')[1].split("</section>")[0]
        part = re.sub(r'<script type="text/html">.*?</script>', "", part, flags=re.S)  # in inches
        there = {key: plain(text) for key, text in RESULT.findall(part)}
        results = run(name, settings)["results"]
        assert set(there) == set(results), (page, name)
        for key, result in results.items():
            for text in result["text"].values():
                assert plain(text) in there[key], (page, name)


@pytest.mark.parametrize("name", examples.names())
def test_an_example_on_its_page_is_what_its_own_link_gives(site, name):
    html = built(site, f"examples/{name}.md")
    numbers = html.split('id="example-')[1]
    link = unescape(re.search(r'class="ft-open" href="([^"]*)"', numbers)[1])
    assert link.startswith("../../plan/whole-plan/#")
    state = dict(parse_qsl(link.partition("#")[2], keep_blank_values=True))
    del state["v"], state["calculator"]
    results = run("cloth-plan", state)["results"]
    rows = {
        plain(label): plain(value)
        for label, value in re.findall(
            r'<tr><th scope="row">(.*?)</th><td>(.*?)</td></tr>',
            numbers.split("</table>")[0],
            re.S,
        )
    }
    labels = {one.name: one.label for one in examples.example(name).plan.calculator.outputs}
    assert len(rows) >= 25
    for key, result in results.items():
        if labels[key] in rows:
            for text in result["text"].values():
                assert plain(text) in rows[labels[key]]


# Prose --------------------------------------------------------------------------------------------


def value(calculator, result, **inputs):
    done = run(calculator, inputs)
    assert done["ok"], done
    return done["results"][result]["value"]


def sett(warp, structure_name, weft=None, part="working"):
    inputs = {"warp_yarn": warp, "weave": structure_name, **({"weft_yarn": weft} if weft else {})}
    return value("sett", part, **inputs)


def change(typed, before, after, weave_before, weave_after):
    return value(
        "sett-change",
        "sett",
        sett=typed,
        from_yarn=before,
        to_yarn=after,
        from_weave=weave_before,
        to_weave=weave_after,
    )


def grid(result, **inputs):
    return value("unit-grid", result, **inputs)


def tex(label, system="cotton"):
    return parse_yarn(label, system).tex


def hardest(name):
    rules = [row for row in limits(tex("16/2"), weave(name)) if "Ruler" not in row.rule]
    found = [row.ends_per_inch for row in rules]
    return min(found), max(found)


def sight(distance):
    return 1000 * distance * tan(pi / 180 / 60)


def how_far(label, plies=1, system="cotton"):
    one = tex(label, system) * plies
    return f"{metres_per_kilogram(one):,.0f} m/kg ({yards_per_pound(one):,.0f} yd/lb)"


def both_worlds(per_inch, places=0):
    return f"{per_cm(per_inch):.1f} per cm ({per_inch:.{places}f} per inch)"


# Each yields a page, and a piece of its text with the figures put in by the package.


def of_yarn():
    yield "yarn/index.md", f"so {16 * 840:,} yards, in one pound"
    yield "yarn/index.md", f"{yards_per_pound(tex('16/2')):,.0f} yards in a pound"
    yield "yarn/index.md", f"{metres_per_kilogram(tex('16/2')):,.0f} metres in a kilogram"
    for system, name in (("cotton", "cotton"), ("worsted", "worsted"), ("metric", "metric")):
        yield "yarn/index.md", f"| {how_far('16/1', system=system)} |"
        assert name in pages()["yarn/index.md"]
    yield "yarn/index.md", f"| {how_far('16/1', system='linen')} |"
    yield "yarn/index.md", f"the lea number is {840 / 300:g} times"
    for label, system in (
        ("16/2", "cotton"),
        ("2/16", "cotton"),
        ("2/24", "worsted"),
        ("R 74 tex", "tex"),
        ("37 tex x 2", "tex"),
    ):
        yield "yarn/index.md", f"at about {tex(label, system):.0f} tex"
    for label, system, working in (
        ("30/2", "cotton", "30 × 840 ÷ 2"),
        ("2/30", "worsted", "30 × 560 ÷ 2"),
        ("16/2", "linen", "16 × 300 ÷ 2"),
    ):
        one = tex(label, system)
        yards, metres = yards_per_pound(one), metres_per_kilogram(one)
        yield "yarn/index.md", f"{working} | {yards:,.0f} | {metres:,.0f} |"
    yield "yarn/index.md", f"× {0.9144 / 0.45359237:.4f} gives the metres in a kilogram"
    yield "yarn/index.md", f"in two plies is {how_far('3/2')}"
    yield "yarn/index.md", f"number 2 in three plies is {how_far('2/1', 3)}"
    goes = how_far("16/2")
    yield "yarn/index.md", f"two threads of number 16 plied together, {goes}"
    yield "yarn/tables.md", f"Cotton 16/2 goes {goes}"
    yield "yarn/unknown-cone.md", f"If it weighs {40 * tex('16/2') / 1000:.2f} g"
    together, apart, by_weight = (
        float(run("folded-yarn", {"yarns": "60, 40"})["results"][one]["value"])
        for one in ("resultant", "side_by_side", "equal_masses")
    )
    yield "yarn/choosing.md", f"60 and 40 together make {together:.0f}"
    yield (
        "yarn/choosing.md",
        f"average is {apart:.0f}. Bought in equal weights, it is {by_weight:.0f}",
    )

    step = tex("30/2") / 1e3 * 10
    yield "yarn/unknown-cone.md", f"30/2 weigh {step:.2f} g"
    coarse = run("unknown-yarn", {"length": "10 m", "mass": "0.4 g", "scale_step": "0.1 g"})[
        "results"
    ]
    ends = [2 * tex("1/1") / coarse[one]["value"] for one in ("tex_high", "tex_low")]
    yield "yarn/unknown-cone.md", f"between {ends[0]:.0f}/2 and {ends[1]:.0f}/2"
    fine = run("unknown-yarn", {"length": "100 m", "mass": "3.9 g", "scale_step": "0.1 g"})[
        "results"
    ]
    ends = [2 * tex("1/1") / fine[one]["value"] for one in ("tex_high", "tex_low")]
    yield "yarn/unknown-cone.md", f"between {ends[0]:.1f} and {ends[1]:.1f}"
    metres, yards = 30 * metres_per_kilogram(tex("30/2")) / 1000, yards_per_pound(tex("30/2")) / 16
    yield "yarn/part-cone.md", f"(1 oz) of cotton 30/2 are {metres:.0f} m ({yards:.0f} yd)"
    yield "yarn/choosing.md", f"goes as far as a {20 / (1 - 0.2):.0f}/1"


def of_sett():
    low, high = hardest("plain")
    yield "sett/index.md", f"limit is {per_cm(low):.1f} ends per cm ({low:.1f} per inch)"
    yield "sett/index.md", f"the highest {per_cm(high):.0f} per cm ({high:.1f} per inch)"
    low, high = hardest("satin_5")
    yield "sett/index.md", f"satin they are {both_worlds(low, 1)} and {both_worlds(high, 1)}"
    for row in load("setts")["common"]:
        per_inch = row["ends_per_inch"]
        yield "sett/index.md", f"{per_cm(per_inch):.1f} ends per cm ({per_inch} per inch)"
        assert sett(row["yarn"], row["weave"], part="working_low") <= per_inch
        assert per_inch <= sett(row["yarn"], row["weave"], part="working_high")
    like, thick, thin = (sett("16/2", "satin_5", weft) for weft in ("16/2", "8/2", "30/2"))
    yield (
        "sett/index.md",
        f"range is {per_cm(like):.1f} ends per cm ({like:.0f} per inch) with a weft",
    )
    yield "sett/index.md", f"{per_cm(thick):.1f} per cm ({thick:.0f} per inch) with a weft of 8/2"
    yield "sett/index.md", f"{per_cm(thin):.1f} per cm ({thin:.0f} per inch) with a weft of 30/2"
    like, thick, thin = (sett("16/2", "plain", weft) for weft in ("16/2", "8/2", "30/2"))
    yield (
        "sett/index.md",
        (f"from {both_worlds(like)} down to {both_worlds(thick)} and up to {both_worlds(thin)}"),
    )
    for words, yarn in (
        ("cotton 16/2", "16/2"),
        ("cotton 30/2", "30/2"),
        ("cotton 40/2", "40/2"),
        ("linen 40/2 lea", "40/2 lea"),
    ):
        per_inch = sett(yarn, "satin_5")
        set_at = f"{per_cm(per_inch):.0f} per cm ({per_inch:.0f} per inch)"
        yield "sett/index.md", f"| {words} | {set_at} |"
    per_inch = sett("16/2", "satin_5")
    both = f"{per_cm(per_inch):.0f} ends per cm ({per_inch:.0f} per inch)"
    yield "sett/tables.md", f"Cotton 16/2 in five-end satin: {both}"
    best = run("denting")["results"]
    assert (best["best_reed"]["value"], best["best_order"]["value"]) == ("60/10", "3")
    yield "sett/reeds.md", "three in each dent of a 60/10 (15-dent) reed"


def of_changes():
    finer = change("46", "16/2", "30/2", "satin_5", "satin_5")
    firm = f"{per_cm(finer):.1f} per cm ({finer:.0f} per inch)"
    yield "sett/changing.md", f"{per_cm(46):.1f} ends per cm (46 per inch) to {firm}"
    yield "sett/changing.md", f"it would be {per_cm(46) * 30 / 16:.0f} per cm ({46 * 30 / 16:.0f}"
    heavier = change("24 /cm", "30/2", "20/1 lea", "satin_5", "satin_5")
    yield "sett/changing.md", f"becomes {both_worlds(heavier, 1)} in single linen"
    yield "sett/changing.md", f"{change('103', '16/2', '16/2', 'plain', 'twill_2_2'):.0f} (Taylor"
    for share, name in (
        ("2/3", "twill_2_2"),
        ("5/7", "satin_5"),
        ("3/4", "satin_6"),
        ("4/5", "satin_8"),
    ):
        became = change("30", "16/2", "16/2", "plain", name)
        yield "sett/changing.md", f"| {share} | {both_worlds(became)} |"
    both = change("46", "16/2", "30/2", "satin_5", "satin_6")
    yield "sett/changing.md", f"of 16/2 is {per_cm(both):.0f} per cm ({both:.0f} per inch) in a"


def of_structures():
    five, six = sett("16/2", "satin_5"), sett("16/2", "satin_6")
    yield (
        "structures/damask.md",
        f"it is {per_cm(six):.1f} ends per cm ({six:.0f} per inch) against {per_cm(five):.1f} per "
        f"cm ({five:.0f} per inch)",
    )
    for name, where in (
        ("plain", "the firmest of all"),
        ("twill_2_2", ""),
        ("twill_1_3", "as for the 2/2"),
        ("broken_twill_4", ""),
        ("satin_5", ""),
        ("satin_6", ""),
        ("satin_8", "the least firm"),
    ):
        one = weave(name)
        share = Fraction(one.ends, one.ends + one.tightest_pick)
        floats, plural = max(one.longest_float), "s" * (max(one.longest_float) > 1)
        told = f"**Longest float** {floats} thread{plural}; **share** {share}{', ' * bool(where)}"
        yield "structures/index.md", told + where
    common = {
        row["weave"]: row["ends_per_inch"]
        for row in load("setts")["common"]
        if row["yarn"] == "16/2"
    }
    assert common["satin_5"] == common["satin_6"]
    yield (
        "structures/index.md",
        f"both satins are woven at {per_cm(common['satin_5']):.1f} ends per cm "
        f"({common['satin_5']} per inch)",
    )
    lace = weave("lace_6")
    assert max(lace.longest_float) == 5
    assert Fraction(lace.ends, lace.ends + lace.tightest_pick) == Fraction(1, 2)
    high = sett("16/2", "plain", "60/2", part="working_high")
    yield (
        "structures/index.md",
        f"at {per_cm(46):.1f} ends per cm ({high:.0f} per inch) is at the close end",
    )
    yield "structures/index.md", f"({sett('16/2', 'plain', '120/2'):.0f} per inch)"
    for yarn, name, words in (
        ("60/1 lea", "satin_8", "eight-end satin are"),
        ("8/2", "satin_5", "five-end satin"),
    ):
        long = 25.4 * max(weave(name).longest_float) / sett(yarn, name)
        yield "structures/choosing.md", f"{words} {long:.1f} mm"


def of_units():
    yield (
        "units/index.md",
        f"unit of {grid('unit_width'):.1f} mm ({grid('unit_width') / 25.4:.3f} in)",
    )
    yield (
        "units/index.md",
        f"about {round(grid('units_across'), -1):.0f} units each way, of "
        f"{grid('unit_width'):.1f} mm ({grid('unit_width') / 25.4:.3f} in)",
    )
    assert grid("units_across") == grid("units_up")
    wide = grid("unit_width", sett="12 /cm", ends_per_unit="6")
    yield "units/index.md", f"make one of {wide:.1f} mm ({wide / 25.4:.2f} in)"
    yield (
        "units/index.md",
        f"off {74 / 0.9:.1f} cm (32⅜ in) is 74 cm (29⅛ in), while 74 cm (29⅛ in) and a tenth more "
        f"is only {74 * 1.1:.1f} cm",
    )
    for distance, away in (("40 cm (16 in)", 0.4), ("70 cm (28 in)", 0.7), ("1.5 m (5 ft)", 1.5)):
        yield (
            "units/index.md",
            f"{distance} | {sight(away):.1f} mm ({sight(away) / 25.4:.3f} in) | "
            f"{format_number(5 * sight(away), 1)} mm",
        )
    far = f"{sight(4):.1f} mm ({sight(4) / 25.4:.3f} in) | {5 * sight(4):.1f} mm"
    yield "units/index.md", f"4 m (13 ft) | {far}"
    squat = grid("squareness", picks="25 /cm")
    yield "units/square.md", f"and {100 * (1 - squat):.0f} % too low on the table"
    square = grid("picks_for_square")
    yield "units/square.md", f"{both_worlds(square, 1)} make it square"
    yield (
        "units/square.md",
        f"usual losses, {per_cm(square):.1f} picks per cm ({square:.1f} per inch) make a unit",
    )
    layout = run("unit-grid", {"margin": "6", "border": "20", "motif": "40"})["tables"]["layout"][
        "rows"
    ]
    told = {row[0]: row[1] for row in layout}
    yield (
        "units/edges.md",
        (
            f"napkin of {grid('units_across')} units, with margins of 6 and borders of 20 units, "
            f"leaves {told['centre across']} across. A motif of 40 fits "
            f"{TIMES[told['whole motifs in the centre across']]}"
        ),
    )


def told_of(results, name):
    """A length of yards or a mass in both worlds, as the pages write them."""
    if name == "warp_length":
        return f"{results[name]:.2f} m ({results[name] / 0.9144:.2f} yd)"
    return f"{results[name]:.0f} g ({results[name] / 453.59237 * 16:.1f} oz)"


def of_plans():
    shares = [
        value("warp", "waste_share", **one)
        for one in ({}, {"pieces": "1"}, {"pieces": "1", "sample": "0"})
    ]
    yield "plan/warp-length.md", f"it is {shares[0]:.0f} % of the warp"
    yield (
        "plan/warp-length.md",
        f"same sample it would be {shares[1]:.0f} %, and without a sample {shares[2]:.0f} %",
    )
    for name, weft, picks, words in (
        ("satin_5", "30/2", 61, "five-end satin, 30/2"),
        ("satin_6", "16/2", 46, "six-end satin, 16/2"),
        ("broken_twill_4", "16/2", 42, "broken twill, 16/2"),
        ("plain", "30/2", 41, "plain, 30/2"),
    ):
        asked = {"weave": name, "picks": f"{picks} /in", "weft_yarn": weft, "multiplier": "3"}
        close = f"{per_cm(picks):.{0 if picks == 61 else 1}f} per cm ({picks} per inch)"
        told = f"{words} both ways | {close}"
        yield "plan/warp-length.md", f"{told} | {value('take-up', 'take_up', **asked):.1f} % |"
    covered = value("cloth-weight", "area_covered")
    yield "plan/weft.md", f"together cover {covered:.0f} %"

    done = examples.example("six-end-napkins").plan.answer.results
    width = done["warp_width_in_reed"]
    ounces = {one: told_of(done, one) for one in ("warp_yarn_mass", "weft_yarn_mass")}
    yield "shelf/index.md", f"take {ounces['warp_yarn_mass']} of cotton 16/2 for the warp"
    yield "shelf/index.md", f"and {ounces['weft_yarn_mass']} for the weft"
    yield (
        "warp/index.md",
        f"{done['ends']} ends of cotton 16/2, {done['units_across']} units of six",
    )
    yield (
        "warp/entering.md",
        f"{done['ends']} ends: {done['pattern_heddles']} pattern heddles, and "
        f"{done['ground_heddles_per_shaft']} heddles on each of six ground shafts",
    )
    yield "plan/index.md", f"152 × 6 | {done['ends']}, in {width:.1f} cm"
    yield "plan/index.md", f"{done['warp_length']:.2f} m ({done['warp_length'] / 0.9144:.2f} yd)"
    yield "plan/index.md", f"{done['unit_width']:.2f} mm"
    yield "plan/index.md", f"waste is {done['waste_share']:.0f} % of the warp"
    yield "warp/winding.md", f"make {done['passes']} passes, {done['walked'] / 1000:.2f} km"


def of_the_work():
    done = examples.example("six-end-napkins").plan.answer.results
    plan = run(
        "cloth-plan",
        {k: r.typed for k, r in examples.example("six-end-napkins").plan.readings.items()},
    )
    across = 10 * 6 / plan["results"]["cloth_sett"]["value"]
    up = 10 * 6 / (plan["results"]["picks"]["value"] / float(INCH_CM))
    yield "weaving/rhythm.md", f"across measure {across:.2f} cm"
    yield "weaving/rhythm.md", f"ten rows {up:.2f} cm ({up / 2.54:.2f} in), 60 picks"
    yield "weaving/rhythm.md", f"both are {done['unit_width']:.2f} cm"
    yield "weaving/rhythm.md", f"about {round(done['picks_total'], -2):,.0f} picks"
    yield "weaving/rhythm.md", f"{round(done['temple_moves'], -1)} moves of the temple"
    # The weaving magazine's question column: about 9 minutes in every yard woven.
    a_metre = 9 / 0.9144
    assert 60 * a_metre * 0.025 < 20  # and under 20 seconds a move, at 25 mm
    yield "plan/hours-and-cost.md", f"which is {a_metre:.0f} minutes a metre"
    yield "weaving/rhythm.md", f"{round(a_metre)} minutes a metre"
    minutes = done["woven_length"] * round(a_metre)
    yield "weaving/rhythm.md", f"the temple takes {minutes:.0f} minutes in all"
    slow, likely, fast = (done["picks_total"] / pace / 60 for pace in (2, 4, 8))
    span = f"and anything from {fast:.0f} to {slow:.0f}"
    yield "weaving/rhythm.md", f"{likely:.0f} hours here, {span}"
    yield "plan/hours-and-cost.md", f"{likely:.0f} hours of weaving, {span}"
    kilograms = done["harness_mass"]
    yield "warp/entering.md", f"are {kilograms:.1f} kg ({kilograms / 0.45359237:.1f} lb) of lead"
    yield "warp/entering.md", f"lifts {kilograms / 2:.1f} kg ({kilograms / 2 / 0.45359237:.1f} lb)"
    for least in (11, 15):
        assert f"{round(453.59237 / least)}" in pages()["warp/entering.md"]
    for shaft in (30, 22):
        yield "weaving/index.md", f"3.2 × 9 ÷ {shaft} = {3.2 * 9 / shaft:.2f} cm"
    yield (
        "plan/hours-and-cost.md",
        f"the first is {800 / 6.5:.0f} hours and the second {1600 / 6.5:.0f}",
    )
    alone = round(likely * (done["piece_on_loom"] + 40) / 100 / done["woven_length"])
    hours = 22 + round(likely) + 15
    cost = (0.63 * 60 + hours * 20 + 60) * 1.1
    yield "plan/hours-and-cost.md", f"Together {cost:,.0f}, or {cost / 6:.0f} for a napkin"
    yield "plan/hours-and-cost.md", f"with yarn and workshop, each costs {cost / 6:.0f}"
    yield "plan/hours-and-cost.md", f"that is {(22 + alone + 2.5) * 20 * 1.1:.0f} before yarn"
    each = [(0.63 * 60 + (22 + round(pace) + 15) * 20 + 60) * 1.1 / 6 for pace in (fast, slow)]
    told = f"With {fast:.0f} hours of weaving it would be {each[0]:.0f}, with {slow:.0f} it would"
    yield "plan/hours-and-cost.md", f"{told} be {each[1]:.0f}"
    yield "plan/hours-and-cost.md", f"at {3 * 0.63 * 60 / 6:.0f} where the hours alone cost"
    yield "plan/hours-and-cost.md", f"the hours alone cost {hours * 20 / 6:.0f}"
    yield "finishing/record.md", f"too long by {100 * (0.945 / 0.92 - 1):.1f} %"
    yield "finishing/record.md", f"is 6 % of one and {100 * 6 / 106:.1f} % of the other"
    yield "finishing/record.md", f"One millimetre in 350 is {100 / 350:.1f} %"


CLAIMS = [
    *of_yarn(),
    *of_sett(),
    *of_changes(),
    *of_structures(),
    *of_units(),
    *of_plans(),
    *of_the_work(),
]


@pytest.mark.parametrize(("page", "text"), CLAIMS)
def test_a_figure_typed_into_prose_is_the_packages(page, text):
    assert text in " ".join(pages()[page].split())


FRACTIONS = {sign: str(round(numeric(sign), 6))[1:] for sign in "½¼¾⅓⅔⅛⅜⅝⅞"}
SPELLINGS = {"ends per cm": "/cm", "picks per cm": "/cm", "per cm": "/cm", "per inch": "/in"}


def quantities(text):
    """Every figure with its unit: 14 1/2 oz and 14½ oz are 14.5, of as many places as are told."""
    text = re.sub(r"(?<=\d)[ \u202f](?=\d{3}\b)|(?<=\d),(?=\d{3}\b)", "", text)
    text = re.sub(
        r"(?:(\d+) )?\b(\d)/(\d)\b", lambda m: f"{int(m[1] or 0) + int(m[2]) / int(m[3])}", text
    )
    for sign, decimal in FRACTIONS.items():
        text = text.replace(sign, decimal).replace(" dpi", "-dent")
    for spelling, unit in SPELLINGS.items():
        text = text.replace(f" {spelling}", f" {unit}")
    found = r"(\d[\d.]*?)(?:/10\b|-dent|[ \u202f](?:/in|/cm|cm|mm|m|in|yd|km|g|kg|oz|lb)\b)"
    return {
        (float(one[1]), one[0][one.end(1) - one.start() :].strip())
        for one in re.finditer(found, text)
    }


OPENINGS = (
    "plan/warp-length.md",
    "plan/weft.md",
    "plan/whole-plan.md",
    "sett/changing.md",
    "sett/index.md",
    "sett/reeds.md",
    "units/index.md",
    "weaving/rhythm.md",
    "yarn/part-cone.md",
)


def openings():
    """Each page's first form."""
    first = {page: (page, *rest) for page, *rest in reversed(embedded("calculator"))}
    return [first[page] for page in OPENINGS]


@of_every(openings)
def test_what_stands_before_a_form_is_its_own_answer(page, name, preset):
    """Page, first answer and form say the same to the reader in cm and to the one in inches."""
    before = pages()[page].partition("[[calculator")[0].rpartition("*\n\n")[2]
    assert PAIR.search(before)
    metric = work_out(registry()[name], preset)
    for side, example in (("metric", metric), ("imperial", example_in_inches(metric))):
        typed = " ; ".join(one.typed for one in example.readings.values())
        known = quantities(f"{typed} ; {answer_text(example)}")
        for pair in PAIR.finditer(before):
            for told, unit in quantities(pair[side]):
                places = len(f"{told:g}".partition(".")[2])
                near = {round(value, places) for value, of in known if of == unit}
                assert told in near, (pair[0], side)


def test_every_page_of_guidance_that_reckons_is_checked():
    told = {page for page, _ in CLAIMS}
    rooms = ("yarn/", "sett/", "structures/", "units/", "plan/")
    assert {room for room in rooms if any(page.startswith(room) for page in told)} == set(rooms)


def test_every_calculator_is_on_a_page():
    assert {name for _, name, _ in embedded("calculator")} == set(registry())


def test_every_misprint_kept_out_is_told_on_its_page():
    page = pages()["reference/errata.md"]
    told = {outcome["source"]: outcome.misprint for outcome in check().outcomes if outcome.misprint}
    works = {
        "bell-1895": "Bell 1895",
        "brooks-1892": "Brooks 1892",
        "cnch-shrinkage": "Conference of Northern California Handweavers",
        "exact-arithmetic": "Adding a loss instead of dividing",
        "gate-textile": "GATE",
        "gnu-units": "GNU Units",
        "posselt-1888": "Posselt 1888",
        "taylor-1909": "Taylor 1909",
        "textile-terms": "Dictionary of the English Textile Terms",
        "wolfensberger-1921": "Wolfensberger 1921",
    }
    assert set(told) <= set(works)
    for work in told:
        assert works[work] in page


@of_every(partial(embedded, "calculator"))
def test_what_follows_in_a_form_may_be_left_empty(page, name, preset):
    """The page empties it at the first keystroke, and the answer stays the example's."""
    followers = [field.name for field in registry()[name].fields if field.follows]
    if not followers:
        return
    example = work_out(registry()[name], preset)
    emptied = work_out(registry()[name], preset | dict.fromkeys(followers, ""))
    assert emptied.answer.results == example.answer.results, page
