"""The handbook's words: the shape of every page, spelling, British, one term for one thing."""

import re
import subprocess
import sys
import tomllib
from functools import cache
from html import unescape
from pathlib import Path

import codespell_lib

from calculators.engine.run import work_out
from calculators.registry import registry
from scripts.build import DOCS
from scripts.pages import worked_examples as examples
from scripts.setting_up.environment import ROOT
from tests.every import of_every

TRADE_WORDS = ROOT / "tests" / "scripts" / "trade-words.txt"
SPELLED = ("docs", "calculators", "scripts", "README.md", "DEVELOPERS.md", "CHANGELOG.md")
# Of pairs such as practice and practise both are British, each in its place.
BOTH_BRITISH = {
    "license",
    "licensed",
    "meter",
    "practice",
    "practices",
    "program",
    "stories",
    "story",
}
OTHER_WORDS = {  # what others call it, where the glossary fixes a term
    "batten": "beater",
    "bobbin": "pirn",
    "bobbins": "pirn",
    "chessboard": "checkerboard rows",
    "crossings": "intersection",
    "denting": "sleying",
    "entering": "threading",
    "heald": "heddle",
    "healds": "heddle",
    "interlacing": "intersection",
    "interlacings": "intersection",
    "sateen": "satin",
    "selvage": "selvedge",
    "tabby": "plain",
    "woof": "weft",
}
ALSO_CALLED = r"\([^()]*\balso [^()]*\)"  # where a page itself gives the other word
FOLDED_YARN = r"(?i)\bfolded (?:cotton|linen|yarns?|threads?|warp)|\b(?:two|three)-fold\b"
ABOUT_OTHER_WORDS = (
    "reference/changes.md",
    "reference/errata.md",
    "reference/glossary.md",
    "reference/old-units.md",
)


@cache
def pages():
    """Every page's Markdown by its path, those made from example files with the rest."""
    found = {
        path.relative_to(DOCS).as_posix(): path.read_text("utf-8") for path in DOCS.rglob("*.md")
    }
    return found | {f"examples/{one.name}.md": examples.page(one) for one in examples.examples()}


def names():
    return sorted(pages())


def inner():
    return [name for name in names() if name != "index.md"]


def head(name):
    return dict(
        re.findall(r"^(title|description): \"?(.*?)\"?$", pages()[name].split("---")[1], re.M)
    )


def prose(text):
    """The words a reader reads: no head, no embeds, no marks."""
    text = re.sub(r"^---\n.*?\n---\n", "", text, flags=re.S)
    text = re.sub(r"\[\[.*?\]\]|<[^>]*>", " ", text)
    return unescape(re.sub(r"\]\([^)]*\)", "]", text))


@of_every(names)
def test_every_page_has_a_title_and_a_description(name):
    told = head(name)
    assert told["title"]
    assert 40 <= len(told["description"]) <= 158


def test_no_two_pages_are_alike_in_title_or_description():
    for part in ("title", "description"):
        told = [head(name)[part] for name in pages()]
        assert len(set(told)) == len(told)


@of_every(inner)
def test_every_page_begins_with_its_question(name):
    blocks = pages()[name].split("---", 2)[2].strip().split("\n\n")
    assert re.fullmatch(r"# \S.*", blocks[0])
    assert re.fullmatch(r"\*[^*]+\?.*\*", blocks[1])


@of_every(inner)
def test_every_page_ends_with_where_next(name):
    last = pages()[name].rsplit("\n## ", 1)[1]
    title, _, text = last.partition("\n")
    assert title == "Where next"
    assert re.search(r"\]\([^)]+\)", text)


def test_there_are_twelve_thousand_words_of_guidance():
    listed = ("reference/", "examples/")
    words = {name: len(prose(text).split()) for name, text in pages().items()}
    assert sum(count for name, count in words.items() if not name.startswith(listed)) >= 12_000


@of_every(names)
def test_no_line_is_unfinished(name):
    assert not re.search(r"\b(TODO|TBD|FIXME|lorem|xxx)\b", pages()[name], re.I)


def test_spelling():
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "codespell_lib",
            "--ignore-words",
            str(TRADE_WORDS),
            "--skip",
            "*/weave_words.toml,*/yarn_words.toml",  # they are in four languages
            "-q",
            "3",
            *SPELLED,
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.stdout == ""
    assert done.returncode == 0


def test_the_spelling_check_finds_something(tmp_path):
    wrong = tmp_path / "wrong.md"
    wrong.write_text("Recieve the warp.\n", encoding="utf-8")
    done = subprocess.run([sys.executable, "-m", "codespell_lib", str(wrong)], check=False)
    assert done.returncode != 0


def american():
    """American spellings by their British ones, of the pairs that are always different."""
    pairs = Path(codespell_lib.__file__).parent / "data" / "dictionary_en-GB_to_en-US.txt"
    found = {}
    for line in pairs.read_text("utf-8").splitlines():
        british, _, others = line.partition("->")
        for other in others.split(","):
            if other.strip() and other.strip() not in BOTH_BRITISH:
                found[other.strip()] = british
    return found


def test_spelling_is_british():
    american_words = american()
    assert american_words["color"] == "colour"
    both = "search_words.toml"  # which knows the American spellings, to find the British ones
    files = [path for path in (DOCS / "data").rglob("*.toml") if path.name != both]
    data = [path.read_text("utf-8") for path in files]
    for text in [*pages().values(), *data]:
        used = set(re.findall(r"[a-z]+", prose(text).lower()))
        assert used & set(american_words) == set()


def test_one_term_for_one_thing():
    terms = {
        row["term"]
        for row in tomllib.loads((DOCS / "data/glossary.toml").read_text("utf-8"))["term"]
    }
    assert set(OTHER_WORDS.values()) <= terms
    troubles = (DOCS / "data/troubles.toml").read_text("utf-8")
    for name, text in [*pages().items(), ("data/troubles.toml", troubles)]:
        if name in ABOUT_OTHER_WORDS:
            continue
        told = re.sub(ALSO_CALLED, "", re.sub(r'(?m)^(?:id|stage) = ".*"$', "", prose(text)))
        assert not re.search(FOLDED_YARN, told), f"{name}: of yarn say plied"
        wrong = set(re.findall(r"[a-z]+", told.lower())) & set(OTHER_WORDS)
        assert not wrong, f"{name}: {[f'{word}: say {OTHER_WORDS[word]}' for word in wrong]}"


def spoken(calculator):
    """Everything that a calculator says of its worked example."""
    run = work_out(calculator, {})
    assert run.answer is not None
    yield from (calculator.title, calculator.question)
    for one in (*calculator.fields, *calculator.outputs):
        yield from (one.label, getattr(one, "hint", ""))
    yield from (*run.answer.notes, *run.answer.cautions, *(step.words for step in run.answer.steps))
    for table in run.answer.tables.values():
        yield from (table.title, *table.columns)


@of_every(list(registry()))
def test_calculators_speak_the_same_words(name):
    told = " ".join(spoken(registry()[name])).lower()
    other = {*OTHER_WORDS, "folded", "counter", "counters", "crossing"}
    assert not set(re.findall(r"[a-z]+", told)) & other
    assert "yarn to have" not in told


def test_terms_are_told_once():
    rows = tomllib.loads((DOCS / "data/glossary.toml").read_text("utf-8"))["term"]
    terms = [row["term"] for row in rows]
    assert len(set(terms)) == len(terms)
    assert len(terms) >= 100
