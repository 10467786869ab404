"""What the browser's tests share: the built site, a host that can be stopped, a phone's browser.

Starting Python inside the browser takes most of a test's time. So the same package answers beside
the browser wherever a test does not ask how: ``bundled`` tests run the browser's own Python, which
is shown to answer alike in ``tests/runtime``, and ``--bundled`` makes all of them do so.
"""

import gc
import json
import re
import sqlite3
import subprocess
import sys
from base64 import b64decode
from contextlib import closing, contextmanager
from urllib.parse import urljoin, urlsplit

import pytest
from hypothesis import settings

from calculators.page import respond
from scripts.setting_up.chromium import find_chromium
from scripts.setting_up.environment import ROOT, WORK

gc.disable()  # until the tests are collected: nothing of what collects them is garbage

# No deadline: no test may depend on how busy we are.
settings.register_profile("handbook", max_examples=25, deadline=None)
settings.register_profile("quick", max_examples=10, deadline=None)
settings.register_profile("thorough", max_examples=400, deadline=None)
settings.load_profile("handbook")

ADDRESS = "http://localhost:8771/a/b/"  # what each worker's browser calls its worker's own host
PHONE = {"width": 360, "height": 740}
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--js-flags=--liftoff-only",  # Python is compiled once: it runs too briefly to be worth twice
]
BESIDE = """globalThis.Worker = class {
  postMessage({ build, number, request, points }) {
    const tell = (data) => this.onmessage({ data });
    const answered = (reply) => tell({ number, reply });
    if (build === undefined) answerBeside(request, points?.toBase64()).then(answered);
    else setTimeout(() => ["starting", "ready"].forEach((state) => tell({ state })));
  }
  terminate() {
    this.onmessage = () => {};
  }
};"""
KEEPS_NOTHING = "delete Navigator.prototype.serviceWorker"
FORGET = """async () => {
  for (const kept of [localStorage, sessionStorage]) kept.clear();
  document.documentElement.removeAttribute("style");
  await new Promise((done) => (indexedDB.deleteDatabase("fine-thread").onsuccess = done));
}"""
BETWEEN = "care/"
TURN = """async (href) => {
  const before = document.getElementById("ft-page");
  const link = Object.assign(document.createElement("a"), { href });
  document.body.append(link);
  link.click();
  link.remove();
  while (before.isConnected) await new Promise((done) => setTimeout(done, 10));
}"""

ACCESSIBILITY = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
COLOURS = ["color-contrast-enhanced"]  # stricter than color-contrast, which would measure it again
# What is dressed alike is measured once: contrast hangs on the style sheet, not on the words.
NEWLY_DRESSED = """(seen) => {
  const known = new Set(seen), newly = [];
  for (const element of document.querySelectorAll("body *")) {
    element.removeAttribute("data-newly-dressed");
    if (![...element.childNodes].some((node) => node.nodeType === 3 && node.data.trim())) continue;
    let dress = element.getAttribute("style") ?? "";
    for (let at = element; at; at = at.parentElement) {
      const role = at.getAttribute("role") ?? at.getAttribute("aria-current") ?? "";
      dress += `${at.localName}.${at.className.baseVal ?? at.className}.${role}>`;
    }
    if (known.has(dress)) continue;
    known.add(dress);
    newly.push(dress);
    element.setAttribute("data-newly-dressed", "");
  }
  // What the bar covers is scrolled out from under it.
  for (const foot of document.querySelectorAll(".ft-foot")) foot.style.position = "static";
  axe.configure({rules: [
    {id: "color-contrast-enhanced", selector: "[data-newly-dressed]"},
    {id: "link-in-text-block", selector: "a[href][data-newly-dressed]"},
  ]});
  return newly;
}"""
RUN_AXE = """(runOnly) => axe.run({runOnly, resultTypes: ["violations"], preload: false,
  rules: {"color-contrast": {enabled: false}, "color-contrast-enhanced": {enabled: true},
    "avoid-inline-spacing": {enabled: false}}})
  .then(({violations}) => violations.flatMap(
    ({id, nodes}) => nodes.map((node) => `${id}: ${node.html.slice(0, 200)}`)))"""


def beside(request, points=""):
    return respond(request, b64decode(points or ""))


class Host:
    """A web server in a process of its own, which can be stopped for real."""

    address = ADDRESS

    def __init__(self, folder):
        self.faults_file, self.log = folder / "faults.json", folder / "asked.log"
        self.process, self.site, self.port = None, None, 0

    def faults(self, faults):
        self.faults_file.write_text(json.dumps(faults))

    def asked(self):
        return self.log.read_text().splitlines()

    def serve(self, site):
        """Serve a folder without a fault, and forget what was asked for before."""
        self.faults({})
        self.log.write_text("")
        if self.process and self.site == site:
            return
        self.stop()
        command = [sys.executable, "-m", "scripts.web_server", str(site), "--plain"]
        command += ["--port", str(self.port), "--under", urlsplit(ADDRESS).path]
        command += ["--faults", str(self.faults_file), "--log", str(self.log)]
        self.process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)
        self.site, self.port = site, int(self.process.stdout.readline())

    def stop(self):
        if self.process:
            self.process.kill()
            self.process.wait()
            self.process.stdout.close()
            self.process = None


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--bundled", action="store_true", help="the browser's own Python everywhere")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with what needs no site: one worker builds it while the others go on; long ones next.

    A worker that has nothing left takes over from the end of another's list.
    """
    items.sort(
        key=lambda item: (
            "site" in item.fixturenames,
            item.get_closest_marker("long") is None,
        )
    )
    gc.freeze()
    gc.enable()


@pytest.fixture(scope="session")
def site():
    """The real site, built for the very address it is tested at; one worker builds, all use it."""
    from scripts.build import build  # noqa: PLC0415 - only where a browser test wants it

    WORK.mkdir(exist_ok=True)
    with closing(sqlite3.connect(WORK / "test-site.lock", timeout=600)) as turn:
        turn.execute("BEGIN EXCLUSIVE")
        return build(WORK / "test-site", ADDRESS).path


@pytest.fixture(scope="session")
def site_pages(site):
    """Every page's address, from the site's root."""
    return [
        page.parent.relative_to(site).as_posix().replace(".", "", 1)
        + ("/" if page.parent != site else "")
        for page in sorted(site.rglob("index.html"))
    ]


@pytest.fixture(scope="session")
def thoroughly():
    """Whether a property of every page is asked of all, not of one page of each kind."""
    return settings.default.max_examples > 100


@pytest.fixture(scope="session")
def the_host(site, tmp_path_factory):
    host = Host(tmp_path_factory.mktemp("host"))
    host.serve(site)
    yield host
    host.stop()


@pytest.fixture
def host(the_host, site):
    """The worker's host, serving the site as it should."""
    the_host.serve(site)
    return the_host


