// Drawing the figure of a plan: squared paper, what is done to it, what is kept and sent of it.

import { hashOf, NAME, readAddress, VERSION } from "./address.mjs";
import * as grids from "./grid.mjs";
import { byFigure, CALCULATOR, figureOf, figures, keepFigure, linkWith, LONGEST_LINK, removeFigure, sameFigure, STEPS } from "./kept-figure.mjs";
import { lastPlan } from "./lately.mjs";
import { actions, button, dayOf, inBoth, link, make, root, saveFile, units } from "./parts.mjs";
import { ask, inWords, watch } from "./runtime.mjs";
import { bindSheet } from "./sheet.mjs";
import * as store from "./store.mjs";

const KIND = "fine-thread figure";
const LARGEST_FILE = 60e6;
const SHARED = ["weave", "ends_per_unit", "picks_per_unit", "sett", "picks", "width_shrinkage", "length_shrinkage", "draw_in", "weight_each", "picks_per_minute"];
const MIRRORS = ["sideways", "upwards"];
const COUNTS = ["times", "rows", "over", "above", "along", "upright", "alongOver", "uprightOver"];
const ORDERS = ["rise", "sink"];
const SILENCE = 500; // after the last stroke, before it is judged

let leave = () => {};

const many = (count, one) => `${count} ${one}${count === 1 ? "" : "s"}`;

