"""The whole handbook as one PDF: every page is in it, and its contents lead to the right places."""

import re
import shutil
from io import BytesIO

import pytest
from pypdf import PdfReader

from scripts.book import LEFT_OUT, NAME, bind, leaves


@pytest.fixture(scope="module")
def bound(chromium, site, tmp_path_factory):
    folder = tmp_path_factory.mktemp("book") / "site"
    shutil.copytree(site, folder, ignore=shutil.ignore_patterns("runtime"))
    bind(chromium, folder)
    return folder


def plain(text):
    return re.sub(r"\s+", " ", text)


def test_every_page_of_the_handbook_is_in_the_book(bound, site_pages):
    kept = {leaf.address for leaf in leaves(bound)}
    assert kept == {name for name in site_pages if name not in LEFT_OUT}


def test_the_contents_name_the_page_where_each_part_begins(bound):
    pages = PdfReader(BytesIO((bound / NAME).read_bytes())).pages
    texts = [plain(page.extract_text()) for page in pages]
    contents = " ".join(text for text in texts[1:4] if "Contents" in text or "Reference" in text)
    for leaf in leaves(bound):
        listed = re.search(rf"{re.escape(leaf.title)} ?(\d+)", contents)
        assert listed, leaf.title
        heading = re.search(r"<h1[^>]*>(.*?)<", (bound / leaf.address / "index.html").read_text())[
            1
        ]
        assert plain(heading) in texts[int(listed[1]) - 1][:200], leaf.title


def test_links_inside_the_book_stay_inside_it(bound):
    reader = PdfReader(BytesIO((bound / NAME).read_bytes()))
    assert reader.outline
    places = reader.named_destinations
    inside = 0
    for page in reader.pages:
        for note in page.get("/Annots", []):
            link = note.get_object()
            address = str(link.get("/A", {}).get("/URI", ""))
            assert not address or address.startswith("https://"), address
            if "/Dest" in link:
                inside += 1
                assert str(link["/Dest"]) in places
    assert inside > 500


def test_the_page_of_downloads_offers_it(bound):
    page = (bound / "reference/downloads/index.html").read_text()
    sheets = len(PdfReader(BytesIO((bound / NAME).read_bytes())).pages)
    assert f'href="../../{NAME}"' in page
    assert f"{sheets} pages" in page
