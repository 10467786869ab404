"""The calculator of the figure: its results against another count, its warnings on the grid."""

import csv
import json
import random
import re
import sys
from xml.etree import ElementTree

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

import calculators
from calculators.__main__ import main
from calculators.engine.links import carried
from calculators.figure.grid import Grid, in_squares, packed, read_grid
from calculators.figure.png import as_png
from calculators.figure.wholes import stored
from calculators.page import respond
from calculators.weave.ground import ground_of, weave_ground
from scripts.setting_up.environment import ROOT
from tests.figure.figures import grids
from tests.figure.test_counts import longest, read_back

LARGE = "#." * 200


def answer(grid, **inputs):
    text = grid if isinstance(grid, str) else in_squares(grid)
    found = calculators.run("figure", {"grid": text, **inputs})
    assert found["ok"], found
    return found


def value(found, name):
    return found["results"][name]["value"]


@given(grids(12), st.sampled_from(["satin_5", "satin_8", "broken_twill_4"]))
def test_results_by_another_count(grid, weave):
    found = answer(grid, weave=weave)
    marks = numpy.array(grid.marks(), dtype=bool)
    units = marks.size
    filled = int(marks.sum())
    drawn = ~marks if 2 * filled > units else marks
    ground = ground_of(weave)
    cloth = numpy.array(weave_ground(ground, drawn.tolist(), ground.shafts, ground.picks))
    assert (value(found, "units_across"), value(found, "units_up")) == marks.shape[::-1]
    assert value(found, "units_drawn") == filled
    assert value(found, "draws") == int(drawn.sum()) == min(filled, units - filled)
    assert value(found, "face_down_saves") == filled - int(drawn.sum())
    assert value(found, "heaviest_row") == int(drawn.sum(axis=1).max())
    assert value(found, "different_columns") == len({column.tobytes() for column in marks.T})
    assert value(found, "equal_rows") == int((marks[1:] == marks[:-1]).all(axis=1).sum())
    assert value(found, "longest_float") == max(longest(cloth), longest(cloth.T))
    told = [read_back(units, grid.across, "left") for _, units in found["tables"]["rows"]["rows"]]
    assert told == [set(numpy.flatnonzero(row)) for row in drawn]


@given(grids(12))
def test_every_form_and_order_of_one_figure_is_answered_alike(grid):
    found = answer(grid)
    upside_down = answer(in_squares(grid, top_first=True), order="last")
    short = answer(packed(grid))
    for other in (upside_down, short):
        for part in ("results", "tables", "notes", "cautions"):
            assert other[part] == found[part]


@given(grids(12))
def test_face_down_and_face_up_draw_what_is_left(grid):
    up, down = answer(grid, side="figure"), answer(grid, side="ground")
    assert value(up, "draws") + value(down, "draws") == grid.across * grid.up
    assert value(answer(grid), "draws") == min(value(up, "draws"), value(down, "draws"))


def test_cords_hang_every_unit_once():
    found = answer("#...# / ##..#")
    table = found["tables"]["cords"]["rows"]
    assert [row[:2] for row in table] == [[1, "1, 5"], [2, "2"], ["none needed", "3–4"]]
    assert [row[2] for row in table] == [2, 1, 0]


@pytest.mark.parametrize(
    ("text", "place"),
    [
        (".....\n.....\n...#.\n.....", "row 3, unit 4"),
        ("#####\n#####\n#.###\n#####", "row 3, unit 2"),
        ("#####\n..#..\n#####", "row 2, unit 3"),
    ],
)
def test_warnings_say_where_and_the_picture_marks_it(text, place):
    reply = answer(text)
    assert any(place in line for line in reply["cautions"])
    picture = figure_picture(text)
    row, unit = map(int, re.findall(r"\d+", place))
    across, up = len(text.split("\n")[0]), text.count("\n") + 1
    left, top, wide, high = box(picture)
    rings = re.search(r'stroke-width="2">(.*?)</g>', picture)[1]
    centres = [tuple(map(float, one)) for one in re.findall(r'cx="([\d.]+)" cy="([\d.]+)"', rings)]
    assert centres == [
        (
            pytest.approx(left + wide * (unit - 0.5) / across, abs=0.02),
            pytest.approx(top + high * (1 - (row - 0.5) / up), abs=0.02),
        )
    ]


def figure_picture(text, **inputs):
    run = calculators.contract.calculate("figure", {"grid": text, **inputs})
    return run.answer.pictures[0]


def box(picture):
    left, top, wide, foot = map(
        float, re.search(r'd="M([\d.]+) ([\d.]+)h([\d.]+)V([\d.]+)H', picture).groups()
    )
    return left, top, wide, foot - top


