"""Which ground cuts which edge, woven again thread by thread with numpy.

The loom's rule is restated here: a drawn end is up unless its ground shaft sinks, a resting end is
down unless its shaft rises (Taylor 1909, p. 163). The families of orders are made anew: regular
satins from the moves that Wolfensberger 1921, p. 33, prints, others by rolling their own matrix.
"""

import itertools
import re
from math import gcd

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import calculators
from calculators.contract import calculate
from calculators.figure.edges import (
    begins,
    is_true_satin,
    longest_float,
    most_uncut,
    orders,
    read_order,
    search,
    uneven_satins,
    usual,
    written_order,
)
from calculators.show.sheet import sheet_html
from calculators.tables import TABLES, table
from calculators.weave.ground import EDGES, GROUNDS, Ground, from_orders, ground_of
from calculators.weave.library import weave

MOVES = {5: [2], 7: [2, 3], 8: [3], 10: [3], 11: [2, 3, 4, 5], 12: [5]}  # one of each pair
PUBLISHED = {  # the order of lifting
    "satin_5": [1, 3, 5, 2, 4],  # Brooks 1892, Cloths woven by tappets
    "satin_8": [1, 4, 7, 2, 5, 8, 3, 6],  # Taylor 1909, web page 132
    "satin_12": [1, 6, 11, 4, 9, 2, 7, 12, 5, 10, 3, 8],  # Brooks 1892
}
OWN = {  # from memory
    "twill_1_3": [1, 2, 3, 4],
    "broken_twill_4": [1, 2, 4, 3],
    "satin_6": [1, 3, 5, 2, 6, 4],
}
LACE = [[6], [1, 3, 5], [6], [1, 3, 5], [2, 4, 6], [1, 3, 5]]
LACE_DRAWN_DOWN = [[1, 3, 5], [2, 4, 6]] * 3  # plain
STRUCTURES = ("plain", *OWN, "lace_6", *(f"satin_{ends}" for ends in (5, *range(7, 13))))


def matrix(order, ends):
    return np.array([[end + 1 in pick for end in range(ends)] for pick in order])


def single(order):
    return matrix([[end] for end in order], len(order))


def loom(rise, sink, grid):
    """Weave a design of units, one repeat of the ground each way."""
    grid = np.asarray(grid, bool)
    drawn = np.kron(grid, np.ones(rise.shape, bool))
    return np.where(drawn, ~np.tile(sink, grid.shape), np.tile(rise, grid.shape))


def threads_uncut(rise, sink):
    """Alike on both sides of an edge: first end, last end, lower, upper."""
    picks, ends = rise.shape
    cloth = loom(rise, sink, [[0, 0, 0], [0, 1, 0], [0, 0, 0]])
    inside, across = cloth[picks : 2 * picks], cloth[:, ends : 2 * ends]
    pairs = [
        (inside[:, ends - 1], inside[:, ends]),
        (inside[:, 2 * ends - 1], inside[:, 2 * ends]),
        (across[picks - 1], across[picks]),
        (across[2 * picks - 1], across[2 * picks]),
    ]
    return [int((one == other).sum()) for one, other in pairs]


