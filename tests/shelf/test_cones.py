"""Cones and looms written down: read whole or not at all, and written so that they read alike."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import calculators
from calculators.errors import InputError
from calculators.shelf.cones_and_looms import (
    COLUMNS,
    FIBRES,
    Cone,
    Loom,
    Shelf,
    add_cone,
    read_shelf,
    write_csv,
    write_json,
    write_lines,
)
from calculators.shelf.threads import supplies, threads
from calculators.yarn.colour import COLOURS, difference, lab, luminance, parse_colour
from calculators.yarn.yarn import parse_yarn

GOOD = """\
Blue cone; 16/2 cotton; 412 g; empty 38 g; #2b4a6f; note from Tobias

Flax; 16/1 linen; net 290 g; unbleached; step 5 g
16/2; 80 g
Loom: Oak; width 120 cm; shafts 8; heddles 300; reeds 40/10, 12 dpi; longest 20 m
"""


def test_a_line_says_what_stands_on_the_shelf():
    shelf = read_shelf(GOOD)
    blue, flax, bare = shelf.cones
    assert (blue.net, blue.colour, blue.note) == (374, "#2b4a6f", "from Tobias")
    assert (flax.net, flax.fibre, flax.step, flax.colour) == (290, "linen", 5, "#cbb996")
    assert (bare.name, bare.yarn.tex) == ("16/2", parse_yarn("16/2").tex)
    (loom,) = shelf.looms
    assert (loom.width, loom.ground_shafts, loom.pattern_heddles, loom.longest) == (
        120,
        8,
        300,
        2000,
    )
    assert loom.reeds == pytest.approx((10.16, 12))
    assert (loom.waste, loom.cords) == (140, None)


BROKEN = {
    "Blue cone; 16/2 cotton; 412 g; empty 438 g": "Line 1",
    "A; 16/2; 40 g\nB; 250 g; 40 g": "Line 2",
    "A; 16/2; 40 g\n\nB; 16/2; 40 g; sky-green": "Line 3",
    "A; 16/2; 40 g\nA; 30/2; 40 g": "Line 2",
    "A; 16/2": "Line 1",
    "A; 16/2; 40 g; 50 g": "Line 1",
    "A; 16/2; -40 g": "Line 1",
    "A; 16/2; 40 cm": "Line 1",
    "A; 16/2; 40 g\nLoom: Oak; width 12 g; shafts 4; reeds 40/10": "Line 2",
    "A; 16/2; 40 g\nLoom: Oak; wheels 4": "Line 2",
    "A; 16/2; 40 g\nLoom: Oak; width 90 cm; shafts 4; reeds 40/10; front 25 cm": "Line 2",
    "\n\nA; 16/2; 40 g\n\nB; 16/2": "Line 5",
    "\n\nname,yarn,net\nA,16/2,40 g\nB,16/2": "Line 5",
    '\n\n{"shelf": 1,\n "cones": [}': "Line 4",
    "name,yarn,net\nA,16/2,40 g\nB,16/2": "Line 3",
    'name,yarn,net\nA,16/2,40 g\n"B,16/2,40 g': "Line 3",
    "name,yarn,net\nA,16/0,40 g": "Line 2",
    '{"shelf": 1,\n "cones": [}': "Line 2",
    '{"cones": []}': "Line 1",
    '{"shelf": 1, "cones": [{"name": "A", "yarn": "16/2", "net": "9 g"}, 7]}': "Cone 2",
    '{"shelf": 1, "cones": [{"name": "A", "yarn": "16/2", "net": 9}]}': "Cone 1",
    '{"shelf": 1, "cones": [], "looms": [{"name": "Oak"}]}': "Loom 1",
    '{"shelf": 1, "cones": []}': "From 1 to 200",
    "": "From 1 to 200",
}


@pytest.mark.parametrize("text", BROKEN)
def test_what_cannot_be_read_is_named_by_its_line_and_nothing_is_taken(text):
    with pytest.raises(InputError) as caught:
        read_shelf(text, "cones")
    assert caught.value.field == "cones"
    assert BROKEN[text] in caught.value.message
    assert len(caught.value.message) <= 400
    assert len(caught.value.hint) <= 700


def test_every_bad_line_is_counted():
    with pytest.raises(InputError, match=r"Line 1: .*Line 2: .*Line 4: .*And 2 more\."):
        read_shelf("A; x\nB; y\nC; 16/2; 4 g\nD; z\nE; z\nF; z")


OAK = "A; 16/2; 40 g\nLoom: Oak; width 90 cm; shafts 4; reeds 40/10"


def test_a_loom_wastes_what_lies_along_the_warp():
    along = "; front 25 cm; ground 0.35 m; between 25 cm; behind 30 in"
    (oak,) = read_shelf(OAK).looms
    (measured,) = read_shelf(OAK + along).looms
    (given_too,) = read_shelf(f"{OAK}{along}; waste 149 cm").looms
    assert (oak.waste, oak.distances) == (140, ())
    assert measured.distances == pytest.approx((25, 35, 25, 76.2))
    assert measured.waste == pytest.approx(161.2)
    assert (given_too.waste, given_too.distances) == (149, measured.distances)
    for loom in (oak, measured, given_too):
        shelf = Shelf(read_shelf(OAK).cones, (loom,))
        assert read_shelf(write_lines(shelf)).looms == (loom,)
        assert read_shelf(write_json(shelf)).looms == (loom,)


@pytest.mark.parametrize("text", [OAK, write_csv(read_shelf(OAK)), write_json(read_shelf(OAK))])
def test_a_cone_is_added_to_whatever_stands_there(text):
    typed = {"yarn": "30/2 cotton", "gross": "95", "empty": "38 g", "colour": "navy",
             "note": "blue; not dyed here", "name": ""}  # fmt: skip
    more = add_cone(add_cone(text, typed), typed)
    before, after = read_shelf(text), read_shelf(more)
    assert after.looms == before.looms
    assert after.cones[0].name == "A"
    assert len({one.name for one in after.cones}) == 3
    for one in after.cones[1:]:
        assert (one.net, one.colour, one.note) == (57, "#000080", "blue, not dyed here")
        assert one.yarn.tex == parse_yarn("30/2 cotton").tex


def test_a_cone_is_added_below_a_line_that_is_still_being_typed():
    begun = "A; 16/2; 40 g\nB; 16/"
    assert add_cone(begun, {"yarn": "16/2", "gross": "40"}).startswith(begun + "\n")


@pytest.mark.parametrize(
    "wrong",
    [
        {"yarn": "16/2", "gross": ""},
        {"yarn": "", "gross": "40"},
        {"yarn": "16/2", "gross": "40", "empty": "50"},
        {"yarn": "16/2", "gross": "40", "colour": "sky-green"},
        {"yarn": "16/2", "gross": "40", "name": "a"},
    ],
)
def test_a_cone_that_cannot_be_is_refused(wrong):
    with pytest.raises(InputError):
        add_cone("A; 16/2; 40 g", wrong)


names = st.text(st.characters(categories=["L", "N"]), min_size=1, max_size=12)
cones = st.builds(
    lambda name, label, fibre, colour, gross, empty, step, note: Cone(
        name, parse_yarn(label), fibre, colour, gross + empty, empty, step, note
    ),
    names,
    st.sampled_from(
        ["16/2 cotton", "30/2 cotton", "16/1 linen", "Nm 28/2", "R 74 tex", "8/2 cotton"]
    ),
    st.sampled_from(["", *FIBRES]),
    st.sampled_from(["", *COLOURS.values()]),
    st.integers(1, 100_000).map(lambda n: n / 100),
    st.integers(0, 100).map(float),
    st.sampled_from([0.0, 0.1, 1.0, 5.0]),
    st.sampled_from(["", "washed once", 'says "soft", they say']),
)
looms = st.builds(
    Loom,
    names,
    st.integers(10, 300).map(float),
    st.integers(2, 24),
    st.none() | st.integers(1, 2_000),
    st.none() | st.integers(1, 200),
    st.lists(st.integers(2, 60).map(float), min_size=1, max_size=4, unique=True).map(tuple),
    st.integers(0, 300).map(float),
    st.none() | st.integers(100, 5_000).map(float),
    st.just(()) | st.tuples(*[st.integers(0, 120).map(float)] * 4),
)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    st.lists(cones, min_size=1, max_size=5, unique_by=lambda one: one.name.casefold()),
    st.lists(looms, max_size=2, unique_by=lambda one: one.name.casefold()),
)
def test_what_is_written_reads_the_same(cones, looms):
    shelf = Shelf(tuple(cones), tuple(looms))
    fibred = tuple(
        cone if cone.fibre else read_shelf(write_lines(Shelf((cone,)))).cones[0] for cone in cones
    )
    assert same(read_shelf(write_json(shelf)), Shelf(fibred, shelf.looms))
    assert same(read_shelf(write_csv(shelf)), Shelf(fibred))
    assert same(read_shelf(write_lines(shelf)), Shelf(fibred, shelf.looms))
    json.loads(write_json(shelf))
    assert write_csv(shelf).split("\n")[0] == ",".join(COLUMNS)


def same(one, other):
    def plain(shelf):
        return (
            [
                (c.name, round(c.yarn.tex, 9), c.fibre, c.colour, round(c.gross, 6), c.empty,
                 c.step, c.note)
                for c in shelf.cones
            ],
            [
                (m.name, m.width, m.ground_shafts, m.pattern_heddles, m.cords,
                 tuple(round(reed, 9) for reed in m.reeds), m.waste, m.longest, m.distances)
                for m in shelf.looms
            ],
        )  # fmt: skip

    return plain(one) == plain(other)


@pytest.mark.parametrize(
    ("colour", "expected"),
    [  # widely published values of the sRGB primaries in CIE L*a*b*, D65
        ("#ff0000", (53.24, 80.09, 67.20)),
        ("#00ff00", (87.73, -86.18, 83.18)),
        ("#0000ff", (32.30, 79.19, -107.86)),
        ("#ffffff", (100, 0, 0)),
        ("#000000", (0, 0, 0)),
    ],
)
def test_primaries_lie_where_they_are_published(colour, expected):
    assert lab(colour) == pytest.approx(expected, abs=0.06)


def test_contrast_of_the_published_example():
    """WCAG’s own example of a grey that just reaches 4.5:1 on white: #767676."""
    ratio = (luminance("#ffffff") + 0.05) / (luminance("#767676") + 0.05)
    assert ratio == pytest.approx(4.54, abs=0.005)


