"""The figures of the worked examples: they fit plan and story, and the page shows them truly."""

import json
import re
from html import unescape

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators import run
from calculators.errors import InputError
from calculators.examples.files import example_of, line_of, link_of, of_link, opened, written
from calculators.examples.schema import ExampleError
from calculators.examples.show import example_html, figure_html
from calculators.figure.composed import composed
from calculators.figure.grid import in_squares
from calculators.weave.library import weave
from scripts.pages import embed
from scripts.pages import worked_examples as handbook
from scripts.pages.guild_edition import read_edition
from tests.every import of_every

SIX = "#.#.#. / .#.#.# / ###... / ...### / #....# / .####."
MATS = {
    "title": "A mat of six units",
    "calculator": "cloth-plan",
    "inputs": {
        "finished_width": "1.826 cm",
        "finished_length": "1.826 cm",
        "pieces": "1",
        "warp_yarn": "16/2",
        "weft_yarn": "16/2",
        "sett": "18 /cm",
        "weave": "satin_6",
    },
    "figure": SIX,
    "version": 2,
}


def squares(name):
    """Drawn units of an example as an array, the row woven first at the beginning."""
    figure = handbook.example(name).figure
    lines = in_squares(figure.grid).splitlines()
    return np.array([[sign == "#" for sign in line] for line in lines])


def table(html, caption):
    body = re.search(rf"<caption>{re.escape(caption)}.*?<tbody>(.*?)</tbody>", html, re.S)[1]
    return [
        [
            unescape(re.sub("<.*?>", "", cell))
            for cell in re.findall(r"<t[hd].*?>(.*?)</t[hd]>", row)
        ]
        for row in re.findall(r"<tr>(.*?)</tr>", body)
    ]


def numbers(text):
    """Whole numbers of runs such as 3–7, 15, or of one number."""
    runs = re.findall(r"[\d–]+", text.replace("\u2060", ""))
    ends = [[int(end) for end in part.split("–")] for part in runs]
    return {number for run in ends for number in range(run[0], run[-1] + 1)}


def lone(units):
    padded = np.pad(units.astype(int), 1, constant_values=-1)
    inside = padded[1:-1, 1:-1]
    beside = [padded[:-2, 1:-1], padded[2:, 1:-1], padded[1:-1, :-2], padded[1:-1, 2:]]
    return int(np.all([inside != one for one in beside], axis=0).sum())


def longest_run(units):
    rows = ["".join("01"[mark] for mark in row) for row in units.astype(int)]
    return max(len(part) for row in rows for part in row.split("0"))


# What the handbook holds --------------------------------------------------------------------------


@of_every(handbook.names())
def test_a_figure_has_the_units_of_its_plan(name):
    found = handbook.example(name).plan.answer.results
    up, across = squares(name).shape
    assert (across, up) == (found["units_across"], found["units_up"])


@of_every(handbook.names())
def test_the_picture_is_the_figure_in_the_proportions_of_the_cloth(name):
    html = embed.html_of(f"[[example-figure: {name}]]")
    units = squares(name)
    up = len(units)
    wide, high, path = re.search(
        r'scale\((\S+) (\S+)\)" fill="none"><path d="(.*?)"', html
    ).groups()
    drawn = np.zeros_like(units)
    for first, row, length in re.findall(r"M(\d+) (\d+)\.5h(\d+)", path):
        drawn[up - 1 - int(row), int(first) : int(first) + int(length)] = True
    assert np.array_equal(drawn, units)
    found = handbook.example(name).plan.answer.results
    tall, broad = (
        getattr(found[key], "likely", found[key]) for key in ("unit_height", "unit_width")
    )
    assert float(high) / float(wide) == pytest.approx(tall / broad, rel=0.005)