def regular(ends):
    """Every regular satin on so many ends, begun anywhere."""
    moves = MOVES.get(ends) or [k for k in range(2, ends // 2 + 1) if gcd(k, ends) == 1]
    for move in (way for one in moves for way in (one, ends - one)):
        order = [1 + pick * move % ends for pick in range(ends)]
        yield from (single(order[begin:] + order[:begin]) for begin in range(ends))


def anywhere(one):
    """A matrix begun at any pick and any end, forwards and backwards, each once."""
    rolled = (
        np.roll(way, (pick, end), (0, 1))
        for way in (one, one[::-1])
        for pick in range(one.shape[0])
        for end in range(one.shape[1])
    )
    return list({array.tobytes(): array for array in rolled}.values())


def families(name):
    if name == "plain":
        one = single([1, 2])
        return anywhere(one), anywhere(one)
    if name == "lace_6":
        return anywhere(matrix(LACE, 6)), anywhere(matrix(LACE_DRAWN_DOWN, 6))
    if name in OWN:
        return anywhere(single(OWN[name])), anywhere(single(OWN[name]))
    every = list(regular(int(name.removeprefix("satin_"))))
    return every, every


def woven_pairs(name):
    """Clean edges of every pair that the loom can do."""
    rising, sinking = families(name)
    return [
        threads_uncut(rise, sink).count(0)
        for rise in rising
        for sink in sinking
        if not (rise & sink).any()
    ]


@pytest.mark.parametrize("name", STRUCTURES)
def test_how_many_edges_can_be_clean_is_what_weaving_every_pair_shows(name):
    woven = woven_pairs(name)
    found = search(weave(name))
    assert found.clean == max(woven)
    assert found.pairs_by_clean == tuple(woven.count(clean) for clean in range(5))
    title = weave(name).title.partition(",")[0]
    tried = next(row for row in table("edges-tried").rows if row[0] == title)
    assert tried[1:] == (len(woven), *found.pairs_by_clean)


def clean_satins(ends):
    """All orders in which no two picks in turn, the last and first too, bind neighbours."""
    every = np.array(list(itertools.permutations(range(ends))), np.int8)
    apart = (np.roll(every, -1, 1) - every) % ends
    return every[((apart != 1) & (apart != ends - 1)).all(1)]


@pytest.mark.parametrize(
    ("ends", "even", "any_satin"), [(5, 1, 1), (6, None, 4), (7, 1, 4), (8, 4, 4)]
)
def test_proof_for_all_clean_satins_up_to_eight_shafts(ends, even, any_satin):
    """Every pair of all clean satins, regular or not; on two picks each edge is decided."""
    every = clean_satins(ends)
    place = np.argsort(every, 1)  # the pick on which each shaft moves
    can = np.ones((len(every), len(every)), bool)
    for pick in range(ends):
        can &= every[:, None, pick] != every[None, :, pick]
    clean = sum(
        (one[:, None] == other[None, :]).astype(np.int8)
        for one, other in (
            (place[:, -1], place[:, 0]),
            (place[:, 0], place[:, -1]),
            (every[:, -1], every[:, 0]),
            (every[:, 0], every[:, -1]),
        )
    )
    assert clean[can].max() == any_satin
    steps = (np.roll(every, -1, 1) - every) % ends
    straight = (steps == steps[:, :1]).all(1)
    if even is None:
        assert not straight.any()  # Petrini 2017: no regular satin on six
    else:
        assert clean[np.ix_(straight, straight)][can[np.ix_(straight, straight)]].max() == even
    if ends < 8:
        counts = np.bincount(clean[can], minlength=5)
        assert uneven_satins(ends).pairs_by_clean == tuple(counts)


def numbers(order):
    return [[int(shaft) for shaft in pick.split("+")] for pick in order.split()]


def test_every_row_of_the_table_is_what_its_orders_weave():
    rows = table("clean-edges").rows
    assert len(rows) == len(STRUCTURES) + 1
    for name, _, best, rise, sink in rows:
        ends = max(map(max, numbers(rise)))
        up, down = matrix(numbers(rise), ends), matrix(numbers(sink), ends)
        assert not (up & down).any(), name
        found = [
            edge
            for edge, threads in zip(EDGES, threads_uncut(up, down), strict=True)
            if not threads
        ]
        which = "" if len(found) == 4 else f": {' and '.join(found)}"
        assert best == f"{len(found)} of 4{which}"


@pytest.mark.parametrize("name", STRUCTURES)
def test_the_calculator_gives_the_pair_it_counts(name):
    found = calculators.run("ground", {"weave": name})
    assert found["ok"], found
    results = {key: one["value"] for key, one in found["results"].items()}
    ends = weave(name).ends
    rise, sink = (matrix(numbers(results[key]), ends) for key in ("rise", "sink"))
    assert threads_uncut(rise, sink).count(0) == results["clean_edges"] == max(woven_pairs(name))
    tied = ground_of(name)
    by_hand = threads_uncut(matrix(tied.rise, ends), matrix(tied.sink, ends)).count(0)
    assert results["clean_edges_given"] == by_hand
    typed = {"rise": results["rise"], "sink": results["sink"]}
    again = calculators.run("ground", {"weave": name, **typed})
    assert again["results"]["clean_edges_given"]["value"] == results["clean_edges"]
    rows = [row for row in found["tables"]["tie_up"]["rows"] if "hem" not in str(row[0])]
    assert [row[2] for row in rows] == [pick.replace("+", " ") for pick in results["rise"].split()]
    assert [row[3] for row in rows] == [pick.replace("+", " ") for pick in results["sink"].split()]


@pytest.mark.parametrize("name", GROUNDS)
def test_the_usual_pair_is_the_one_of_the_printed_tie_ups(name):
    assert usual(weave(name)) == ground_of(name)


@pytest.mark.parametrize("name", PUBLISHED)
def test_published_orders_are_among_those_tried(name):
    own = tuple((shaft,) for shaft in PUBLISHED[name])
    rising, sinking = orders(weave(name))
    assert own in rising
    assert own in sinking
    assert calculators.run("ground", {"weave": name, "rise": written_order(own)})["ok"]


@pytest.mark.parametrize("ends", MOVES)
def test_the_moves_that_are_tried_are_the_published_ones(ends):
    rising, _ = orders(weave(f"satin_{ends}"))
    moves = {(order[1][0] - order[0][0]) % ends for order in rising}
    assert moves == {way for move in MOVES[ends] for way in (move, ends - move)}
    assert len(rising) == ends * len(moves)


def value(name, result):
    return calculators.run("ground", {"weave": name})["results"][result]["value"]


def test_published_floats_and_bells_tie_up():
    """Britannica 1910, Damask: four threads and seven; Bell 1895, p. 178: one up, one down."""
    for name, threads in (("satin_5", 4), ("satin_8", 7)):
        assert value(name, "longest_float") == threads
    rows = calculators.run("ground", {"weave": "satin_8"})["tables"]["tie_up"]["rows"][:8]
    assert [len(row[2].split()) + len(row[3].split()) for row in rows] == [2] * 8


permutations = (
    st.integers(3, 9)
    .flatmap(
        lambda n: st.tuples(st.permutations(range(1, n + 1)), st.permutations(range(1, n + 1)))
    )
    .filter(lambda pair: all(one != other for one, other in zip(*pair, strict=True)))
)


def counts(rise, sink):
    return list(most_uncut(from_orders(rise, sink), len(rise)).values())


@given(permutations)
def test_turning_a_ground_round_changes_its_edges_round(pair):
    rise, sink = pair
    first, last, lower, upper = counts(rise, sink)
    ends = len(rise)
    mirrored = [[ends + 1 - shaft for shaft in order] for order in pair]
    assert counts(*mirrored) == [last, first, lower, upper]
    assert counts(rise[::-1], sink[::-1]) == [first, last, upper, lower]
    assert counts(sink, rise) == [last, first, upper, lower]
    assert counts(rise, sink) == threads_uncut(single(rise), single(sink))


@given(st.integers(2, 6), st.integers(2, 6), st.data())
def test_no_float_is_longer_than_the_ground_says_whatever_is_drawn(ends, picks, data):
    moves = st.lists(
        st.lists(st.sampled_from("rs."), min_size=ends, max_size=ends),
        min_size=picks,
        max_size=picks,
    )
    tied = np.array(data.draw(moves))
    rise, sink = tied == "r", tied == "s"
    for lifted in (rise, sink):
        if not (lifted.any(0).all() and lifted.any(1).all()):
            return
    ground = Ground(
        ends,
        *(tuple(tuple(map(int, np.flatnonzero(row) + 1)) for row in one) for one in (rise, sink)),
    )
    grid = data.draw(
        st.lists(st.lists(st.booleans(), min_size=3, max_size=3), min_size=1, max_size=4)
    )
    cloth = loom(rise, sink, grid)
    longest = max(
        len(run)
        for line in (*cloth, *cloth.T)
        for run in np.split(line, np.flatnonzero(np.diff(line)) + 1)
    )
    assert longest <= longest_float(ground)
    all_at_rest, all_drawn = (loom(rise, sink, np.full((3, 3), units)) for units in (False, True))
    reached = max(
        len(run)
        for cloth in (all_at_rest, all_drawn)
        for line in (*cloth, *cloth.T)
        for run in np.split(line, np.flatnonzero(np.diff(line)) + 1)
    )
    assert longest_float(ground) == reached, "it is reached somewhere"


@given(
    st.sampled_from(("broken_twill_4", "satin_5", "satin_6", "satin_8", "lace_6")),
    st.integers(1, 20),
    st.integers(1, 20),
)
def test_units_that_do_not_match_are_counted_on_the_worst_of_them(name, unit, row):
    """One drawn unit anywhere in a cloth whose ground goes on through units and rows."""
    tied = ground_of(name)
    ends, picks = tied.shafts, tied.picks
    rise, sink = matrix(tied.rise, ends), matrix(tied.sink, ends)
    units, rows = 2 + ends, 2 + picks  # each beginning is met, and has neighbours on all sides
    pick, shaft = np.indices((rows * row, units * unit)) % [[[picks]], [[ends]]]
    at_rest, raised = rise[pick, shaft], ~sink[pick, shaft]
    worst = [0, 0, 0, 0]
    for one, other in itertools.product(range(1, units - 1), range(1, rows - 1)):
        left, right, low, high = one * unit, (one + 1) * unit, other * row, (other + 1) * row
        # a side's threads are counted in one repeat, whatever the height of a row
        side = [
            (rise[:, (left - 1) % ends] != sink[:, left % ends]).sum(),
            (rise[:, right % ends] != sink[:, (right - 1) % ends]).sum(),
        ]
        cloth = at_rest.copy()
        cloth[low:high, left:right] = raised[low:high, left:right]
        along = [
            (cloth[low - 1] == cloth[low])[left:right].sum(),
            (cloth[high - 1] == cloth[high])[left:right].sum(),
        ]
        worst = np.maximum(worst, side + along)
    assert list(most_uncut(tied, unit, row).values()) == list(worst)
    size = {"ends_per_unit": str(unit), "picks_per_unit": str(row)}
    answer = calculators.run("ground", {"weave": name, **size})
    assert answer["results"]["clean_edges_given"]["value"] == list(worst).count(0)
    assert answer["results"]["clean_edges"]["value"] >= list(worst).count(0)
    best = {key: answer["results"][key]["value"] for key in ("rise", "sink")}
    again = calculators.run("ground", {"weave": name, **best, **size})
    given_now = again["results"]["clean_edges_given"]["value"]
    assert given_now == answer["results"]["clean_edges"]["value"]
    said = " ".join(answer["notes"])
    assert ("Units of" in said) == (unit % ends != 0)
    assert ("Rows of" in said) == (row % picks != 0)
    assert len(begins(ends, unit)) == ends // gcd(ends, unit)


@pytest.mark.parametrize("name", ["twill_1_3", "satin_5", "lace_6", "plain"])
def test_squares_are_answered_as_the_name_is(name):
    squares = weave(name).rows_as_typed().replace("\n", " / ")
    by_name, by_squares = (calculators.run("ground", {"weave": text}) for text in (name, squares))
    assert by_name["results"] == by_squares["results"]
    assert by_name["tables"] == by_squares["tables"]


@pytest.mark.parametrize("name", ["satin_5_warp", "broken_twill_4_warp"])
def test_a_warp_face_is_told_as_its_weft_face_and_says_so(name):
    answer = calculators.run("ground", {"weave": name})
    assert (
        answer["results"]
        == calculators.run("ground", {"weave": name.removesuffix("_warp")})["results"]
    )
    assert any("warp-faced ground cannot be tied" in line for line in answer["cautions"])


@pytest.mark.parametrize("name", ["plain", "twill_2_2", "basket_2_2"])
def test_a_ground_that_shows_no_figure_says_so(name):
    answer = calculators.run("ground", {"weave": name})
    assert any("No figure shows" in line for line in answer["cautions"])
    for row in answer["tables"]["tie_up"]["rows"]:
        assert len(row[2].split()) + len(row[3].split()) == weave(name).ends, "none is at rest"


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"rise": "1 3 5"}, "rise", "3 picks; the repeat has 5"),
        ({"rise": "1 3 6 2 4"}, "rise", "Shaft 6 is not there"),
        ({"rise": "one two"}, "rise", "“one” is no shaft"),
        ({"rise": "1 3 5 2 4", "sink": "1 3 5 4 2"}, "sink", "rise and to sink on pick 1"),
        ({"rise": "1 1 1 1 1", "sink": "2 2 2 2 2"}, "rise", "would not be woven in"),
        ({"sink": "2 0 1 3 5"}, "sink", "would not be woven in"),
        ({"weave": "###.. / ..### / #...."}, "weave", "cannot be tied"),
        (
            {"weave": "/".join("." * k + "#" + "." * (40 - k) for k in range(41))},
            "weave",
            "41 shafts",
        ),
    ],
)
def test_what_cannot_be_tied_is_said_beside_its_field(typed, field, words):
    answer = calculators.run("ground", typed)
    assert not answer["ok"]
    assert answer["errors"][0]["field"] == field
    assert words in answer["errors"][0]["message"]
    assert answer["errors"][0]["hint"]


