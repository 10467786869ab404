// The figure at the loom: the row to draw, in large type, read out, printed and written down.

import { opened, orderOf, wholeOf } from "./grid.mjs";
import { openSheet } from "./paper.mjs";
import { actions, button, labelled, make, recall, retain, saveFile, told } from "./parts.mjs";
import {
  asTable, asText, cordsOf, drawnOf, groundInWords, hemRows, inWords, isFaceDown, listed, marksOf, numbersUnder, rowAt, rowInWords, runs, spoken, USUAL,
} from "./rows.mjs";

const CHOICES = "ft-rows";
const BELOW = 3; // rows of the strip under the one that is woven
const ABOVE = 2;
const LONG = [24, 70]; // letters of a row, above which it is written smaller
const MOST_BOXES = 8;
const ASKED = [
  ["from", "Counted from", [["left", "the left"], ["right", "the right"], ["middle", "the middle"]]],
  ["tells", "Each row tells", [["units", "all units to draw"], ["changes", "only what changes"]]],
  ["tens", "Numbers", [["", "go through"], ["tens", "begin again with every ten"]]],
  ["numbers", "A number is", [["units", "a unit"], ["cords", "a cord: units that are alike all the way hang on one"]]],
  ["step", "Large button and pedal count", [["row", "whole rows"], ["pick", "single picks"]]],
  ["side", "Draw", [["fewer", "the side with fewer draws"], ["figure", "the figure"], ["ground", "the ground, face down"]]],
];
const HEM = "a row of the hem: draw what you chose for it; the figure begins with the piece";
const COUNTED_FROM = { left: "from the left", right: "from the right", middle: "from the middle" };

/** The phone's own voice for this text, one that needs no network, or nothing. */
function ownVoice() {
  const own = (globalThis.speechSynthesis?.getVoices() ?? []).filter((voice) => voice.localService);
  return own.find(({ lang }) => lang.startsWith("en")) ?? own[0];
}

/** Read a kept figure: gives what binds its rows to the view at the loom, and the orders of its ground. */
export async function readRows(kept) {
  const { grid, rule } = await opened(kept.figure);
  const figure = wholeOf(grid, rule);
  const { rise, sink } = rule;
  return { bind: (view, loom) => bindRows(view, figure, { rise, sink }, loom), orders: { rise, sink } };
}

