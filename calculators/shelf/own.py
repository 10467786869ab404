"""What is the weaver's own: records, cones, looms, reeds, each written as one line and listed."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from calculators.engine.calculator import BARE, Answer, Calculator, Field
from calculators.engine.links import address
from calculators.engine.run import Run
from calculators.engine.vocabulary import Inputs, ask, if_known
from calculators.errors import InputError
from calculators.quantities.format import format_number
from calculators.quantities.interval import Range
from calculators.quantities.sentences import both, many, percent
from calculators.quantities.units import UNITS, converted, counted_in
from calculators.records.book import (
    LOSSES,
    Record,
    read_records,
    write_record,
    write_table,
)
from calculators.records.calculators import EXAMPLE as RECORDS
from calculators.records.calculators import TITLES
from calculators.sett.reeds import parse_reeds
from calculators.shelf.calculators import EXAMPLE as CONES
from calculators.shelf.cards import drawn, left_on
from calculators.shelf.cones_and_looms import (
    DISTANCES,
    FIBRES,
    USUAL_WASTE,
    Cone,
    Loom,
    Shelf,
    fibre_of,
    read_shelf,
    reeds_text,
    standing_waste,
    write_json,
    write_lines,
)
from calculators.show.pairs import in_each_world
from calculators.weave.library import called, spoken, written
from calculators.yarn.colour import parse_colour
from calculators.yarn.cone import net_mass

Item = dict[
    str, str
]  # sort, name, line, about; a cone's colour and drawing; whether a record was measured


Kept = str | float | tuple[float, ...]  # texts, cm, g, shares, dents per inch


@dataclass(frozen=True)
class Sort:
    """One sort of thing that is one's own: what is asked of it, and how it becomes a line."""

    asked: Calculator
    make: Callable[[Inputs], Item]
    read: Callable[[str], Mapping[str, Kept | None]]  # a line's texts and figures, by field

    def typed(self, line: str, units: str = "") -> dict[str, str]:
        """Write a line as a reader who counts in ``units`` would type it into the fields."""
        values = self.read(line)
        return {
            field.name: _typed(field, value, units)
            for field in self.asked.fields
            if (value := values.get(field.name)) is not None and value != ""
        }


def _typed(field: Field, value: Kept, units: str) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, tuple):
        return reeds_text(value, units or UNITS[0])
    if field.kind == "loss":
        return f"{100 * value:.4g} %"
    unit = field.bare_unit(units)
    kept = {"length": "cm", "mass": "g"}.get(field.kind, unit)
    return f"{converted(value, kept, unit):.6g} {unit}"


def _asked(name: str, title: str, *fields: Field) -> Calculator:
    return Calculator(name, "", "", title, "", fields, (), lambda _: Answer())


_NAME = ask("cloth_name", "", name="name", label="Name")
_NOTE = if_known("note")


def _item(sort: str, name: str, line: str, about: str, **more: str) -> Item:
    metric, imperial = in_each_world(about)
    return {
        "sort": sort,
        "name": name,
        "line": line,
        "about": about,
        "metric": metric,
        "imperial": imperial,
        **more,
    }


# Records ------------------------------------------------------------------------------------------


def record_item(record: Record) -> Item:
    """List a record: what it was woven of and what it lost."""
    line = write_record(record)
    (record,) = read_records(line)  # the yarn's label with its system
    losses = ", ".join(
        f"{LOSSES[name]} {both(value, 'cm') if name == 'loom_waste' else percent(value)}"
        for name, value in record.losses.items()
    )
    cloth = filter(None, (record.yarn.text.strip(), called(record.weave), record.loom))
    about = f"{', '.join(cloth)}: {losses or 'nothing measured yet'}"
    return _item("record", record.name, line, about, measured="measured" if losses else "")


def _record(inputs: Inputs) -> Item:
    losses = {
        name: value.likely if isinstance(value, Range) else value
        for name in LOSSES
        if (value := inputs[name]) is not None
    }
    texts = {name: _plain(inputs[name]) for name in ("name", "loom", "note")}
    return record_item(
        Record(
            texts["name"][:60], inputs["yarn"], inputs["weave"], texts["loom"][:60], losses,
            texts["note"][:200],
        )
    )  # fmt: skip


def _record_read(line: str) -> Mapping[str, Kept | None]:
    (record,) = read_records(line)
    return {
        "name": record.name,
        "yarn": record.yarn.text.strip(),
        "system": record.yarn.system,
        "weave": written(record.weave),
        "loom": record.loom,
        "note": record.note,
        **record.losses,
    }


def finished(run: Run, name: str, loom: str = "") -> Item:
    """Put a finished cloth into the records: as measured, or as planned and still to be measured.

    ``measure`` of the item is where its record is worked out.
    """
    if run.answer is None:
        raise run.errors[0]
    if run.calculator.id == "record":
        return record_item(read_records(str(run.answer.results["line"]))[0])
    values = {key: reading.value for key, reading in run.readings.items()}
    if "warp_yarn" not in values or "weave" not in values:
        raise InputError(
            "name",
            f"“{run.calculator.title}” does not know of what the cloth is woven.",
            "A record is made from the whole plan, or from the record of one cloth.",
        )
    record = Record(_plain(name)[:60], values["warp_yarn"], values["weave"], _plain(loom), {})
    return record_item(record) | {"measure": address("record", _to_measure(run, record))}