@given(grids(12), st.integers(8, 40))
def test_the_picture_has_the_proportions_and_units_of_the_cloth(grid, picks):
    inputs = {"picks": f"{picks} /cm", "sett": "18 /cm"}
    picture = figure_picture(in_squares(grid), **inputs)
    found = answer(grid, **inputs)
    _, _, wide, high = box(picture)
    tall = value(found, "unit_height") / value(found, "unit_width")
    assert (high / grid.up) / (wide / grid.across) == pytest.approx(tall, rel=0.01)
    cells = re.search(r'<path d="([^"]*)" stroke="#8a7650"', picture)[1]
    marks = [[False] * grid.across for _ in range(grid.up)]
    for first, line, length in re.findall(r"M(\d+) (\d+)\.5h(\d+)", cells):
        for unit in range(int(first), int(first) + int(length)):
            marks[grid.up - 1 - int(line)][unit] = True
    assert tuple(map(tuple, marks)) == grid.marks()


def test_plan_and_figure_agree_or_it_is_said():
    agree = answer("#.# / .#.", plan_across="3", plan_up="2")
    assert not any("the plan" in line for line in agree["cautions"])
    several = answer("#.# / .#.", plan_across="9")
    assert any("3 times, none over" in line for line in several["notes"])
    assert not any("the plan" in line for line in several["cautions"])
    larger = answer("#.# / .#.", plan_across="11", plan_up="2")
    assert any("3 times" in line and "2 units over" in line for line in larger["cautions"])
    smaller = answer("#.# / .#.", plan_across="2")
    assert any("the plan only 2" in line and "Leave out 1" in line for line in smaller["cautions"])


def test_a_loom_with_too_few_heddles_and_cords_is_named():
    found = answer("#.# / ..#", loom_pattern_heddles="2", loom_cords="2")
    short = [line for line in found["cautions"] if "short of" in line]
    assert len(short) == 2
    enough = answer("#.# / ..#", loom_pattern_heddles="3", loom_cords="3")
    assert not [line for line in enough["cautions"] if "short of" in line]


