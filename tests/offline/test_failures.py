"""Failures that a site kept offline must survive, each as one test in a real browser.

``build_two`` makes a later edition of the same site: other words on every page, another build id.
The slow attacks are ``thorough``; of every promise, one test stays among the others.
"""

import json
import re
import shutil

import pytest
from playwright.sync_api import expect

from calculators import run
from scripts import offline
from scripts.browser_runtime.runtime import DRAFT, FOLDER
from scripts.setting_up.environment import ROOT

pytestmark = pytest.mark.bundled

SETT, OTHER = "sett/", "warp/winding/"
NAMED = offline.NAMED_BUILD
KEPT = "Ready offline: the pages"
ALL_KEPT = "Ready offline: pages and calculators"
GONE = """async () => {
  while (await navigator.serviceWorker.getRegistration()) {
    await new Promise((done) => setTimeout(done, 100));
  }
}"""
REDIRECTED = """async () => {
  const stored = await Promise.all(
    (await caches.keys()).map(async (name) => (await caches.open(name)).matchAll()));
  return stored.flat().filter((one) => one.redirected).length;
}"""
STANDALONE = """
const asked = matchMedia.bind(globalThis);
globalThis.matchMedia = (query) =>
  query === "(display-mode: standalone)" ? { matches: true } : asked(query);
"""
STARVED = """WebAssembly.Memory = class {
  constructor() { throw new RangeError("could not allocate memory"); }
};
"""
WORKER = re.compile(r'const BUILD = "([0-9a-f]+)"')


def build_of(site):
    return NAMED.search((site / "index.html").read_text())[1]


def renewed(site, folder, *, change="Second edition. "):
    """Take a finished site apart, change it, and finish it again as the next build."""
    later = shutil.copytree(site, folder)
    old = build_of(later)
    runtime = later / FOLDER
    manifest = json.loads((runtime / f"runtime-{old}.json").read_text())
    for extra in [*runtime.glob("runtime-*"), *runtime.glob("worker-*")]:
        extra.unlink()
    (runtime / DRAFT).write_text(json.dumps(manifest | {"build": ""}))
    shutil.copy(ROOT / "docs/assets/worker.mjs", later / "assets/worker.mjs")
    (later / offline.KEEPER).unlink()
    shutil.copy(ROOT / "docs/assets/service-worker.js", later / "assets/service-worker.js")
    for script in later.rglob("*.mjs"):
        script.write_text(script.read_text().replace(old, offline.BUILD_MARK))
    for page in later.rglob("*.html"):
        text = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>\n', "", page.read_text())
        text = text.replace(old, offline.BUILD_MARK).replace("<h1", f"<p>{change}</p><h1", 1)
        page.write_text(text)
    (runtime / "library-000000000000.bin").write_bytes(b"of this edition only")
    offline.finish_site(later, "", lambda _: None, previous=site)
    return later


@pytest.fixture(scope="module")
def build_two(site, tmp_path_factory):
    return renewed(site, tmp_path_factory.mktemp("later") / "second-edition")


@pytest.fixture
def phone(keeping_phone):
    return keeping_phone


@pytest.fixture
def copied_site(site, tmp_path):
    """A copy of the site that a test may damage."""
    return shutil.copytree(site, tmp_path / "copied-site")


def calculator(page):
    return page.locator('section[data-calculator="sett"]').first


def line(page):
    return page.locator(".ft-offline")


def working(yarn):
    return run("sett", {"warp_yarn": yarn})["results"]["working"]["text"]["metric"]


def answers(page, yarn):
    calculator(page).locator("[name=warp_yarn]").fill(yarn)
    expect(calculator(page).locator(".ft-answer")).to_contain_text(working(yarn))


def says_why(page, words, offers="Try again"):
    """The runtime has failed with a reason and a way on; the printed answer is still there."""
    state = calculator(page).locator(".ft-state")
    expect(state).to_have_attribute("data-state", "failed")
    expect(state).to_contain_text(words)
    expect(state.get_by_role("button", name=offers)).to_be_visible()
    expect(calculator(page).locator(".ft-answer")).to_contain_text(working("16/2"))


def keeps(context, host, place=SETT, words=KEPT):
    page = context.new_page()
    page.goto(host.address + place)
    expect(line(page)).to_contain_text(words)
    return page


def keeps_all(context, host):
    page = keeps(context, host)
    answers(page, "30/2")
    expect(line(page)).to_contain_text(ALL_KEPT)
    return page


