"""The rows told at the loom: each against the package, numpy, and its own laws."""

import json
import re
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.engine.run import work_out
from calculators.figure.grid import Grid, of_marks
from calculators.figure.loom_side import loom_side
from calculators.figure.rows import as_table, as_text
from calculators.page import respond
from calculators.plan.calculators import CLOTH_PLAN
from calculators.registry import calculator
from calculators.weave.ground import Ground, weave_ground
from calculators.weave.library import weave

Ask = Callable[..., Any]
STARTS = ("left", "right", "middle")
FIGURE = {"side": "figure", "numbers": "units", "from": "left", "tells": "units", "tens": False}


@pytest.fixture(scope="module")
def ask(in_node) -> Iterator[Ask]:  # type: ignore[no-untyped-def]
    """Ask the page's own module, in one Node for all questions."""
    with in_node("rows.mjs") as talk:

        def go(*question: Any) -> Any:
            return talk(question)

        yield go


def squares(grid: Grid) -> dict[str, list[str]]:
    return {"squares": ["".join(".#"[mark] for mark in row) for row in grid.marks()]}


def chosen(**choices: Any) -> dict[str, Any]:
    return {**FIGURE, **choices}


@st.composite
def figures(draw: st.DrawFn, across: int = 45, up: int = 6) -> Grid:
    wide, high = draw(st.integers(1, across)), draw(st.integers(1, up))
    rows = st.lists(st.booleans(), min_size=wide, max_size=wide)
    return of_marks(draw(st.lists(rows, min_size=high, max_size=high)))


def numbers_of(words: str) -> list[int]:
    """Every number that runs written as words name."""
    found: list[int] = []
    for first, last in re.findall(r"(\d+)(?:–(\d+))?", words):
        found += range(int(first), int(last or first) + 1)
    return found


@given(figure=figures())
@pytest.mark.parametrize("start", STARTS)
@pytest.mark.parametrize("tells", ["units", "changes"])
def test_the_list_is_the_package_s(ask: Ask, figure: Grid, start: Any, tells: str) -> None:
    how = chosen(**{"from": start, "tells": tells})
    assert ask("asText", squares(figure), how) == as_text(figure, start, tells == "changes")
    assert ask("asTable", squares(figure), how) == as_table(figure, start, tells == "changes")


@given(figure=figures(30, 8), side=st.sampled_from(["fewer", "figure", "ground"]))
def test_side_and_cords_are_the_calculator_s(ask: Ask, figure: Grid, side: str) -> None:
    text = "\n".join(squares(figure)["squares"])
    run = work_out(calculator("figure"), {"grid": text, "weave": "satin_5", "side": side})
    assert run.answer
    listed = ask("drawn", "listed", squares(figure), chosen(side=side))
    assert [tuple(row) for row in listed] == list(run.answer.tables["rows"].rows)
    drawn = ask("drawn", "cordsOf", squares(figure), chosen(side=side))
    wanted = [
        numbers_of(str(units))
        for cord, units, _ in run.answer.tables["cords"].rows
        if cord != "none needed"
    ]
    assert [[unit + 1 for unit in cord] for cord in drawn] == wanted


@given(figure=figures())
def test_cords_draw_the_figure_again(ask: Ask, figure: Grid) -> None:
    cords = ask("cordsOf", squares(figure))
    by_cords = ask("drawn", "listed", squares(figure), chosen(numbers="cords"))
    for (_, words), row in zip(by_cords, figure.marks(), strict=True):
        units = {unit for cord in numbers_of(words) for unit in cords[cord - 1]}
        assert units == {unit for unit, mark in enumerate(row) if mark}


@given(figure=figures())
@pytest.mark.parametrize("start", ["left", "right"])
def test_tens_name_the_same_units(ask: Ask, figure: Grid, start: str) -> None:
    in_tens = ask("listed", squares(figure), chosen(**{"from": start, "tens": True}))
    for (_, words), row in zip(in_tens, figure.marks(), strict=True):
        units = set()
        for tens, within in re.findall(r"tens? ([\d–]+): ([^;]+)", words):
            own = range(1, 11) if within == "all" else numbers_of(within)
            assert set(own) <= set(range(1, 11))
            units |= {10 * (ten - 1) + number for ten in numbers_of(tens) for number in own}
        marks = row if start == "left" else row[::-1]
        assert units == {unit for unit, mark in enumerate(marks, 1) if mark}
        assert (words == "none") == (not units)


