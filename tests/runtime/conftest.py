"""The page's own search, started once and asked by several tests."""

import json
import subprocess

import pytest

from scripts.setting_up.environment import ROOT
from scripts.setting_up.node import node_and_npm


@pytest.fixture(scope="session")
def found(site):
    """What is found for questions, in the built list or in another: places, best first."""
    command = [node_and_npm()[0], str(ROOT / "tests/runtime/found.mjs"), str(site)]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
    ) as finder:

        def ask(questions, listed=None):
            finder.stdin.write(json.dumps([questions, listed]) + "\n")
            finder.stdin.flush()
            return json.loads(finder.stdout.readline())

        yield ask
        finder.stdin.close()
