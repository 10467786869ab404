"""Count systems against published values, against exact fractions, and against two oracles."""

import shutil
import subprocess
from fractions import Fraction
from functools import cache

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.yarn.systems import FIBRES, SPELLINGS, SYSTEMS, count_of, system_named, tex_of
from calculators.yarn.yarn import length_of, mass_of, metres_per_kilogram, yards_per_pound

YARD_M, POUND_G = Fraction(9144, 10_000), Fraction(45_359_237, 100_000)

# Grams in a kilometre of count 1, from each definition as published, in exact fractions.
TEX_OF_ONE = {
    "cotton": POUND_G / (840 * YARD_M) * 1000,  # ASTM D2260
    "linen": POUND_G / (300 * YARD_M) * 1000,  # ASTM D2260
    "worsted": POUND_G / (560 * YARD_M) * 1000,  # ASTM D2260
    "woollen_run": POUND_G / (1600 * YARD_M) * 1000,  # ASTM D2260
    "woollen_cut": POUND_G / (300 * YARD_M) * 1000,  # ASTM D2260-01
    "yorkshire_skein": POUND_G / (256 * YARD_M) * 1000,  # Blanco, Piece Goods Manual
    "galashiels": POUND_G / (200 * YARD_M) * 1000,  # Davis, chapter V: 200-yard hanks
    "spun_silk": POUND_G / (840 * YARD_M) * 1000,  # Taylor, web page 238
    "metric": Fraction(1000),  # ASTM D2260
    "french": Fraction(500),  # Blanco: 1000 m weighing 500 g
    "jute": POUND_G / (14_400 * YARD_M) * 1000,  # Kilgour and Woodhouse
    "tex": Fraction(1),  # UCUM
    "decitex": Fraction(1, 10),  # pint
    "denier": Fraction(1, 9),  # ASTM D2260-01
    "yards_per_pound": POUND_G / YARD_M * 1000,
    "metres_per_kilogram": Fraction(1_000_000),
}
DIRECT = {"jute", "tex", "decitex", "denier"}


def test_every_system_is_its_published_definition_exactly():
    assert {name: system.constant for name, system in SYSTEMS.items()} == TEX_OF_ONE
    assert {name for name, system in SYSTEMS.items() if system.direct} == DIRECT


def test_every_system_names_its_source():
    for system in SYSTEMS.values():
        assert system.source
        assert system.where
        assert system.note.endswith(".")


# tex × count, exact arithmetic on the definitions, as the reference rows print it
@pytest.mark.parametrize(
    ("system", "constant"),
    [
        ("cotton", 590.541247448),
        ("linen", 1653.51549286),
        ("worsted", 885.811871172),
        ("woollen_run", 310.03415491),
        ("yorkshire_skein", 1937.71346819),
        ("galashiels", 2480.27323928),
        ("yards_per_pound", 496054.647857),
    ],
)
def test_constants(system, constant):
    assert tex_of(1, 1, system) == pytest.approx(constant, rel=1e-11)


ASTM = "ASTM D2260, Standard Tables of Conversion Factors, section 1.1"
PUBLISHED = [
    # source, count, from, to, value, half a unit of the last printed digit or the row's tolerance
    (ASTM, 1, "metric", "cotton", 0.590541, 5.1e-7),
    (ASTM, 1, "metric", "worsted", 0.885812, 5.1e-7),
    (ASTM, 1, "metric", "woollen_run", 0.310034, 5.1e-7),
    (ASTM, 1, "metric", "linen", 1.65352, 5.1e-6),
    (ASTM, 1, "metric", "yards_per_pound", 496.055, 5.1e-4),
    (ASTM, 1, "cotton", "worsted", 1.5, 1e-9),
    (ASTM, 1, "cotton", "woollen_run", 0.525, 1e-9),
    (ASTM, 1, "worsted", "woollen_run", 0.35, 1e-9),
    (ASTM, 1, "cotton", "linen", 2.8, 1e-9),
    (ASTM, 10, "cotton", "worsted", 15, 1e-9),
    (ASTM, 30, "tex", "cotton", 19.7, 0.05),
    ("NIST SP 811, appendix B.8: denier 1.111 111 e-7 kg/m", 1, "denier", "tex", 0.1111111, 5e-8),
    ("Brooks, Cotton Manufacturing: 20s cotton", 20, "cotton", "worsted", 30, 1e-9),
    ("Brooks, Cotton Manufacturing: French No. 1", 1, "french", "cotton", 1.181, 5e-4),
    ("Davis, Hosiery Manufacture: 10s cotton", 10, "cotton", "worsted", 15, 1e-9),
    ("Brooks, Calculations IV, 1898: 8-run", 8, "woollen_run", "yards_per_pound", 12_800, 1e-6),
    ("Brooks, Calculations IV, 1898: 5-run", 5, "woollen_run", "yards_per_pound", 8_000, 1e-6),
]