@pytest.mark.parametrize(
    "typed", ["1 3 5 2 4", "1-3-5-2-4", "1, 3, 5, 2, 4", "13524", "1 → 3 → 5 → 2 → 4"]
)
def test_an_order_is_read_as_weavers_write_it(typed):
    assert read_order(typed, "rise", 5, 5) == ((1,), (3,), (5,), (2,), (4,))


@given(st.lists(st.sets(st.integers(1, 9)), min_size=1, max_size=9))
def test_an_order_that_is_written_is_read_back(picks):
    order = tuple(tuple(sorted(pick)) for pick in picks)
    assert read_order(written_order(order), "rise", 9, len(order)) == order


def test_a_typed_pair_that_does_better_is_told_so():
    *_, (_, _, _, rise, sink) = table("clean-edges").rows
    answer = calculators.run("ground", {"weave": "satin_7", "rise": rise, "sink": sink})
    results = {name: one["value"] for name, one in answer["results"].items()}
    assert (results["clean_edges"], results["clean_edges_given"]) == (1, 4)
    assert "more than any pair of this weave's own orders" in " ".join(answer["notes"])
    assert "a clean satin, its moves not all alike" in " ".join(answer["cautions"])


def test_only_even_moves_are_true_satins():
    assert not is_true_satin(((2,), (5,), (1,), (3,), (4,)))
    assert is_true_satin(((2,), (4,), (1,), (3,), (5,)))
    assert not is_true_satin(((1,), (3,), (5,), (2,), (6,), (4,)))