@pytest.fixture(scope="session")
def chromium(the_host):
    from playwright.sync_api import expect, sync_playwright  # noqa: PLC0415

    expect.set_options(timeout=90_000)  # the first answer waits for Python, on a busy machine too
    there = f"--host-resolver-rules=MAP {urlsplit(ADDRESS).netloc} 127.0.0.1:{the_host.port}"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=find_chromium(), args=[*ARGUMENTS, there]
        )
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def faults():
    """Find what axe holds against a page; contrast is to be 7:1, and 4.5:1 for large text."""
    axe = (ROOT / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")

    def find(page, only_colours=False, seen=None):
        if not page.evaluate("() => 'axe' in globalThis"):
            page.evaluate(axe + "; undefined")
        if seen is not None:
            newly = page.evaluate(NEWLY_DRESSED, seen)
            if only_colours and not newly:
                return []
            seen += newly
        return page.evaluate(RUN_AXE, COLOURS if only_colours else ACCESSIBILITY)

    return find


class Device:
    """A fresh browser profile that hears what is asked of others, and what goes wrong.

    It keeps an offline copy only where that is wanted: filling one takes most of a page's time.
    """

    def __init__(self, chromium, keeps=False, bundled=True, **options):
        self.wrong = []
        self.context = chromium.new_context(
            **{"viewport": PHONE, "has_touch": True, "locale": "en-GB"} | options
        )
        self.context.set_default_timeout(30_000)
        self.context.on("request", self.note_request)
        self.context.on("console", self.note_console)
        self.context.on("weberror", lambda problem: self.wrong.append(str(problem.error)))
        if not keeps:
            self.context.add_init_script(KEEPS_NOTHING)
        if not bundled:
            self.context.expose_function("answerBeside", beside)
            self.context.add_init_script(BESIDE)

    def note_request(self, request):
        here = (urljoin(ADDRESS, "/"), "data:", "blob:")
        if not request.url.startswith(here):
            self.wrong.append(request.url)

    def note_console(self, message):
        if re.search("Content.Security.Policy", message.text):
            self.wrong.append(message.text)


@contextmanager
def device(chromium, complaints_expected=False, **options):
    """A fresh browser profile; on leaving, nothing may have been asked of anybody else."""
    new = Device(chromium, **options)
    try:
        yield new.context
    finally:
        new.context.close()
    assert complaints_expected or new.wrong == []


@pytest.fixture
def bundled(request):
    """Whether the test runs the browser's own Python."""
    marked = request.node.get_closest_marker("bundled") is not None
    return marked or request.config.getoption("--bundled")


@pytest.fixture
def phone(chromium, bundled):
    with device(chromium, bundled=bundled) as context:
        yield context


@pytest.fixture
def keeping_phone(chromium, bundled):
    with device(chromium, keeps=True, bundled=bundled) as context:
        yield context


@pytest.fixture
def new_device(chromium, bundled):
    return lambda **options: device(chromium, **{"bundled": bundled, **options})


class Visit(Device):
    """One long visit: pages are turned as a reader turns them, and the calculators go on running.

    Called with a place in the handbook, it turns there and returns the page.
    """

    page = None

    def __call__(self, place):
        for step in (BETWEEN, place):
            self.page.evaluate(TURN, ADDRESS + step)
        return self.page

    def begin(self):
        """Go on with the page as if nothing had been done on it, or with a new one."""
        if self.page is None or self.page.is_closed():
            self.page = self.context.new_page()
            self.page.goto(ADDRESS)
        self.page.set_viewport_size(PHONE)
        self.page.emulate_media(media="null", color_scheme="null", reduced_motion="null")
        self.page.evaluate(FORGET)
        self(BETWEEN)

    def end(self, failed):
        """Close every other page, and after a failure this one too."""
        for page in self.context.pages:
            if failed or page != self.page:
                page.close()
        wrong, self.wrong = self.wrong, []
        assert wrong == []


@pytest.fixture(scope="session")
def visits(chromium):
    visits = {}

    def of_kind(bundled):
        if bundled not in visits:
            visits[bundled] = Visit(chromium, bundled=bundled)
        return visits[bundled]

    yield of_kind
    for visit in visits.values():
        visit.context.close()


@pytest.fixture
def visit(visits, bundled, host, request):
    """The worker's visit, with nothing kept, for tests that do not hang on a fresh page."""
    the_visit = visits(bundled)
    failed = request.session.testsfailed
    the_visit.begin()
    yield the_visit
    the_visit.end(failed=request.session.testsfailed > failed)
