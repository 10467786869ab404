"""Several structures may be wished for on the shelf, and only those are tried."""

import pytest

import calculators
from calculators.engine.reading import KINDS
from calculators.registry import calculator
from calculators.show.html import calculator_html

WISHED = {
    "satin_5, plain": {"five-end satin", "plain weave"},
    "5-bindig atlas; tuskaft": {"five-end satin", "plain weave"},
    "eight-end satin": {"eight-end satin"},
}


def woven(**inputs):
    found = calculators.run("shelf", inputs)
    assert found["ok"], found["errors"]
    return [card["title"] for card in found["cards"]]


@pytest.mark.parametrize("structure", WISHED)
def test_only_what_is_wished_for_is_offered(structure):
    titles = woven(structure=structure)
    assert titles
    for title in titles:
        assert any(name in title for name in WISHED[structure]), title


def test_any_empty_and_an_earlier_link_mean_what_they_did():
    assert woven(structure="") == woven(structure="any") == woven()
    assert woven(structure="satin_5") == woven(structure="five-end satin")


@pytest.mark.parametrize("structure", ["velvet", "plain, velvet", "#. / .#.#"])
def test_what_is_no_weave_names_the_field(structure):
    (error,) = calculators.run("shelf", {"structure": structure})["errors"]
    assert error["field"] == "structure"


def test_the_drawings_stand_beside_the_field():
    html = calculator_html(calculator("shelf"))
    (_, picker) = html.split('class="ft-by-drawing" data-several')
    for name, _, _ in KINDS["weaves"].drawn():
        assert f'data-id="{name}"' in picker
