"""What the browser's tests share: the built site, a host that can be stopped, a phone's browser."""

import json
import shutil
import socket
import subprocess
import sys
from contextlib import contextmanager
from types import SimpleNamespace

import pytest
from hypothesis import settings

from scripts.setting_up.chromium import find_chromium
from scripts.setting_up.environment import ROOT

settings.register_profile("handbook", deadline=None)  # no test may depend on how busy we are
settings.register_profile("quick", max_examples=20, deadline=None)
settings.load_profile("handbook")

PREFIX = "/a/b/"
PORTS = range(8771, 8790)
PHONE = {"width": 360, "height": 740}
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

ACCESSIBILITY = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
RUN_AXE = """(runOnly) => axe.run({runOnly, resultTypes: ["violations"],
  rules: {"color-contrast-enhanced": {enabled: true}}}).then((found) => found.violations.flatMap(
    (one) => one.nodes.map((node) => `${one.id}: ${node.html.slice(0, 200)}`)))"""


class Host:
    """The site on a host of its own, under /a/b/."""

    def __init__(self, folder, site, port):
        self.site, self.port = site, port
        self.address = f"http://localhost:{port}{PREFIX}"
        self.faults_file, self.log = folder / "faults.json", folder / "asked.log"
        self.process = None
        self.faults({})

    def faults(self, faults):
        self.faults_file.write_text(json.dumps(faults))

    def start(self):
        self.log.write_text("")
        command = [sys.executable, "-m", "scripts.web_server", str(self.site), "--plain"]
        command += ["--port", str(self.port), "--under", PREFIX]
        command += ["--faults", str(self.faults_file), "--log", str(self.log)]
        self.process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout.readline() == "ready\n"

    def stop(self):
        if self.process:
            self.process.kill()
            self.process.wait()
            self.process.stdout.close()
            self.process = None

    def asked(self):
        return self.log.read_text().splitlines()


@pytest.fixture(scope="session")
def test_port():
    """A port, and the folder that goes with it, that no other test run on this machine uses."""
    for port in PORTS:
        with socket.socket() as claim, socket.socket() as probe:
            try:
                claim.bind(("127.0.0.1", port + len(PORTS)))
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            probe.close()
            yield port
            return
    pytest.fail("no free port for the tests' host")


@pytest.fixture(scope="session")
def site(test_port):
    """The real site, built for the very address it is tested at."""
    from scripts.build import build  # noqa: PLC0415 - only where a browser test wants it

    address = f"http://localhost:{test_port}{PREFIX}"
    return build(ROOT / ".build" / f"test-site-{test_port}", address).path


@pytest.fixture(scope="session")
def site_pages(site):
    """Every page's address, from the site's root."""
    return [
        page.parent.relative_to(site).as_posix().replace(".", "", 1)
        + ("/" if page.parent != site else "")
        for page in sorted(site.rglob("index.html"))
    ]


@pytest.fixture(scope="session")
def chromium():
    from playwright.sync_api import sync_playwright  # noqa: PLC0415

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find_chromium(), args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def faults():
    """Find what axe holds against a page; contrast is to be 7:1, and 4.5:1 for large text."""
    axe = (ROOT / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")

    def find(page, rules=ACCESSIBILITY):
        page.evaluate(axe + "; undefined")
        return page.evaluate(RUN_AXE, rules)

    return find


@pytest.fixture
def make_host(tmp_path, test_port):
    """Serve any folder on the address the site was built for; one at a time."""
    hosts = []

    def make(folder):
        for host in hosts:
            host.stop()
        host = Host(tmp_path, folder, test_port)
        host.start()
        hosts.append(host)
        return host

    yield make
    for host in hosts:
        host.stop()


@pytest.fixture
def host(site, make_host):
    return make_host(site)


@pytest.fixture
def copied_site(site, tmp_path):
    """A copy of the site that a test may damage."""
    return shutil.copytree(site, tmp_path / "copied-site")


@contextmanager
def device(chromium, port, complaints_expected=False, **options):
    """A fresh browser profile; on leaving, nothing may have been asked of anybody else."""
    context = chromium.new_context(viewport=PHONE, has_touch=True, locale="en-GB", **options)
    context.set_default_timeout(30_000)
    seen = SimpleNamespace(foreign=[], complaints=[])

    def note_request(request):
        here = (f"http://localhost:{port}/", "data:", "blob:")
        if not request.url.startswith(here):
            seen.foreign.append(request.url)

    def note_console(message):
        if "Content Security Policy" in message.text or "Content-Security-Policy" in message.text:
            seen.complaints.append(message.text)

    context.on("request", note_request)
    context.on("console", note_console)
    context.on("weberror", lambda problem: seen.complaints.append(str(problem.error)))
    try:
        yield context
    finally:
        context.close()
    assert seen.foreign == []
    assert complaints_expected or seen.complaints == []


@pytest.fixture
def phone(chromium, test_port):
    with device(chromium, test_port) as context:
        yield context


@pytest.fixture
def new_device(chromium, test_port):
    return lambda **options: device(chromium, test_port, **options)
