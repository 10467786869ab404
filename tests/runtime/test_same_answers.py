"""The browser's Python and this one give the same JSON, for every default and for chance inputs."""

import gzip
import json
import random
import re
import subprocess
import sys

import pytest

import calculators
from calculators.page import respond
from scripts.setting_up.environment import ROOT
from scripts.setting_up.node import MODULES, node_and_npm

ENTRIES = {
    "length": ["48 cm", "19 1/2 in", "0.5 m", "5 yd", '20-3/4"', "words"],
    "mass": ["250 g", "12 oz", "1.2 kg", "2 lb", "3"],
    "density": ["30 epi", "12 /cm", "24", "61 per inch", "-3"],
    "reed": ["60/10", "12 dpi", "15"],
    "price": ["60 per kg", "27.50 / lb", "12 per 100 g", "60", "-1"],
    "loss": ["8 %", "5–8–12 %", "4", "120 %", "0 %"],
    "count": ["5", "6", "253", "0", "7.5"],
    "number": ["8", "2,5", "1000", "½"],
    "range": ["4", "2–4–8", "2 to 8"],
    "yarn": ["16/2", "2/30", "Nm 28/2", "40/2 lea", "R 74 tex", "70 den", "6720 yd/lb", "16/0"],
    "system": ["cotton", "linen", "metric", "spun_silk", "nonsense"],
    "weave": ["plain", "satin_5", "satin_6", "lace_6", "broken_twill_4", "#. / .#"],
    "weaves": ["satin_5, satin_6", "plain", "nonsense", ""],
    "choice": ["table", "firm", "open"],
    "lines": ["Blue; 16/2 cotton; 412 g; empty 38 g; #2b4a6f", "words", ""],
    "text": ["40/10, 60/10", "60, 40", "2 %", "1 cm"],
}
CHANCE = 200


def requests() -> list[str]:
    chance = random.Random(1895)
    described = calculators.describe()
    asked = [{"call": "answer", "id": one["id"], "inputs": {}} for one in described]
    for _ in range(CHANCE):
        one = chance.choice(described)
        fields = chance.sample(one["fields"], k=min(len(one["fields"]), chance.randint(1, 4)))
        inputs = {field["name"]: chance.choice(ENTRIES[field["kind"]]) for field in fields}
        asked.append({"call": "answer", "id": one["id"], "inputs": inputs})
    return [json.dumps(one) for one in asked]


def same(here: object, there: object) -> bool:
    """Whether two replies agree; figures may differ in their last bit, as two C libraries do."""
    if isinstance(here, float) and isinstance(there, float):
        return here == pytest.approx(there, rel=1e-14, abs=1e-300)
    if isinstance(here, dict) and isinstance(there, dict):
        return here.keys() == there.keys() and all(same(here[key], there[key]) for key in here)
    if isinstance(here, list) and isinstance(there, list):
        return len(here) == len(there) and all(map(same, here, there))
    return here == there


def test_both_pythons_answer_alike(site, tmp_path):
    runtime = site / "assets/runtime"
    page = (site / "index.html").read_text("utf-8")
    build = re.search(r'name="ft-build" content="(\w+)"', page)[1]
    manifest = json.loads((runtime / f"runtime-{build}.json").read_text("utf-8"))
    packed = runtime / manifest["files"]["library"]["path"]
    library = tmp_path / "library.zip"
    library.write_bytes(gzip.decompress(packed.read_bytes()))
    asked = requests()
    (tmp_path / "requests.json").write_text(json.dumps(asked), encoding="utf-8")
    done = subprocess.run(
        [
            node_and_npm()[0],
            str(ROOT / "tests/runtime/answers.mjs"),
            str(MODULES / "pyodide"),
            str(library),
            str(tmp_path / "requests.json"),
            str(tmp_path / "replies.json"),
        ],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    replies = json.loads((tmp_path / "replies.json").read_text(encoding="utf-8"))
    assert len(replies) == len(asked)
    answered = 0
    for request, there in zip(asked, replies, strict=True):
        here = json.loads(respond(request))
        answered += here["ok"]
        assert same(here, json.loads(there)), request
    assert answered > CHANCE / 4, "enough of them are answers and not refusals"
    print(f"{answered} answers and {len(asked) - answered} refusals alike on {sys.version}")
