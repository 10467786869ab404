"""The handbook as a book: all of it is there, its contents and index lead to the right pages."""

import re
import shutil
from html import unescape
from io import BytesIO
from unicodedata import normalize

import pytest
from pypdf import PdfReader

from scripts import book
from scripts.binding.index import MOST_PAGES, Entry, compared, pages_of, ranges
from scripts.book import LEFT_OUT, LOOKED_UP, PAPERS, bind, leaves, offer

POINTS = 72 / 25.4  # in a millimetre
CASES = [  # the paper, and how many of the site's pages are bound
    ("A4", 4),
    pytest.param(("A4", None), marks=pytest.mark.thorough),
    pytest.param(("Letter", None), marks=pytest.mark.thorough),
]


@pytest.fixture(scope="module", params=CASES, ids=str)
def bound(chromium, site, tmp_path_factory, request):
    """A copy of the site with a book of its first pages, or of all; the leaves; the PDF."""
    paper, count = request.param
    folder = tmp_path_factory.mktemp("book") / "site"
    shutil.copytree(site, folder, ignore=shutil.ignore_patterns("runtime"))
    part = leaves(folder)[:count]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(book, "leaves", lambda site: part)
        made = bind(chromium, folder, paper)
    offer(folder, {paper: made})
    return folder, part, PdfReader(BytesIO((folder / made[0]).read_bytes())), paper


@pytest.fixture(scope="module")
def texts(bound):
    """What each of the book's pages says, which takes long to find out."""
    return [page.extract_text() for page in bound[2].pages]


def plain(text):
    return re.sub(r"\s+", " ", normalize("NFKC", text))


def test_every_page_of_the_handbook_is_in_the_book(site, site_pages):
    kept = {leaf.address for leaf in leaves(site)}
    assert kept == {name for name in site_pages if name not in LEFT_OUT}


def begins(reader, leaf):
    place = reader.named_destinations[f"/{leaf.key}"]
    return reader.get_destination_page_number(place) + 1


def test_the_contents_name_the_page_where_each_part_begins(bound, texts):
    folder, part, reader, _ = bound
    texts = [plain(text) for text in texts]
    contents = " ".join(texts[2 : begins(reader, part[0]) - 1])
    for leaf in part:
        listed = re.search(rf"{re.escape(plain(leaf.title))} ?(\d+)", contents)
        assert listed, leaf.title
        page = (folder / leaf.address / "index.html").read_text()
        heading = re.search(r"<h1[^>]*>(.*?)<", page)[1]
        assert plain(heading) in texts[int(listed[1]) - 1], leaf.title


def test_every_page_has_its_number_and_its_running_head(bound, texts):
    _, part, reader, paper = bound
    width, height = PAPERS[paper]
    starts = {begins(reader, leaf): leaf for leaf in part}
    words = set()
    for number, page in enumerate(reader.pages, 1):
        size = page.mediabox.width, page.mediabox.height
        assert size == pytest.approx((width * POINTS, height * POINTS), abs=1)
        text = plain(texts[number - 1]).strip()
        if number < begins(reader, part[0]) or not text:
            continue
        if leaf := starts.get(number):
            alone = not leaf.chapter or leaf.chapter in LOOKED_UP
            words = {plain(leaf.title if alone else leaf.chapter), "Index"}
        assert any(one in text for one in words), number
        assert re.search(rf"(?<!\d){number}(?!\d)", text), number


def test_chapters_begin_on_the_right_and_the_margin_is_wider_at_the_back(bound):
    _, part, reader, _ = bound
    seen = set()
    for leaf in part:
        if not leaf.chapter or leaf.chapter not in seen:
            assert begins(reader, leaf) % 2 == 1, leaf.title
        seen.add(leaf.chapter)
    first = begins(reader, part[-1])
    left = []
    for number in (first, first + 1):
        places = []
        reader.pages[number - 1].extract_text(
            visitor_text=lambda text, matrix, place, *rest, places=places: (
                places.append(place[4] * matrix[0] + matrix[4]) if text.strip() else None
            )
        )
        left.append(min(places))
    right_hand, left_hand = left if first % 2 else left[::-1]
    assert right_hand - left_hand == pytest.approx(9 * POINTS, abs=2)


def test_a_calculator_stands_as_its_worked_example(bound, texts):
    folder, part, _, _ = bound
    text = plain(" ".join(texts))
    dense = text.replace(" ", "")
    assert "a line for your own" in text
    named = 0
    for leaf in part:
        page = (folder / leaf.address / "index.html").read_text()
        for label, typed in re.findall(
            r'<label for="[^"]*">([^<]+)</label><span class="ft-entry">'
            r'<input [^>]*?value="([^"]+)"',
            page,
        ):
            if "satin" not in typed:  # told by its name
                told = plain(unescape(label) + unescape(typed)).replace(" ", "")
                assert told in dense, (leaf.title, label)
                named += 1
        for typed in re.findall(r'<input [^>]*data-default="[^"]+"[^>]*value="([^"]+)"', page):
            if "satin" not in typed:  # told by its name
                assert plain(unescape(typed)).replace(" ", "") in dense, (leaf.title, typed)
    assert named >= len(part)
    assert "Where next" not in text
    assert not re.search(r"(Weave|Weave of the ground) satin_", text)
    assert "HandonKeep" not in dense


def test_the_index_names_pages_where_the_word_stands(bound, texts):
    _, part, _, _ = bound
    words = [compared(text) for text in texts]
    start = max(number for number, text in enumerate(words) if "pages in bold explain" in text)
    lines = "\n".join(texts[start:]).splitlines()
    found = 0
    for line in lines:
        entry = re.fullmatch(r"(?P<word>[a-z][a-z ]+), (?P<pages>[\d–, ]+)", line.strip())
        if not entry:
            continue
        for first, _, last in (
            one.strip().partition("–") for one in entry["pages"].split(",") if one.strip()
        ):
            for number in range(int(first), int(last or first) + 1):
                assert compared(entry["word"]) in words[number - 1], line
                found += 1
    assert found > 5 * len(part)


def test_links_inside_the_book_stay_inside_it(bound):
    _, part, reader, _ = bound
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
    assert inside > 2 * len(part)


def test_the_page_of_downloads_offers_it(bound):
    folder, _, reader, paper = bound
    page = (folder / "reference/downloads/index.html").read_text()
    assert f'href="../../fine-thread-handbook-{paper.lower()}.pdf"' in page
    assert f"{len(reader.pages)} pages" in page


def test_an_entry_names_few_pages_those_where_its_word_stands_most_often():
    texts = {page: compared("A heddle. " * (page % 5) + "nothing") for page in range(1, 30)}
    found = pages_of(Entry("heddle", ("heddle",)), texts)
    assert found == [page for page in texts if page % 5 == 4]
    assert len(found) <= MOST_PAGES
    assert pages_of(Entry("draw-in", ("draw-in",)), {3: compared("the draw-\nin"), 4: "in"}) == [3]
    assert pages_of(Entry("five-end", ("five-end",)), {4: compared("of \ufb01ve-\nend satin")}) == [
        4
    ]
    assert pages_of(Entry("end", ("end",)), {1: "the ends", 2: "bend", 3: "ended"}) == [1]


def test_pages_that_follow_each_other_are_one():
    assert ranges([7, 3, 5, 6, 9, 10, 6]) == ["3", "5–7", "9–10"]