@given(st.integers(0, (1 << 24) - 1), st.integers(0, (1 << 24) - 1), st.integers(0, (1 << 24) - 1))
def test_differences_are_distances(a, b, c):
    one, other, third = (f"#{value:06x}" for value in (a, b, c))
    assert difference(one, other) == difference(other, one)
    assert difference(one, third) <= difference(one, other) + difference(other, third) + 1e-9
    assert 0 <= luminance(one) <= 1 + 1e-12


def test_words_and_short_values_are_colours():
    assert parse_colour(" Navy ") == "#000080"
    assert parse_colour("#FA0") == "#ffaa00"
    with pytest.raises(InputError, match="sky-green"):
        parse_colour("sky-green")


def test_empty_rows_of_a_table_say_nothing():
    rows = "name,yarn,net,fibre\nA,16/2,40 g,linen\n , ,,\n\nB,16/2,50 g,wool\n"
    assert [(one.name, one.net, one.fibre) for one in read_shelf(rows).cones] == [
        ("A", 40, "linen"),
        ("B", 50, "wool"),
    ]


def test_a_fibre_is_known_by_its_word_or_refused():
    (flax,) = read_shelf("A; 16/2; 40 g; linen").cones
    (named,) = read_shelf("A; 16/2; 40 g; fibre linen").cones
    assert flax == named
    with pytest.raises(InputError, match="“glass” is no fibre"):
        read_shelf("A; 16/2; 40 g; fibre glass")