@pytest.mark.parametrize(("source", "count", "one", "other", "value", "tolerance"), PUBLISHED)
def test_published_conversions(source, count, one, other, value, tolerance):
    assert count_of(tex_of(count, 1, one), other) == pytest.approx(value, abs=tolerance), source


def test_brooks_misprint_is_not_reproduced():
    """Brooks prints 992.4 yd/lb for French No. 1; by the definitions it is 992.11."""
    found = yards_per_pound(tex_of(1, 1, "french"))
    assert found == pytest.approx(992.11, abs=0.005)
    assert abs(found - 992.4) > 0.2


def test_published_lengths_and_weights():
    grain, ounce, yard = float(POUND_G / 7000), float(POUND_G / 16), 91.44
    # Taylor, web page 429: 120 yd weighing 20 gr is 50s; 120 yd of 40s weigh 25 gr
    assert count_of(20 * grain / (120 * yard) * 1e5, "cotton") == pytest.approx(50)
    assert mass_of(120 * yard, tex_of(40, 1, "cotton")) == pytest.approx(25 * grain)
    # Brooks: 9240 yd of 44s weigh a quarter of a pound
    assert mass_of(9240 * yard, tex_of(44, 1, "cotton")) == pytest.approx(float(POUND_G) / 4)
    # Brooks 1898: 8800 yd of 5 1/2 run weigh 16 oz; 4000 yd weighing 5 oz is 8 run
    assert mass_of(8800 * yard, tex_of(5.5, 1, "woollen_run")) == pytest.approx(16 * ounce)
    assert length_of(5 * ounce, tex_of(8, 1, "woollen_run")) == pytest.approx(4000 * yard)
    # Brooks: 2280 ends × 38 yd of 30s weigh 3 lb 7 oz (55 oz as printed)
    warp = mass_of(2280 * 38 * yard, tex_of(30, 1, "cotton")) / ounce
    assert warp == pytest.approx(55, abs=0.05)
    # Brooks: 37 1/2 in, 2300 picks in a yard, 36 yd, 36s: 2 lb 13 3/4 oz
    weft = mass_of(2300 * 36 * 37.5 * 2.54, tex_of(36, 1, "cotton")) / float(POUND_G)
    assert weft == pytest.approx(2.85, abs=0.005)


GNU_NAMES = {
    "cotton": "cottonyarncount",
    "linen": "linenyarncount",
    "worsted": "worstedyarncount",
    "woollen_run": "woolyarnrun",
    "woollen_cut": "yarncut",
    "metric": "metricyarncount",
    "tex": "tex",
    "decitex": "decitex",
    "denier": "denier",
    "yards_per_pound": "yard/pound",
    "metres_per_kilogram": "m/kg",
}
PINT_NAMES = {
    "cotton": "number_english",
    "metric": "number_meter",
    "jute": "jute",
    "tex": "tex",
    "decitex": "decitex",
    "denier": "denier",
    "yards_per_pound": "yard/pound",
    "metres_per_kilogram": "meter/kilogram",
}
needs_units = pytest.mark.skipif(not shutil.which("units"), reason="GNU Units is not installed")


@cache
def pint_registry():
    return pint.get_application_registry()


def gnu_units(have, want):
    """One figure from GNU Units. A count is written 8|2: `8/2 unit` would be read as 8/(2 unit)."""
    done = subprocess.run(
        ["units", "-t", "-o", "%.17g", have, want], capture_output=True, text=True, check=False
    )
    return float(done.stdout.split()[0])


def gnu_tex(count, name, direct):
    if direct:
        return gnu_units(f"{count} {name}", "tex")
    return 1e6 / gnu_units(f"{count} {name}", "m/kg")


@needs_units
@pytest.mark.parametrize(("system", "name"), GNU_NAMES.items())
@pytest.mark.parametrize("count", [1, 8.5, 40])
def test_gnu_units_agree(system, name, count):
    assert tex_of(count, 1, system) == pytest.approx(
        gnu_tex(count, name, system in DIRECT), rel=1e-12
    )


@needs_units
def test_gnu_units_agree_on_a_folded_yarn_written_with_a_bar():
    assert yards_per_pound(tex_of(8, 2, "cotton")) == pytest.approx(
        gnu_units("8|2 cottonyarncount", "yard/pound"), rel=1e-12
    )


@pytest.mark.parametrize(("system", "name"), PINT_NAMES.items())
@pytest.mark.parametrize("count", [1, 8.5, 40])
def test_pint_agrees(system, name, count):
    found = pint_registry().Quantity(count, name).to("tex", "textile").magnitude
    assert tex_of(count, 1, system) == pytest.approx(found, rel=1e-12)