@of_every(handbook.names())
def test_rows_and_cords_rebuild_the_figure(name):
    figure = handbook.example(name).figure
    units = squares(name)
    tables = figure.run.answer.tables
    told = np.zeros_like(units)
    for row, words in tables["rows"].rows:
        told[row - 1, [unit - 1 for unit in numbers(words)]] = True
    assert np.array_equal(told, units)
    shown = table(figure_html(handbook.example(name)), "Units to draw, counted from the left")
    assert len(shown) <= 10
    for rows, words in shown:
        for row in numbers(rows):
            assert numbers(words) == set(np.flatnonzero(units[row - 1]) + 1)
    for cord, words, _ in tables["cords"].rows:
        column = units[:, sorted(numbers(words))[0] - 1]
        alike = {
            unit + 1 for unit in range(units.shape[1]) if np.array_equal(units[:, unit], column)
        }
        assert numbers(words) == alike, cord


@of_every(handbook.names())
def test_what_it_costs_is_counted_again(name):
    units = squares(name)
    costs = dict(table(figure_html(handbook.example(name)), "What the figure costs"))
    counted = {
        "Draws, over all rows": units.sum(),
        "Columns unlike each other": len(np.unique(units, axis=1).T),
        "Units lifted in the heaviest row": units.sum(axis=1).max(),
        "Units that stand alone": lone(units),
    }
    for label, figure in counted.items():
        assert int(re.sub(r"\D", "", costs[label])) == figure, label
    # The sampler weaves specks on purpose, so that they are seen once.
    assert (lone(units) == 0) == (name != "first-sampler")


@of_every(handbook.names())
def test_the_calculator_says_the_same_of_the_typed_plan(name):
    one = handbook.example(name)
    typed = {
        key: one.plan.readings[key].typed
        for key in ("weave", "ends_per_unit", "picks_per_unit", "weight_each", "picks_per_minute")
    }
    side = one.figure.run.readings["side"].typed
    answer = run("figure", {**typed, "side": side, "grid": in_squares(one.figure.grid)})
    html = figure_html(one)
    for result in ("draws", "different_columns", "heaviest_row", "longest_float", "heaviest_lift"):
        assert answer["results"][result]["text"]["metric"] in html, result


@of_every(handbook.names())
def test_the_tie_up_weaves_the_ground_where_units_rest(name):
    one = handbook.example(name)
    ground = weave(one.plan.readings["weave"].value.name).matrix
    picks = [row for row in table(figure_html(one), "The ground, pick by pick") if row[0].isdigit()]
    assert [[end in numbers(rise) for end in range(1, len(ground[0]) + 1)]
            for _, _, rise, _ in picks] == [list(row) for row in ground]  # fmt: skip


# What the stories say of them ---------------------------------------------------------------------


def test_maren_drew_a_quarter_and_left_twelve_units_plain():
    units = squares("five-end-napkins")
    assert np.array_equal(units, units[::-1])
    assert np.array_equal(units, units[:, ::-1])
    assert not units[:12].any()
    assert not units[:, :12].any()
    assert units[12].any()
    assert units[:, 12].any()


def test_tobias_ivy_halves_and_needs_half_the_cords():
    units = squares("six-end-napkins")
    assert np.array_equal(units, units[:, ::-1])
    assert not np.array_equal(units, units[::-1])
    assert len(np.unique(units, axis=1).T) <= units.shape[1] / 2


