"""Records as weavers meet them: the book, the record of one cloth, the next guess, enough yarn."""

from urllib.parse import parse_qsl

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import calculators
from calculators.errors import InputError
from calculators.records.book import LOSSES, Record, read_records, write_record
from calculators.records.calculators import EXAMPLE, planned_against_real_svg
from calculators.weave.library import weave
from calculators.yarn.yarn import parse_yarn

BROKEN = {
    "Towels; 16/2": "Line 1",
    "Towels; 16/2; satin_5; oak; width 4 %\nRunner; 16/2; knit; oak": "Line 2",
    "Towels; 16/2; satin_5; oak; width 4 %; width 5 %": "Line 1",
    "Towels; 16/2; satin_5; oak; wide 4 %": "Line 1",
    "Towels; 16/2; satin_5; oak; width 400 %": "Line 1",
    "Towels; 16/2; satin_5; oak; waste 4 g": "Line 1",
    "name,yarn,weave,width\nTowels,16/2,satin_5": "Line 2",
    'name,yarn,weave,width\n"Towels,16/2,satin_5,4': "Line 2",
    "\n".join("T; 16/2; satin_5; oak; width 4 %" for _ in range(501)): "501",
}


@pytest.mark.parametrize("text", BROKEN)
def test_a_broken_book_names_its_lines_and_nothing_is_taken(text):
    with pytest.raises(InputError) as caught:
        read_records(text)
    assert BROKEN[text] in caught.value.message
    assert calculators.run("next-guess", {"records": text})["errors"][0]["field"] == "records"


records = st.builds(
    Record,
    st.text(st.characters(categories=["L", "N"]), min_size=1, max_size=12),
    st.sampled_from(["16/2", "30/2 cotton", "16/1 linen"]).map(parse_yarn),
    st.sampled_from(["plain", "satin_5", "lace_6"]).map(weave),
    st.sampled_from(["oak", "guild loom", ""]),
    st.dictionaries(st.sampled_from(list(LOSSES)), st.integers(1, 2_000).map(lambda n: n / 10_000)),
    st.sampled_from(["", "hot wash"]),
)


@settings(deadline=None)
@given(records)
def test_a_record_reads_as_it_was_written(record):
    (found,) = read_records(write_record(record))
    assert found.name == record.name
    assert found.yarn.tex == pytest.approx(record.yarn.tex)
    assert (found.weave.name, found.loom, found.note) == (
        record.weave.name,
        record.loom,
        record.note,
    )
    near = {name: 0.01 if name == "loom_waste" else 1e-4 for name in record.losses}
    for name, value in record.losses.items():
        assert found.losses[name] == pytest.approx(value, abs=near[name])


def test_a_table_with_commas_says_the_same_as_lines():
    lines = "A; 16/2; satin_5; oak; width 4 %; draw-in 3.5 %\nB; 16/2; satin_5; oak; waste 120 cm"
    titles = "name,yarn,weave,loom,width,draw-in,waste\n"
    table = titles + "A,16/2,satin_5,oak,4 %,3.5,\nB,16/2,satin_5,oak,,,120"
    assert read_records(lines) == read_records(table)
    assert read_records("") == ()


def test_the_line_of_one_cloth_teaches_the_next():
    record = calculators.run("record", {"washed_length": "76 cm, 75.6 cm"})
    line = record["results"]["line"]["value"]
    assert record["results"]["length_shrinkage"]["value"] == pytest.approx(5.5)
    assert record["results"]["draw_in"]["value"] == pytest.approx(100 * (1 - 52.4 / 54.8))
    found = calculators.run("next-guess", {"records": line, "length_shrinkage": "5–8–12 %"})
    expected = (0.5 * 8 + 5.5) / 1.5
    assert found["results"]["length_shrinkage"]["value"] == pytest.approx(expected)
    assert found["results"]["length_shrinkage"]["basis"] == "your own record"
    none = calculators.run("next-guess", {"records": ""})
    assert none["results"]["length_shrinkage"]["basis"] == "common practice"
    assert none["results"]["length_shrinkage"]["value"] == pytest.approx(8)


def test_only_like_cloths_speak():
    def used(**changed):
        return calculators.run("next-guess", {"records": EXAMPLE, **changed})["results"]["used"][
            "value"
        ]

    assert used() == 3
    assert used(weave="plain", yarn="40/2") == 1
    assert used(loom="elm") == 0
    assert used(loom="") == 3
    assert used(yarn="16/2 lea") == 0
    assert used(yarn="20/2") == 3
    assert used(yarn="30/2") == 0


