"""A weave's properties, against counting by hand and against laws that any weave obeys."""

from fractions import Fraction
from itertools import permutations
from math import ceil
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.weave.library import WEAVES, weave
from calculators.weave.matrix import (
    Weave,
    from_lifts,
    longest_run,
    parse_matrix,
    shortest_period,
)
from tests.every import of_every


def bound(rows):
    return all(len(set(thread)) == 2 for thread in (*rows, *zip(*rows, strict=True)))


def weave_of(seed):
    """A weave of up to eight ends and picks by chance, every thread bound."""
    chance = Random(seed)
    ends, picks = chance.randint(2, 8), chance.randint(2, 8)
    rows = ()
    while not rows or not bound(rows):
        rows = tuple(tuple(chance.random() < 0.5 for _ in range(ends)) for _ in range(picks))
    return Weave("any", "any weave", rows)


weaves = st.integers(0, 2**32).map(weave_of)


# Counted by hand on paper: name, crossings of an end, crossings of a pick, average float, longest.
BY_HAND = [
    ("plain", 2, 2, 1, (1, 1)),
    ("twill_2_2", 2, 2, 2, (2, 2)),
    ("twill_1_3", 2, 2, 2, (3, 3)),
    ("broken_twill_4", 2, 2, 2, (3, 3)),
    ("twill_2_1", 2, 2, Fraction(3, 2), (2, 2)),
    ("basket_2_2", 2, 2, 2, (2, 2)),
    ("basket_3_3", 2, 2, 3, (3, 3)),
    ("satin_5", 2, 2, Fraction(5, 2), (4, 4)),
    ("satin_6", 2, 2, 3, (5, 5)),
    ("satin_8", 2, 2, 4, (7, 7)),
    ("satin_12", 2, 2, 6, (11, 11)),
]


@pytest.mark.parametrize(("name", "of_end", "of_pick", "average", "longest"), BY_HAND)
def test_counted_by_hand(name, of_end, of_pick, average, longest):
    found = weave(name)
    assert set(found.intersections_of_ends) == {of_end}
    assert set(found.intersections_of_picks) == {of_pick}
    assert Fraction(found.average_float) == average
    assert found.longest_float == longest


def test_lace_threads_are_not_alike():
    # Ends 1, 3, 5 and 6 weave plain; ends 2 and 4 are bound on one pick only.
    found = weave("lace_6")
    assert found.intersections_of_ends == (6, 2, 6, 2, 6, 6)
    assert found.intersections_of_picks == (2, 6, 2, 6, 6, 6)
    assert found.warp_intersections == pytest.approx(28 / 6)
    assert found.tightest_pick == 6
    assert found.longest_float == (5, 5)
    assert found.family == "other"


def test_floats_of_a_satin_span_one_thread_less_than_it_has():
    # M. Petrini, Satins and sateens 2: float n − 1.
    for ends in (5, 6, 7, 8, 9, 10, 11, 12):
        assert weave(f"satin_{ends}").longest_float == (ends - 1, ends - 1)


def test_longest_float_of_single_and_double_damask():
    # Encyclopaedia Britannica, 11th edition, article Damask: 4 and 7 threads.
    assert max(weave("satin_5").longest_float) == 4
    assert max(weave("satin_8").longest_float) == 7


def test_ribs_cross_differently_in_warp_and_weft():
    rib = parse_matrix("#. / #. / .# / .#")
    assert (rib.warp_intersections, rib.weft_intersections) == (2, 2)
    assert (rib.warp_average_float, rib.weft_average_float) == (2, 1)
    assert rib.average_float == pytest.approx(16 / 12)
    assert rib.longest_float == (2, 1)


@pytest.mark.parametrize(
    ("name", "family"),
    [
        ("plain", "plain"),
        ("basket_2_2", "matt"),
        ("basket_3_3", "matt"),
        ("twill_2_2", "twill"),
        ("twill_1_3", "twill"),
        ("twill_3_1", "twill"),
        ("satin_5", "satin"),
        ("satin_5_warp", "satin"),
        ("satin_6", "satin"),
        ("broken_twill_4", "other"),
        ("lace_6", "other"),
    ],
)
def test_families(name, family):
    assert weave(name).family == family


def test_left_hand_twill_is_a_twill():
    assert parse_matrix("#... / .#.. / ..#. / ...#").family == "twill"


@of_every([name for name in WEAVES if name.startswith("satin")])
def test_satins_are_clean(name):
    assert weave(name).is_satin
    assert weave(name).complement.is_satin
    assert weave(name).reverse.is_satin


@pytest.mark.parametrize(
    "name", ["plain", "twill_2_2", "twill_1_3", "broken_twill_4", "lace_6", "basket_2_2"]
)
def test_other_weaves_are_not(name):
    assert not weave(name).is_satin