def test_a_mirrored_figure_saves_columns_as_the_handbook_says():
    """253 units mirrored about the middle one need 127 cords; between two, half as many."""
    half = "".join(str(number % 7 // 4) for number in range(126))
    rows = ["1" * number + "0" * (126 - number) for number in range(1, 126)] + [half]
    odd = "\n".join(row + "1" + row[::-1] for row in rows)
    found = answer(odd)
    assert value(found, "units_across") == 253
    assert value(found, "different_columns") == 127
    assert any("about unit 127" in line and "127 columns" in line for line in found["notes"])
    even = answer("\n".join(row + row[::-1] for row in rows))
    assert value(even, "different_columns") == 126
    assert any("between 126 and 127" in line for line in even["notes"])


def test_the_largest_figure_is_answered():
    found = answer("\n".join([LARGE, LARGE[::-1]] * 500))
    assert (value(found, "units_across"), value(found, "units_up")) == (400, 1000)
    assert value(found, "draws") == 200_000
    assert value(found, "lone_units") == 400_000
    assert value(found, "different_columns") == 2


@given(grids(14), st.sampled_from(["satin_5", "lace_6", "plain"]), st.sampled_from(["", "20"]))
def test_the_warnings_alone_are_those_of_the_whole_answer(grid, weave, planned):
    inputs = {"grid": packed(grid), "weave": weave, "plan_across": planned}
    asked = {"call": "warnings", "id": "figure", "inputs": inputs}
    alone = json.loads(respond(json.dumps(asked)))
    assert alone == {"ok": True, "cautions": answer(**inputs)["cautions"]}


def test_warnings_of_what_is_no_figure_are_refused():
    asked = {"call": "warnings", "id": "figure", "inputs": {"grid": "?"}}
    assert json.loads(respond(json.dumps(asked))) == {
        "ok": False,
        "problem": "Line 1 has the sign “?”. Write a line for each row of units, the first row "
        "woven first: # for a drawn unit, . for one at rest.",
    }


ORDERS = {"rise": "6 1 4 7 2 5 8 3", "sink": "4 7 2 5 8 3 6 1"}


@pytest.mark.parametrize("left_out", ["", "rise", "sink"])
def test_orders_that_come_with_a_figure_are_those_typed_beside_it(left_out):
    orders = {**ORDERS, left_out: ""} if left_out else ORDERS
    rise, sink = (orders[name].replace(" ", ".") for name in ("rise", "sink"))
    typed = {"grid": stored(read_grid("##.##. / .##.##")), "weave": "satin_8"}
    carrying = {**typed, "grid": f"{typed['grid']}~o{rise}_{sink}"}
    along, beside, usual = (
        calculators.run("figure", inputs) for inputs in (carrying, {**typed, **orders}, typed)
    )
    for part in ("results", "tables", "cautions"):
        assert along[part] == beside[part], part
    assert along["tables"]["tie_up"] != usual["tables"]["tie_up"]
    assert any(note.startswith("Your pair of orders") for note in along["notes"])
    other = calculators.run("figure", {**carrying, "rise": "1 4 7 2 5 8 3 6"})
    assert other["tables"]["tie_up"]["rows"][0][2] == "1", "what is typed goes before"
    asked = {"call": "cloth", "picture": "threads", "from_row": 0}
    threads, same, other = (
        json.loads(respond(json.dumps({**asked, "inputs": inputs})))
        for inputs in (carrying, {**typed, **orders}, typed)
    )
    assert threads["ok"]
    assert threads == same
    assert threads != other


def test_orders_that_do_not_fit_the_weave_are_told_instead_of_warnings():
    inputs = {"grid": "# / .~o1.2.3_", "weave": "satin_5"}
    asked = {"call": "warnings", "id": "figure", "inputs": inputs}
    told = json.loads(respond(json.dumps(asked)))
    assert not told["ok"]
    assert "3 picks; the repeat has 5" in told["problem"]


def test_what_a_warning_costs_grows_with_the_units():
    """Calls of functions, which depend on no machine: four times the units, about as many times."""

    def calls(across, up):
        chance = random.Random(across)
        grid = packed(Grid(across, tuple(chance.getrandbits(across) for _ in range(up))))
        asked = json.dumps({"call": "warnings", "id": "figure", "inputs": {"grid": grid}})
        made = 0

        def count(_frame, event, _what):
            nonlocal made
            made += event in ("call", "c_call")

        before = sys.getprofile()
        sys.setprofile(count)
        try:
            respond(asked)
        finally:
            sys.setprofile(before)
        return made

    calls(8, 8)  # what is read once is read now
    small, middle, large = calls(100, 125), calls(200, 250), calls(400, 500)
    assert middle < 5 * small
    assert large - middle < 5 * (middle - small)


def test_plan_and_figure_hand_on_what_both_ask_for():
    plan = calculators.contract.calculate("cloth-plan", {"weave": "satin_8", "weight_each": "41 g"})
    units = plan.answer.results["units_across"]
    there = carried(plan, way_to("figure", "cloth-plan"))
    assert (there["weave"], there["weight_each"]) == ("satin_8", "41 g")
    assert there["plan_across"] == str(units)
    figure = calculators.contract.calculate("figure", there)
    assert any(f"the plan {units}:" in line for line in figure.answer.cautions)
    back = carried(figure, way_to("cloth-plan", "figure"))
    assert (back["weave"], back["weight_each"]) == ("satin_8", "41 g")
    cords = figure.answer.results["different_columns"]
    assert carried(figure, way_to("harness", "figure"))["different_columns"] == str(cords)


def way_to(goal, start):
    ways = calculators.registry.registry()[start].ways
    return next(way for way in ways if way.goal == goal)


def test_the_page_tells_of_the_example_what_the_calculator_says():
    page = (ROOT / "docs/figure/index.md").read_text("utf-8")
    star = re.search(r"```\n(.*?)\n```", page, re.S)[1]
    found = calculators.run("figure")
    assert found["inputs"]["grid"]["typed"] == star
    told = dict(found["tables"]["rows"]["rows"])
    written = re.findall(r"Row (\d+): ([\d–, ]+)\.", page)
    assert [told[int(row)] for row, _ in written] == [units for _, units in written]
    assert len(written) == 4
    assert [told[16 - row] for row in told] == list(told.values())
    assert value(found, "different_columns") == 8
    assert value(found, "longest_float") == 5
    assert found["cautions"] == []


def test_the_command_line_reads_a_file_and_writes_rows_and_picture(capsys, tmp_path):
    file = tmp_path / "figure.txt"
    file.write_text("#..#\n.##.\n", encoding="utf-8")
    assert main(["run", "figure", f"grid=@{file}", "--table", "rows"]) == 0
    lines = list(csv.reader(capsys.readouterr().out.splitlines()))
    assert lines == [["row", "units"], ["1", "1, 4"], ["2", "2–3"]]
    assert main(["run", "figure", f"grid=@{file}", "--picture"]) == 0
    picture = capsys.readouterr().out
    assert ElementTree.fromstring(picture).tag.endswith("svg")
    assert picture.strip() == figure_picture("#..#\n.##.")
    picture = tmp_path / "figure.png"
    picture.write_bytes(as_png(read_grid("#..# / .##.")))
    assert main(["run", "figure", f"grid=@{picture}", "--table", "rows"]) == 0
    assert list(csv.reader(capsys.readouterr().out.splitlines())) == lines
    for wrong in (
        [f"grid=@{tmp_path / 'none.txt'}"],
        [f"grid=@{file}", "--table", "columns"],
    ):
        assert main(["run", "figure", *wrong]) == 2
        assert capsys.readouterr().err
    assert main(["run", "yarn-count", "--picture"]) == 2
    assert "no picture" in capsys.readouterr().err


def told(found, *words):
    return [line for line in found["cautions"] if all(word in line for word in words)]


def test_a_heavy_row_is_named():
    light = answer("#...\n####\n....", weight_each="3.9 kg", side="figure")
    heavy = answer("#...\n####\n....", weight_each="4.1 kg", side="figure")
    assert not told(light, "more than one person")
    assert told(heavy, "Row 2 lifts 4 units", "more than one person")


def test_ends_and_edges_that_bend_more_often_are_named():
    """Plain weave bends at every thread, lace seldom: drawn units of a lace ground are plain."""
    left = "\n".join(["####........"] * 6)
    lace = answer(left, weave="lace_6")
    assert told(lace, "The ends of the left third")
    assert told(lace, "the left edge draws in")
    turned = answer("\n".join(["........####"] * 6), weave="lace_6")
    assert told(turned, "The ends of the right third")
    assert told(turned, "the right edge draws in")
    even = answer("\n".join(["#.#.#.#.#.#."] * 6), weave="lace_6", side="figure")
    assert not told(even, "draws in")
    assert not told(even, "The ends of")


def test_a_figure_on_one_side_of_a_satin_is_named():
    assert told(answer("\n".join(["####........"] * 6)), "The left third has 100 % more")
    assert not told(answer("\n".join(["##....##"] * 6)), "third has")


@pytest.mark.parametrize("weave", ["plain", "2/2 twill", "#. / .#"])
def test_a_ground_without_two_faces_is_named(weave):
    assert told(answer("#. / .#", weave=weave), "no figure will show")
    assert not told(answer("##.. / ##..", weave="satin_7"), "no figure will show")


def test_equal_rows_are_named():
    found = answer("#..\n#..\n##.\n##.\n##.")
    assert any("Rows 2, 4, 5:" in line for line in found["notes"])
    assert value(found, "equal_rows") == 3


@given(
    grids(7),
    st.sampled_from([("satin_5", "", "3 5 2 4 1"), ("satin_8", "6 1 4 7 2 5 8 3", ""),
                     ("2/2 twill", "", "4 1 2 3"), ("broken_twill_4", "4 2 3 1", "1 3 2 4")]),
    st.integers(1, 9),
    st.sampled_from(["figure", "ground"]),
)  # fmt: skip
def test_orders_of_ones_own_are_woven_thread_by_thread(grid, tied, picks, side):
    weave, rise, sink = tied
    found = answer(grid, weave=weave, rise=rise, sink=sink, side=side, picks_per_unit=str(picks))
    same = calculators.run("ground", {"weave": weave, "rise": rise, "sink": sink,
                                      "picks_per_unit": str(picks)})  # fmt: skip
    both = same["tables"].get("tie_up_given") or same["tables"]["tie_up"]
    rows = [row[2:] for row in both["rows"] if "hem" not in str(row[0])]
    told = [row[2:] for row in found["tables"]["tie_up"]["rows"] if "hem" not in str(row[0])]
    assert told in ([rows] if side == "figure" else [rows, [row[::-1] for row in rows]])
    drawn = numpy.array(grid.marks(), dtype=bool) ^ (side == "ground")
    shafts = len(told)
    cloth = numpy.array([
        [
            (str(end % shafts + 1) not in told[pick % shafts][1].split())
            if drawn[pick // picks, end // shafts]
            else str(end % shafts + 1) in told[pick % shafts][0].split()
            for end in range(shafts * grid.across)
        ]
        for pick in range(picks * grid.up)
    ])  # fmt: skip
    float_ = max(longest(cloth), longest(cloth.T))
    assert value(found, "longest_float") == float_
    long = [line for line in found["cautions"] if "longest float" in line]
    assert bool(long) == (float_ > {"satin_5": 4, "satin_8": 7, "2/2 twill": 2}.get(weave, 3))
    clean = same["results"]["clean_edges_given"]["value"]
    said = next((line for line in found["notes"] if "clean, face up" in line), "")
    assert said.startswith("Your pair")
    assert said.count("side") + said.count("lower") + said.count("upper") == (
        clean if clean < 4 else 0
    )


def test_a_long_float_is_named_and_marked_with_its_units():
    """Twill whose drawn units bind one end a pick: they float over three, the weave over two."""
    typed = {"weave": "2/2 twill", "sink": "4 1 2 3"}
    found = answer("....\n.##.\n....", **typed)
    (line,) = [line for line in found["cautions"] if "longest float" in line]
    assert "3 threads" in line
    assert "none over 2" in line
    assert "row 2, unit 2" in line
    assert "row 2, unit 3" in line
    picture = figure_picture("....\n.##.\n....", **typed)
    named_ones = set(re.findall(r"row (\d), unit (\d)", " ".join(found["cautions"])))
    rings = re.search(r'stroke-width="2">(.*?)</g>', picture)[1]
    more = re.search(r"and (\d+) more", line)
    assert rings.count("<circle") == len(named_ones) + int(more[1] if more else 0)


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"rise": "1 3 5"}, "rise", "6"),
        ({"rise": "1 3 5 2 6 9"}, "rise", "Shaft 9 is not there"),
        ({"sink": "1 3 5 2 6 4"}, "sink", "rise and to sink on pick 1"),
    ],
)
def test_orders_that_cannot_be_tied_are_refused_in_words(typed, field, words):
    found = calculators.run("figure", typed)
    assert not found["ok"]
    assert found["errors"][0]["field"] == field
    assert words in found["errors"][0]["message"]


