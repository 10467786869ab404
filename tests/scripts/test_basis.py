"""Where a figure stands: a page says once that the rest of it is common practice."""

import re
from html import unescape

from scripts.build import DOCS
from scripts.pages.embed import embeds, html_of
from tests.every import of_every

PHRASE = "common practice, no source"
PAGES = {path.relative_to(DOCS).as_posix(): path for path in sorted(DOCS.rglob("*.md"))}


def told(path):
    """All that a reader reads on a page: its own text and what its embeds put there."""
    made = " ".join(re.sub(r"<[^>]*>", " ", html_of(line)) for _, line in embeds(path))
    return unescape(f"{path.read_text('utf-8')} {made}").lower()


@of_every(list(PAGES))
def test_a_page_says_common_practice_no_source_at_most_once(name):
    assert told(PAGES[name]).count(PHRASE) <= 1


def test_the_page_of_troubles_says_what_its_sign_stands_for():
    page = PAGES["trouble.md"].read_text("utf-8")
    assert f"*practice* stands for {PHRASE}" in page