/** Bind a figure and the orders of its ground to the view; `loom` is {count, enter, shown, changed}. Gives {render, step, say, leave}. */
function bindRows(view, figure, tied, loom) {
  const choices = { ...USUAL, step: "row", aloud: false, ...recall(CHOICES), side: loom.count().side ?? USUAL.side };
  let drawn = null;
  let said; // the row that was read out, or shown first; null where none is drawn

  // The row ----------------------------------------------------------------------------------

  const part = make("div", "ft-row");
  const [title, units, pick, side] = ["ft-row-title", "ft-row-units", "ft-row-pick", "ft-soft"].map((name) => make("p", name));
  units.setAttribute("role", "status");
  const strip = make("div", "ft-row-strip");
  part.append(title, units, pick, strip, side);
  part.hidden = true;
  view.querySelector("[data-show=number]").after(part);

  function render() {
    const at = rowAt(planOf(), loom.count().picks);
    view.toggleAttribute("data-figure", Boolean(at));
    part.hidden = !at;
    if (!at) {
      said = null;
      return;
    }
    const { name, hem, row, rows, pick: woven, picks, ground } = at;
    title.textContent = `${name}, row ${row + 1} of ${rows}`;
    const words = hem ? HEM : wordsOf(row);
    units.replaceChildren(...inLines(words));
    units.toggleAttribute("data-tens", choices.tens);
    units.dataset.long = LONG.filter((letters) => words.length > letters).length;
    pick.textContent = `Pick ${woven + 1} of ${picks}${ground ? `, ${groundInWords(ground)}` : ""}`;
    strip.hidden = side.hidden = hem;
    if (hem) {
      said = null;
      return;
    }
    strip.innerHTML = stripOf(row);
    for (const one of strip.querySelectorAll("[data-at]")) one.style.left = `${one.dataset.at}%`;
    side.textContent = sideInWords();
    if (said !== undefined && said !== row && choices.aloud) say(row);
    said = row;
  }

  /** The plan, with its ground as it is tied for the side that is drawn. */
  function planOf() {
    const { plan } = loom.count();
    return isFaceDown(figure, choices.side) ? { ...plan, ground: plan.ground_face_down ?? plan.ground } : plan;
  }

  const wordsOf = (row) =>
    row < drawn.up ? rowInWords(drawn, row, choices) : `the figure has ${drawn.up} rows: none here`;

  const sideInWords = () => {
    const what = isFaceDown(figure, choices.side) ? "Ground, face down" : "Figure";
    return `${what}: ${choices.numbers === "cords" ? "cords" : "units"} ${COUNTED_FROM[choices.from]}`;
  };

  /** Every part on a line of its own; no run is broken. */
  const inLines = (words) =>
    words.split("; ").map((line) => {
      const whole = make("span", "ft-row-line");
      for (const run of line.split(/(?<=,) /)) whole.append(...(whole.firstChild ? [" "] : []), make("span", "", run));
      return whole;
    });

  /** The rows just woven, this one and the next, with the numbers under them. */
  function stripOf(row) {
    const high = BELOW + 1 + ABOVE;
    const squares = Array.from({ length: high }, (_, line) => {
      const at = row - BELOW + line;
      const kind = at < row ? "woven" : at === row ? "now" : "next";
      const path = runs(marksOf(drawn, at)).map(([first, last]) => `M${first - 1} ${high - 1 - line}h${last - first + 1}v1h-${last - first + 1}z`);
      return `<path class="ft-row-${kind}" d="${path.join("")}"/>`;
    });
    const numbers = numbersUnder(drawn.across, choices).map(
      ([unit, number]) => `<span data-at="${(100 * (unit + 0.5)) / drawn.across}">${number}</span>`);
    const about = `Row ${row + 1} framed, between the rows woven before it, below, and those that follow, above`;
    return `<svg role="img" aria-label="${about}" viewBox="0 0 ${drawn.across} ${high}" preserveAspectRatio="none">${squares.join("")}<path class="ft-row-frame" d="M0 ${ABOVE}h${drawn.across}v1H0z"/></svg><p aria-hidden="true">${numbers.join("")}</p>`;
  }

  // The voice --------------------------------------------------------------------------------

  const aloud = make("label", "ft-check");
  const tick = Object.assign(document.createElement("input"), { type: "checkbox", name: "aloud", checked: choices.aloud });
  aloud.append(tick, " Read each row aloud");
  const mute = make("p", "", "This browser has no voice that works without a network: rows cannot be read aloud.");
  const again = button("Say it", () => {});
  again.dataset.loom = "say";

  function offerVoice() {
    const voice = Boolean(ownVoice());
    aloud.hidden = !voice;
    mute.hidden = voice;
    again.hidden = !voice || !choices.aloud;
  }

  function say(row) {
    const voice = ownVoice();
    if (!voice) return;
    const words = Object.assign(new SpeechSynthesisUtterance(spoken(row, wordsOf(row))), { voice, lang: voice.lang });
    speechSynthesis.cancel(); // a row that is past is not read to its end
    speechSynthesis.speak(words);
  }

  const sayAgain = () => Number.isInteger(said) && say(said);

  // Choices, and the whole list ----------------------------------------------------------------

  const settings = make("div", "ft-row-choices");
  for (const [name, words, ways] of ASKED) {
    const field = Object.assign(document.createElement("select"), { name });
    field.append(...ways.map(([value, text]) => new Option(text, value)));
    field.value = name === "tens" ? (choices.tens ? "tens" : "") : choices[name];
    settings.append(labelled(words, field));
  }
  const called = () => `${loom.count().name}, rows`;
  const orders = { rise: "Own order of rising, such as 1 3 5 2 4", sink: "Own order of sinking" };
  const typed = Object.entries(orders).map(([name, words]) => {
    const field = Object.assign(document.createElement("input"), { name, value: tied[name], autocomplete: "off" });
    settings.append(labelled(words, field));
    return field;
  });
  const wrong = told();
  settings.append(wrong);
  settings.append(
    aloud, mute,
    actions(
      button("Print the rows", print),
      button("Rows as a table", () => saveFile(`${called()}.csv`, asTable(drawn, choices), "text/csv")),
      button("Rows as text", () => saveFile(`${called()}.txt`, inText(), "text/plain")),
    ),
  );
  settings.addEventListener("change", async ({ target }) => {
    const { name, value } = target;
    if (typed.includes(target)) {
      wrong.textContent = await loom.tie(Object.fromEntries(typed.map((field) => [field.name, orderOf(field.value)]))).catch(({ message }) => message);
      return;
    }
    choices[name] = name === "aloud" ? tick.checked : name === "tens" ? Boolean(value) : value;
    const { side: ownSide, ...liked } = choices;
    retain(CHOICES, liked); // the side belongs to the cloth, the rest to the weaver
    if (name === "side") loom.changed({ side: ownSide });
    choose();
    loom.shown();
    if (name === "aloud" && tick.checked) sayAgain();
  });
  view.querySelector(".ft-loom-more > summary").after(settings);
  view.querySelector(".ft-loom-due").append(again);

  function choose() {
    drawn = drawnOf(figure, choices);
    offerVoice();
  }

  const heading = () => {
    const plan = planOf();
    const picks = plan.ground.map((one, place) => `Pick ${place + 1}, ${groundInWords(one)}`);
    const rows = hemRows(plan);
    const hems = rows ? ` Each hem has ${rows} rows of units too, before row 1 and after the last; draw there what you chose for it.` : "";
    return { name: called(), side: `${sideInWords()}.${hems}`, picks };
  };

  function inText() {
    const { name, side: own, picks } = heading();
    return `${[name, own, ...picks].join("\n")}\n\n${asText(drawn, choices)}\n`;
  }

  /** The whole list on paper, a box to tick for each row of each piece. */
  function print() {
    const { plan } = loom.count();
    const boxes = Math.min(plan.figured.length, MOST_BOXES);
    view.close();
    const { sheet, ready } = openSheet(() => view.isConnected && loom.enter());
    const { name, side: own, picks } = heading();
    const ground = make("ul", "ft-ticks");
    ground.append(...picks.map((words) => make("li", "", words)));
    const list = make("ul", "ft-ticks");
    for (const [row, words] of listed(drawn, choices)) {
      const line = make("li", "");
      line.append(...Array.from({ length: boxes }, () => make("i", "")), make("b", "", String(row)), ` ${words}`);
      list.append(line);
    }
    sheet.append(make("h1", "", name), make("p", "", own), ground, list);
    if (choices.numbers === "cords") sheet.append(make("h2", "", "Which units hang on which cord"), cordList());
    ready(name);
  }

  function cordList() {
    const side_ = drawnOf(figure, { ...choices, numbers: "units" });
    const cords = cordsOf(side_);
    const list = make("ul", "ft-ticks");
    cords.forEach((units_, cord) => {
      const on = new Set(units_);
      const line = make("li", "");
      const marks = Array.from({ length: side_.across }, (_, unit) => on.has(unit));
      line.append(make("b", "", String(choices.from === "right" ? cords.length - cord : cord + 1)), ` units ${inWords(marks, { from: choices.from })}`);
      list.append(line);
    });
    return list;
  }

  choose();
  globalThis.speechSynthesis?.addEventListener?.("voiceschanged", offerVoice);
  return {
    render,
    step: () => (part.hidden ? "row" : choices.step),
    say: sayAgain,
    leave() {
      globalThis.speechSynthesis?.removeEventListener?.("voiceschanged", offerVoice);
      view.removeAttribute("data-figure");
      for (const one of [part, settings, again]) one.remove();
    },
  };
}