def test_the_towels_have_two_bands_of_six_rows_of_lozenges():
    units = squares("broken-twill-towels")
    assert np.array_equal(units, units[::-1])
    up = units.shape[0] // 2
    tips = [row for row in range(up) if units[row].any() and not units[row].all()]
    inside = units[tips[0] : tips[-1] + 1]
    assert len(inside) % 6 == 0
    one = inside[: len(inside) // 6]
    assert np.array_equal(np.tile(one, (6, 1)), inside)


def test_the_lace_runner_has_five_windows_with_hearts_of_nine():
    plain = squares("lace-runner")
    assert plain[:, 0].all()
    assert plain[:, -1].all()
    lying = plain[:, plain.shape[1] // 2]
    changes = np.flatnonzero(np.diff(lying.astype(int))) + 1
    lengths = np.diff(np.concatenate([[0], changes, [len(lying)]]))
    assert list(lengths[1:-1]).count(3) == 5
    middle = plain.shape[1] // 2
    for start, length in zip(np.concatenate([[0], changes]), lengths, strict=True):
        if length == 3 and start:
            heart = plain[start : start + 3, middle - 2 : middle + 3]
            assert heart.sum() == 9


def test_odile_left_her_hem_and_the_fold_plain():
    rows = np.flatnonzero(squares("pillowcases").any(axis=1)) + 1
    assert (rows[0], rows[-1], len(rows)) == (3, 42, 40)


def test_no_wool_on_the_cushion_floats_over_more_than_three_units():
    assert longest_run(~squares("supplementary-weft-cushions")) == 3


def test_the_circles_of_the_towels_are_round():
    units = squares("towels-that-came-out-long")
    ring = units[59:74, 8:23]
    assert np.array_equal(ring, np.rot90(ring))
    assert ring[0].any()
    assert not units[59:74, 7].any()


# Put together of pieces ---------------------------------------------------------------------------


@given(st.integers(1, 9), st.integers(1, 9), st.data())
def test_pieces_lie_turn_and_repeat_as_arrays_do(across, up, data):
    row = st.lists(st.booleans(), min_size=across, max_size=across)
    marks = np.array(data.draw(st.lists(row, min_size=up, max_size=up)))
    marks[0, 0] = True
    turns, reverse = data.draw(st.integers(0, 3)), data.draw(st.booleans())
    mirror = data.draw(st.sampled_from(["about a unit", "between two"]))
    seen = "/".join("".join(".#"[int(mark)] for mark in line) for line in marks)
    laid = np.rot90(marks[:, ::-1] if reverse else marks, turns)
    whole = np.tile(laid, (2, 3))
    piece = {"squares": seen, "times": [3, 2], "quarter_turns": turns, "reversed": reverse}
    told = {"across": whole.shape[1], "up": whole.shape[0], "mirrored": mirror, "lay": [piece]}
    right = whole[:, ::-1][:, 1 if mirror == "about a unit" else 0 :]
    expected = np.concatenate([whole, right], axis=1)
    assert np.array_equal(np.array(composed(told).marks()), expected[::-1])


def test_a_piece_at_rest_clears_and_what_reaches_over_is_cut_off():
    lay = [
        {"squares": "#", "times": [4, 3]},
        {"squares": "###/###", "at": [3, 2], "rests": True},
        {"squares": "##/##", "at": [0, 0]},
    ]
    assert in_squares(composed({"across": 4, "up": 3, "lay": lay})) == "####\n##..\n##.."


def test_every_second_piece_stands_higher():
    lay = [{"squares": "#", "times": [4, 1], "drop": 1}]
    assert in_squares(composed({"across": 4, "up": 2, "lay": lay})) == "#.#.\n.#.#"


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"across": 0}, "across", "whole number"),
        ({"up": "6"}, "up", "whole number"),
        ({"across": 900}, "grid", "units across"),
        ({"wide": 6}, "wide", "There are across"),
        ({"mirrored": "twice"}, "mirrored", "about a unit"),
        ({"lay": []}, "lay", "pieces"),
        ({"lay": ["#"]}, "lay 1", "table"),
        ({"lay": [{"squares": "#"}, {}]}, "lay 2, motif", "one of them"),
        ({"lay": [{"motif": "dragon"}]}, "lay 1, motif", "acorn"),
        ({"lay": [{"letters": "A", "size": "huge"}]}, "lay 1, size", "small and large"),
        ({"lay": [{"letters": "~"}]}, "lay 1, letters", "not drawn here"),
        ({"lay": [{"squares": "#?"}]}, "lay 1, squares", "?"),
        ({"lay": [{"squares": "#", "at": [1]}]}, "lay 1, at", "Two whole numbers"),
        ({"lay": [{"squares": "#", "at": [9, 9]}]}, "lay 1, at", "lies nowhere"),
        ({"lay": [{"squares": "#", "times": [0, 1]}]}, "lay 1, times", "whole number"),
        ({"lay": [{"squares": "#", "quarter_turns": 0.5}]}, "lay 1, quarter_turns", "whole"),
        ({"lay": [{"squares": "#", "colour": "red"}]}, "lay 1, colour", "There are motif"),
    ],
)
def test_a_wrong_piece_is_told_where_and_what_would_work(change, field, words):
    with pytest.raises(InputError) as caught:
        composed({"across": 6, "up": 6, "lay": [{"squares": "#"}], **change})
    assert caught.value.field == field
    assert words in f"{caught.value.message} {caught.value.hint}"