def caches(page):
    return page.evaluate("caches.keys()")


def look_for_newer(page):
    page.evaluate("navigator.serviceWorker.getRegistration().then((one) => one.update())")


def part(site, key):
    record = json.loads((site / FOLDER / f"runtime-{build_of(site)}.json").read_text())
    return f"{FOLDER}/{record['files'][key]['path']}"


@pytest.mark.thorough
def test_01_an_open_tab_outlives_the_release_of_the_next_build(phone, host, site, build_two):
    page = keeps(phone, host)
    host.serve(build_two)
    assert (build_two / part(site, "library")).exists(), "the last build's files stay one release"
    answers(page, "30/2")
    assert build_of(site) != build_of(build_two)
    assert f"{FOLDER}/runtime-{build_of(site)}.json" in host.asked()


@pytest.mark.thorough
def test_01_a_kept_copy_needs_nothing_of_the_server(phone, host, site, build_two, tmp_path):
    page = keeps_all(phone, host)
    later = shutil.copytree(build_two, tmp_path / "without-the-last-edition")
    for old in (later / FOLDER).glob(f"*{build_of(site)}*"):
        old.unlink()
    host.serve(later)
    page.goto(host.address + SETT)
    assert page.locator('meta[name="ft-build"]').get_attribute("content") == build_of(site)
    answers(page, "8/2")


def test_02_a_page_refuses_the_calculators_of_another_build(phone, host, copied_site, build_two):
    host.serve(copied_site)
    own = copied_site / FOLDER / f"runtime-{build_of(copied_site)}.json"
    other = build_two / FOLDER / f"runtime-{build_of(build_two)}.json"
    shutil.copy(other, own)
    page = phone.new_page()
    page.goto(host.address + SETT)
    calculator(page).locator("[name=warp_yarn]").focus()
    says_why(page, "two editions of the handbook", offers="Load the page again")
    keeper = (copied_site / offline.KEEPER).read_text()
    index = json.loads((copied_site / "search/list.json").read_text())
    assert WORKER.search(keeper)[1] == index["build"] == build_of(copied_site)


@pytest.mark.parametrize(
    "fault",
    [
        pytest.param({"body": "<h1>Sign in to this network</h1>"}, marks=pytest.mark.thorough),
        pytest.param({"status": 302, "to": "/a/b/index.html"}, marks=pytest.mark.thorough),
        pytest.param({"status": 500, "body": "<h1>Broken</h1>"}, marks=pytest.mark.thorough),
        {"body": "let it = 'changed'", "type": "text/javascript"},
    ],
    ids=["sign-in page", "redirect", "error page", "changed"],
)
def test_03_a_wrong_answer_is_never_stored(phone, host, fault):
    name = "assets/icons/icon-512.png"
    host.faults({name: fault})
    page = keeps(phone, host, words="The offline copy failed")
    expect(line(page)).to_contain_text(name)
    assert not page.evaluate("(name) => caches.match(name).then(Boolean)", host.address + name)
    assert caches(page) == []


def test_04_one_missing_file_is_said_and_can_be_tried_again(phone, host):
    host.faults({"care/": {"status": 404}})
    page = keeps(phone, host, words="The offline copy failed")
    expect(line(page)).to_contain_text("404")
    host.faults({})
    line(page).locator("button").click()
    expect(line(page)).to_contain_text(KEPT)


def limit_storage(page, size):
    session = page.context.new_cdp_session(page)
    origin = page.evaluate("location.origin")
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": size})


@pytest.mark.thorough
def test_05_without_room_the_site_works_online(phone, host):
    page = phone.new_page()
    host.faults({"service-worker.js": {"status": 404}})
    page.goto(host.address + SETT)
    limit_storage(page, 50_000)
    host.faults({})
    page.reload()
    expect(line(page)).to_contain_text("no room")
    answers(page, "30/2")


