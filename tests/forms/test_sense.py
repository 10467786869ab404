"""Results that are right and foolish are said so just past the limit, and not just before it.

The limits are common practice, no source, as calculators/cloth/cautions.py says of each.
"""

import pytest

import calculators

PLAN = {
    "finished_width": "48 cm",
    "warp_yarn": "16/2",
    "weft_yarn": "16/2",
    "selvedge_ends": "0",
    "picks": "",
    "draw_in": "4 %",
    "width_shrinkage": "5 %",
    "length_shrinkage": "8 %",
}

CASES = [
    # calculator, other fields, field, just inside, just past, words of the caution
    ("unit-grid", {"ends_per_unit": "20", "picks_per_unit": "20", "selvedge_ends": "0",
                   "sett": "10 /cm", "picks": "10 /cm", "finished_length": "60 cm"},
     "finished_width", "41.2 cm", "41.1 cm", "Whole units make the cloth"),
    ("unit-grid", {"finished_width": "48 cm", "sett": "24 /cm"}, "selvedge_ends", "25", "26",
     "The pattern finishes"),
    ("unit-grid", {}, "sett", "100 epi", "100.1 epi", "closer than 100 ends an inch"),
    ("cloth-plan", PLAN, "sett", "100 epi", "100.1 epi", "closer than 100 ends an inch"),
    ("cloth-plan", {**PLAN, "sett": "18 /cm", "ends_per_unit": "5"}, "selvedge_ends", "18", "20",
     "The pattern finishes"),
    ("warp", {"pieces": "1", "gap": "0", "sample": "0", "finished_length": "100 cm", "hem": "0",
              "length_shrinkage": "0 %", "take_up": "0 %"}, "loom_waste", "150 cm", "151 cm",
     "of this warp is loom waste"),
    ("cloth-plan", {**PLAN, "pieces": "1", "gap": "0", "sample": "0", "finished_length": "92 cm",
                    "hem": "0", "take_up": "0 %"}, "loom_waste", "150 cm", "151 cm",
     "of this warp is loom waste"),
    ("warp", {"finished_length": "50 cm"}, "hem", "50 cm", "50.1 cm", "The hems take"),
    ("cloth-plan", {**PLAN, "finished_length": "50 cm"}, "hem", "50 cm", "50.1 cm",
     "The hems take"),
    # 8/2 plain weave at 20 picks an inch: an end changes sides 20 times in an inch; 3 × 20 ÷ 4
    ("cloth-plan", {**PLAN, "weft_yarn": "8/2", "weave": "plain", "picks": "20 ppi"}, "take_up",
     "7.5 %", "7.4 %", "where the rule foretells 15 %"),
    ("weft", {}, "picks", "80 /cm", "80.1 /cm", "beyond what is beaten by hand"),
    ("wash-test", {"before": "100 cm"}, "after", "75 cm", "74.9 cm", "more than cotton or linen"),
    ("crimp", {"cloth_length": "10 cm"}, "yarn_length", "13 cm", "13.1 cm", "takes up"),
    # 100 tex both ways, without crimp: (e + p) × 100 ÷ 10 g/m²
    ("cloth-weight", {"warp_yarn": "100 tex", "weft_yarn": "100 tex", "picks": "35 /cm",
                      "warp_crimp": "0 %", "weft_crimp": "0 %"}, "ends", "35 /cm", "35.1 /cm",
     "heavier than cloth"),
    ("cloth-weight", {"warp_yarn": "10 tex", "weft_yarn": "10 tex", "picks": "15 /cm",
                      "warp_crimp": "0 %", "weft_crimp": "0 %"}, "ends", "15 /cm", "14.9 /cm",
     "lighter than cloth"),
    ("cost", {}, "rate", "0.01", "0", "Nothing is counted for the work"),
    ("cost", {}, "yarn_price", "0.01", "0", "Nothing is counted for the yarn"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("calculator", "others", "field", "inside", "past", "words"),
    CASES,
    ids=[f"{case[0]}-{case[2]}-{case[5][:12]}" for case in CASES],
)
def test_said_just_past_the_limit_and_not_before(
    calculator: str, others: dict[str, str], field: str, inside: str, past: str, words: str
) -> None:
    def cautions(typed: str) -> str:
        done = calculators.run(calculator, {**others, field: typed})
        assert done["ok"], done
        return " ".join(done["cautions"])

    assert words in cautions(past)
    assert words not in cautions(inside)


def test_the_size_that_started_it() -> None:
    """Ten centimetres asked for, and three units of twenty ends make nearly eleven."""
    typed = {"finished_width": "10 cm", "ends_per_unit": "20", "picks_per_unit": "20",
             "sett": "5 /cm", "picks": "5 /cm"}  # fmt: skip
    done = calculators.run("unit-grid", typed)
    assert any("Whole units make the cloth" in line for line in done["cautions"])
    wanted = 10 / 0.95 / 0.96 * 5 / 20
    assert f"{wanted:.2f} units across would fit; 3 are taken" in " ".join(done["notes"])
