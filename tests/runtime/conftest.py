"""The page's own modules, started once in Node and asked by several tests."""

import json
import subprocess
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from scripts.setting_up.environment import ROOT
from scripts.setting_up.node import node_and_npm


@contextmanager
def asked_in_node(script: str, *arguments: str) -> Iterator[Callable[[Any], Any]]:
    """Ask a script of this folder: a line of JSON in, a line of JSON out."""
    command = [node_and_npm()[0], str(ROOT / "tests/runtime" / script), *arguments]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
    ) as node:
        assert node.stdin
        assert node.stdout
        asked, answers = node.stdin, node.stdout

        def ask(question: Any) -> Any:
            asked.write(json.dumps(question) + "\n")
            asked.flush()
            return json.loads(answers.readline())

        yield ask
        asked.close()
        assert node.wait(10) == 0


@pytest.fixture(scope="session")
def in_node():
    return asked_in_node


@pytest.fixture(scope="session")
def found(site):
    """What is found for questions, in the built list or in another: places, best first."""
    with asked_in_node("found.mjs", str(site)) as ask:
        yield lambda questions, listed=None: ask([questions, listed])