@pytest.mark.thorough
def test_05_the_memory_picture_is_given_up_first(phone, host, site):
    page = keeps(phone, host)
    memory = (site / part(site, "memory")).stat().st_size
    used = page.evaluate("navigator.storage.estimate().then((one) => one.usage)")
    core = sum((site / part(site, key)).stat().st_size for key in ("python", "glue", "library"))
    limit_storage(page, used + core + memory // 2)
    answers(page, "30/2")
    expect(line(page)).to_contain_text(ALL_KEPT)
    has = "(name) => caches.match(new URL(`../${name}`, location.href)).then(Boolean)"
    assert page.evaluate(has, part(site, "python"))
    assert not page.evaluate(has, part(site, "memory"))


@pytest.mark.parametrize("keeping", [keeps, keeps_all])
@pytest.mark.thorough
def test_07_an_evicted_copy_is_noticed_and_made_anew(phone, host, keeping):
    page = keeping(phone, host)
    expect(line(page)).to_contain_text("The browser may clear it")
    page.evaluate("caches.keys().then((all) => Promise.all(all.map((one) => caches.delete(one))))")
    host.faults({"care/": {"status": 500}})
    page.reload()
    expect(line(page)).to_contain_text("The offline copy failed")
    host.faults({})
    page.reload()
    expect(line(page)).to_contain_text(KEPT)
    if keeping is keeps_all:
        answers(page, "30/2")
        expect(line(page)).to_contain_text(ALL_KEPT)


@pytest.mark.thorough
def test_08_an_app_opened_with_empty_storage_primes_itself(phone, host, site):
    manifest = json.loads((site / "manifest.webmanifest").read_text())
    assert manifest["display"] == "standalone"
    for icon in manifest["icons"]:
        assert (site / icon["src"]).is_file()
    page = phone.new_page()
    page.add_init_script(STANDALONE)
    page.goto(host.address + manifest["start_url"])
    expect(line(page)).to_contain_text(ALL_KEPT)
    host.stop()
    page.goto(host.address + SETT)
    answers(page, "30/2")


@pytest.mark.thorough
def test_09_a_cached_service_worker_does_not_hide_the_next_build(phone, host, build_two):
    host.faults({"service-worker.js": {"headers": {"Cache-Control": "max-age=31536000"}}})
    page = keeps(phone, host)
    host.serve(build_two)
    look_for_newer(page)
    expect(line(page)).to_contain_text("A newer edition")


@pytest.mark.thorough
def test_09_a_broken_service_worker_leaves_the_old_one_at_work(phone, host):
    page = keeps(phone, host)
    host.faults(
        {"service-worker.js": {"body": "this is not {{ a program", "type": "text/javascript"}}
    )
    page.reload()
    expect(line(page)).to_contain_text(KEPT)
    host.stop()
    page.goto(host.address + OTHER)
    expect(page.locator("h1")).to_be_visible()


@pytest.mark.thorough
def test_09_the_kill_switch_takes_the_copy_back(phone, host, copied_site):
    host.serve(copied_site)
    page = keeps(phone, host)
    page.evaluate("caches.open('a neighbour of ours')")
    offline.withdraw(copied_site)
    look_for_newer(page)
    page.evaluate(GONE)
    assert caches(page) == ["a neighbour of ours"]
    page.goto(host.address + SETT)
    expect(page.locator("h1")).to_be_visible()


def test_10_an_update_is_offered_and_loses_nothing(phone, host, site, build_two):
    page = keeps(phone, host)
    second_tab = keeps(phone, host)
    calculator(page).locator("[name=warp_yarn]").fill("30/2")
    calculator(second_tab).locator("[name=warp_yarn]").fill("8/2")
    host.serve(build_two)
    look_for_newer(page)
    expect(line(page)).to_contain_text("A newer edition")
    assert page.locator('meta[name="ft-build"]').get_attribute("content") == build_of(site)
    line(page).get_by_role("button", name="Use it now").click()
    expect(page.get_by_text("Second edition.")).to_be_visible()
    expect(calculator(page).locator("[name=warp_yarn]")).to_have_value("30/2")
    answers(page, "30/2")
    expect(line(second_tab)).to_contain_text("renewed in another tab")
    assert second_tab.locator('meta[name="ft-build"]').get_attribute("content") == build_of(site)
    expect(calculator(second_tab).locator("[name=warp_yarn]")).to_have_value("8/2")
    answers(second_tab, "12/2")


def test_11_every_form_of_an_address_works_offline(phone, host):
    page = keeps(phone, host)
    title = page.title()
    host.stop()
    for form in ("warp/winding/", "warp/winding", "warp/winding/index.html"):
        page.goto(host.address + form)
        assert page.title() != title
        expect(page.locator("h1")).to_be_visible()
        assert page.evaluate("document.styleSheets.length") > 0
    assert page.evaluate(REDIRECTED) == 0
    page.goto(
        f"{host.address}{SETT}?utm_source=letter&fbclid=1#v=1&calculator=sett&warp_yarn=8%2F2"
    )
    expect(calculator(page).locator("[name=warp_yarn]")).to_have_value("8/2")


@pytest.mark.parametrize(
    "missing",
    [
        pytest.param("delete Navigator.prototype.serviceWorker", marks=pytest.mark.thorough),
        pytest.param("delete globalThis.caches", marks=pytest.mark.thorough),
        pytest.param(
            "Object.defineProperty(globalThis, 'localStorage', {get() { throw new Error('no') }})",
            marks=pytest.mark.thorough,
        ),
        "navigator.serviceWorker.register = () => Promise.reject(new Error('blocked'))",
    ],
)
def test_13_without_the_browsers_stores_the_calculators_work(phone, host, missing):
    page = phone.new_page()
    page.add_init_script(missing)
    page.goto(host.address + SETT)
    answers(page, "30/2")
    expect(line(page)).to_be_visible()


@pytest.mark.thorough
def test_14_under_a_sub_path_a_neighbours_copy_is_left_alone(phone, host, build_two):
    page = keeps(phone, host)
    neighbours = ["workbox-precache", f"fine-thread {host.address[:-2]} reading 1", "fine-thread"]
    for name in neighbours:
        page.evaluate("(name) => caches.open(name)", name)
    host.serve(build_two)
    look_for_newer(page)
    line(page).get_by_role("button", name="Use it now").click()
    expect(page.get_by_text("Second edition.")).to_be_visible()
    expect(line(page)).to_contain_text(KEPT)
    own = [name for name in caches(page) if name not in neighbours]
    assert set(neighbours) < set(caches(page))
    assert all(build_of(build_two) in name for name in own)
    scope = page.evaluate("navigator.serviceWorker.getRegistration().then((one) => one.scope)")
    assert scope == host.address


@pytest.fixture
def first_visit(new_device):
    with new_device() as device:
        yield device.new_page()


@pytest.mark.thorough
def test_15_a_runtime_that_cannot_start_says_why_until_it_can(first_visit, host, site):
    page = first_visit
    host.faults({part(site, "library"): {"status": 404}})
    page.goto(host.address + SETT)
    calculator(page).locator("[name=warp_yarn]").fill("30/2")
    says_why(page, "two editions", offers="Load the page again")
    for key, fault, words in (
        ("python", {"body": "not a program", "type": "application/wasm"}, "arrived damaged"),
        ("python", {"body": "<h1>Sign in</h1>"}, "sign in"),
        ("python", {"cut": True, "type": "application/wasm"}, "broke off"),
        ("glue", {"body": "export default 1", "type": "text/javascript"}, "arrived damaged"),
        ("library", {"status": 503}, "status 503"),
    ):
        host.faults({part(site, key): fault})
        calculator(page).locator(".ft-state button").click()
        says_why(page, words)
    host.faults({})
    calculator(page).locator(".ft-state button").click()
    expect(calculator(page).locator(".ft-answer")).to_contain_text(working("30/2"))


def test_15_a_runtime_that_never_comes_is_given_up(first_visit, host, site):
    page = first_visit
    host.faults({part(site, "python"): {"hang": True}})
    page.clock.install()
    page.goto(host.address + SETT)
    calculator(page).locator("[name=warp_yarn]").focus()
    expect(calculator(page).locator(".ft-state")).to_contain_text("MB")
    page.clock.fast_forward(60_000)
    says_why(page, "Nothing has arrived")


def test_15_a_device_without_memory_is_told_so(new_device, host, site, tmp_path):
    worker = f"{FOLDER}/worker-{build_of(site)}.mjs"
    starved = tmp_path / "worker.mjs"
    starved.write_text(STARVED + (site / worker).read_text())
    host.faults({worker: {"file": str(starved), "type": "text/javascript"}})
    with new_device(complaints_expected=True) as device:
        page = device.new_page()
        page.goto(host.address + SETT)
        calculator(page).locator("[name=warp_yarn]").focus()
        says_why(page, "not enough free memory")


@pytest.mark.thorough
def test_15_a_damaged_memory_picture_is_passed_over(phone, host, site):
    page = keeps_all(phone, host)
    page.evaluate(
        """async (name) => {
          const address = new URL(`../${name}`, location.href).href;
          for (const key of await caches.keys()) {
            const cache = await caches.open(key);
            if (await cache.match(address)) await cache.put(address, new Response("spoilt"));
          }
        }""",
        part(site, "memory"),
    )
    page.reload()
    answers(page, "8/2")
