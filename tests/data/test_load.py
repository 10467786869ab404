"""Tables are read alike from the TOML written by hand and from the browser's packed copy."""

import json

import pytest

from calculators import data

TABLES = ["reed_systems", "formulas/sett"]


@pytest.mark.parametrize("name", TABLES)
def test_the_packed_copy_is_taken_first_and_says_the_same(name, monkeypatch):
    written = data.load.__wrapped__(name)
    asked = []

    def get_data(package, path):
        asked.append(path)
        return json.dumps(written).encode()

    monkeypatch.setattr(data, "get_data", get_data)
    assert data.load.__wrapped__(name) == written
    assert asked == [f"{name}.json"]


def test_a_table_that_is_not_there_is_an_error_of_ours():
    with pytest.raises(FileNotFoundError, match="no_such_table"):
        data.load("no_such_table")
