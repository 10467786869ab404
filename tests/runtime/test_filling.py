"""The picture at the loom: how full the piece is, and where the next move of the temple lies."""

import json
import subprocess

from calculators.engine.run import work_out
from calculators.figure.loom_side import loom_side
from calculators.plan.calculators import CLOTH_PLAN
from calculators.registry import calculator
from scripts.setting_up.environment import ROOT
from scripts.setting_up.node import node_and_npm

PARTS = [{"start": 0, "picks": 100}, {"start": 100, "picks": 400}, {"start": 500, "picks": 400}]


def standings(*cases):
    node, _ = node_and_npm()
    script = ROOT / "tests/runtime/standing.mjs"
    done = subprocess.run(
        [node, script, ROOT, json.dumps(cases)], check=True, capture_output=True, text=True
    )
    return json.loads(done.stdout)


def test_a_piece_fills_and_begins_again_with_the_next():
    begun, last, following, done = standings(
        [PARTS, 0, 60], [PARTS, 499, 520], [PARTS, 500, 520], [PARTS, 900, 960]
    )
    assert begun == {"whole": 100, "woven": 0, "next": 60}
    assert last == {"whole": 400, "woven": 399, "next": None}  # it lies in the next piece
    assert following == {"whole": 400, "woven": 0, "next": 20}
    assert done == {"whole": 400, "woven": 400, "next": None}


def test_a_plan_s_parts_are_its_pieces_and_what_lies_between():
    view = loom_side(work_out(CLOTH_PLAN, {"pieces": "3", "hem": "4 cm", "gap": "2 cm"}))
    starts = [part["start"] for part in view["parts"]]
    picks = [part["picks"] for part in view["parts"]]
    assert len(picks) == 1 + 3 + 2  # the sample, the pieces, the gaps
    assert starts == [sum(picks[:place]) for place in range(len(picks))]
    assert sum(picks) == sum(stretch["picks"] for stretch in view["stretches"])
    assert picks[1] == picks[3] == picks[5]


def test_the_piece_is_as_wide_as_it_is_on_the_loom():
    run = work_out(CLOTH_PLAN, {})
    view, results = loom_side(run), run.answer.results
    length = view["parts"][1]["picks"]
    on_the_loom = results["piece_on_loom"]
    wide = results["ends"] / results["cloth_sett"]  # both by the centimetre
    assert abs(view["across"] / length - wide / getattr(on_the_loom, "likely", on_the_loom)) < 0.01


def test_where_no_width_is_known_nothing_is_drawn():
    assert loom_side(work_out(calculator("rhythm"), {}))["across"] is None