@given(figure=figures())
def test_whoever_follows_the_changes_draws_the_figure(ask: Ask, figure: Grid) -> None:
    held: set[int] = set()
    for (_, words), row in zip(
        ask("listed", squares(figure), chosen(tells="changes")), figure.marks(), strict=True
    ):
        for part in words.split("; "):
            units = set(numbers_of(part))
            if part.startswith("draw"):
                assert not units & held
                held |= units
            elif part.startswith("let go"):
                assert units <= held
                held -= units
            else:
                assert part == "as before"
        assert held == {unit for unit, mark in enumerate(row, 1) if mark}


@given(pieces=st.integers(1, 3), hem=st.integers(0, 4), sample=st.integers(0, 20), woven=st.data())
def test_every_pick_of_the_warp_has_its_place(
    ask: Ask, pieces: int, hem: int, sample: int, woven: st.DataObject
) -> None:
    typed = {
        "pieces": str(pieces),
        "hem": f"{hem} cm",
        "sample": f"{sample} cm",
        "finished_length": "12 cm",
        "weave": "satin_5",
        "ends_per_unit": "5",
        "picks_per_unit": "5",
        "ground_shafts": "5",
    }
    run = work_out(CLOTH_PLAN, typed)
    assert run.answer
    view = json.loads(json.dumps(loom_side(run)))
    rows, picks = run.answer.results["units_up"], 5
    # The whole warp, pick by pick, from the names of its stretches.
    places: list[tuple[int, int] | None] = []
    for stretch in view["stretches"]:
        body = re.fullmatch(r"The piece|Piece \d of \d", stretch["name"])
        places += [divmod(pick, picks) if body else None for pick in range(stretch["picks"])]
    assert sum(place == (0, 0) for place in places) == pieces
    assert sum(place is not None for place in places) == pieces * rows * picks
    for pick in [*woven.draw(st.lists(st.integers(0, len(places) - 1), max_size=8)), len(places)]:
        at = ask("rowAt", view, pick)
        wanted = places[pick] if pick < len(places) else None
        assert (at and (at["row"], at["pick"])) == wanted
        if at:
            assert (at["rows"], at["picks"]) == (rows, picks)
            assert wanted
            since = wanted[0] * picks + wanted[1]  # the piece began: its ground begins with it
            assert at["ground"] == view["ground"][since % len(view["ground"])]
    begins = [
        pick for pick, (one, other) in enumerate(pairwise([None, *places])) if other and not one
    ]
    assert [ask("rowAt", view, pick)["row"] for pick in begins] == [0] * pieces


@given(hem=st.integers(0, 5), pieces=st.integers(1, 2), woven=st.data())
def test_rows_of_figured_hems_are_told_apart_from_the_figure_s(
    ask: Ask, hem: int, pieces: int, woven: st.DataObject
) -> None:
    typed = {"pieces": str(pieces), "hem": f"{hem} cm", "hem_woven": "figured", "weave": "satin_5"}
    typed |= {"ends_per_unit": "5", "picks_per_unit": "5", "finished_length": "12 cm"}
    run = work_out(CLOTH_PLAN, typed)
    assert run.answer
    view = json.loads(json.dumps(loom_side(run)))
    hems = [one["picks"] for one in view["stretches"] if one["name"].endswith("hem")]
    assert ask("hemRows", view) == (hems[0] / 5 if hems else 0)
    pick = woven.draw(st.integers(0, sum(one["picks"] for one in view["stretches"]) - 1))
    at, left = ask("rowAt", view, pick), pick
    for stretch in view["stretches"]:
        if left < stretch["picks"]:
            break
        left -= stretch["picks"]
    if stretch["name"] in ("Sample", "Gap"):
        assert at is None
    else:
        assert at["hem"] == stretch["name"].endswith("hem")
        assert (at["row"], at["pick"], at["rows"]) == (*divmod(left, 5), stretch["picks"] / 5)


