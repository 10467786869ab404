// The rows of a figure as they are drawn at the loom: units as runs, what changes, the row of a count of picks.
// A row is told as the Python package tells it (calculators/figure/rows.py); the tests hold one to the other.

import { placeOf } from "./filling.mjs";
import { drawnIn, isDrawn, made, turnedOver } from "./grid.mjs";

const TEN = 10;

/** How rows are told where the weaver has chosen nothing. */
export const USUAL = Object.freeze({ side: "fewer", numbers: "units", from: "left", tells: "units", tens: false });

/** Whether the ground is drawn, and the cloth woven face down. */
export const isFaceDown = (figure, side) =>
  side === "ground" || (side === "fewer" && 2 * drawnIn(figure) > figure.across * figure.up);

const columnOf = ({ across, up, cells }, unit) => {
  let column = "";
  for (let row = 0; row < up; row++) column += cells[row * across + unit];
  return column;
};

/** The units of each cord, from 0, where units with like columns hang on one; a column never drawn has none. */
export function cordsOf(drawn) {
  const kinds = new Map();
  for (let unit = 0; unit < drawn.across; unit++) {
    const column = columnOf(drawn, unit);
    if (!column.includes("1")) continue;
    if (kinds.has(column)) kinds.get(column).push(unit);
    else kinds.set(column, [unit]);
  }
  return [...kinds.values()];
}

/** What is drawn at the loom of a figure: its side, by units or by cords. */
export function drawnOf(figure, { side, numbers } = USUAL) {
  const drawn = isFaceDown(figure, side) ? turnedOver(figure) : figure;
  if (numbers !== "cords") return drawn;
  const cords = cordsOf(drawn);
  return cords.length ? made(cords.length, drawn.up, (cord, row) => isDrawn(drawn, cords[cord][0], row)) : made(1, drawn.up);
}

/** First and last place of every run, from 1. */
export function runs(marks) {
  const found = [];
  for (let place = 0; place < marks.length; place++) {
    const begin = place;
    while (marks[place]) place++;
    if (place > begin) found.push([begin + 1, place]);
  }
  return found;
}

const one = ([first, last]) => (last > first ? `${first}–${last}` : String(first));
const told = (marks) => runs(marks).map(one).join(", ");

/** Ten by ten: each ten that has any, with its own numbers from 1 to 10; full ones together. */
function inTens(marks) {
  const tens = Array.from({ length: Math.ceil(marks.length / TEN) }, (_, ten) => marks.slice(TEN * ten, TEN * (ten + 1)));
  const full = tens.map((within) => within.length === TEN && within.every(Boolean));
  const inTurn = [
    ...tens.flatMap((within, ten) => (within.some(Boolean) && !full[ten] ? [[ten + 1, `ten ${ten + 1}: ${told(within)}`]] : [])),
    ...runs(full).map((run) => [run[0], `${run[1] > run[0] ? "tens" : "ten"} ${one(run)}: all`]),
  ];
  return inTurn.sort(([first], [second]) => first - second).map(([, words]) => words);
}

/** Write some units of a row, each a mark, as runs. */
export function inWords(marks, { from = "left", tens = false } = USUAL) {
  if (!marks.some(Boolean)) return "none";
  const write = (part, where) => {
    if (!part.some(Boolean)) return [];
    if (tens) return inTens(part).map((words, place) => (where && place === 0 ? `${where} ${words}` : words));
    return [where ? `${told(part)} ${where}` : told(part)];
  };
  if (from === "left") return write(marks, "").join("; ");
  if (from === "right") return write([...marks].reverse(), "").join("; ");
  const half = Math.floor(marks.length / 2);
  return [
    ...(marks.length % 2 && marks[half] ? ["the middle unit"] : []),
    ...write(marks.slice(0, half).reverse(), "on the left"),
    ...write(marks.slice(marks.length - half), "on the right"),
  ].join("; ");
}

