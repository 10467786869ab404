from xml.etree import ElementTree

import pytest

from scripts.build import DOCS
from scripts.pages.embed import EmbedError, html_of
from scripts.pages.figures import FIGURES, WIDTH, figure_svg
from tests.every import of_every


@of_every(FIGURES)
def test_every_drawing_says_in_words_what_it_shows(name):
    drawing = ElementTree.fromstring(figure_svg(name))
    assert (drawing.get("role"), drawing.get("class")) == ("img", "ft-drawn")
    title, description = drawing.find("{*}title").text, drawing.find("{*}desc").text
    assert len(description) > len(title) > 10


@of_every(FIGURES)
def test_every_drawing_is_used_once_or_more(name):
    assert any(f"[[figure: {name}]]" in page.read_text("utf-8") for page in DOCS.rglob("*.md"))


@of_every(FIGURES)
def test_every_drawing_takes_its_colours_from_the_page(name):
    for part in ElementTree.fromstring(figure_svg(name)).iter():
        for paint in ("fill", "stroke"):
            colour = part.get(paint, "none")
            assert colour in ("none", "currentColor") or colour.startswith("var(--ft-"), part.attrib


@of_every(FIGURES)
def test_no_words_run_out_of_a_drawing(name):
    drawing = ElementTree.fromstring(figure_svg(name))
    _, _, width, height = map(float, drawing.get("viewBox").split())
    assert width == WIDTH
    found = list(drawing.findall(".//{*}text"))
    assert found
    for words in found:
        long = len(words.text) * float(words.get("font-size")) * 0.52
        x, share = float(words.get("x")), {"start": 0, "middle": 0.5, "end": 1}
        left = x - long * share[words.get("text-anchor")]
        assert left >= -2, words.text
        assert left + long <= width + 6, words.text
        assert 8 <= float(words.get("y")) <= height, words.text


def test_an_unknown_drawing_is_named():
    with pytest.raises(EmbedError, match=r"“loses”; did you mean “losses”"):
        html_of("[[figure: loses]]")
