"""Take pictures of the main screens, to be looked at: phone, tablet, desktop, dark and paper.

    python -m scripts.screenshots [--site FOLDER] [--readme] [--app]

The pictures land in shots/, which is ignored; with --readme, only the README's picture is made,
with --app only those that a phone shows before the handbook is put on its home screen.
"""

import argparse
import base64
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any, NamedTuple

from scripts.setting_up.chromium import chromium
from scripts.setting_up.environment import ROOT, say
from scripts.web_server import serving

SHOTS = ROOT / "shots"
APP_SCREENS = ROOT / "docs/assets/screens"
README_PICTURE = ROOT / "docs/picture.png"
PHONE = {"viewport": {"width": 360, "height": 740}, "device_scale_factor": 2, "has_touch": True}
TABLET = {"viewport": {"width": 768, "height": 1024}, "has_touch": True}
DESKTOP = {"viewport": {"width": 1280, "height": 800}}
NARROW = {"viewport": {"width": 320, "height": 640}, "device_scale_factor": 2}
DARK = {"color_scheme": "dark"}


class Screen(NamedTuple):
    """One picture: its name, the page, the device, what to tap first, the whole page or a view."""

    name: str
    page: str
    device: dict[str, Any]
    tap: str = ""
    whole: bool = False


SCREENS = (
    Screen("first-page-phone", "", PHONE),
    Screen("first-page-desktop", "", DESKTOP),
    Screen("contents-phone", "", PHONE, ".ft-contents > summary"),
    Screen("search-phone-dark", "", PHONE | DARK, "[data-open-search]"),
    Screen("sett-phone", "sett/", PHONE, whole=True),
    Screen("sett-desktop", "sett/", DESKTOP, whole=True),
    Screen("plan-phone-dark", "plan/whole-plan/", PHONE | DARK, whole=True),
    Screen("plan-desktop", "plan/whole-plan/", DESKTOP, whole=True),
    Screen("tables-phone", "yarn/tables/", PHONE, whole=True),
    Screen("structures-tablet", "structures/", TABLET, whole=True),
    Screen("structures-desktop-dark", "structures/", DESKTOP | DARK),
    Screen("loom-tablet-dark", "weaving/", TABLET | DARK, whole=True),
    Screen("trouble-phone", "trouble/", PHONE),
    Screen("warp-narrow", "plan/warp-length/", NARROW, whole=True),
)
PAPER = ("sett/", "plan/whole-plan/", "warp/winding/")


def take(address: str) -> None:
    """Open each screen and keep its picture; the paper pages become PDF, and pictures of that."""
    with chromium() as browser:
        for screen in SCREENS:
            context = browser.new_context(**screen.device)
            page = context.new_page()
            page.goto(address + screen.page, wait_until="load")
            page.evaluate("document.fonts.ready.then(() => true)")
            if screen.tap:
                page.locator(screen.tap).click()
            path = SHOTS / f"{screen.name}.png"
            page.screenshot(path=path, full_page=screen.whole)
            say(f"  {path.relative_to(ROOT)}")
            context.close()
        for name in PAPER:
            page = browser.new_page()
            page.goto(address + name, wait_until="load")
            path = SHOTS / f"paper-{name.strip('/').replace('/', '-')}.pdf"
            page.pdf(path=path, format="A4")
            page.close()
            say(f"  {path.relative_to(ROOT)}")
            if drawer := shutil.which("pdftoppm"):
                subprocess.run([drawer, "-r", "80", "-png", path, path.with_suffix("")], check=True)


def take_for_readme(address: str) -> None:
    """Make the README's picture: a page on a phone before a page on a desk."""

    def picture(page: Any, path: str, width: int, height: int) -> str:
        page.set_viewport_size({"width": width, "height": height})
        page.goto(address + path, wait_until="load")
        page.evaluate("document.fonts.ready.then(() => true)")
        return base64.b64encode(page.screenshot()).decode()

    with chromium() as browser:
        page = browser.new_page()
        desk, phone = picture(page, "plan/whole-plan/", 1180, 760), picture(page, "sett/", 360, 640)
        page = browser.new_page(viewport={"width": 1240, "height": 800})
        page.set_content(
            "<style>body{margin:0;background:#fff}img{position:absolute;border:1px solid #777;"
            "border-radius:10px}</style>"
            f'<img style="left:8px;top:8px" src="data:image/png;base64,{desk}">'
            f'<img style="right:8px;bottom:8px" src="data:image/png;base64,{phone}">'
        )
        page.screenshot(path=README_PICTURE)
    say(f"  {README_PICTURE.relative_to(ROOT)}")


def take_for_app(address: str) -> None:
    """Make the pictures that docs/manifest.webmanifest names."""
    APP_SCREENS.mkdir(exist_ok=True)
    with chromium() as browser:
        for name, place, device in (
            ("first-page", "", PHONE),
            ("plan", "plan/whole-plan/", DESKTOP),
        ):
            page = browser.new_context(**device).new_page()
            page.goto(address + place, wait_until="load")
            page.evaluate("document.fonts.ready.then(() => true)")
            path = APP_SCREENS / f"{name}.jpg"
            page.screenshot(path=path, type="jpeg", quality=45)
            say(f"  {path.relative_to(ROOT)}")


def main() -> int:
    """Serve the built site for a moment and photograph it."""
    parser = argparse.ArgumentParser(description="Take pictures of the main screens.")
    parser.add_argument("--site", type=Path, default=ROOT / "site", help="a built site")
    parser.add_argument("--readme", action="store_true", help="make the README's picture only")
    parser.add_argument("--app", action="store_true", help="make the manifest's pictures only")
    options = parser.parse_args()
    site = options.site
    if not (site / "index.html").exists():
        say(f"There is no site in {site}: build it first, with python scripts/serve.py")
        return 1
    with serving(site) as server:
        if options.readme:
            take_for_readme(server.address)
            return 0
        if options.app:
            take_for_app(server.address)
            return 0
        shutil.rmtree(SHOTS, ignore_errors=True)
        SHOTS.mkdir()
        take(server.address)
    return 0


if __name__ == "__main__":
    sys.exit(main())