def _to_measure(run: Run, record: Record) -> dict[str, str]:
    """Fill in what the plan knows of a cloth; what is measured on it stays empty."""
    assert run.answer is not None
    results, typed = run.answer.results, {k: one.typed for k, one in run.readings.items()}
    empty = (
        "reed_width", "loom_width", "washed_width", "loom_length", "washed_length", "warp_length",
        "woven_length", "thrums",
    )  # fmt: skip
    masses = {f"planned_{side}": results.get(f"{side}_yarn_mass") for side in ("warp", "weft")}
    return {
        **dict.fromkeys(empty, ""),
        "name": record.name,
        "yarn": typed["warp_yarn"],
        "system": typed["warp_system"],
        "weave": spoken(typed["weave"]),
        "loom": record.loom,
        **{f"planned_{loss}": typed[loss] for loss in LOSSES if typed.get(loss)},
        **{
            field: _grams(value.likely if isinstance(value, Range) else value, run.units)
            for field, value in masses.items()
            if isinstance(value, (int, float, Range))
        },
    }


def _grams(value: float, units: str) -> str:
    unit = counted_in("g", units)
    return f"{format_number(converted(value, 'g', unit), 0 if unit == 'g' else 1)} {unit}"


# Cones --------------------------------------------------------------------------------------------


def cone_item(cone: Cone) -> Item:
    """List a cone: its yarn, how much of it there is, and how it looks."""
    about = f"{cone.yarn.readings[0].words}, {left_on(cone)}"
    line = write_lines(Shelf(cones=(cone,)))
    return _item("cone", cone.name, line, about, colour=cone.colour, drawing=drawn(cone))


def _cone(inputs: Inputs) -> Item:
    yarn, gross, empty = inputs["yarn"], inputs["gross"], inputs["empty"] or 0.0
    net_mass(gross, empty)
    return cone_item(
        Cone(
            name=_plain(inputs["name"])[:60],
            yarn=yarn,
            fibre=inputs["fibre"] or fibre_of(yarn),
            colour=parse_colour(inputs["colour"]) if inputs["colour"] else "",
            gross=gross,
            empty=empty,
            step=inputs["step"] or 0.0,
            note=_plain(inputs["note"])[:200],
        )
    )


def _cone_read(line: str) -> Mapping[str, Kept | None]:
    (cone,) = read_shelf(line).cones
    return {
        "name": cone.name,
        "yarn": cone.yarn.text.strip(),
        "system": cone.yarn.system,
        "fibre": cone.fibre,
        "colour": cone.colour,
        "note": cone.note,
        "gross": cone.gross,
        "empty": cone.empty or None,
        "step": cone.step or None,
    }


# Looms and reeds ----------------------------------------------------------------------------------


def loom_item(loom: Loom) -> Item:
    """List a loom: what it can hold."""
    parts = [f"{both(loom.width, 'cm')} wide", many(loom.ground_shafts, "ground shafts")]
    parts += [many(loom.pattern_heddles, "pattern heddles")] if loom.pattern_heddles else []
    parts += [many(loom.cords, "draw cords")] if loom.cords else []
    parts += [f"reeds {reeds_text(loom.reeds)}"] if loom.reeds else []
    parts += [f"warps up to {both(loom.longest / 100, 'm')}"] if loom.longest else []
    parts += [f"waste {both(loom.waste, 'cm')}"] if says_its_waste(loom) else []
    return _item("loom", loom.name, write_lines(Shelf(looms=(loom,))), ", ".join(parts))


def says_its_waste(loom: Loom) -> bool:
    """Whether the loom's waste is more than the usual guess."""
    return bool(loom.distances) or loom.waste != USUAL_WASTE


def _loom(inputs: Inputs) -> Item:
    distances = tuple(inputs[name] for name in DISTANCES if inputs[name] is not None)
    if len(distances) not in (0, len(DISTANCES)):
        missing = next(name for name in DISTANCES if inputs[name] is None)
        raise InputError(missing, "The four distances along the warp belong together.", "Or none.")
    waste = inputs["waste"]
    if waste is None:
        waste = standing_waste(*distances) if distances else USUAL_WASTE
    return loom_item(
        Loom(
            _plain(inputs["name"])[:60], inputs["width"], inputs["shafts"], inputs["heddles"],
            inputs["cords"], _reeds_read(inputs), waste, inputs["longest"], distances,
        )
    )  # fmt: skip