@pytest.mark.parametrize(
    "label",
    ["16/2", "40", "16/1 linen", "60/2 spun silk", "Nm 28/2", "R 74 tex", "37 tex x 2", "70/34 den",
     "6720 yd/lb", "13500 m/kg", "12 cut", "2/18 worsted"],
)  # fmt: skip
def test_a_doubled_yarn_weighs_twice_as_much_whatever_its_label(label):
    on_hand = supplies(read_shelf(f"A; {label}; 40 g; fibre cotton").cones, 0)
    single, doubled = threads(on_hand, striped=False)
    assert doubled.words == "A doubled"
    assert doubled.yarn.tex == pytest.approx(2 * single.yarn.tex, rel=1e-12)
    assert parse_yarn(doubled.yarn.text, doubled.yarn.system).tex == doubled.yarn.tex


def test_a_yarn_too_thick_to_be_doubled_is_offered_single():
    on_hand = supplies(read_shelf("Rope; R 30000 tex; 9 kg").cones, 0)
    assert [one.words for one in threads(on_hand, striped=True)] == ["Rope"]


def test_reeds_written_apart_serve_every_loom_without_its_own():
    lines = (
        "A; 16/2 cotton; 40 g\nLoom: Oak; width 120 cm; shafts 8\n"
        "Loom: Elm; width 60 cm; shafts 4; reeds 50/10\nReeds: 40/10, 60/10"
    )
    shelf = read_shelf(lines)
    assert shelf.reeds == pytest.approx((10.16, 15.24))
    assert [loom.reeds for loom in shelf.looms] == [shelf.reeds, pytest.approx((12.7,))]
    assert read_shelf(write_lines(shelf)) == read_shelf(write_json(shelf)) == shelf