def test_five_and_six_end_twills_are_no_satins():
    for ends in (5, 6):
        twill = Weave("t", "t", from_lifts(ends, ([end] for end in range(1, ends + 1))))
        assert not twill.is_satin


def test_each_end_bound_once_but_a_pick_twice_is_no_satin():
    rows = from_lifts(5, [[1, 3], [5], [2], [4], [4]])
    assert not Weave("w", "w", rows).is_satin


def test_faces():
    assert weave("satin_5").face == "weft"
    assert weave("satin_5").warp_share == pytest.approx(1 / 5)
    assert weave("satin_5_warp").face == "warp"
    assert weave("satin_5_warp").warp_share == pytest.approx(4 / 5)
    assert weave("twill_2_2").face == "both alike"


def test_layers_come_apart():
    double_plain = Weave("d", "d", from_lifts(4, [[1], [1, 3, 2], [3], [1, 3, 4]]))
    assert not double_plain.hangs_together
    stitched = Weave("d", "d", from_lifts(4, [[1, 2], [1, 3, 2], [3], [1, 3, 4]]))
    assert stitched.hangs_together


def test_built_in_weaves_hang_together_and_are_their_own_repeat():
    for name in WEAVES:
        assert weave(name).hangs_together, name
        assert weave(name).repeat is weave(name), name


@given(weaves)
def test_complement_of_complement(one):
    assert one.complement.complement.matrix == one.matrix
    assert one.complement.warp_share == pytest.approx(1 - one.warp_share)
    assert one.complement.intersections_of_ends == one.intersections_of_ends
    assert one.complement.intersections_of_picks == one.intersections_of_picks
    assert one.complement.longest_float == one.longest_float
    assert one.complement.hangs_together == one.hangs_together


@given(weaves)
def test_reverse_of_reverse(one):
    assert one.reverse.reverse.matrix == one.matrix
    assert one.reverse.warp_share == pytest.approx(1 - one.warp_share)
    assert one.reverse.intersections_of_picks == one.intersections_of_picks
    assert one.reverse.intersections_of_ends == one.intersections_of_ends[::-1]
    assert one.reverse.is_satin == one.is_satin


@given(weaves)
def test_crossings_and_floats_belong_together(one):
    for crossings in (*one.intersections_of_ends, *one.intersections_of_picks):
        assert crossings % 2 == 0
        assert crossings >= 2
    assert max(one.intersections_of_ends) <= one.picks
    assert one.tightest_pick <= one.ends
    assert 1 <= one.average_float <= max(one.longest_float)
    assert one.longest_float[1] >= ceil(one.ends / one.tightest_pick)
    assert 0 < one.sett_share <= one.ends / (one.ends + 2)


@given(weaves, st.integers(1, 3), st.integers(1, 3))
def test_repeating_a_weave_changes_nothing_about_it(one, across, up):
    many = Weave("many", "many", tuple(row * across for row in one.matrix) * up)
    assert many.repeat.matrix == one.repeat.matrix
    assert many.average_float == pytest.approx(one.average_float)
    assert many.sett_share == pytest.approx(one.sett_share)
    assert many.longest_float == one.longest_float
    assert many.warp_share == pytest.approx(one.warp_share)
    assert many.hangs_together == one.hangs_together
    assert (many.family, many.is_satin) == (one.family, one.is_satin)


@given(weaves)
def test_what_is_written_can_be_typed(one):
    assert parse_matrix(one.rows_as_typed()).matrix == one.repeat.matrix


@given(st.lists(st.booleans(), min_size=2, max_size=12).filter(lambda marks: len(set(marks)) == 2))
def test_longest_run_does_not_depend_on_where_the_repeat_begins(marks):
    turned = {longest_run(marks[place:] + marks[:place]) for place in range(len(marks))}
    assert len(turned) == 1


def test_top_row_is_the_last_pick():
    assert parse_matrix("..# / .#. / #..").matrix == from_lifts(3, [[1], [2], [3]])


@pytest.mark.parametrize(
    "text", ["#. / .#", "x-\n-x", "10 01", "1 0/0 1".replace(" ", ""), "■□;□■"]
)
def test_marks_that_are_understood(text):
    assert parse_matrix(text).matrix == ((False, True), (True, False))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "empty"),
        ("//", "empty"),
        ("#. / .##", "Row 2 has 3 marks, but row 1 has 2"),
        ("#. / .?", "“?”"),
        ("## / ..", "Pick 1 lies over everything"),
        ("#. / #.", "End 1 lies over everything"),
        ("." * 129 + "/" + "#" * 129, "129 ends"),
    ],
)
def test_clear_errors(text, message):
    with pytest.raises(InputError, match=message.replace("?", r"\?")) as caught:
        parse_matrix(text, "matrix")
    assert caught.value.field == "matrix"
    assert caught.value.hint


