"""The build: nothing twice, nothing half, and reasons in words."""

from types import SimpleNamespace

import pytest

from scripts import build as building
from scripts.build import BuildError, build, input_files, inputs_digest, place_root, write_site
from scripts.pages.embed import ROOT_MARK
from scripts.setting_up.environment import ROOT


@pytest.fixture
def old_site(tmp_path, monkeypatch):
    """A site of an earlier build, and a build whose slow parts are left out."""
    monkeypatch.setattr(building, "WORK", tmp_path / ".build")
    monkeypatch.setattr(building, "inputs_digest", lambda address, _: f"as-it-was,{address}")
    report = SimpleNamespace(misses=[], summary="all agree")
    monkeypatch.setattr(building.check_references, "check", lambda: report)
    monkeypatch.setattr(building.embed, "check", lambda docs: [])
    site = tmp_path / "site"
    site.mkdir()
    (site / "index.html").write_text("earlier")
    for name in ("write_tables", "build_runtime"):
        monkeypatch.setattr(building, name, lambda *given: None)
    monkeypatch.setattr(building.offline, "finish_site", lambda *given, previous: "abc123")

    def write(draft, address, _):
        draft.mkdir(parents=True)
        (draft / "index.html").write_text(f"made for {address}")

    monkeypatch.setattr(building, "write_site", write)
    return site


def test_what_is_there_is_not_built_again(old_site):
    said = []
    first = build(old_site, "http://localhost:8000", said.append)
    assert (old_site / "index.html").read_text() == "made for http://localhost:8000/"
    said.clear()
    assert build(old_site, "http://localhost:8000/", said.append) == first
    assert said == ["The site is up to date."]


def test_a_change_is_built(old_site, monkeypatch):
    build(old_site, "http://localhost:8000/")
    (old_site / "index.html").write_text("earlier")
    monkeypatch.setattr(building, "inputs_digest", lambda address, _: f"changed,{address}")
    build(old_site, "http://localhost:8000/")
    assert (old_site / "index.html").read_text() == "made for http://localhost:8000/"


def test_another_address_is_another_site(old_site):
    build(old_site, "http://localhost:8000/")
    build(old_site, "https://handbook.invalid/weaving/")
    assert "handbook.invalid/weaving/" in (old_site / "index.html").read_text()


def test_a_lost_site_is_built_again(old_site):
    build(old_site, "http://localhost:8000/")
    (old_site / "index.html").unlink()
    build(old_site, "http://localhost:8000/")
    assert (old_site / "index.html").exists()


def test_a_missed_value_ends_the_build_and_leaves_the_old_site(old_site, monkeypatch):
    report = SimpleNamespace(misses=["taylor-diameter-30: 9.9, printed 110"], summary="")
    monkeypatch.setattr(building.check_references, "check", lambda: report)
    with pytest.raises(BuildError, match="taylor-diameter-30"):
        build(old_site, "http://localhost:8000/")
    assert (old_site / "index.html").read_text() == "earlier"


def test_an_unknown_embed_ends_the_build(old_site, monkeypatch):
    monkeypatch.setattr(building.embed, "check", lambda docs: ["docs/index.md, line 3: [[x]]"])
    with pytest.raises(BuildError, match=r"docs/index\.md, line 3"):
        build(old_site, "http://localhost:8000/")
    assert (old_site / "index.html").read_text() == "earlier"


def test_a_failure_on_the_way_leaves_the_old_site(old_site, monkeypatch):
    def fail(*given):
        raise RuntimeError("no room on the disk")

    monkeypatch.setattr(building, "build_runtime", fail)
    with pytest.raises(RuntimeError):
        build(old_site, "http://localhost:8000/")
    assert (old_site / "index.html").read_text() == "earlier"


def test_everything_that_shapes_the_site_counts(monkeypatch, tmp_path):
    names = {path.relative_to(ROOT).as_posix() for path in input_files()}
    assert {"mkdocs.yml", "docs/index.md", "calculators/errors.py", "scripts/build.py"} <= names
    assert not any("__pycache__" in name for name in names)
    monkeypatch.setattr(building, "ROOT", tmp_path)
    monkeypatch.setattr(building, "INPUTS", ("docs",))
    page = tmp_path / "docs/index.md"
    page.parent.mkdir()
    page.write_text("one")
    before = inputs_digest("http://localhost/")
    page.write_text("two")
    after = inputs_digest("http://localhost/")
    page.rename(page.with_name("other.md"))
    assert len({before, after, inputs_digest("http://localhost/")}) == 3


def test_links_of_embedded_parts_find_the_root_from_any_depth(tmp_path):
    for name in ("index.html", "plan/index.html", "reference/formulas/index.html"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(f'<a href="{ROOT_MARK}reference/sources/#R-1">')
    place_root(tmp_path)
    assert 'href="reference/' in (tmp_path / "index.html").read_text()
    assert 'href="../reference/' in (tmp_path / "plan/index.html").read_text()
    assert 'href="../../reference/' in (tmp_path / "reference/formulas/index.html").read_text()


def test_a_link_that_leads_nowhere_is_named(tmp_path, monkeypatch):
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs/index.md").write_text("# One\n\n[Two](two.md) and [three](#three)\n")
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: A\ntheme: {name: mkdocs}\nnav: [index.md]\n"
        "validation: {links: {not_found: warn, anchors: warn}}\n"
    )
    monkeypatch.setattr(building, "ROOT", tmp_path)
    with pytest.raises(BuildError, match=r"two\.md") as problem:
        write_site(tmp_path / "site", "http://localhost/")
    assert "#three" in str(problem.value)
