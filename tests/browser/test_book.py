"""The whole handbook as one PDF: every page is in it, and its contents lead to the right places."""

import re
import shutil
from io import BytesIO

import pytest
from pypdf import PdfReader

from scripts import book
from scripts.book import LEFT_OUT, NAME, bind, leaves


@pytest.fixture(scope="module", params=[4, pytest.param(None, marks=pytest.mark.thorough)])
def bound(chromium, site, tmp_path_factory, request):
    """A copy of the site with a book bound of its first pages, or of all; and the book's leaves."""
    folder = tmp_path_factory.mktemp("book") / "site"
    shutil.copytree(site, folder, ignore=shutil.ignore_patterns("runtime"))
    part = leaves(folder)[: request.param]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(book, "leaves", lambda site: part)
        bind(chromium, folder)
    return folder, part


def plain(text):
    return re.sub(r"\s+", " ", text)


def test_every_page_of_the_handbook_is_in_the_book(site, site_pages):
    kept = {leaf.address for leaf in leaves(site)}
    assert kept == {name for name in site_pages if name not in LEFT_OUT}


def test_the_contents_name_the_page_where_each_part_begins(bound):
    folder, part = bound
    pages = PdfReader(BytesIO((folder / NAME).read_bytes())).pages
    texts = [plain(page.extract_text()) for page in pages]
    contents = " ".join(text for text in texts[1:4] if "Contents" in text or "Reference" in text)
    for leaf in part:
        listed = re.search(rf"{re.escape(leaf.title)} ?(\d+)", contents)
        assert listed, leaf.title
        page = (folder / leaf.address / "index.html").read_text()
        heading = re.search(r"<h1[^>]*>(.*?)<", page)[1]
        assert plain(heading) in texts[int(listed[1]) - 1][:200], leaf.title


def test_links_inside_the_book_stay_inside_it(bound):
    folder, part = bound
    reader = PdfReader(BytesIO((folder / NAME).read_bytes()))
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
    assert inside > 3 * len(part)


def test_the_page_of_downloads_offers_it(bound):
    folder, _ = bound
    page = (folder / "reference/downloads/index.html").read_text()
    sheets = len(PdfReader(BytesIO((folder / NAME).read_bytes())).pages)
    assert f'href="../../{NAME}"' in page
    assert f"{sheets} pages" in page