export function bindFigure(section) {
  leave();
  const show = Object.fromEntries([...section.querySelectorAll("[data-show]")].map((one) => [one.dataset.show, one]));
  const field = (name) => section.querySelector(`[name="${name}"]`);
  let steps = new grids.History(grids.made(40, 40));
  let plan = { name: "", key: "", hash: "", inputs: {}, units: "", version: VERSION };
  let facts = null; // what the plan says: units across and up, the size of one
  let untouched = true;
  let paper = "part"; // or "border", "corner"
  let tool = "hand";
  let mark = true; // a stroke draws, or lets rest
  let chosen = null;
  let stroke = null; // {from, last, grid, moves}
  section.hidden = false;
  section.parentElement.querySelector(".ft-drawing-example")?.setAttribute("hidden", "");

  const squares = field("squares");
  const part = () => steps.now.grid;
  const rule = () => steps.now.whole;
  /** What lies on the paper – the part, or a border's strip or corner by itself – and how the whole follows. */
  const now = () => ({ grid: rule()[paper] ?? part(), whole: rule() });
  const whole = () => grids.wholeOf(part(), rule());
  const once = () => ({ ...grids.ONCE, rise: rule().rise, sink: rule().sink });
  const say = (...words) => show.said.replaceChildren(...words);

  // The paper --------------------------------------------------------------------------------

  const atPlace = ([unit, row]) =>
    (show.place.textContent = `Row ${row + 1}, unit ${unit + 1}, ${grids.isDrawn(stroke?.grid ?? now().grid, unit, row) ? "drawn" : "at rest"}.`);

  const within = (part, [unit, row]) =>
    part && unit >= part.unit && row >= part.row && unit < part.unit + part.across && row < part.row + part.up;

  /** A part no larger than the paper, or nothing. */
  function onPaper({ unit, row, across, up }) {
    const { grid } = now();
    const [left, low] = [Math.max(0, unit), Math.max(0, row)];
    const [right, high] = [Math.min(grid.across, unit + across), Math.min(grid.up, row + up)];
    return right > left && high > low ? { unit: left, row: low, across: right - left, up: high - low } : null;
  }

  function choose(part) {
    chosen = part;
    sheet.choose(part);
  }

  const sheet = bindSheet(section.querySelector("canvas.ft-squares"), {
    slides: () => tool === "slide",
    at: atPlace,
    begin(place) {
      stroke = { from: place, last: place, grid: now().grid, moves: tool === "choose" && within(chosen, place) };
      if (tool === "fill") stroke.grid = grids.marked(now().grid, grids.area(now().grid, place), mark);
      else this.drag(place);
      sheet.show(stroke.grid);
    },
    drag(place) {
      if (!stroke) return;
      const { grid } = now();
      const filled = field("filled").checked;
      const shape = { line: grids.line, box: grids.box, round: grids.round }[tool];
      if (tool === "hand") stroke.grid = grids.marked(stroke.grid, grids.line(stroke.last, place), mark);
      else if (shape) stroke.grid = grids.marked(grid, shape(stroke.from, place, filled), mark);
      else if (stroke.moves) {
        const by = [place[0] - stroke.from[0], place[1] - stroke.from[1]];
        stroke.grid = grids.moved(grid, chosen, by);
        sheet.choose({ ...chosen, unit: chosen.unit + by[0], row: chosen.row + by[1] });
      } else if (tool === "choose") sheet.choose(onPaper(grids.partOf(stroke.from, place)));
      stroke.last = place;
      sheet.show(stroke.grid);
    },
    end() {
      if (!stroke) return;
      const { from, last, grid, moves } = stroke;
      stroke = null;
      if (moves) choose(onPaper({ ...chosen, unit: chosen.unit + last[0] - from[0], row: chosen.row + last[1] - from[1] }));
      else if (tool === "choose") {
        choose(onPaper(grids.partOf(from, last)));
        if (chosen) show.place.textContent = `Chosen: ${many(chosen.across, "unit")} across, ${many(chosen.up, "row")} up, from row ${chosen.row + 1}, unit ${chosen.unit + 1}. Drag it to move it.`;
        return;
      }
      take(grid);
      if (tool === "hand" || tool === "fill") atPlace(last);
    },
    cancel() {
      if (stroke) sheet.choose(chosen);
      else choose(null);
      stroke = null;
      sheet.show(now().grid);
    },
    turn(place) {
      take(grids.marked(now().grid, [place], !grids.isDrawn(now().grid, ...place)));
      atPlace(place);
    },
  });

  // Steps ------------------------------------------------------------------------------------

  /** Take a step in what lies on the paper, show it, keep it. */
  function take(grid) {
    if (!rule()[paper]) step(grid, rule());
    else if (!grids.same(grid, now().grid)) step(part(), { ...rule(), [paper]: grid });
  }

  /** Take a step in the part, or in how the whole follows. */
  function step(grid, follows) {
    grids.wholeOf(grid, follows); // refused in words where it grows too large
    if (steps.take(grid, follows)) changed();
    else sheet.show(now().grid);
  }

  /** Lay the part on the paper, or a border's strip or corner, to be mended there. */
  function lie(which) {
    choose(null);
    paper = which;
    render();
    sheet.fit();
  }

  function changed() {
    untouched = false;
    sheet.point([]);
    cloth?.stop("The figure has changed since. ");
    render();
    keep();
    judgeSoon();
  }

  function render() {
    if (!rule()[paper] && paper !== "part") {
      lie("part"); // the border is gone
      return;
    }
    const { grid, whole: follows } = now();
    show.papers.hidden = !follows.border;
    for (const one of show.papers.children) {
      const its = one.dataset.does.split(":")[1];
      one.hidden = its === "corner" && !follows.corner;
      one.setAttribute("aria-pressed", String(its === paper));
    }
    sheet.show(grid);
    if (chosen && !onPaper(chosen)) choose(null);
    else if (chosen) choose(onPaper(chosen));
    for (const [act, can] of [["undo", steps.canUndo], ["redo", steps.canRedo], ["corner", follows.border], ["noborder", follows.border]]) {
      section.querySelector(`[data-does="${act}"]`).setAttribute("aria-disabled", String(!can));
    }
    for (const name of [...MIRRORS, ...COUNTS]) field(name).value = follows[name];
    for (const name of COUNTS.slice(4)) field(name).closest("label").hidden = !follows.corner;
    field("drop").checked = follows.drop;
    for (const name of ORDERS) field(name).value = follows[name];
    field("across").value = grid.across;
    field("upward").value = grid.up;
    writeSquaresSoon();
    showWhole();
    compare();
  }

  let writing = 0;

  /** The squares as text follow once the hand rests. */
  function writeSquaresSoon() {
    clearTimeout(writing);
    if (!squares.closest("details").open) return;
    squares.setAttribute("aria-busy", "true");
    writing = setTimeout(writeSquares, SILENCE);
  }

  /** Write them, and leave whoever reads them where they are. */
  function writeSquares() {
    const { selectionStart, selectionEnd, scrollTop } = squares;
    const text = grids.inSquares(now().grid, true);
    if (squares.value !== text) {
      squares.value = text;
      squares.setSelectionRange(selectionStart, selectionEnd);
      squares.scrollTop = scrollTop;
    }
    squares.removeAttribute("aria-busy");
  }

  /** A small picture of the whole, in the cloth's proportions. */
  function showWhole() {
    const place = section.querySelector(".ft-whole");
    place.hidden = !grids.follows(rule());
    if (place.hidden) return;
    const grid = whole();
    const canvas = place.querySelector("canvas");
    [canvas.width, canvas.height] = [grid.across, grid.up];
    canvas.style.aspectRatio = `${grid.across} / ${grid.up * tall()}`;
    canvas.setAttribute("aria-hidden", "true");
    const ink = canvas.getContext("2d");
    const picture = ink.createImageData(grid.across, grid.up);
    grid.cells.forEach((cell, at) => {
      const unit = at % grid.across;
      const shade = cell ? 20 : 250;
      picture.data.set([shade, shade, shade, 255], 4 * ((grid.up - 1 - (at - unit) / grid.across) * grid.across + unit));
    });
    ink.putImageData(picture, 0, 0);
    place.querySelector("figcaption").textContent = `The whole: ${many(grid.across, "unit")} across, ${grid.up} up, from a part of ${part().across} by ${part().up}.`;
  }

  // Keeping ----------------------------------------------------------------------------------

  let keeping = Promise.resolve();
  let wanted = false;

  /** Write the figure down with its plan; the last state wins. */
  function keep() {
    show.kept.textContent = "…";
    if (wanted) return;
    wanted = true;
    keeping = keeping.then(async () => {
      wanted = false;
      const { all, ...kept } = steps.kept(STEPS);
      const done = await keepFigure(plan, { figure: await grids.stored(part(), rule()), steps: kept });
      const saved = `Saved on this device, with the plan.${all ? "" : ` The last ${many(kept.done.length, "step")} can be undone when you come back; earlier ones only until you leave this page.`}`;
      show.kept.textContent = done ? saved : "This browser keeps nothing here: the figure lasts while this page is open. A file keeps it.";
    });
  }

  // The plan ---------------------------------------------------------------------------------

  const tall = () => (facts?.wide ? facts.high / facts.wide : 1);

  /** The plan in the address, else the one worked on last, else the handbook's own. */
  async function findPlan() {
    const sent = readAddress();
    const last = await lastPlan(CALCULATOR);
    if (!sent && last) goTo(new URL(last.address).hash);
    const found = readAddress() ?? { values: new Map(), name: "", units: units(), version: VERSION };
    if (found.newer || found.repeated?.length || (found.calculator && found.calculator !== CALCULATOR)) {
      say("This link cannot be read here: it was damaged, or made by another edition of the handbook.");
      found.values.clear();
    }
    const inputs = Object.fromEntries(found.values);
    const { figure = "" } = inputs;
    delete inputs.figure;
    plan = await byFigure({ name: found.name, inputs, version: found.version, units: found.units });
    return figure;
  }

  const goTo = (hash) => history.replaceState(history.state, "", location.pathname + hash);

  const askPlan = (inputs) => ask({ call: "answer", id: CALCULATOR, inputs, units: plan.units, base: "" });

  const factsOf = ({ json: { results } }) => ({
    across: Math.round(results.units_across.value), up: Math.round(results.units_up.value),
    wide: results.unit_width.value, high: results.unit_height.value,
  });

  async function readPlan() {
    const open = plan.hash;
    const title = plan.name ? `“${plan.name}”` : Object.keys(plan.inputs).length ? "your plan" : "the worked plan";
    show.plan.replaceChildren("For ", link(title, new URL(`plan/whole-plan/${plan.hash}`, root).href), ". ", link("Row by row at the loom", new URL(`loom-side/${plan.hash}`, root).href));
    const release = watch((state) => {
      if (!facts) show.units.textContent = state.name === "ready" ? "" : inWords(state);
    });
    try {
      const reply = await askPlan(plan.inputs);
      if (plan.hash !== open || !section.isConnected) return;
      if (!reply.ok) {
        show.units.textContent = `The plan gives no units: ${reply.problem || "one of its fields cannot be read"}.`;
        return;
      }
      facts = factsOf(reply);
      if (reply.about) show.plan.replaceChildren(...show.plan.childNodes, " ", inBoth(reply.about));
      sheet.proportion(tall());
      if (untouched) {
        steps = new grids.History(grids.made(Math.min(facts.across, grids.MOST_ACROSS), Math.min(facts.up, grids.MOST_UP)));
      }
      render();
      judgeSoon();
    } catch {
      // the state says why; drawing goes on without the plan
    } finally {
      release();
    }
  }

  /** Say how plan and figure differ in units; either may follow the other. */
  function compare() {
    if (!facts) return;
    const grid = whole();
    const about = `The plan has ${facts.across} units across and ${facts.up} up.`;
    if (grid.across === facts.across && grid.up === facts.up) {
      show.units.textContent = `${about} So has the figure.`;
      return;
    }
    const apart = (own, planned, way) => own !== planned && `${many(Math.abs(own - planned), "unit")} ${own > planned ? "too many" : "too few"} ${way}`;
    const differ = [apart(grid.across, facts.across, "across"), apart(grid.up, facts.up, "up")].filter(Boolean).join(" and ");
    const line = make("p", "ft-actions");
    line.append(
      button("Fit the figure to the plan", () => attempt(() => fitFigure())),
      button("Fit the plan to the figure", () => fitPlan()),
    );
    show.units.replaceChildren(make("p", "", `${about} The figure has ${grid.across} and ${grid.up}: ${differ}.`), line);
  }

  function fitFigure() {
    const follows = grids.follows(rule());
    step(grids.sized(whole(), Math.min(facts.across, grids.MOST_ACROSS), Math.min(facts.up, grids.MOST_UP)), once());
    if (follows) say("The whole has become the part: its edges are yours to mend.");
  }

  /** Repeat the part until the plan is full; what is left at its edges is a repeat begun. */
  function fillPlan() {
    if (!facts) throw new RangeError("The plan’s units are not there yet.");
    const { wide, high, deep } = grids.measures(part(), rule());
    const [across, up] = [facts.across - 2 * deep, facts.up - 2 * deep];
    if (across < wide || up < high) throw new RangeError(`The plan has room for ${Math.max(0, across)} units across and ${Math.max(0, up)} up here, less than one repeat.`);
    const parted = (length, of, count, over) => ({ [count]: Math.floor(length / of), [over]: length % of });
    const long = rule().corner && rule().border.across;
    step(part(), {
      ...rule(), ...parted(across, wide, "times", "over"), ...parted(up, high, "rows", "above"),
      ...(long && { ...parted(across, long, "along", "alongOver"), ...parted(up, long, "upright", "uprightOver") }),
    });
  }

  /** Change the plan's size until it has the figure's units. */
  async function fitPlan() {
    const grid = whole();
    const inputs = { ...plan.inputs };
    let fits = facts; // each turn asks for the size in proportion: hems and whole units shift it a little
    try {
      let { json: { results } } = await askPlan(inputs);
      for (let turn = 0; turn < 4 && (fits.across !== grid.across || fits.up !== grid.up); turn++) {
        for (const [side, own, has] of [["finished_width", grid.across, fits.across], ["finished_length", grid.up, fits.up]]) {
          const { value, unit } = results[side];
          inputs[side] = `${Math.round((value * own * 100) / has) / 100} ${unit}`;
        }
        const reply = await askPlan(inputs);
        if (!reply.ok) break;
        ({ json: { results } } = reply);
        fits = factsOf(reply);
      }
    } catch {
      return;
    }
    if (fits.across !== grid.across || fits.up !== grid.up) {
      say("No size of this plan has just these units. Change the plan itself: its units, sett or picks.");
      return;
    }
    const old = plan;
    const oldFacts = facts;
    plan = { ...plan, inputs, hash: hashOf(CALCULATOR, plan.name ? { [NAME]: plan.name, ...inputs } : inputs, plan.version, plan.units) };
    facts = fits;
    await changePlan();
    say(`The plan is now ${inputs.finished_width} wide and ${inputs.finished_length} long after washing. `, link("Open it, and save it there", new URL(`plan/whole-plan/${plan.hash}`, root).href), " ", button("As it was", () => {
      [plan, facts] = [old, oldFacts];
      say("");
      changePlan().then(readPlan);
    }));
    readPlan();
  }

  /** The plan is another now: here, in the address, among what was worked on lately, with its figure. */
  async function changePlan() {
    goTo(plan.hash);
    const draft = plan.key && (await store.read("drafts", plan.key));
    if (draft) await store.write("drafts", plan.key, { ...draft, hash: plan.hash, about: null, day: new Date().toISOString() });
    keep();
  }

  // What the handbook says about it ------------------------------------------------------------

  let judging = 0;
  let asked = 0;

  function judgeSoon() {
    clearTimeout(judging);
    judging = setTimeout(judge, SILENCE);
  }

  async function judge() {
    if (!grids.drawnIn(whole())) {
      show.warnings.replaceChildren();
      return;
    }
    const own = ++asked;
    try {
      const grid = await grids.stored(part(), rule());
      const along = SHARED.filter((name) => name in plan.inputs).map((name) => [name, plan.inputs[name]]);
      const inputs = { grid, ...Object.fromEntries(along) };
      const told = setTimeout(() => own === asked && show.warnings.replaceChildren("The figure is being looked over …"), SILENCE);
      const { ok, cautions, problem } = await ask({ call: "warnings", id: "figure", inputs, units: units() }).finally(() => clearTimeout(told));
      if (own !== asked || !section.isConnected) return;
      if (ok) showWarnings(cautions);
      else show.warnings.textContent = `The figure is not looked over. ${problem}`;
    } catch {
      // the state says why
    }
  }

  /** Tie the ground in the weaver's own orders, or say why this ground cannot be tied so. */
  async function tie() {
    const orders = Object.fromEntries(ORDERS.map((name) => [name, grids.orderOf(field(name).value)]));
    show.tied.textContent = "";
    try {
      const { inputs, units: counted, version } = plan;
      const reply = await ask({ call: "loom", id: CALCULATOR, inputs, units: counted, version, ...orders });
      if (!reply.ok) show.tied.textContent = reply.problem;
      else if (ORDERS.some((name) => orders[name] !== rule()[name])) {
        step(part(), { ...rule(), ...orders });
        show.tied.textContent = ORDERS.some((name) => orders[name]) ? "Kept with the figure. The warnings and the rows at the loom follow it." : "The ground is tied as usual.";
      }
    } catch ({ message }) {
      show.tied.textContent = message;
    }
  }

  /** A part of the whole as it lies in the part that is drawn, where it does. */
  function backOnPaper([row, unit]) {
    const place = grids.placeInPart(part(), rule(), [unit - 1, row - 1]);
    return place && { unit: place[0], row: place[1], across: 1, up: 1 };
  }

  function showWarnings(warnings) {
    const list = make("ul", "ft-warnings");
    for (const words of warnings) {
      const item = make("li", "");
      let rest = 0;
      for (const found of words.matchAll(/row (\d+), unit (\d+)/g)) {
        const place = backOnPaper(found.slice(1).map(Number));
        item.append(words.slice(rest, found.index));
        item.append(place ? button(found[0], () => {
          if (paper !== "part") lie("part");
          sheet.point([place]);
          atPlace([place.unit, place.row]);
          section.querySelector("canvas.ft-squares").focus();
        }) : found[0]);
        rest = found.index + found[0].length;
      }
      item.append(words.slice(rest));
      list.append(item);
    }
    show.warnings.replaceChildren(make("h2", "", warnings.length ? "What to look at" : "Nothing to warn of"), list);
  }

  // The cloth --------------------------------------------------------------------------------

  let cloth = null;

  /** Draw the whole as cloth of the plan's yarns, every thread, in the light that is chosen. */
  async function seeCloth() {
    if (!cloth) {
      const { bindThreads } = await import("./threads.mjs").catch(() => ({}));
      if (!bindThreads) return say("What draws the cloth could not be fetched: there is no connection.");
      cloth ??= bindThreads(show.cloth, async () => ({
        id: CALCULATOR, planned: plan.inputs, units: plan.units, inputs: { grid: await grids.packed(whole()), light: field("light").value },
      }));
      field("light").addEventListener("input", cloth.start);
    }
    return cloth.start();
  }

  // Buttons ----------------------------------------------------------------------------------

  /** Do it, or say in words why it cannot be done. */
  function attempt(does) {
    try {
      does();
    } catch (problem) {
      if (!(problem instanceof RangeError)) throw problem;
      say(problem.message);
      render();
    }
  }

  const turned = (edit) => () => take(chosen ? grids.changedIn(now().grid, chosen, edit) : edit(now().grid));
  const shift = (by) => turned((grid) => grids.shifted(grid, ...by));
  const place = () => (chosen ? [chosen.unit, chosen.row] : sheet.cursor());
  const inside = (at, most) => Math.min(Math.max(at, 0), most);

  const deeds = {
    undo: () => steps.undo() && changed(),
    redo: () => steps.redo() && changed(),
    nearer: sheet.nearer,
    farther: sheet.farther,
    fit: sheet.fit,
    cloth: seeCloth,
    sideToSide: turned(grids.sideToSide),
    endToEnd: turned(grids.endToEnd),
    quarterTurned() {
      turned(grids.quarterTurned)();
      if (chosen) choose(onPaper({ ...chosen, across: chosen.up, up: chosen.across }));
    },
    turnedOver: turned(grids.turnedOver),
    rested: turned((grid) => grids.made(grid.across, grid.up)),
    left: shift([-1, 0]),
    right: shift([1, 0]),
    up: shift([0, 1]),
    down: shift([0, -1]),
    border() {
      if (!chosen) throw new RangeError("Choose a part first: it becomes the border’s strip.");
      step(part(), { ...rule(), border: grids.cut(now().grid, chosen), corner: null });
    },
    corner() {
      const { border } = rule();
      if (!border) throw new RangeError("Make the border first: its strip is one repeat of the lower edge.");
      if (!chosen) throw new RangeError("Choose the lower left corner first, as wide and as high as the border is high.");
      const { across, up } = grids.measures(part(), rule());
      const enough = (length) => Math.ceil(length / border.across);
      step(part(), { ...rule(), corner: grids.cut(now().grid, chosen), along: enough(across), upright: enough(up), alongOver: 0, uprightOver: 0 });
    },
    noborder: () => step(part(), { ...rule(), border: null, corner: null }),
    fill: fillPlan,
    asDrawn: () => step(whole(), once()),
    size: () => take(grids.sized(now().grid, Number(field("across").value), Number(field("upward").value))),
    withRows: () => take(grids.withRows(now().grid, inside(place()[1], now().grid.up), chosen?.up ?? 1)),
    withoutRows: () => take(grids.withoutRows(now().grid, inside(place()[1], now().grid.up - 1), chosen?.up ?? 1)),
    withColumns: () => take(grids.withColumns(now().grid, inside(place()[0], now().grid.across), chosen?.across ?? 1)),
    withoutColumns: () => take(grids.withoutColumns(now().grid, inside(place()[0], now().grid.across - 1), chosen?.across ?? 1)),
    squares: () => take(grids.readSquares(squares.value, true)),
    motif: () => lay({ motif: field("motif").value }),
    letters: () => lay({ text: field("letters").value, size: field("size").value }),
    link: sendLink,
    async json() {
      const figure = { figure: await grids.stored(part(), rule()), squares: grids.inSquares(whole()).split("\n") };
      saveFile("figure.json", JSON.stringify({ kind: KIND, version: VERSION, name: plan.name, plan: plan.inputs, units: plan.units, ...figure }, null, 1));
    },
    png() {
      const grid = whole();
      const canvas = Object.assign(document.createElement("canvas"), { width: grid.across, height: grid.up });
      const ink = canvas.getContext("2d");
      const picture = ink.createImageData(grid.across, grid.up);
      for (let at = 0; at < grid.cells.length; at++) {
        const [unit, row] = [at % grid.across, grid.up - 1 - Math.floor(at / grid.across)];
        const shade = grids.isDrawn(grid, unit, row) ? 0 : 255;
        picture.data.set([shade, shade, shade, 255], 4 * at);
      }
      ink.putImageData(picture, 0, 0);
      canvas.toBlob((blob) => saveFile("figure.png", blob, "image/png"));
    },
    svg: async () => saveFile("figure.svg", await grids.asSvg(whole(), 1, tall()), "image/svg+xml"),
    csv: () => saveFile("figure.csv", grids.asCsv(whole()), "text/csv"),
  };

  section.addEventListener("click", ({ target }) => {
    const pressed = target.closest("[data-does]");
    if (!pressed) return;
    const [name, value] = pressed.dataset.does.split(":");
    if (!value) {
      say("");
      attempt(deeds[name]);
      return;
    }
    if (name === "paper") {
      lie(value);
      return;
    }
    if (name === "ink") mark = value === "draw";
    else tool = value;
    for (const one of pressed.parentElement.children) one.setAttribute("aria-pressed", String(one === pressed));
  });
  section.addEventListener("change", ({ target }) => {
    const { name, value } = target;
    if (name === "file") openFile(target);
    else if (MIRRORS.includes(name)) attempt(() => step(part(), { ...rule(), [name]: value }));
    else if (COUNTS.includes(name)) attempt(() => step(part(), { ...rule(), [name]: Number(value) }));
    else if (ORDERS.includes(name)) tie();
    else if (name === "drop") attempt(() => step(part(), { ...rule(), drop: target.checked }));
  });
  section.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.target.closest("input, textarea, select")) return;
    const key = event.key.toLowerCase();
    if (key !== "z" && key !== "y") return;
    event.preventDefault();
    deeds[key === "y" || event.shiftKey ? "redo" : "undo"]();
  });
  squares.closest("details").addEventListener("toggle", ({ target }) => target.open && writeSquares());

  // Motifs and letters -------------------------------------------------------------------------

  const pieces = field("motif").closest("details");
  pieces.addEventListener("toggle", async () => {
    if (!pieces.open || field("motif").options.length) return;
    try {
      const { motifs } = await ask({ call: "motif" });
      field("motif").replaceChildren(...Object.entries(motifs).map(([value, text]) => Object.assign(make("option", "", text), { value })));
    } catch (problem) {
      say(problem.message);
    }
  });

  /** Lay a motif or letters on the paper, where they can be dragged on. */
  async function lay(wanted) {
    try {
      const reply = await ask({ call: "motif", ...wanted });
      if (!reply.ok) throw new RangeError(reply.problem);
      const piece = await grids.unpacked(reply.grid);
      const { grid } = now();
      if (piece.across > grid.across || piece.up > grid.up) {
        throw new RangeError(`It has ${many(piece.across, "unit")} across and ${piece.up} up, the paper ${grid.across} and ${grid.up}. Give the paper more units first.`);
      }
      const there = ["across", "up"].map((way) => Math.floor((grid[way] - piece[way]) / 2));
      const [unit, row] = chosen ? [chosen.unit, chosen.row] : there;
      take(grids.placed(grid, piece, [unit, row], true));
      section.querySelector('[data-does="tool:choose"]').click();
      choose(onPaper({ unit, row, across: piece.across, up: piece.up }));
      say("It lies on the paper, chosen: drag it where it belongs.");
    } catch (problem) {
      say(problem.message);
    }
  }

  // Sending, opening ---------------------------------------------------------------------------

  async function sendLink() {
    const address = linkWith(new URL(`figure/drawing/${plan.hash}`, root).href, await grids.stored(part(), rule()));
    show.code.textContent = "";
    if (address.length > LONGEST_LINK) {
      show.link.textContent = `This figure is too much for a link: it would have ${address.length} letters, and above ${LONGEST_LINK} some ways of sending cut it off. Send the file instead.`;
      return;
    }
    const copied = await navigator.clipboard?.writeText(address).then(() => true, () => false);
    show.link.replaceChildren(copied ? "Copied: " : "Copy it from here: ", link("the link to this figure and its plan", address), ".");
    try {
      const reply = await ask({ call: "share", id: CALCULATOR, inputs: plan.inputs, units: plan.units, address, name: plan.name });
      if (reply.code) show.code.innerHTML = reply.code; // drawn by our own package
      else show.code.textContent = reply.problem;
    } catch {
      // the link goes without a code
    }
  }

  let opening = null; // stops the file that is being opened: another one was picked, or enough waited

  async function openFile(chooser) {
    const [file] = chooser.files;
    chooser.value = "";
    if (!file) return;
    opening?.abort();
    opening = new AbortController();
    const { signal } = opening;
    const told = make("p", "ft-told", "The file is being opened.");
    told.setAttribute("role", "status");
    const tell = (words) => (told.textContent = words);
    say("");
    show.picture.replaceChildren(told, actions(button("Stop", () => {
      opening.abort();
      show.picture.replaceChildren();
      say("Stopped. The paper is as it was.");
    })));
    try {
      if (file.size > LARGEST_FILE) throw new RangeError("This file is larger than 60 MB. A smaller picture will do: 2000 points a side are enough.");
      const opened = await readFile(file, { tell, signal });
      signal.throwIfAborted();
      if (opened.picture) {
        const { fromPicture } = await import("./from-picture.mjs");
        await fromPicture(opened.picture, show.picture, facts, {
          signal,
          lookAt: (grid) => show.picture.isConnected && sheet.show(grid ?? now().grid),
          take: (grid) => attempt(() => step(grid, once())),
        });
        return;
      }
      show.picture.replaceChildren();
      step(opened.grid, opened.rule ?? once());
      const itsPlan = opened.plan && opened.plan !== plan.hash ? ["Another plan came with it. ", link("Open it with that plan", opened.withPlan)] : [];
      say(`“${file.name}” is opened: ${many(part().across, "unit")} across, ${part().up} up. `, ...itsPlan);
    } catch (problem) {
      if (signal.aborted) return;
      show.picture.replaceChildren();
      if (!(problem instanceof RangeError)) throw problem;
      say(problem.message);
    }
  }

  /** Read a file: a figure's grid, or a picture that has to be reduced to one. */
  async function readFile(file, following) {
    const start = await file.slice(0, 400).text();
    if (/^\s*\{/.test(start)) return readJson(await file.text());
    const drawing = /data-figure="([\w.-]+)"/.exec(start);
    if (drawing) return { grid: await grids.unpacked(drawing[1]) };
    if (/^\s*<|^%PDF/.test(start)) throw new RangeError("This file is no figure of the handbook, and no picture that it opens. PNG and JPEG pictures are opened, and the handbook’s own drawings.");
    if (!file.type.startsWith("image/") && !/[^\x09\x0a\x0d\x20-\x7e■█×□·–]/.test(start)) return { grid: grids.readSquares(await file.text()) };
    const { decoded, squaresOf } = await import("./from-picture.mjs");
    const picture = await decoded(file, following);
    const grid = squaresOf(picture);
    return grid ? { grid } : { picture };
  }

  async function readJson(text) {
    let found;
    try {
      found = JSON.parse(text);
    } catch {
      throw new RangeError("This file was damaged on the way: it cannot be read as JSON.");
    }
    if (found.kind !== KIND || typeof found.figure !== "string") throw new RangeError("This file is not one of the handbook’s figures.");
    if (!(found.version >= 1 && found.version <= VERSION)) throw new RangeError("This file was made by another edition of the handbook, and this one cannot read it.");
    const { grid, rule } = await grids.opened(found.figure);
    const inputs = Object.fromEntries(Object.entries(found.plan ?? {}).filter(([, value]) => typeof value === "string"));
    const named = found.name ? { [NAME]: String(found.name), ...inputs } : inputs;
    const hash = (values) => hashOf(CALCULATOR, values, found.version, found.units === "inch" || found.units === "cm" ? found.units : "");
    return { grid, rule, plan: hash(named), withPlan: new URL(hash({ ...named, figure: found.figure }), location.href).href };
  }

  // All figures that are kept ------------------------------------------------------------------

  const others = section.querySelector('[data-show="figures"]');
  others.closest("details").addEventListener("toggle", ({ target }) => target.open && listFigures());

  async function listFigures(...words) {
    const list = make("ul", "ft-plans");
    for (const one of await figures()) {
      const item = make("li", "");
      const name = one.name ? `“${one.name}”` : "Of a plan without a name";
      const here = one.key === (await figureOf(plan))?.key;
      item.append(one.plan ? link(name, one.plan) : name, make("p", "ft-soft", `Drawn ${dayOf(one.day)}${here ? ", the one shown here" : ""}`));
      if (!here) {
        const away = button("Delete", async () => {
          const putBack = await removeFigure(one);
          await listFigures(`The figure of ${name} is deleted. `, button("Put it back", async () => listFigures((await putBack()) ? "It is back." : "")));
        });
        away.setAttribute("aria-label", `Delete the figure: ${name}`);
        item.append(away);
      }
      list.append(item);
    }
    const said = make("p", "ft-told");
    said.setAttribute("role", "status");
    said.append(...words);
    others.replaceChildren(said, list);
  }

  // Beginning --------------------------------------------------------------------------------

  async function open() {
    const sent = await findPlan();
    const kept = await figureOf(plan);
    if (!section.isConnected) return;
    const began = async (text, before) => {
      const { grid, rule } = await grids.opened(text);
      grids.wholeOf(grid, rule);
      steps = new grids.History(grid, rule, before);
      untouched = false;
    };
    try {
      if (kept) await began(kept.figure, kept.steps);
      if (kept) show.kept.textContent = "Saved on this device, with the plan.";
      if (sent && !kept) {
        await began(sent);
        keep();
      } else if (sent) {
        const came = await grids.opened(sent);
        if (!(await sameFigure(sent, kept.figure))) say("Another figure came with this link; yours of this plan is shown. ", button("Take the one that came", () => {
          say("");
          attempt(() => step(came.grid, came.rule));
        }));
      }
    } catch (problem) {
      if (!(problem instanceof RangeError)) throw problem;
      say(problem.message);
    }
    if (sent) goTo(plan.hash); // it is kept here now, and goes on changing
    render();
    section.dataset.bound = "";
    await readPlan();
  }

  const turnedTo = () => section.isConnected && location.hash !== plan.hash && location.hash.startsWith("#v=") && location.reload();
  addEventListener("hashchange", turnedTo);
  leave = () => {
    leave = () => {};
    opening?.abort();
    removeEventListener("hashchange", turnedTo);
    clearTimeout(judging);
    clearTimeout(writing);
    sheet.release();
  };
  return open();
}
