"""The lock files: everything pinned, everything hashed, nobody's address in them."""

import json
import re
import tomllib

import pytest

from scripts.setting_up.environment import NODE_LOCK, ROOT, SITE_LOCK, TEST_LOCK, UV_LOCK

PYTHON_LOCKS = (SITE_LOCK, TEST_LOCK, NODE_LOCK, UV_LOCK)
GROUPS = {SITE_LOCK: "site", TEST_LOCK: "test", NODE_LOCK: "node", UV_LOCK: "uv"}


def requirements(lock):
    """Each requirement of a lock file with its hashes."""
    text = (ROOT / lock).read_text(encoding="utf-8").replace("\\\n", " ")
    return [line for line in text.splitlines() if line.strip() and not line.startswith("#")]


def named(lock):
    return {
        re.match(r"[\w.-]+", line)[0].replace("_", "-").lower(): line for line in requirements(lock)
    }


@pytest.mark.parametrize("lock", [*PYTHON_LOCKS, "package-lock.json", "package.json", ".npmrc"])
def test_no_lock_names_an_address(lock):
    text = (ROOT / lock).read_text(encoding="utf-8")
    if lock == "package-lock.json":  # who may be paid for a package is no place to fetch it from
        text = re.sub(r'"funding": (\{[^}]*\}|\[[^]]*\]|"[^"]*")', "", text)
    assert "://" not in text
    assert "index-url" not in text
    assert "find-links" not in text


@pytest.mark.parametrize("lock", PYTHON_LOCKS)
def test_every_python_package_is_pinned_and_hashed(lock):
    found = requirements(lock)
    assert found
    for line in found:
        assert re.match(r"[\w.-]+==\S+", line), line
        assert re.search(r"--hash=sha256:[0-9a-f]{64}", line), line


def test_every_npm_package_has_its_integrity_and_no_place():
    packages = json.loads((ROOT / "package-lock.json").read_text(encoding="utf-8"))["packages"]
    fetched = {name: package for name, package in packages.items() if name}
    assert "node_modules/pyodide" in fetched
    for name, package in fetched.items():
        assert package["integrity"].startswith("sha512-"), name
        assert "resolved" not in package, name


def test_npm_lock_answers_to_the_package_file():
    package = json.loads((ROOT / "package.json").read_text(encoding="utf-8"))
    lock = json.loads((ROOT / "package-lock.json").read_text(encoding="utf-8"))["packages"][""]
    for kind in ("dependencies", "devDependencies"):
        assert lock.get(kind, {}) == package.get(kind, {})


@pytest.mark.parametrize("lock", PYTHON_LOCKS)
def test_python_locks_hold_what_the_groups_ask_for(lock):
    groups = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    locked = named(lock)
    for wanted in groups["dependency-groups"][GROUPS[lock]]:
        if isinstance(wanted, str):
            name, version = wanted.split("==")
            assert f"=={version} " in locked[name.lower()]


def test_the_test_lock_holds_everything_the_site_lock_does():
    test = named(TEST_LOCK)
    for name, line in named(SITE_LOCK).items():
        assert test[name].split()[0] == line.split()[0]


def test_the_guide_says_what_every_package_is_for():
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = guide.split("## What is used, and for what")[1].split("\n\n")[1]
    groups = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    wanted = [one for group in groups["dependency-groups"].values() for one in group]
    names = {one.split("==")[0] for one in wanted if isinstance(one, str)}
    package = json.loads((ROOT / "package.json").read_text(encoding="utf-8"))
    for kind in ("dependencies", "devDependencies"):
        names |= {name.split("/")[0] for name in package.get(kind, {})}
    missing = {name for name in names if not re.search(rf"[| ,]{name}[ ,;|/]", table)}
    assert missing == set()