def test_uneven_ends_are_told_with_their_crossings_and_the_mark():
    """Four units of plain at the left of a lace ground, six ends and six picks to a unit."""
    text = "\n".join(["####........"] * 6)
    found = answer(text, weave="lace_6")
    (line,) = told(found, "The ends of the left third")
    assert "from memory, not measured" in line
    ground = ground_of("lace_6")
    marks = [[mark == "#" for mark in row] for row in text.split("\n")]
    cloth = numpy.array(weave_ground(ground, marks, 6, 6))
    crossed = (cloth[1:] != cloth[:-1]).sum(0).reshape(3, -1).sum(1)
    per_hundred = sorted(100 * crossed / (len(cloth) * len(cloth[0]) / 3))
    most, least = map(float, re.search(r"again ([\d.]+) times there, ([\d.]+) in", line).groups())
    assert most == pytest.approx(per_hundred[-1], abs=0.051)
    assert least == pytest.approx(per_hundred[0], abs=0.051)


@pytest.mark.parametrize(("weave", "said"), [("satin_5_warp", True), ("satin_5", False)])
def test_the_weft_face_of_a_warp_faced_ground_is_told(weave, said):
    found = calculators.run("figure", {"grid": "##. / .##", "weave": weave})
    assert any("its weft face is woven" in note for note in found["notes"]) == said
    plain = calculators.run("figure", {"grid": "##. / .##", "weave": "satin_5"})
    assert found["tables"]["tie_up"] == plain["tables"]["tie_up"]


