"""A weaver's own examples: kept, sent, opened; what is wrong names its line and stops no other."""

import json
import re
from html import unescape
from html.parser import HTMLParser
from urllib.parse import parse_qsl

import pytest

from calculators import run
from calculators.examples.example import address_in_inches, live_address
from calculators.examples.files import example_of, line_of, link_of, of_link, opened, written
from calculators.examples.page import booklet, shown
from calculators.examples.schema import ExampleError
from calculators.examples.show import example_html, numbers_html
from calculators.page import respond
from calculators.registry import registry
from scripts.pages import worked_examples as handbook
from tests.every import of_every

PLAN = {"pieces": "4", "finished_width": "30 cm", "finished_length": "30 cm"}
MATS = {
    "title": "Four mats",
    "weaver": "Ines",
    "question": "How long a warp?",
    "version": 2,
    "calculator": "cloth-plan",
    "inputs": PLAN,
    "part": [
        {
            "heading": "On the shelf",
            "text": "Six of *hers*.\n\nA warp of {warp_length}, {given.pieces} mats.",
        },
        {"heading": "At the loom", "text": "It took 40 hours & a bit."},
    ],
    "records": {"finished_width": "29.4 cm", "length_shrinkage": "9 %"},
}
PAGE = "https://example.org/examples/guild/"


def changed(**other):
    return {**MATS, **other}


def ask(**request):
    return json.loads(respond(json.dumps(request)))


class Tags(HTMLParser):
    def __init__(self, html):
        super().__init__()
        self.seen = set()
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.seen.add(tag)
        self.seen |= {name for name, _ in attrs}


# One example --------------------------------------------------------------------------------------


def test_the_page_holds_the_weavers_words_and_the_packages_numbers():
    html = unescape(example_html(example_of(MATS)))
    plan = run("cloth-plan", PLAN)["results"]
    assert ">Four mats</h1>" in html
    assert "<p>Six of <em>hers</em>.</p>" in html
    assert "It took 40 hours & a bit." in html
    for name in ("warp_length", "ends", "warp_yarn_mass", "weft_yarn_mass", "hours"):
        assert plan[name]["text"]["metric"] in html
        assert plan[name]["text"]["imperial"] in html
    gone = 100 * (29.4 / plan["finished_width"]["value"] - 1)
    assert f"−{abs(gone):.1f}".rstrip("0").rstrip(".") + " %" in html
    assert html.index("On the shelf") < html.index("At the loom") < html.index("in numbers")


def test_the_numbers_are_written_as_those_of_the_handbook():
    """The same plan told by a weaver and by the handbook has the same part of numbers."""
    one = handbook.example("five-end-napkins")
    typed = {key: reading.typed for key, reading in one.plan.readings.items()}
    hers = changed(inputs=typed, records=dict(one.records))
    theirs, own = numbers_html(one), numbers_html(example_of(hers))
    theirs, own = (told.partition("What follows")[2] for told in (theirs, own))
    assert "Take care" in theirs or "came out" in theirs
    assert own == theirs


def test_nothing_but_a_title_and_a_plan_is_needed():
    bare = {"title": "Mats", "calculator": "cloth-plan", "inputs": {}}
    html = example_html(example_of(bare))
    assert registry()["cloth-plan"].question in unescape(html)
    assert "came out" not in html


@of_every([name for name, one in registry().items() if not one.stages])
def test_any_calculator_makes_an_example(name):
    bare = {"title": "One", "calculator": name, "inputs": {}}
    html = unescape(example_html(example_of(bare)))
    for result in run(name)["results"].values():
        assert result["text"]["metric"] in html


def test_the_shelf_is_no_cloth_yet():
    with pytest.raises(ExampleError, match="ideas"):
        example_of({"title": "One", "calculator": "shelf", "inputs": {}})


def test_what_is_sent_brings_no_markup():
    bad = '<img src=x onerror="alert(1)"><script>1</script>'
    part = [{"heading": bad, "text": f"{bad}\n\n*{bad}*"}]
    html = example_html(example_of(changed(title=bad, weaver=bad, question=bad, part=part)))
    assert not Tags(html).seen & {"img", "script", "onerror"}
    assert not Tags(booklet([changed(title=bad)], bad, bad, PAGE)["html"]).seen & {"img", "script"}


def test_the_live_plan_is_the_same_plan():
    state = dict(parse_qsl(live_address(example_of(MATS)).partition("#")[2]))
    assert {key: state[key] for key in PLAN} == PLAN