@needs_units
def test_which_system_each_oracle_lacks(capsys):
    """Neither oracle covers every system; what one lacks is shown, and is true of it today."""
    with capsys.disabled():
        print(f"\n{'system':22}{'GNU Units':22}pint")
        for name in SYSTEMS:
            print(
                f"{name:22}{GNU_NAMES.get(name, 'lacks it'):22}{PINT_NAMES.get(name, 'lacks it')}"
            )
    assert set(SYSTEMS) - set(GNU_NAMES) == {
        *("yorkshire_skein", "galashiels", "spun_silk", "french", "jute"),
    }
    assert set(SYSTEMS) - set(PINT_NAMES) == {
        *("linen", "worsted", "woollen_run", "woollen_cut", "yorkshire_skein", "galashiels"),
        *("spun_silk", "french"),
    }
    for name in set(SYSTEMS) - set(GNU_NAMES):
        done = subprocess.run(
            ["units", "-t", name.replace("_", "")], capture_output=True, text=True, check=False
        )
        assert "Unknown unit" in done.stdout + done.stderr
    for name in set(SYSTEMS) - set(PINT_NAMES):
        with pytest.raises(pint.UndefinedUnitError):
            pint_registry().Unit(name)


FIGURES = st.floats(min_value=0.01, max_value=10_000)
NAMES = st.sampled_from(sorted(SYSTEMS))


@given(FIGURES, NAMES)
def test_count_to_tex_and_back(count, system):
    assert count_of(tex_of(count, 1, system), system) == pytest.approx(count, rel=1e-14)


@given(FIGURES, st.integers(1, 12), NAMES)
def test_exact_fractions_agree(count, plies, system):
    exact = TEX_OF_ONE[system] * (plies if SYSTEMS[system].numbers == "single" else 1)
    exact = exact * Fraction(count) if system in DIRECT else exact / Fraction(count)
    assert tex_of(count, plies, system) == pytest.approx(float(exact), rel=1e-15)


@given(FIGURES, FIGURES, NAMES)
def test_a_higher_count_is_finer_or_in_a_direct_system_thicker(one, other, system):
    low, high = sorted((one, other))
    if low < high:
        thick, thin = tex_of(low, 1, system), tex_of(high, 1, system)
        assert (thick <= thin) if SYSTEMS[system].direct else (thick >= thin)


@given(st.floats(min_value=1, max_value=1e8), st.floats(min_value=0.05, max_value=50_000))
@settings(max_examples=50)
def test_length_and_weight_are_each_others_inverse(length, tex):
    assert length_of(mass_of(length, tex), tex) == pytest.approx(length, rel=1e-12)
    assert mass_of(2 * length, tex) == pytest.approx(2 * mass_of(length, tex))
    assert yards_per_pound(tex) * 0.9144 / 0.45359237 == pytest.approx(metres_per_kilogram(tex))


def test_every_spelling_leads_to_its_system():
    for spelling, name in {**SPELLINGS, **FIBRES}.items():
        assert system_named(spelling.upper()) == name
    assert system_named("Cotton Count") == "cotton"
    assert system_named("N.e.") == "cotton"


@pytest.mark.parametrize("text", ["", "furlongs", "🧶", "x" * 10_000, "<b>cotton</b>", "16"])
def test_no_such_system(text):
    with pytest.raises(InputError) as error:
        system_named(text, "system")
    assert error.value.field == "system"
    assert "cotton, linen" in error.value.hint
    assert len(error.value.message) < 120


@pytest.mark.parametrize("value", [0, -1, float("nan"), float("inf")])
def test_no_yarn_of_no_count(value):
    for call in (
        lambda: tex_of(value, 1, "cotton"),
        lambda: count_of(value, "cotton"),
        lambda: mass_of(1, value),
        lambda: length_of(1, value),
    ):
        with pytest.raises(InputError):
            call()
    with pytest.raises(InputError):
        tex_of(1, 0, "cotton")
    for call in (lambda: mass_of(-1, 10), lambda: length_of(float("nan"), 10)):
        with pytest.raises(InputError):
            call()


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Nm.", "metric"),
        ("N.m", "metric"),
        ("Woollen_Run", "woollen_run"),
        ("  Spun  Silk ", "spun_silk"),
        ("spun_silk", "spun_silk"),
        ("YARDS_PER_POUND", "yards_per_pound"),
    ],
)
def test_points_lines_and_capitals_change_no_name(text, name):
    assert system_named(text) == name


@pytest.mark.parametrize("wrong", [0, -1, float("nan"), float("inf")])
@pytest.mark.parametrize(
    ("attempt", "field"),
    [
        (lambda wrong: tex_of(wrong, 1, "cotton"), "count"),
        (lambda wrong: tex_of(16, wrong, "cotton"), "plies"),
        (lambda wrong: count_of(wrong, "cotton"), "tex"),
        (lambda wrong: mass_of(1, wrong), "tex"),
        (lambda wrong: length_of(1, wrong), "tex"),
        (lambda wrong: mass_of(wrong or -2, 10), "length"),
        (lambda wrong: length_of(wrong or -2, 10), "yarn_mass"),
        (lambda wrong: system_named(f"{wrong} ells"), "system"),
    ],
)
def test_refusals_name_their_field(attempt, field, wrong):
    with pytest.raises(InputError) as error:
        attempt(wrong)
    assert error.value.field == field


def test_nothing_weighs_nothing():
    assert mass_of(0, 74) == length_of(0, 74) == 0