@pytest.mark.parametrize("name", ["satin_5", "satin_6", "satin_8", "lace_6", "twill_1_3"])
@pytest.mark.parametrize("grid", [[[0, 0]], [[1, 1]], [[1, 0]]])
def test_the_hem_is_plain_whatever_is_drawn_where_the_shafts_allow_it(name, grid):
    answer = calculators.run("ground", {"weave": name})
    rows = [row for row in answer["tables"]["tie_up"]["rows"] if "hem" in str(row[0])]
    ends = weave(name).ends
    rise, sink = (
        matrix([[int(one) for one in row[column].split()] for row in rows], ends)
        for column in (2, 3)
    )
    cloth = loom(rise, sink, grid)
    plain = (cloth == (np.indices(cloth.shape).sum(0) % 2 == 0)).all()
    assert plain == (ends % 2 == 0)
    assert any("no true plain weave" in line for line in answer["notes"]) == (ends % 2 == 1)


@pytest.mark.parametrize(("name", "treadles"), [("satin_8", 8), ("lace_6", 3), ("plain", 2)])
def test_picks_that_move_the_same_shafts_share_a_treadle(name, treadles):
    answer = calculators.run("ground", {"weave": name})
    rows = answer["tables"]["tie_up"]["rows"]
    moves = {row[1]: (row[2], row[3]) for row in rows}
    assert all(moves[row[1]] == (row[2], row[3]) for row in rows)
    assert len(set(moves.values())) == len(moves)
    ground = {row[1] for row in rows if "hem" not in str(row[0])}
    assert len(ground) == treadles
    more = set(moves) - ground
    said = " ".join(answer["notes"])
    assert ("more is needed" in said) == (not more)