def test_bare_numbers_are_the_weavers():
    bare = {"pieces": "4", "finished_width": "12", "finished_length": "12"}
    inch = changed(units="inch", inputs=bare, records={"finished_width": "11.5"})
    out = {"finished_width": "12 in", "finished_length": "12 in", "pieces": "4"}
    written_out = changed(inputs=out, records={"finished_width": "11.5 in"})
    ends = [example_of(one).plan.answer.results["ends"] for one in (inch, written_out)]
    assert ends[0] == ends[1]
    rows = [numbers_html(example_of(one)).partition("came out")[2] for one in (inch, written_out)]
    assert rows[0] == rows[1]
    live = dict(parse_qsl(live_address(example_of(inch)).partition("#")[2]))
    assert live["finished_width"] == "12 in"
    assert live["pieces"] == "4"
    state = dict(parse_qsl(link_of(inch), keep_blank_values=True))
    assert of_link("cloth-plan", 2, {k: state[k] for k in state if k != "v"})["units"] == "inch"


def test_an_empty_field_stays_empty():
    full = {field.name: field.default for field in registry()["cloth-plan"].fields}
    empty = {**full, "warp_on_hand": "", **PLAN}
    assert example_of(changed(inputs=empty)).plan.readings["warp_on_hand"].typed == ""


# Files --------------------------------------------------------------------------------------------


def test_what_is_written_is_read_again():
    told = [MATS, changed(title="Åtta löpare", records={}, part=[])]
    assert opened(written(told, "abc")) == (told, [])
    assert opened("\ufeff" + written(told)) == (told, [])


@pytest.mark.parametrize(
    ("other", "key", "words"),
    [
        ({"title": ""}, "title", "a title"),
        ({"title": "m" * 201}, "title", "200"),
        ({"titel": "Mats"}, "titel", "Did you mean title?"),
        ({"calculator": "cloth-plam"}, "calculator", "Did you mean cloth-plan?"),
        ({"inputs": {"peices": "4"}}, "inputs.peices", "Did you mean pieces?"),
        ({"inputs": {"pieces": 4}}, "inputs.pieces", "in quotes"),
        ({"inputs": {"finished_width": "30 g"}}, "inputs.finished_width", "length"),
        ({"part": [{"heading": "H", "text": "{edns}"}]}, "part 1, text", "Did you mean ends?"),
        ({"part": "story"}, "part", "square brackets"),
        ({"question": "{edns}"}, "question", "Did you mean ends?"),
        ({"records": {"finishd_width": "3 cm"}}, "records.finishd_width", "Did you mean"),
        ({"records": {"finished_width": "wide"}}, "records.finished_width", ""),
        ({"version": 99}, "version", "later edition"),
        ({"units": "mile"}, "units", "cm or inch"),
    ],
)
def test_a_wrong_example_names_its_line_and_stops_no_other(other, key, words):
    text = written([MATS, changed(**other), changed(title="The last")])
    sound, problems = opened(text)
    assert [one["title"] for one in sound] == ["Four mats", "The last"]
    (problem,) = problems
    assert re.match(r"line \d+, “.*”, |line \d+, example 2, ", problem)
    assert f", {key}: " in problem
    assert words in problem
    line = text.splitlines()[int(re.match(r"line (\d+)", problem)[1]) - 1]
    name = re.findall(r"\w+", key)[-1]
    assert f'"{name}"' in line


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("", 1),
        ("[]", 1),
        ("{}", 1),
        ('{"kind": "fine-thread plans", "version": 2, "plans": []}', 1),
        ('{"kind": "fine-thread examples",\n "version": 2,\n "examples": [\n oops]}', 4),
        ('{"kind": "fine-thread examples",\n "version": 99,\n "examples": []}', 2),
        ('{"kind": "fine-thread examples",\n "version": "2",\n "examples": []}', 2),
        ("[" * 100_000, 1),
        ("9" * 10_000, 1),
    ],
)
def test_a_file_that_is_none_says_so(text, line):
    sound, problems = opened(text)
    assert sound == []
    assert len(problems) == 1
    assert problems[0].startswith(f"line {line}: ")


def test_something_else_among_the_examples_is_named():
    file = {"kind": "fine-thread examples", "version": 2, "examples": [3, MATS, None]}
    sound, problems = opened(json.dumps(file, indent=1))
    assert [one["title"] for one in sound] == ["Four mats"]
    assert [problem.split(":")[0] for problem in problems] == [
        "line 5, example 1",
        f"line {line_of(json.dumps(file, indent=1), ['examples', 2])}, example 3",
    ]