def test_a_loom_without_any_reed_is_refused_on_its_line_unless_nothing_is_planned():
    lines = "A; 16/2; 40 g\nLoom: Oak; width 120 cm; shafts 8"
    with pytest.raises(InputError, match="Line 2: a loom needs"):
        read_shelf(lines)
    assert read_shelf(lines, complete=False).looms[0].reeds == ()
    assert read_shelf("Reeds: 60/10", complete=False).cones == ()


@pytest.mark.parametrize("reeds", [{"a": 1}, [None], ["forty"]])
def test_broken_reeds_in_a_file_are_named(reeds):
    file = {"shelf": 1, "cones": [{"name": "A", "yarn": "16/2", "net": "40 g"}], "reeds": reeds}
    with pytest.raises(InputError, match="Reeds"):
        read_shelf(json.dumps(file))


FREE = {
    "16/2 cotton white, 12 oz": ("16/2 cotton white", "16/2 cotton", 340.1942775, 0, "#ffffff"),
    "12 oz white cotton 16/2": ("white cotton 16/2", "16/2 cotton", 340.1942775, 0, "#ffffff"),
    "Blue cone 16/2 cotton 412 g empty 38 g": ("Blue cone", "16/2", 412, 38, "#0000ff"),
    "gross 412 g, empty 38 g, 30/2 cotton #2b4a6f": (
        "30/2 cotton",
        "30/2 cotton",
        412,
        38,
        "#2b4a6f",
    ),
    "bom 16/2 vit 0,5 kg": ("bom 16/2 vit", "16/2 cotton", 500, 0, "#ffffff"),
    "Leinen 40/2 grau, brutto 400 g, leer 40 g": (
        "Leinen 40/2 grau",
        "40/2 linen",
        400,
        40,
        "#808080",
    ),
    "hør 16/1, ubleget, 290 g": ("hør 16/1 ubleget", "16/1 linen", 290, 0, "#cbb996"),
    "6720 yd/lb red 5 oz": ("6720 yd/lb red", "6720 yd/lb", 141.747615625, 0, "#ff0000"),
    "16/2 412 g": ("16/2", "16/2 cotton", 412, 0, ""),
    "2 lb 3 oz 8/2 cotton": ("8/2 cotton", "8/2 cotton", 992.2333093750001, 0, ""),
}


@pytest.mark.parametrize("line", FREE)
def test_a_line_in_free_words_is_read(line):
    (cone,) = read_shelf(line).cones
    name, yarn, gross, empty, colour = FREE[line]
    assert (cone.name, cone.yarn.tex, cone.colour) == (name, parse_yarn(yarn).tex, colour)
    assert (cone.gross, cone.empty) == pytest.approx((gross, empty))
    shown = calculators.run("shelf", {"cones": f"{line}\nB; 16/2; 500 g"})["notes"]
    assert any(note.startswith(f"{name}: read as ") for note in shown)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("16/2 cotton sparkling 12 oz", "“sparkling”"),
        ("hello 12 oz", "no yarn is named"),
        ("16/2 cotton white", "weight"),
        ("16/2 12 oz, 5 oz", "second weight"),
    ],
)
def test_what_free_words_leave_open_is_said(line, words):
    with pytest.raises(InputError, match=f"Line 1: .*{words}"):
        read_shelf(line)


def test_two_alike_are_told_apart_and_a_colour_beside_the_yarn_counts():
    twice = read_shelf("16/2 cotton white, 12 oz\n16/2 cotton white, 12 oz").cones
    assert [cone.name for cone in twice] == ["16/2 cotton white", "16/2 cotton white (2)"]
    (named,) = read_shelf("A; 16/2 cotton blue; 40 g").cones
    assert named.colour == "#0000ff"
    (undyed,) = read_shelf("A; 16/2 cotton unbleached; 40 g").cones
    assert undyed.colour == ""