# A weaver's own -----------------------------------------------------------------------------------


def test_a_weavers_figure_is_shown_as_the_handbooks():
    one = example_of(MATS)
    html = example_html(one)
    assert "The figure</h2>" in html
    assert figure_html(one) in html
    assert [cells[1] for cells in table(html, "Units to draw")][:2] == ["1, 3, 5", "2, 4, 6"]


def test_pieces_and_squares_make_the_same_figure():
    lay = [{"squares": SIX, "at": [1, 1]}]
    turned = "/".join(reversed(SIX.split("/")))
    lay[0]["squares"] = turned
    pieces = example_of({**MATS, "figure": {"across": 6, "up": 6, "lay": lay}})
    assert pieces.figure.grid == example_of(MATS).figure.grid
    text = example_of({**MATS, "figure": {"grid": turned, "order": "last"}})
    assert text.figure.grid == pieces.figure.grid


def test_a_link_brings_the_figure_along():
    link = link_of(MATS)
    values = {
        key: value
        for key, value in re.findall(r"([^&=]+)=([^&]*)", link)
        if key not in ("v", "calculator")
    }
    unquoted = {key: re.sub("%7E", "~", value) for key, value in values.items()}
    figure = of_link("cloth-plan", 2, unquoted)["figure"]
    assert example_of({**MATS, "figure": figure}).figure.grid == example_of(MATS).figure.grid


@pytest.mark.parametrize(
    ("figure", "key", "words"),
    [
        ("##. / #?.", "figure", "?"),
        ("## / ##", "figure", "2 units across and 2 up, the plan has 6 and 6"),
        (7, "figure", "a figure is wanted"),
        ({"grid": SIX, "side": "left"}, "figure.side", ""),
        ({"across": 6, "up": 6, "lay": [{"motif": "dragon"}]}, "figure.lay 1, motif", "acorn"),
    ],
)
def test_a_broken_figure_is_told_with_its_line(figure, key, words, tmp_path):
    broken = {**MATS, "title": "Broken", "figure": figure}
    with pytest.raises(ExampleError) as caught:
        example_of(broken)
    assert caught.value.key == key
    text = written([MATS, broken])
    sound, problems = opened(text)
    assert len(sound) == 1
    line = int(re.match(r"line (\d+), “Broken”, ", problems[0])[1])
    first = line_of(text, ["examples", 1, "figure"])
    assert first <= line <= first + len(json.dumps(figure, indent=1).splitlines())
    assert words in problems[0]
    (tmp_path / "mats.json").write_text(text, encoding="utf-8")
    edition = read_edition(tmp_path, "ROOT/")
    assert len(edition.pages) == 1
    assert "ft-squares" in next(iter(edition.pages.values()))
    assert edition.problems == (f"mats.json, {problems[0]}",)


def test_a_calculator_without_units_takes_no_figure():
    with pytest.raises(ExampleError, match="counts no units"):
        example_of({**MATS, "calculator": "sett", "inputs": {"warp_yarn": "16/2"}})