def test_what_is_offered_opens_in_the_plan():
    found = calculators.run("next-guess")
    state = dict(parse_qsl(found["cards"][0]["address"].partition("#")[2]))
    del state["v"], state["calculator"]
    planned = calculators.run("cloth-plan", state)
    assert planned["ok"], planned
    assert planned["inputs"]["length_shrinkage"]["typed"] == state["length_shrinkage"]
    wanted = found["results"]["length_shrinkage"]
    low, likely, high = (float(part) for part in state["length_shrinkage"].rstrip(" %").split("–"))
    assert (low, likely, high) == pytest.approx(
        (wanted["low"], wanted["value"], wanted["high"]), abs=0.006
    )


def test_a_guess_of_one_figure_is_asked_for_its_width():
    found = calculators.run("next-guess", {"draw_in": "4 %"})
    assert [error["field"] for error in found["errors"]] == ["draw_in"]


def test_enough_yarn_says_what_to_have():
    found = calculators.run("enough-yarn")["results"]
    assert 0 < found["chance"]["value"] < 50
    assert found["safe"]["value"] > found["wanted"]["value"]
    assert found["short"]["value"] == pytest.approx(
        max(0, found["safe"]["value"] - found["on_hand"]["value"])
    )
    more = calculators.run("enough-yarn", {"gross": f"{38 + found['safe']['value']} g"})["results"]
    assert more["chance"]["value"] <= 5
    assert more["short"]["value"] == 0
    assert calculators.run("enough-yarn", {"side": "weft"})["ok"]


def test_the_chart_names_every_figure_and_its_share():
    svg = planned_against_real_svg(
        [("Draw-in", 0.04, 0.05), ("Hours <x>", 10, 40), ("Waste", 0, 3)]
    )
    assert "1.25 of the plan" in svg
    assert "4.00 of the plan" in svg
    assert "not planned" in svg
    assert "<x>" not in svg
    shown = calculators.contract.calculate("record", {"planned_hours": "20", "real_hours": "25"})
    assert "Hours: 1.25 of the plan" in shown.answer.pictures[0]


def test_empty_lines_and_empty_rows_say_nothing():
    one = "A; 16/2; satin_5; oak; width 4 %"
    assert read_records(f"{one}\n\n  \n{one}") == read_records(f"{one}\n{one}")
    table = "name,yarn,weave,loom,width\nA,16/2,satin_5,oak,4 %\n\nA,16/2,satin_5,oak,4 %\n"
    assert read_records(table) == read_records(f"{one}\n{one}")


def test_the_farthest_from_the_plan_is_named_where_it_is_a_tenth():
    empty = {
        f"planned_{loss}": ""
        for loss in ("width_shrinkage", "length_shrinkage", "draw_in", "take_up", "loom_waste")
    }

    def far(**planned):
        notes = calculators.run("record", {**empty, **planned})["notes"]
        return [note for note in notes if note.startswith("Farthest")]

    assert far() == []
    assert far(planned_loom_waste="150 cm", thrums="160 cm") == []
    assert far(planned_hours="20", real_hours="25") == [
        "Farthest from the plan: hours, 25 % more than was thought."
    ]
    (less,) = far(planned_hours="20", real_hours="25", planned_warp="500 g", real_warp="300 g")
    assert "warp yarn, 40 % less" in less


def test_a_loss_that_may_take_nearly_all_is_not_carried_into_a_plan():
    def carried(typed):
        card = calculators.run("next-guess", {"records": "", "length_shrinkage": typed})["cards"][0]
        return "length_shrinkage" in dict(parse_qsl(card["address"].partition("#")[2]))

    assert carried("10–50–85 %")
    assert not carried("10–50–95 %")


UNMEASURED = dict.fromkeys(
    ("reed_width", "loom_width", "washed_width", "loom_length", "washed_length", "warp_length",
     "woven_length", "thrums"), "",
)  # fmt: skip


def test_what_was_not_measured_is_left_out_of_the_record():
    widths = {"loom_width": "50 cm", "washed_width": "47 cm"}
    found = calculators.run("record", UNMEASURED | widths)
    assert found["results"]["width_shrinkage"]["value"] == pytest.approx(6)
    assert set(found["results"]) == {"width_shrinkage", "line"}
    (record,) = read_records(found["results"]["line"]["value"])
    assert record.losses == {"width_shrinkage": pytest.approx(0.06)}
    assert any("Not measured: wash shrinkage, length" in note for note in found["notes"])


def test_a_record_of_nothing_says_what_would_work():
    (error,) = calculators.run("record", UNMEASURED | {"loom_width": "50 cm"})["errors"]
    assert "no two figures belong together" in error["message"]
    assert error["hint"]
