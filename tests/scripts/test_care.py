"""Each caution names an official or published source, or says that it is from memory."""

import re

from scripts.build import DOCS
from tests.every import of_every

CARE = (DOCS / "care.md").read_text("utf-8")
# What a caution must speak of, and the words that it may not do without.
CAUTIONS = {
    "old lead weights": (r"\*\*Lead\.", "damp", "vacuum", "eat", "pregnant", "poison centre"),
    "strong springs": (r"\*\*Springs\.", "eye", "energy"),
    "under the loom": (r"## Under and inside", "Block", "beater", "eye height", "Not alone"),
    "treadling": (r"\*\*Treadling", "feet", "knees", "hips"),
    "numbness": (r"\*\*Tingling", "stop", "doctor"),
    "oil stains": (r"\*\*Oil stains", "flammable", "vapour", "dryer", "iron"),
    "mouldy yarn": (r"\*\*Mouldy", "mask", "outside"),
    "swallowed thread": (r"\*\*A pet", "vet", "Never pull"),
    "children and hot water": (r"Those times are for a grown skin", "faster", "safe time"),
    "bottles": (r"- Keep all of it", "locked and high"),
}


@of_every(list(CAUTIONS))
def test_a_caution_is_whole_and_says_where_it_stands(name):
    opening, *words = CAUTIONS[name]
    found = re.search(rf"{opening}.*?(?=\n\n(?:\*\*|#)|\n- \*\*|\Z)", CARE, re.S)
    assert found
    assert [word for word in words if word not in found[0]] == []
    assert "from memory" in found[0]


def test_no_recipe_stands_where_the_page_says_not_to_use_it():
    rust = next(line for line in CARE.splitlines() if "oxalic" in line)
    assert not re.search(r"\d", rust)


def test_local_rules_go_first():
    assert "Local codes and licensed practice decide." in CARE.split("## ", 1)[0]