def test_the_sheet_holds_the_tie_up_and_both_drawings():
    run = calculate("ground", {"weave": "satin_8"})
    sheet = sheet_html(run, "https://example.org/", "1 May")
    for picture in run.answer.pictures:
        assert picture in sheet
    assert "The best pair, pick by pick" in sheet
    assert len(run.answer.pictures) == 3


@pytest.mark.parametrize("name", ["satin_5", "satin_8", "lace_6"])
def test_the_drawing_rings_every_thread_that_is_uncut(name):
    run = calculate("ground", {"weave": name})
    edges = run.answer.tables["edges"]
    for column, picture in zip((-1, 1), run.answer.pictures[1:], strict=False):
        uncut = [re.match(r"\d+", str(row[column])) for row in edges.rows]
        rings = re.findall(r'd="([^"]*)" stroke="var\(--ft-mark', picture)[0].count("M")
        assert rings == sum(int(one[0]) for one in uncut if one)
    cords = run.answer.pictures[0]
    moved = sum(
        len(row[2].split()) + len(row[3].split())
        for row in run.answer.tables["tie_up"].rows
        if "hem" not in str(row[0])
    )
    assert cords.count("<circle ") == moved + 2  # and two in the key


def test_the_tables_have_their_numbers():
    assert {"clean-edges", "edges-tried"} <= set(TABLES)
    assert table("clean-edges").code != table("edges-tried").code


@pytest.mark.parametrize("ends", [5, 7, 8, 9, 10, 11, 12])
def test_the_side_that_an_even_satin_cuts_clean_is_clean_wherever_units_begin(ends):
    tied = usual(weave(f"satin_{ends}"))
    (side,) = [edge for edge, threads in most_uncut(tied, ends).items() if not threads]
    assert side in EDGES[:2]
    for unit in range(1, 4 * ends):
        assert most_uncut(tied, unit)[side] == 0
