"""Lines in double brackets: what they become, and what is said when they mean nothing."""

import pytest
from markdown import Markdown

from calculators.registry import registry
from calculators.tables import TABLES
from scripts.build import DOCS
from scripts.pages import embed
from scripts.pages.embed import EmbedError, check, embeds, html_of
from scripts.setting_up.environment import ROOT
from tests.every import of_every


def html(text):
    return Markdown(
        extensions=["tables", "fenced_code", "md_in_html", "scripts.pages.embed"]
    ).convert(text)


def test_a_line_becomes_its_calculator_with_the_worked_answer():
    made = html("Before.\n\n[[calculator: sett]]\n\nAfter.")
    assert made.index("Before.") < made.index('id="calculator-sett"') < made.index("After.")
    assert "<p><section" not in made
    assert 'class="ft-answer"' in made


def test_preset_values_are_filled_in_and_answered():
    plain, preset = (
        html_of("[[calculator: sett]]"),
        html_of("[[calculator: sett | warp_yarn=30/2]]"),
    )
    assert 'value="30/2"' in preset
    assert plain.split("ft-answer")[1] != preset.split("ft-answer")[1]


@of_every(list(registry()))
def test_every_calculator_can_be_embedded(name):
    assert f'data-calculator="{name}"' in html_of(f"[[calculator: {name}]]")


@of_every(list(TABLES))
def test_every_table_can_be_embedded(name):
    assert "<caption>" in html_of(f"[[table: {name}]]")


def test_lines_that_follow_one_another_are_embedded_in_their_order():
    made = html("[[drawing: plain]]\n[[closeup: plain]]\nWords after them.")
    assert made.count("<svg") == 2
    assert made.index("on point paper") < made.index("close up") < made.index("Words after them.")


def test_a_closer_sett_fills_the_close_up():
    assert html_of("[[closeup: plain | sett=8 /cm]]") != html_of("[[closeup: plain | sett=16 /cm]]")


def test_code_is_left_alone():
    made = html("```\n[[calculator: sett]]\n```\n\n    [[table: articles]]\n")
    assert "<section" not in made
    assert "[[calculator: sett]]" in made
    assert "[[table: articles]]" in made


def test_brackets_within_a_sentence_are_left_alone():
    assert html("Write [[table: articles]] so.") == "<p>Write [[table: articles]] so.</p>"


def test_embeds_work_inside_an_element():
    made = html('<div class="ft-ways" markdown>\n\n[[table: articles]]\n\n</div>')
    assert made.index('class="ft-ways"') < made.index("<caption>")


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("[[calculator: set]]", "no calculator “set”; did you mean “sett”?"),
        ("[[calculater: sett]]", "no kind of embed “calculater”; did you mean “calculator”?"),
        ("[[calculator: sett | yarn]]", "“yarn” is not of the form setting=value"),
        ("[[calculator: sett | warp_yarm=8/2]]", "did you mean “warp_yarn”?"),
        ("[[calculator: sett | warp_yarn=16/0]]", "warp_yarn: "),
        ("[[table: cotton-count]]", "no table called “cotton-count”"),
        ("[[table: cotton-counts | a=b]]", "takes no settings"),
        ("[[figure: looses]]", "did you mean “losses”?"),
        ("[[drawing: satin_77]]", "satin_77"),
        ("[[closeup: plain | set=3]]", "no setting of a close-up “set”"),
        ("[[glossary: all]]", "stands alone"),
        ("[[sett]", "not of the form"),
    ],
)
def test_what_means_nothing_is_said_in_words(line, words):
    with pytest.raises(EmbedError) as problem:
        html_of(line)
    assert words in str(problem.value)


def test_the_check_names_page_and_line(tmp_path):
    docs = tmp_path / "docs"
    (docs / "plan").mkdir(parents=True)
    (docs / "plan/index.md").write_text("# Plan\n\n[[calculator: warp]]\n\n[[calculator: wrap]]\n")
    (docs / "twice.md").write_text("[[calculator: warp]]\n\n[[calculator: warp | ends=100]]\n")
    (docs / "good.md").write_text("~~~\n[[nothing]]\n~~~\n[[glossary]]\n")
    problems = check(docs)
    assert len(problems) == 2
    assert problems[0].startswith("docs/plan/index.md, line 5: [[calculator: wrap]]")
    assert problems[1].startswith("docs/twice.md, line 3")
    assert "once" in problems[1]


def test_every_embed_of_the_handbook_is_known():
    assert check(DOCS) == []
    used = {line for page in DOCS.rglob("*.md") for _, line in embeds(page)}
    in_generated_pages = {"example", "example-figure"}
    written = {line.strip("[]").split(":")[0].strip() for line in used}
    assert written >= set(embed.KINDS) - in_generated_pages


def test_the_guide_shows_every_kind_of_embed():
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert {kind for kind in embed.KINDS if f"[[{kind}" not in guide} == set()
