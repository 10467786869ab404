"""The command line in streams, pipes and numbers that are out of the ordinary."""

import io
import subprocess
import sys

import pytest

import calculators
from calculators.__main__ import main
from calculators.registry import registry


def test_the_list_holds_every_field_and_result(monkeypatch: pytest.MonkeyPatch) -> None:
    """Into a stream that cannot change its encoding, as another program may hand it over."""
    shown = io.StringIO()
    monkeypatch.setattr(sys, "stdout", shown)
    assert main(["list"]) == 0
    parts = shown.getvalue().strip().split("\n\n")
    for one, part in zip(registry().values(), parts, strict=True):
        head, _, *fields, results = part.splitlines()
        assert head == f"{one.id}  ({one.code})  {one.title}"
        assert [line.split("=")[0].strip() for line in fields] == [it.name for it in one.fields]
        assert results.strip() == "→ " + ", ".join(it.name for it in one.outputs)


def test_a_reader_that_has_seen_enough_is_no_fault() -> None:
    """As when head ends: what is written afterwards is dropped without a word."""
    words = [sys.executable, "-u", "-m", "calculators", "list", "--json"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as going:
        assert going.stdout is not None
        assert going.stderr is not None
        going.stdout.close()
        assert going.stderr.read() == b""


def test_a_number_too_long_to_be_written_out_is_refused() -> None:
    found = calculators.run("warp", {"pieces": 10**5000})
    assert [error["field"] for error in found["errors"]] == ["pieces"]
    assert "too much for" in found["errors"][0]["message"]