/** The marks of a row, counted from 0; before the first row nothing is drawn. */
export const marksOf = (drawn, row) => Array.from({ length: drawn.across }, (_, unit) => isDrawn(drawn, unit, row));

/** Write what is drawn and what is let go from the row before to this one. */
export function changesInWords(before, marks, choices = USUAL) {
  const parts = [["draw", marks.map((mark, unit) => mark && !before[unit])], ["let go", before.map((mark, unit) => mark && !marks[unit])]];
  const words = parts.filter(([, some]) => some.some(Boolean)).map(([word, some]) => `${word} ${inWords(some, choices)}`);
  return words.join("; ") || "as before";
}

/** Write one row, counted from 0, as the weaver likes it told. */
export function rowInWords(drawn, row, choices = USUAL) {
  const marks = marksOf(drawn, row);
  return choices.tells === "changes" ? changesInWords(marksOf(drawn, row - 1), marks, choices) : inWords(marks, choices);
}

/** Every row: its number and its units. */
export const listed = (drawn, choices = USUAL) =>
  Array.from({ length: drawn.up }, (_, row) => [row + 1, rowInWords(drawn, row, choices)]);

export const asText = (drawn, choices = USUAL) => listed(drawn, choices).map(([row, units]) => `Row ${row}: ${units}`).join("\n");

export function asTable(drawn, choices = USUAL) {
  const lines = listed(drawn, choices).map(([row, units]) => `${row},${units.includes(",") ? `"${units}"` : units}`);
  return ["row,units", ...lines, ""].join("\r\n");
}

/** What a voice says of a row. */
export const spoken = (row, words) => `Row ${row + 1}. ${words.replaceAll("–", " to ").replaceAll(";", ".")}.`;

/**
 * The row that is woven next, where a count of picks lies in a piece or in a hem that is woven in rows too, else null:
 * {name, hem, row, rows, pick, picks, ground}. Row and pick are counted from 0; every piece begins at the first row,
 * and at the first pick of the ground.
 */
export function rowAt(plan, woven) {
  const { name, place, inside, row: picks, picks: whole } = placeOf(plan, woven);
  const piece = Boolean(plan.figured?.includes(place));
  if (!piece && !(plan.figured?.length && picks > 1)) return null;
  const ground = plan.ground.length ? plan.ground[inside % plan.ground.length] : null;
  return { name, hem: !piece, row: Math.floor(inside / picks), rows: whole / picks, pick: inside % picks, picks, ground };
}

/** Rows of units in each hem of a plan, 0 where its hems are not woven in rows. */
export const hemRows = ({ stretches, figured }) =>
  stretches.flatMap(({ row, picks }, place) => (row > 1 && !figured.includes(place) ? [picks / row] : []))[0] ?? 0;

const shafts = (some, one, more) => some.length && `${some.length > 1 ? "shafts" : "shaft"} ${some.join(", ").replace(/, (\d+)$/, " and $1")} ${some.length > 1 ? more : one}`;

/** Say what the ground does on a pick. */
export function groundInWords({ rise, sink, treadle }) {
  const moves = [shafts(rise, "rises", "rise"), shafts(sink, "sinks", "sink")].filter(Boolean).join(", ");
  return `treadle ${treadle}: ${moves || "all shafts at rest"}`;
}

/** The numbers written under a grid: [place of the unit from 0, its number], as they are counted, not too close. */
export function numbersUnder(across, { from = "left" } = USUAL) {
  const step = [1, 5, 10, 20, 50].find((every) => across / every <= 9) ?? 50;
  const half = Math.floor(across / 2);
  const numberOf = {
    left: (unit) => unit + 1,
    right: (unit) => across - unit,
    middle: (unit) => (unit < half ? half - unit : unit - (across - half) + 1), // 0 for a unit in the middle
  }[from];
  return Array.from({ length: across }, (_, unit) => [unit, numberOf(unit)]).filter(([, number]) => number > 0 && number % step === 0);
}