def _loom_read(line: str) -> Mapping[str, Kept | None]:
    (loom,) = read_shelf(line, complete=False).looms
    follows = bool(loom.distances) and loom.waste == standing_waste(*loom.distances)
    return {
        "name": loom.name,
        "width": loom.width,
        "shafts": str(loom.ground_shafts),
        "heddles": loom.pattern_heddles and str(loom.pattern_heddles),
        "cords": loom.cords and str(loom.cords),
        "reeds": loom.reeds or None,
        "longest": loom.longest,
        "waste": loom.waste if says_its_waste(loom) and not follows else None,
        **dict(zip(DISTANCES, loom.distances, strict=False)),
    }


def reeds_item(reeds: Sequence[float]) -> Item:
    """List the reeds that serve every loom."""
    text = reeds_text(tuple(reeds))
    return _item("reeds", "Reeds", f"Reeds: {text}", text)


def _reeds_read(inputs: Inputs) -> tuple[float, ...]:
    if not inputs["reeds"]:
        return ()
    return tuple(parse_reeds(inputs["reeds"], units=inputs.get(BARE, "")).values())


# All of them --------------------------------------------------------------------------------------


SORTS: Mapping[str, Sort] = {
    "record": Sort(
        _asked(
            "my-record", "A cloth in my records",
            _NAME,
            ask("yarn", "", system_field="system"),
            ask("system", "cotton"),
            ask("weave", ""),
            ask("loom", "", required=False, hint=""),
            *(ask(name, "", required=False, hint="") for name in TITLES),
            _NOTE,
        ),
        _record,
        _record_read,
    ),
    "cone": Sort(
        _asked(
            "my-cone", "A cone",
            ask("yarn", "", system_field="system"),
            ask("system", "cotton"),
            ask("gross", "", minimum=0.1),
            ask("empty", "", required=False, hint="Left empty, the grams above are yarn alone."),
            ask("colour", "", required=False),
            replace(_NAME, required=False, hint="Left empty, it is numbered."),
            if_known("fibre", choices=tuple((name, name) for name in FIBRES)),
            if_known("scale_step", name="step"),
            _NOTE,
        ),
        _cone,
        _cone_read,
    ),
    "loom": Sort(
        _asked(
            "my-loom", "A loom",
            _NAME,
            ask("loom_weaving_width", "", name="width", hint="", minimum=5),
            ask("loom_ground_shafts", "", name="shafts", hint="", minimum=2, maximum=40),
            ask("loom_pattern_heddles", "", name="heddles", required=False, minimum=1),
            ask("loom_cords", "", name="cords", required=False, minimum=1),
            ask("reeds", "", required=False, label="Reeds for this loom alone"),
            ask("loom_longest_warp", "", name="longest", required=False, minimum=50),
            ask("loom_waste", "", name="waste", required=False),
            *(if_known(name, kind="length", minimum=0) for name in DISTANCES),
        ),
        _loom,
        _loom_read,
    ),
    "reeds": Sort(
        _asked("my-reeds", "My reeds", ask("reeds", "")),
        lambda inputs: reeds_item(_reeds_read(inputs)),
        lambda line: {"reeds": read_shelf(line, complete=False).reeds},
    ),
}  # fmt: skip
EXAMPLES = {  # until one's own begin, by where they are kept
    "records": RECORDS,
    "workroom": f"""\
Loom: Oak; width 120 cm; shafts 8; heddles 300; waste 151 cm; longest 20 m
Reeds: 40/10, 50/10, 60/10, 80/10
{CONES}""",
}


def items_in(kind: str, text: str, units: str = "") -> list[Item]:
    """List what a text or a file holds, all of it or nothing."""
    if kind == "records":
        return [record_item(record) for record in read_records(text, units=units)]
    shelf = read_shelf(text, units=units, complete=False)
    reeds = [reeds_item(shelf.reeds)] if shelf.reeds else []
    return [*map(loom_item, shelf.looms), *reeds, *map(cone_item, shelf.cones)]


def file_of(kind: str, lines: Iterable[str]) -> dict[str, str]:
    """Write what is one's own as the text of a file, with its name and its type."""
    text = "\n".join(lines)
    if kind == "records":
        table = write_table(read_records(text))
        return {"text": table, "file": "my-records.csv", "type": "text/csv"}
    shelf = read_shelf(text, complete=False)
    return {"text": write_json(shelf), "file": "my-workroom.json", "type": "application/json"}


def entered(sort: str, run: Run, names: Iterable[str]) -> Item:
    """Make what was typed into a form's fields one line; no name may stand twice."""
    if run.errors:
        raise run.errors[0]
    inputs = {name: reading.value for name, reading in run.readings.items()} | {BARE: run.units}
    known = {name.casefold() for name in names}
    if sort == "cone" and not inputs["name"]:
        inputs["name"] = next(
            name for number in range(len(known) + 1, 10_000)
            if (name := f"Cone {number}").casefold() not in known
        )  # fmt: skip
    item = SORTS[sort].make(inputs)
    if sort != "reeds" and item["name"].casefold() in known:
        raise InputError(
            "name", f"“{item['name']}” stands there already.", "Give this one another name."
        )
    return item


def _plain(text: str | None) -> str:
    return " ".join((text or "").replace(";", ",").split())