@pytest.mark.parametrize("ends", [31, 33])
def test_a_ground_too_large_to_be_searched_is_tied_the_usual_way_everywhere_and_says_so(ends):
    """Four shafts on at each pick; the lowest line typed is woven first."""
    order = [4 * pick % ends + 1 for pick in range(ends)]
    squares = " / ".join("." * (up - 1) + "#" + "." * (ends - up) for up in reversed(order))
    found = calculators.run("figure", {"grid": "##. / .##", "weave": squares})
    assert any("no better pair" in note for note in found["notes"]) == (ends > 32)
    picks = found["tables"]["tie_up"]["rows"][:ends]
    assert [int(rise) for _, _, rise, _ in picks] == order
    sunk = [int(sink) for *_, sink in picks]
    assert sunk in [order[-behind:] + order[:-behind] for behind in range(1, ends)]
    asked = {"call": "loom", "id": "cloth-plan", "inputs": {"weave": squares}}
    asked["inputs"]["ground_shafts"] = str(ends)
    at_the_loom = json.loads(respond(json.dumps(asked)))["ground"]
    assert [(one["rise"], one["sink"]) for one in at_the_loom] == [
        ([rise], [sink]) for rise, sink in zip(order, sunk, strict=True)
    ]
    refused = calculators.run("ground", {"weave": squares})
    assert refused["ok"] == (ends <= 32)