@pytest.mark.parametrize(
    ("name", "shafts"), [("satin_5", 5), ("satin_6", 12), ("broken_twill_4", 4), ("lace_6", 6)]
)
def test_the_ground_that_is_told_weaves_the_structure(name: str, shafts: int) -> None:
    """Following the told shafts, units at rest come out as the weave; treadles name their moves."""
    inputs = {"weave": name, "ground_shafts": str(shafts)}
    told = json.loads(respond(json.dumps({"call": "loom", "id": "cloth-plan", "inputs": inputs})))
    ground = told["ground"]
    tied = Ground(
        shafts,
        tuple(tuple(pick["rise"]) for pick in ground),
        tuple(tuple(pick["sink"]) for pick in ground),
    )
    cloth = np.array(weave_ground(tied, [[False]], shafts, len(ground)))
    one = np.array(weave(name).matrix)
    assert (cloth == np.tile(one, (len(ground) // len(one), shafts // one.shape[1]))).all()
    moves = {str((pick["rise"], pick["sink"])): pick["treadle"] for pick in ground}
    assert sorted(moves.values()) == list(range(1, len(moves) + 1))
    assert all(moves[str((pick["rise"], pick["sink"]))] == pick["treadle"] for pick in ground)


@pytest.mark.parametrize(
    "inputs",
    [
        {"weave": "satin_5", "ground_shafts": "6"},
        {"weave": " / ".join(f"{'.' * end}#{'.' * (39 - end)}" for end in range(40))},
        {"weave": "##.. / #.#. / .#.# / ..##"},
    ],
)
def test_a_ground_that_cannot_be_tied_is_not_told(inputs: dict[str, str]) -> None:
    told = json.loads(respond(json.dumps({"call": "loom", "id": "cloth-plan", "inputs": inputs})))
    assert told["ground"] == told["ground_face_down"] == []
    assert told["figured"]


def test_own_orders_are_told_at_the_loom_or_refused_in_words() -> None:
    def asked(**orders: str) -> Any:
        inputs = {"weave": "satin_5", "ground_shafts": "10", "ends_per_unit": "5"}
        request = {"call": "loom", "id": "cloth-plan", "inputs": inputs, **orders}
        return json.loads(respond(json.dumps(request)))

    told = asked(rise="1 3 5 2 4", sink="3 5 2 4 1")
    # over ten shafts entered straight each shaft of the order has another, five further on
    assert [pick["rise"] for pick in told["ground"]] == [[one, one + 5] for one in (1, 3, 5, 2, 4)]
    assert [pick["sink"] for pick in told["ground"]] == [[one, one + 5] for one in (3, 5, 2, 4, 1)]
    assert told["key"] == asked()["key"]
    assert told["ground"] != asked()["ground"]
    for wrong, field in (({"rise": "1 2 3"}, "rise"), ({"sink": "1 3 x"}, "sink")):
        reply = asked(**wrong)
        assert (reply["ok"], reply["field"]) == (False, field)
        assert reply["problem"].endswith(".")


def test_shafts_treadles_and_the_voice_in_words(ask: Ask) -> None:
    said = ask("groundInWords", {"rise": [1, 6], "sink": [4], "treadle": 3})
    assert said == "treadle 3: shafts 1 and 6 rise, shaft 4 sinks"
    assert ask("spoken", 56, "3–7, 15; 22–30") == "Row 57. 3 to 7, 15. 22 to 30."


@given(across=st.integers(1, 400), start=st.sampled_from(STARTS))
def test_the_numbers_under_the_strip_are_those_of_the_rows(
    ask: Ask, across: int, start: str
) -> None:
    found = ask("numbersUnder", across, {"from": start})
    for unit, number in found:
        marks = [place == unit for place in range(across)]
        words = ask("inWords", marks, {"from": start, "tens": False})
        assert numbers_of(words) == [number]
    assert len(found) <= 20
    assert across < 5 or found