# Links --------------------------------------------------------------------------------------------


def test_a_link_brings_the_example_whole():
    state = dict(parse_qsl(link_of(MATS), keep_blank_values=True, strict_parsing=True))
    assert (state.pop("v"), state.pop("calculator")) == ("2", "cloth-plan")
    there = of_link("cloth-plan", 2, state)
    assert example_html(example_of(there)) == example_html(example_of(MATS))


@pytest.mark.parametrize(
    "values", [{"example.1.sting": "?"}, {"a.b.c": "?"}, {"example.title": ""}, {"nothing": "?"}]
)
def test_a_broken_link_is_told(values):
    state = {"example.title": "Mats", **values}
    reply = ask(call="example-of-link", id="cloth-plan", version=2, values=state)
    assert reply["ok"] or reply["problem"]
    assert ask(call="example-of-link", id="nothing", version=2, values=state)["problem"]


def test_a_small_example_has_a_code_and_a_long_one_says_why_not():
    small = shown(MATS, PAGE)
    assert small["code"].startswith("<svg")
    assert small["link"].startswith(f"{PAGE}#v=2&calculator=cloth-plan&")
    long = shown(changed(part=[{"heading": "H", "text": "thread " * 500}]), PAGE)
    assert (long["code"], bool(long["problem"])) == ("", True)


# What the page asks -------------------------------------------------------------------------------


def test_every_figure_that_is_offered_can_be_put_into_the_story():
    names = [name for name, _ in shown(MATS, PAGE)["figures"]]
    assert {"ends", "warp_length", "given.pieces"} <= set(names)
    part = [{"heading": "", "text": " ".join(f"{{{name}}}" for name in names)}]
    assert "{" not in example_html(example_of(changed(part=part)))


def test_a_booklet_holds_all_that_can_be_made():
    other = changed(title="Long runners", weaver="")
    broken = changed(inputs={"pieces": "no"})
    made = booklet([MATS, broken, other], "Our cloths", "1 May 2027", PAGE)
    assert made["html"].count("<article") == 2
    assert "<li>Four mats, Ines</li><li>Long runners</li>" in made["html"]
    assert len(made["problems"]) == 1
    assert "inputs.pieces" in made["problems"][0]


def test_the_page_is_answered():
    reply = ask(call="example", example=MATS, page=PAGE, base="../../")
    assert reply["ok"]
    assert 'href="../../plan/whole-plan/#v=2' in reply["html"]
    wrong = ask(call="example", example=changed(title=""), page=PAGE)
    assert not wrong["ok"]
    assert wrong["problem"]
    text = ask(call="examples-file", examples=[MATS], build="b")["text"]
    assert ask(call="examples-file", file=text)["examples"] == [MATS]


def test_what_was_put_in_is_told_to_both_readers():
    """Each reader sees the measures in the units that are theirs, and a weave by its title."""
    html = numbers_html(handbook.example("six-end-napkins"))
    put_in = html.partition("<dl")[2].partition("</dl>")[0]
    for metric, imperial in (("46 cm", "18 1/8 in"), ("18 /cm", "45.7 per inch")):
        assert f'ft-metric">{metric}</span> <span class="ft-imperial">{imperial}<' in put_in
    assert "satin_6" not in put_in


def test_most_examples_open_in_whole_inches():
    assert sum(map(bool, map(address_in_inches, handbook.examples()))) >= 5


@of_every(handbook.examples)
def test_an_example_that_opens_in_whole_inches_is_a_like_plan(example):
    """Near the plan in centimetres, with nothing measured left in them, and no other caution."""
    _, _, query = address_in_inches(example).partition("#")
    assert bool(query) == ("one like it in whole inches" in numbers_html(example))
    if not query:
        return
    typed = dict(parse_qsl(query, keep_blank_values=True))
    assert not any(re.search(r"\d ?(cm|mm|m|g|kg)$|/cm|/10\b", text) for text in typed.values())
    name = typed.pop("calculator")
    like = run(name, {key: text for key, text in typed.items() if key != "v"}, "inch")
    assert like["ok"], like
    for result in ("ends", "warp_length", "warp_yarn_mass", "picks_total"):
        value = example.plan.answer.results.get(result)
        value = getattr(value, "likely", value)
        found = like["results"][result]["value"]
        found = found["likely"] if isinstance(found, dict) else found
        assert found == pytest.approx(value, rel=0.06), result
    assert len(like["cautions"]) <= len(example.plan.answer.cautions), like["cautions"]
