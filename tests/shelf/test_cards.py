"""The cones as cards, the free line beneath them, and what becomes of the lines behind."""

import re

import pytest

from calculators.errors import InputError
from calculators.registry import calculator
from calculators.shelf.cards import cards_html
from calculators.shelf.cones_and_looms import change_cone, read_shelf, write_json
from calculators.shelf.files import changed, said
from calculators.show.html import calculator_html

LINES = "Blue; 16/2 cotton; 412 g; empty 38 g; navy\nReeds: 40/10\nFlax; 30 tex; 240 g"
YARD_M = 0.9144
OUNCE_G = 28.349523125


def test_every_cone_is_one_card_with_what_is_left_on_it():
    html = cards_html(LINES)
    cards = html.split('role="listitem"')[1:]
    assert [re.search("<b>(.*?)</b>", card)[1] for card in cards] == ["Blue", "Flax"]
    # 30 tex is 30 g in 1000 m
    metres = 240 / 30 * 1000
    text = re.sub("<[^>]*>", "", cards[1]).replace("\u202f", "")
    assert f"{metres:.0f} m" in text
    assert f"{metres / YARD_M:.0f} yd" in text
    assert "240 g" in text
    assert f"{240 / OUNCE_G:.1f} oz" in text
    assert "colour not named" in cards[1]
    assert 'fill="#' not in cards[1]
    assert 'fill="#' in cards[0]


def test_a_bare_weight_on_a_card_is_the_readers():
    assert "12 oz" in re.sub("<[^>]*>", "", cards_html("A; 16/2; 12", "inch"))
    assert "12 g" in re.sub("<[^>]*>", "", cards_html("A; 16/2; 12", "cm"))


def test_what_is_written_on_a_card_cannot_become_markup():
    html = cards_html('<b>x</b> & "y"; 16/2; 40 g')
    assert "<b>x" not in html
    assert "&lt;b&gt;x" in html


def test_the_shelf_shows_its_cards_without_a_script():
    html = calculator_html(calculator("shelf"))
    assert html.count('role="listitem"') == 3
    assert html.index('role="listitem"') < html.index("<textarea")


@pytest.mark.parametrize("text", [LINES, write_json(read_shelf(LINES, complete=False))])
def test_one_card_is_changed_or_taken_away_and_the_others_stay(text):
    before = read_shelf(text, complete=False)
    after = read_shelf(change_cone(text, 1, "Ramie; 20 tex; 90 g"), complete=False)
    assert (after.cones[0], after.reeds) == (before.cones[0], before.reeds)
    assert (after.cones[1].name, after.cones[1].net) == ("Ramie", 90)
    left = read_shelf(str(changed(text, 0, "", "")["text"]), complete=False)
    assert left.cones == before.cones[1:]
    assert left.reeds == before.reeds
    for place in (-1, 2):
        with pytest.raises(InputError, match="no cone"):
            change_cone(text, place, "")


def test_a_cone_is_written_down_as_one_says_it():
    reply = said(LINES, "16/2 cotton white, 12 oz", "cm")
    assert str(reply["text"]).splitlines()[:-1] == LINES.splitlines()
    cone = read_shelf(str(reply["text"])).cones[-1]
    assert cone.net == pytest.approx(12 * OUNCE_G)
    assert "16/2 cotton white" in str(reply["told"])
    twice = said(str(reply["text"]), "16/2 cotton white, 12 oz", "cm")
    names = [cone.name for cone in read_shelf(str(twice["text"])).cones]
    assert len(set(names)) == len(names) == 4


@pytest.mark.parametrize(
    ("line", "words"),
    [("16/2 cotton sparkling, 12 oz", "sparkling"), ("", "From 1"), ("Blue; 16/2; 4 g", "twice")],
)
def test_a_line_that_cannot_be_read_says_why(line, words):
    with pytest.raises(InputError, match=words) as caught:
        said(LINES, line, "cm")
    assert not caught.value.message.startswith("Line 1")
