"""What a phone is told of the handbook: every page and picture that the manifest names is there."""

import json

from scripts.setting_up.environment import ROOT

DOCS = ROOT / "docs"
MANIFEST = json.loads((DOCS / "manifest.webmanifest").read_text(encoding="utf-8"))


def size_of_jpeg(data):
    """Width and height, from the frame's header."""
    at = 2
    while data[at + 1] not in (0xC0, 0xC2):
        at += 2 + int.from_bytes(data[at + 2 : at + 4])
    height, width = (int.from_bytes(data[at + step : at + step + 2]) for step in (5, 7))
    return f"{width}x{height}"


def test_shortcuts_lead_to_pages():
    assert len(MANIFEST["shortcuts"]) == 3
    for shortcut in MANIFEST["shortcuts"]:
        page = DOCS / shortcut["url"].rstrip("/")
        assert page.with_suffix(".md").is_file() or (page / "index.md").is_file(), shortcut["name"]


def test_pictures_are_as_large_as_they_are_said_to_be():
    for picture in MANIFEST["screenshots"]:
        data = (DOCS / picture["src"]).read_bytes()
        assert size_of_jpeg(data) == picture["sizes"]
        assert len(data) < 120_000
    assert {picture["form_factor"] for picture in MANIFEST["screenshots"]} == {"narrow", "wide"}