def test_a_pick_under_all_ends_is_named_so():
    with pytest.raises(InputError, match="Pick 2 lies under everything"):
        Weave("w", "w", from_lifts(3, [[1], [1, 2, 3], [2, 3]]))
    with pytest.raises(InputError, match="End 3 lies under everything"):
        Weave("w", "w", from_lifts(3, [[1], [2]]))
    with pytest.raises(InputError, match="same ends"):
        Weave("w", "w", ((True, False), (True,)))
    with pytest.raises(InputError, match="same ends"):
        Weave("w", "w", ())


def layers_come_apart(rows):
    """By the meaning of it: some of the threads, not all, lie over all the others they cross."""
    ends, picks = range(len(rows[0])), range(len(rows))
    threads = [("end", end) for end in ends] + [("pick", pick) for pick in picks]
    for chosen in range(1, 2 ** len(threads) - 1):
        above = {thread for place, thread in enumerate(threads) if chosen >> place & 1}
        if all(
            rows[pick][end] == (("end", end) in above)
            for pick in picks
            for end in ends
            if (("end", end) in above) != (("pick", pick) in above)
        ):
            return True
    return False


@given(st.integers(0, 2**32), st.integers(2, 4), st.integers(2, 4))
def test_a_cloth_hangs_together_when_no_part_of_it_lies_over_the_rest(seed, ends, picks):
    chance = Random(seed)
    rows = ()
    while not rows or not bound(rows):
        rows = tuple(tuple(chance.random() < 0.5 for _ in range(ends)) for _ in range(picks))
    assert Weave("any", "any weave", rows).hangs_together != layers_come_apart(rows)


def test_layers_come_apart_wherever_the_repeat_begins():
    rows = from_lifts(4, [[1], [1, 3, 2], [3], [1, 3, 4]])  # a double plain cloth
    assert layers_come_apart(rows)
    for pick in range(4):
        for end in range(4):
            turned = tuple(row[end:] + row[:end] for row in rows[pick:] + rows[:pick])
            assert Weave("d", "d", turned).hangs_together is False
    for one in (weave("plain"), weave("satin_8")):
        assert one.hangs_together is True


def test_the_largest_matrix_that_can_be_typed():
    rows = "\n".join("." * end + "#" + "." * (127 - end) for end in range(128))
    largest = parse_matrix(rows)
    assert (largest.ends, largest.picks, largest.name) == (128, 128, "typed")
    assert largest.title == "typed weave on 128 ends and 128 picks"
    for text in ("#" * 129 + "/" + "." * 129, "/".join("#." for _ in range(129))):
        with pytest.raises(InputError, match="over 128") as caught:
            parse_matrix(text)
        assert caught.value.field == "matrix"


def test_the_back_and_the_change_say_what_they_are():
    twill = weave("twill_1_3")
    assert (twill.reverse.name, twill.complement.name) == (
        "twill_1_3_reverse",
        "twill_1_3_complement",
    )
    assert "back" in twill.reverse.title


def test_a_repeat_keeps_its_name():
    many = Weave("many", "many a weave", weave("twill_2_2").matrix * 2)
    assert (many.repeat.name, many.repeat.title) == ("many", "many a weave")
    assert many.repeat.picks == 4


def test_rows_that_are_all_alike_repeat_at_once():
    assert shortest_period([(True, False)] * 3) == 1
    assert shortest_period([(True, False), (False, True), (True, False)]) == 3


def test_ends_bound_twice_are_no_satin():
    """Ten picks on five ends, never on neighbours in turn, each end bound by two of them."""
    twice = Weave("w", "w", from_lifts(5, [[end] for end in (1, 3, 5, 2, 4, 1, 4, 2, 5, 3)]))
    assert (twice.repeat.ends, twice.repeat.picks) == (5, 10)
    assert not twice.is_satin
    assert not twice.complement.is_satin


@pytest.mark.parametrize("ends", [2, 3, 4])
def test_there_is_no_satin_on_fewer_than_five_ends(ends):
    for order in permutations(range(1, ends + 1)):
        assert not Weave("w", "w", from_lifts(ends, [[end] for end in order])).is_satin


def test_a_weave_that_moves_by_two_is_no_twill():
    lifts = [[1, 2], [3, 4], [5, 1], [2, 3], [4, 5]]
    assert Weave("w", "w", from_lifts(5, lifts)).family == "other"


def test_ribs_have_two_kinds_of_picks_and_of_ends():
    for typed in ("#. / #. / .# / .#", "##.. / ..##", "##. / ..#", "##. / ##. / ..#"):
        assert parse_matrix(typed).family == "matt"


@pytest.mark.parametrize(
    "rows", [(), ((),), ((True, False), (True,)), ((True, False), (True, True))]
)
def test_a_weave_that_cannot_be_is_refused_beside_the_weave(rows):
    with pytest.raises(InputError) as caught:
        Weave("w", "w", rows)
    assert caught.value.field == "weave"
