"""A plan in short: the words that stand for it in lists, and the card of one that was sent."""

import json
import re
from html import unescape

import calculators
from calculators.page import respond


def answer(calculator: str, **inputs: str) -> dict:
    request = {"call": "answer", "id": calculator, "inputs": inputs, "card": True}
    return json.loads(respond(json.dumps(request)))


def words(html: str) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html)))


def test_a_plan_is_known_by_its_finished_size() -> None:
    about = answer("cloth-plan", finished_width="50 cm", finished_length="20 in")["about"]
    assert about == {"metric": "50 × 50.8 cm", "imperial": "19 5/8 × 20 in"}


def test_another_calculation_is_known_by_its_first_result() -> None:
    found = calculators.run("sett", {})["results"]["working"]["text"]["metric"]
    assert answer("sett")["about"]["metric"] == f"Working sett {found}"
    assert answer("sett", warp_yarn="seven")["about"] == {}


def test_the_card_tells_drawing_ends_warp_and_weft() -> None:
    inputs = {"warp_yarn": "30/2", "weft_yarn": "16/1 linen"}
    card = answer("cloth-plan", **inputs)["card"]
    found = calculators.run("cloth-plan", inputs)["results"]
    assert 'class="ft-piece"' in card
    for name in ("ends", "warp_length", "warp_yarn_mass", "weft_yarn_mass"):
        for text in found[name]["text"].values():
            assert re.sub(r"\s+", " ", text) in words(card), name
    for typed in inputs.values():
        assert typed in card
    assert found["hours"]["text"]["metric"] not in words(card)


def test_a_card_is_made_of_what_can_be_answered_and_only_where_it_is_wanted() -> None:
    assert answer("cloth-plan", pieces="none")["card"] == ""
    reply = json.loads(respond(json.dumps({"call": "answer", "id": "sett", "inputs": {}})))
    assert reply["card"] == ""
    card = answer("sett", warp_yarn="<b>16/2</b>")["card"] + answer("sett")["card"]
    assert "<b>" not in card
