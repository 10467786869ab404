"""The text does not hang on our page template: without it, it is an ordinary Material site."""

import os

from mkdocs.commands.build import build
from mkdocs.config import load_config

from scripts.setting_up.environment import ROOT


def test_the_same_files_make_a_plain_material_site(tmp_path):
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    config = load_config(
        str(ROOT / "mkdocs.yml"),
        site_dir=str(tmp_path),
        site_url="http://localhost/",
        theme={"name": "material", "font": False},
        strict=True,
    )
    config.plugins.on_startup(command="build", dirty=False)
    build(config)
    page = (tmp_path / "sett" / "index.html").read_text(encoding="utf-8")
    assert 'data-md-component="header"' in page
    assert 'data-calculator="sett"' in page
    assert 'data-result="working"' in page
