"""What the form of an example does to a text, in Node."""

import json
import subprocess

from scripts.setting_up.environment import ROOT
from scripts.setting_up.node import node_and_npm

STORY = (ROOT / "docs" / "assets" / "story.mjs").as_uri()


def answer(expression):
    program = f'import * as story from "{STORY}";console.log(JSON.stringify({expression}))'
    command = [node_and_npm()[0], "--input-type=module", "--eval", program]
    done = subprocess.run(command, capture_output=True, text=True, encoding="utf-8", check=True)
    return json.loads(done.stdout)


def test_a_figure_goes_where_the_cursor_stands():
    assert answer('story.withFigure("a warp of .", 10, 10, "ends")') == "a warp of {ends}."
    assert answer('story.withFigure("a warp of 900.", 10, 13, "ends")') == "a warp of {ends}."


def test_what_was_left_empty_is_not_told():
    said = {
        "title": " Mats ",
        "weaver": " ",
        "question": "",
        "parts": [
            {"heading": "", "text": " \n"},
            {"heading": "On the shelf", "text": ""},
            {"heading": "", "text": "Two *cones*.\n\nOne white."},
        ],
        "records": {"finished_width": "29,4", "hours": " "},
    }
    example = {"calculator": "cloth-plan", "inputs": {"pieces": "4"}, "title": "?", "records": {}}
    assert answer(f"story.storyOf({json.dumps(example)}, {json.dumps(said)})") == {
        **example,
        "title": "Mats",
        "weaver": "",
        "question": "",
        "part": said["parts"][1:],
        "records": {"finished_width": "29,4"},
    }
