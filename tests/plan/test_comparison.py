"""Two plans side by side: what differs stands there, what does not is left out."""

import json
import re
from html import unescape

import pytest

from calculators import run
from calculators.comparison import comparison_html
from calculators.errors import InputError
from calculators.page import respond
from calculators.registry import registry
from tests.every import of_every

FIVE = {"warp_yarn": "30/2", "weave": "satin_5", "ends_per_unit": "5", "picks_per_unit": "5"}
SIX = {"warp_yarn": "30/2", "weave": "satin_6", "ends_per_unit": "6", "picks_per_unit": "6"}


def plan(name, inputs, calculator="cloth-plan"):
    return {"name": name, "calculator": calculator, "inputs": inputs, "version": 2}


def rows(html):
    """Each row's words, with its three cells as text."""
    found = {}
    for label, cells in re.findall(
        r'<th scope="rowgroup" colspan="3">(.*?)</th></tr><tr>(.*?)</tr>', html
    ):
        texts = re.findall(r"<td>(.*?)</td>", cells)
        found[unescape(label)] = [unescape(re.sub(r"<[^>]+>", "", text)) for text in texts]
    return found


def test_five_end_against_six_end_on_the_same_yarn():
    html = comparison_html(plan("Five", FIVE), plan("Six", SIX))
    told = rows(html)
    five, six = run("cloth-plan", FIVE)["results"], run("cloth-plan", SIX)["results"]
    labels = {one.name: one.label for one in registry()["cloth-plan"].outputs}
    for name, label in labels.items():
        if name not in five or name not in six:
            continue
        texts = [one[name]["text"] for one in (five, six)]
        if texts[0] == texts[1]:
            assert label not in told
            continue
        mine, hers, apart = told[label]
        for world in ("metric", "imperial"):
            assert texts[0][world] in mine
            assert texts[1][world] in hers
        change = six[name]["value"] - five[name]["value"]
        assert not apart or apart.startswith("+" if change > 0 else "−")
    put_in = rows(html.partition("</table>")[0])
    assert put_in.keys() >= {"Weave of the ground"}
    assert "Warp yarn" not in put_in  # the same
    assert html.index("<caption>Put in</caption>") < html.index(
        "<caption>Winding and beaming</caption>"
    )


def test_a_difference_is_told_in_both_worlds_and_in_the_hundred():
    first, second = ({"picks": picks, "woven_length": "2 m"} for picks in ("20 /cm", "25 /cm"))
    told = rows(comparison_html(plan("A", first, "weft"), plan("B", second, "weft")))
    assert ["4\u202f000", "5\u202f000", "+1\u202f000 +25 %"] in told.values()


def test_what_is_the_same_however_written_is_no_difference():
    html = comparison_html(
        plan("A", {"finished_width": "48 cm"}), plan("B", {"finished_width": "0.48 m"})
    )
    assert "same in every number" in html
    assert rows(html) == {}


def test_a_field_that_one_left_empty_is_told():
    html = comparison_html(plan("A", {"warp_on_hand": ""}), plan("B", {"warp_on_hand": "280 g"}))
    assert any(mine == "–" and "280 g" in hers for mine, hers, _ in rows(html).values())


def test_cautions_of_one_alone_are_told_with_its_name():
    risky = {"threads_in_hand": "5"}
    html = unescape(comparison_html(plan("Mine", {"threads_in_hand": "2"}), plan("Hers", risky)))
    only = [line for line in re.findall(r"<li>(.*?)</li>", html) if ": Two threads" in line]
    assert len(only) == 1
    assert only[0].startswith("Hers: ")


@of_every([name for name, one in registry().items() if not one.stages])
def test_any_calculator_against_itself_is_the_same(name):
    assert "same in every number" in comparison_html(plan("A", {}, name), plan("B", {}, name))


def test_two_calculators_are_no_pair_and_a_broken_plan_is_named():
    with pytest.raises(InputError, match="“A” is of"):
        comparison_html(plan("A", {}), plan("B", {}, "sett"))
    with pytest.raises(InputError, match="“B”"):
        comparison_html(plan("A", {}), plan("B", {"pieces": "none"}))


def test_names_bring_no_markup():
    html = comparison_html(plan("<b>", FIVE), plan("<i>", SIX))
    assert "<b>" not in html
    assert "<i>" not in html


def test_the_page_is_answered():
    reply = json.loads(
        respond(json.dumps({"call": "compare", "plans": [plan("A", FIVE), plan("B", SIX)]}))
    )
    assert reply["ok"]
    assert rows(reply["html"])
