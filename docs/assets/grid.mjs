// A figure as a grid of units, and what is done to one. Every edit gives a new grid; none touches the page.
//
// A grid is {across, up, cells}: a byte for each unit, 1 drawn and 0 at rest, row after row in the order of
// weaving, each from the left. A place is [unit, row], both from 0; a part is {unit, row, across, up}.

export const MOST_ACROSS = 400;
export const MOST_UP = 1000;

const DRAWN = "#xX×1■█";
const REST = ".-–0□·_";
const DAMAGED = "The figure of this link arrived damaged. Ask for the link again, or for the figure as a file.";
const SIGNS = "Write a line for each row of units: # for a drawn unit, . for one at rest.";

/** Make a grid whose units are drawn where `drawn(unit, row)` says so. */
export function made(across, up, drawn = () => 0) {
  for (const [count, most, words] of [[across, MOST_ACROSS, "units across"], [up, MOST_UP, "units up"]]) {
    if (!(Number.isInteger(count) && count >= 1 && count <= most)) {
      throw new RangeError(`That would be ${count} ${words}. From 1 to ${most} ${words} can be drawn here.`);
    }
  }
  const cells = new Uint8Array(across * up);
  for (let row = 0, place = 0; row < up; row++) {
    for (let unit = 0; unit < across; unit++, place++) cells[place] = drawn(unit, row) ? 1 : 0;
  }
  return { across, up, cells };
}

/** Tell whether a unit is drawn; what lies outside is at rest. */
export const isDrawn = ({ across, up, cells }, unit, row) =>
  unit >= 0 && row >= 0 && unit < across && row < up && cells[row * across + unit] === 1;

export const same = (one, other) =>
  one.across === other.across && one.up === other.up && one.cells.every((cell, place) => cell === other.cells[place]);

export const drawnIn = ({ cells }) => cells.reduce((sum, cell) => sum + cell, 0);

// Shapes: the places they take up -------------------------------------------------------------

/** The places on the straight way from one to another, both included; the same ones either way round. */
export function line(from, to) {
  const turned = from[1] > to[1] || (from[1] === to[1] && from[0] > to[0]);
  const [[unit, row], [last, end]] = turned ? [to, from] : [from, to];
  const steps = Math.max(Math.abs(last - unit), end - row);
  return Array.from({ length: steps + 1 }, (_, step) => {
    const along = (begin, finish) => begin + Math.floor((2 * step * (finish - begin) + steps) / (2 * steps || 1));
    return [along(unit, last), along(row, end)];
  });
}

/** The part that has two places as its corners. */
export const partOf = ([unit, row], [last, end]) => ({
  unit: Math.min(unit, last), row: Math.min(row, end), across: Math.abs(last - unit) + 1, up: Math.abs(end - row) + 1,
});

function within(part, belongs) {
  const places = [];
  for (let row = 0; row < part.up; row++) {
    for (let unit = 0; unit < part.across; unit++) if (belongs(unit, row)) places.push([part.unit + unit, part.row + row]);
  }
  return places;
}

/** The places of a box between two corners, filled or its edge. */
export function box(from, to, filled = false) {
  const part = partOf(from, to);
  return within(part, (unit, row) => filled || unit === 0 || row === 0 || unit === part.across - 1 || row === part.up - 1);
}

/** The places of the round that fits between two corners, filled or its edge. */
export function round(from, to, filled = false) {
  const part = partOf(from, to);
  const { across, up } = part;
  const inside = (unit, row) => {
    const [x, y] = [(2 * unit + 1) / across - 1, (2 * row + 1) / up - 1];
    return x * x + y * y <= 1;
  };
  // A box of one or two units either way has no corners to lose.
  const belongs = Math.min(across, up) < 3 ? () => true : inside;
  const edge = (unit, row) =>
    unit === 0 || row === 0 || unit === across - 1 || row === up - 1 ||
    !(belongs(unit - 1, row) && belongs(unit + 1, row) && belongs(unit, row - 1) && belongs(unit, row + 1));
  return within(part, (unit, row) => belongs(unit, row) && (filled || edge(unit, row)));
}

/** The places that hang together with one and are as it is; they meet along edges, not at corners. */
export function area(grid, [unit, row]) {
  const { across, up, cells } = grid;
  if (unit < 0 || row < 0 || unit >= across || row >= up) return [];
  const wanted = cells[row * across + unit];
  const seen = new Uint8Array(cells.length);
  const waiting = [row * across + unit];
  seen[waiting[0]] = 1;
  const found = [];
  const visit = (place) => {
    if (seen[place] || cells[place] !== wanted) return;
    seen[place] = 1;
    waiting.push(place);
  };
  while (waiting.length) {
    const place = waiting.pop();
    const at = place % across;
    found.push([at, (place - at) / across]);
    if (at > 0) visit(place - 1);
    if (at < across - 1) visit(place + 1);
    if (place >= across) visit(place - across);
    if (place < across * (up - 1)) visit(place + across);
  }
  return found;
}

/** Draw places, or let them rest; what lies outside is passed over. */
export function marked(grid, places, drawn = true) {
  const cells = grid.cells.slice();
  for (const [unit, row] of places) {
    if (unit >= 0 && row >= 0 && unit < grid.across && row < grid.up) cells[row * grid.across + unit] = drawn ? 1 : 0;
  }
  return { ...grid, cells };
}

// Parts ----------------------------------------------------------------------------------------

export const all = ({ across, up }) => ({ unit: 0, row: 0, across, up });

/** A part as a grid of its own. */
export const cut = (grid, part) => made(part.across, part.up, (unit, row) => isDrawn(grid, part.unit + unit, part.row + row));

/** Lay another grid on this one: all of it, or its drawn units only. */
export function placed(grid, other, [unit, row], onlyDrawn = false) {
  const every = within({ unit, row, across: other.across, up: other.up }, () => true);
  const drawn = every.filter(([at, up]) => isDrawn(other, at - unit, up - row));
  return onlyDrawn ? marked(grid, drawn) : marked(marked(grid, every, false), drawn);
}

/** Take a part up, do something to it, and lay it down so far away; where it was, the ground rests. */
export function changedIn(grid, part, edit, [units, rows] = [0, 0]) {
  const rest = marked(grid, within(part, () => true), false);
  return placed(rest, edit(cut(grid, part)), [part.unit + units, part.row + rows]);
}

/** Move a part. */
export const moved = (grid, part, by) => changedIn(grid, part, (taken) => taken, by);

// Turning, shifting, repeating ------------------------------------------------------------------

/** Left becomes right. */
export const sideToSide = (grid) => made(grid.across, grid.up, (unit, row) => isDrawn(grid, grid.across - 1 - unit, row));

/** The first row becomes the last. */
export const endToEnd = (grid) => made(grid.across, grid.up, (unit, row) => isDrawn(grid, unit, grid.up - 1 - row));

/** A quarter-turn as the hands of a clock go. */
export const quarterTurned = (grid) => made(grid.up, grid.across, (unit, row) => isDrawn(grid, grid.across - 1 - row, unit));

/** Figure and ground exchanged. */
export const turnedOver = (grid) => ({ ...grid, cells: grid.cells.map((cell) => 1 - cell) });

const around = (place, length) => ((place % length) + length) % length;

/** Shifted to the right and up; what leaves on one side comes in on the other. */
export const shifted = (grid, units, rows) =>
  made(grid.across, grid.up, (unit, row) => isDrawn(grid, around(unit - units, grid.across), around(row - rows, grid.up)));

/** Repeated side by side and one above the other; with a drop, every second column of repeats stands half a repeat higher. */
export const repeated = (grid, across, up, drop = false) =>
  made(grid.across * across, grid.up * up, (unit, row) => {
    const half = drop && Math.floor(unit / grid.across) % 2 ? Math.floor(grid.up / 2) : 0;
    return isDrawn(grid, unit % grid.across, (row + half) % grid.up);
  });

/** Rows put in below a row, at rest. */
export const withRows = (grid, row, count) =>
  made(grid.across, grid.up + count, (unit, at) => (at < row ? isDrawn(grid, unit, at) : at >= row + count && isDrawn(grid, unit, at - count)));

/** Rows taken out. */
export const withoutRows = (grid, row, count) =>
  made(grid.across, grid.up - count, (unit, at) => isDrawn(grid, unit, at < row ? at : at + count));

/** Columns put in to the left of a unit, at rest. */
export const withColumns = (grid, unit, count) =>
  made(grid.across + count, grid.up, (at, row) => (at < unit ? isDrawn(grid, at, row) : at >= unit + count && isDrawn(grid, at - count, row)));

/** Columns taken out. */
export const withoutColumns = (grid, unit, count) =>
  made(grid.across - count, grid.up, (at, row) => isDrawn(grid, at < unit ? at : at + count, row));

/** Another size: room is added, or taken away, on both sides alike; an odd unit on the right, an odd row above. */
export function sized(grid, across, up) {
  const [left, below] = [Math.trunc((across - grid.across) / 2), Math.trunc((up - grid.up) / 2)];
  return made(across, up, (unit, row) => isDrawn(grid, unit - left, row - below));
}

// The whole that follows from a part --------------------------------------------------------------

/**
 * How the whole follows: the part mirrored about its last unit ("unit") or beyond it ("between"), either way; that
 * repeated so many times side by side and one above the other, with units over at the right and rows over at the top,
 * every second repeat half a repeat higher where it drops; and a border around it, which turns on the diagonal, or
 * with a corner of its own so many times along the lower edge and upright, and units over before the next corner.
 * With it go the weaver's own orders of rising and sinking for the ground, empty for the usual ones.
 */
export const ONCE = Object.freeze({
  sideways: "once", upwards: "once", times: 1, rows: 1, over: 0, above: 0, drop: false,
  border: null, corner: null, along: 0, upright: 0, alongOver: 0, uprightOver: 0, rise: "", sink: "",
});

const MIRRORED = { once: (length) => length, unit: (length) => 2 * length - 1, between: (length) => 2 * length };
const isRepeated = ({ times, rows, over, above }) => times !== 1 || rows !== 1 || over !== 0 || above !== 0;

/** Whether there is more to the whole than the part. */
export const follows = (rule) => rule.sideways !== "once" || rule.upwards !== "once" || isRepeated(rule) || rule.border !== null;

/** What is mirrored, what is repeated, and where that lies in its border. */
export function measures(part, rule) {
  const { sideways, upwards, times, rows, over, above, drop, border, corner, along, upright, alongOver, uprightOver } = rule;
  const [wide, high] = [MIRRORED[sideways](part.across), MIRRORED[upwards](part.up)];
  const [across, up] = [wide * times + over, high * rows + above];
  const deep = border?.up ?? 0;
  const room = corner ? [along * border.across + alongOver, upright * border.across + uprightOver] : [across, up];
  return { wide, high, half: drop ? Math.floor(high / 2) : 0, across, up, deep, room, left: deep + Math.floor((room[0] - across) / 2), low: deep + Math.floor((room[1] - up) / 2) };
}

/** The place in the part that a place of the whole follows from, or null in the border. */
export function placeInPart(part, rule, [unit, row]) {
  const { wide, high, half, across, up, left, low } = measures(part, rule);
  const [x, y] = [unit - left, row - low];
  if (x < 0 || y < 0 || x >= across || y >= up) return null;
  const back = (at, length, whole) => (at < length ? at : whole - 1 - at);
  const dropped = Math.floor(x / wide) % 2 ? half : 0;
  return [back(x % wide, part.across, wide), back((y + dropped) % high, part.up, high)];
}

/** The whole figure that follows from a part. */
export function wholeOf(part, rule = ONCE) {
  const { over, above, border, corner, alongOver, uprightOver } = rule;
  if (!follows(rule)) return part;
  if (Math.min(over, above, alongOver, uprightOver) < 0) throw new RangeError("Units over are counted from 0.");
  const { across, up, room } = measures(part, rule);
  const alone = { ...rule, border: null, corner: null };
  const inside = made(across, up, (unit, row) => isDrawn(part, ...placeInPart(part, alone, [unit, row])));
  if (corner) return cornered(inside, border, corner, room);
  return border ? bordered(inside, border) : inside;
}

/**
 * A border around a figure. The strip runs in from each corner along each edge, its first row outermost, and
 * meets itself in the middle of the edge; so the corners turn on their diagonal, and all four are alike.
 */
export function bordered(grid, strip) {
  const deep = strip.up;
  const [across, up] = [grid.across + 2 * deep, grid.up + 2 * deep];
  return made(across, up, (unit, row) => {
    const [in_, on] = [Math.min(unit, across - 1 - unit), Math.min(row, up - 1 - row)];
    const [depth, along] = on <= in_ ? [on, in_] : [in_, on];
    return depth < deep ? isDrawn(strip, along % strip.across, depth) : isDrawn(grid, unit - deep, row - deep);
  });
}

/**
 * A border with a corner of its own around a figure, which lies in the middle of its room. The corner is the lower left one, as
 * wide as it is high; the strip is one repeat of the lower edge. Both turn by a quarter at each corner.
 */
export function cornered(grid, strip, corner, room) {
  const deep = strip.up;
  if (corner.across !== deep || corner.up !== deep) {
    throw new RangeError(`The border is ${deep} high, the corner ${corner.across} by ${corner.up}. A corner is as wide and as high as the border is high.`);
  }
  if (grid.across > room[0] || grid.up > room[1]) {
    throw new RangeError(`The border leaves ${room[0]} units across and ${room[1]} up, and ${grid.across} by ${grid.up} are to go into it. Give the border more repeats.`);
  }
  const [across, up] = room.map((length) => length + 2 * deep);
  const [left, low] = [deep + Math.floor((room[0] - grid.across) / 2), deep + Math.floor((room[1] - grid.up) / 2)];
  const edge = (at, depth) => (at < deep ? isDrawn(corner, at, depth) : isDrawn(strip, (at - deep) % strip.across, depth));
  return made(across, up, (unit, row) => {
    const [right, over] = [across - 1 - unit, up - 1 - row];
    if (row < deep && right >= deep) return edge(unit, row);
    if (right < deep && over >= deep) return edge(row, right);
    if (over < deep && unit >= deep) return edge(right, over);
    if (unit < deep) return edge(over, unit);
    return isDrawn(grid, unit - left, row - low);
  });
}

// Undo and redo -------------------------------------------------------------------------------------

function difference(before, after) {
  if (before.across !== after.across || before.up !== after.up) return { before, after };
  const places = [];
  after.cells.forEach((cell, place) => cell !== before.cells[place] && places.push(place));
  return places.length * 4 > after.cells.length ? { before, after } : { places: Uint32Array.from(places) };
}

const pressedGrid = ({ across, up, cells }) => ({ across, up, bits: bitsOf({ across, up, cells }) });
const openedGrid = ({ across, up, bits }) => made(across, up, (unit, row) => (bits[row * Math.ceil(across / 8) + (unit >> 3)] >> (unit & 7)) & 1);

/** A step as it is kept: whole grids as bits. */
function pressedStep({ change, ...rules }) {
  return { change: change.places ? change : { before: pressedGrid(change.before), after: pressedGrid(change.after) }, ...rules };
}

function openedStep({ change, ...rules }) {
  return { change: change.places ? change : { before: openedGrid(change.before), after: openedGrid(change.after) }, ...rules };
}

/** About how many bytes a kept step has. */
function weightOf({ change, before, after }) {
  const grids_ = [change.before?.bits, change.after?.bits, before.border?.cells, before.corner?.cells, after.border?.cells, after.corner?.cells];
  return 200 + (change.places?.byteLength ?? 0) + grids_.reduce((sum, bytes) => sum + (bytes?.length ?? 0), 0);
}

function applied(grid, change, side) {
  if (!change.places) return change[side];
  const cells = grid.cells.slice();
  for (const place of change.places) cells[place] ^= 1;
  return { ...grid, cells };
}

/** What was drawn, step by step: only what each step changed is held, so that there is no end to it. */
export class History {
  #done = [];
  #undone = [];

  constructor(grid, whole = ONCE, { done = [], undone = [] } = {}) {
    this.now = { grid, whole };
    this.#done = done.map(openedStep);
    this.#undone = undone.map(openedStep);
  }

  /** The steps to be kept, the nearest ones, in so many bytes: {done, undone, all}; `all` is false where some are left out. */
  kept(most) {
    let room = most;
    let all = true;
    const nearest = (steps) => {
      const fitting = [];
      for (let at = steps.length - 1; at >= 0; at--) {
        const step = pressedStep(steps[at]);
        room -= weightOf(step);
        if (room < 0) {
          all = false;
          break;
        }
        fitting.unshift(step);
      }
      return fitting;
    };
    const done = nearest(this.#done);
    return { done, undone: nearest(this.#undone), all };
  }

  get canUndo() {
    return this.#done.length > 0;
  }

  get canRedo() {
    return this.#undone.length > 0;
  }

  /** Take a step; one that changes nothing is none. */
  take(grid, whole = this.now.whole) {
    const change = difference(this.now.grid, grid);
    if (change.places?.length === 0 && whole === this.now.whole) return false;
    this.#done.push({ change, before: this.now.whole, after: whole });
    this.#undone = [];
    this.now = { grid, whole };
    return true;
  }

  #step(from, to, side) {
    const step = from.pop();
    if (!step) return false;
    to.push(step);
    this.now = { grid: applied(this.now.grid, step.change, side), whole: step[side] };
    return true;
  }

  undo = () => this.#step(this.#done, this.#undone, "before");
  redo = () => this.#step(this.#undone, this.#done, "after");
}

// Written down, and read again ------------------------------------------------------------------------

/** Squares, a line for each row, the first woven first or, as it looks, the last. */
export function inSquares(grid, topFirst = false, signs = ".#", between = "") {
  const lines = Array.from({ length: grid.up }, (_, row) =>
    Array.from(grid.cells.subarray(row * grid.across, (row + 1) * grid.across), (cell) => signs[cell]).join(between));
  return (topFirst ? lines.reverse() : lines).join("\n");
}

/** A table of 1 and 0, the first row woven first. */
export const asCsv = (grid) => `${inSquares(grid, false, "01", ",").replaceAll("\n", "\r\n")}\r\n`;

/** Read squares or a table of 1 and 0. */
export function readSquares(text, topFirst = false) {
  if (text.length > 2 * (MOST_ACROSS + 2) * MOST_UP) throw new RangeError(`This is longer than ${MOST_ACROSS} units across and ${MOST_UP} up.`);
  const lines = text.split(/[\n\r/]+/).map((one) => one.replace(/[\s,;|"\ufeff]/g, "")).filter(Boolean);
  if (!lines.length) throw new RangeError(`There is no figure yet. ${SIGNS}`);
  for (const [place, signs] of lines.entries()) {
    const strange = [...signs].find((sign) => !(DRAWN + REST).includes(sign));
    if (strange) throw new RangeError(`Line ${place + 1} has the sign “${strange}”. ${SIGNS}`);
    const [first, own] = [lines[0].length, signs.length];
    if (first !== own) throw new RangeError(`Line 1 has ${first} units, line ${place + 1} has ${own}. All lines must be as long.`);
  }
  if (topFirst) lines.reverse();
  return made(lines[0].length, lines.length, (unit, row) => DRAWN.includes(lines[row][unit]));
}

async function pressed(bytes, press) {
  const stream = new Blob([bytes]).stream().pipeThrough(press);
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/** Eight units in a byte, every row beginning with one. */
function bitsOf(grid) {
  const wide = Math.ceil(grid.across / 8);
  const bits = new Uint8Array(wide * grid.up);
  grid.cells.forEach((cell, place) => {
    const unit = place % grid.across;
    if (cell) bits[((place - unit) / grid.across) * wide + (unit >> 3)] |= 1 << (unit & 7);
  });
  return bits;
}

/** The form for links: units across and up, then the bits pressed together. */
export async function packed(grid) {
  const text = Array.from(await pressed(bitsOf(grid), new CompressionStream("deflate-raw")), (byte) => String.fromCharCode(byte)).join("");
  return `${grid.across}x${grid.up}.${btoa(text).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "")}`;
}

/** Open a stream as far as a grid needs it, and no further. */
async function inflated(bytes, wanted) {
  const reader = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw")).getReader();
  const bits = new Uint8Array(wanted);
  let filled = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return filled === wanted ? bits : null;
    if (filled + value.length > wanted) {
      reader.cancel().catch(() => {});
      return null;
    }
    bits.set(value, filled);
    filled += value.length;
  }
}

/** Read the form of a link. */
export async function unpacked(text) {
  const damaged = new RangeError(DAMAGED);
  const [, across, up, letters] = /^(\d{1,4})x(\d{1,4})\.([A-Za-z0-9_-]*)$/.exec(text.trim()) ?? [];
  if (letters === undefined) throw damaged;
  const blank = made(Number(across), Number(up));
  const wide = Math.ceil(blank.across / 8);
  let bits = null;
  try {
    const bytes = Uint8Array.from(atob(letters.replaceAll("-", "+").replaceAll("_", "/")), (sign) => sign.charCodeAt(0));
    bits = await inflated(bytes, wide * blank.up);
  } catch {
    // not base64, or not a stream
  }
  const bit = (unit, row) => (bits[row * wide + (unit >> 3)] >> (unit & 7)) & 1;
  const beyond = (_, row) => Array.from({ length: wide * 8 - blank.across }, (__, more) => bit(blank.across + more, row)).some(Boolean);
  if (!bits || Array.from({ length: blank.up }, beyond).some(Boolean)) throw damaged;
  return made(blank.across, blank.up, bit);
}

const MIRRORS = { unit: "a", between: "b" };

/** An order of shafts as it is kept: "1, 3 + 5 - 2" is "1 3+5 2". */
export const orderOf = (typed) => typed.trim().replace(/\s*\+\s*/g, "+").replace(/[\s,;/>→–—-]+/g, " ");

const dotted = (order) => order.replaceAll(" ", ".");

/** A part and the steps to its whole, as the package reads them (calculators/figure/wholes.py). */
export async function stored(part, rule) {
  const { sideways, upwards, times, rows, over, above, drop, border, corner, along, upright, alongOver, uprightOver, rise, sink } = rule;
  const more = (units, higher) => (units || higher ? `+${units}+${higher}` : "");
  const steps = [
    MIRRORS[sideways] && `m${MIRRORS[sideways]}`,
    MIRRORS[upwards] && `u${MIRRORS[upwards]}`,
    isRepeated(rule) && `${drop ? "h" : "r"}${times}x${rows}${more(over, above)}`,
    border && (corner ? `b${along}x${upright}${more(alongOver, uprightOver)}` : "f"),
  ].filter(Boolean);
  const written = corner ? [corner, border, part] : border ? [part, border] : [part];
  const orders = rise || sink ? [`o${dotted(rise)}_${dotted(sink)}`] : [];
  return [...(steps.length ? [steps.join("-")] : []), ...(await Promise.all(written.map(packed))), ...orders].join("~");
}

/** Read what is stored: {grid, rule}. */
export async function opened(text) {
  const [, figure, ...orders] = /^(.*?)(?:~o([\d.+]*)_([\d.+]*))?$/s.exec(text.trim());
  const [rise, sink] = orders.map((order) => (order ?? "").replaceAll(".", " "));
  const [steps, ...parts] = /^[a-z]/.test(figure) ? figure.split("~") : ["", figure];
  const found = /^(?:m([ab])(?:-|$))?(?:u([ab])(?:-|$))?(?:([rh])(\d{1,4})x(\d{1,4})(?:\+(\d{1,4})\+(\d{1,4}))?(?:-|$))?(f|b(\d{1,4})x(\d{1,4})(?:\+(\d{1,4})\+(\d{1,4}))?)?$/.exec(steps);
  if (!found || steps.endsWith("-")) throw new RangeError(DAMAGED);
  const [, across, up, repeat, times = 1, rows = 1, over = 0, above = 0, edge = "", ...around] = found;
  const mirror = { a: "unit", b: "between" };
  const rule = {
    ...ONCE, sideways: mirror[across] ?? "once", upwards: mirror[up] ?? "once", drop: repeat === "h",
    times: Number(times), rows: Number(rows), over: Number(over), above: Number(above), rise, sink,
  };
  const alone = /^b[^-]*$/.test(steps) && parts.length === 2; // a border with nothing in it
  if (!alone && parts.length !== { "": 1, f: 2, b: 3 }[edge.slice(0, 1)]) throw new RangeError(DAMAGED);
  const opening = await Promise.all(parts.map(unpacked));
  if (edge === "f") [rule.border] = opening.splice(1);
  else if (edge) {
    [rule.corner, rule.border] = opening.splice(0, 2);
    [rule.along, rule.upright, rule.alongOver, rule.uprightOver] = around.map((count) => Number(count ?? 0));
  }
  const [grid = made(...measures(rule.border, rule).room)] = opening;
  return { grid, rule: steps || rise || sink ? rule : ONCE };
}

/** A drawing of the units in the cloth's proportions; its bits go along, so that it can be opened again. */
export async function asSvg(grid, width = 1, height = 1) {
  const runs = [];
  for (let row = 0; row < grid.up; row++) {
    for (let unit = 0; unit < grid.across; unit++) {
      const begin = unit;
      while (isDrawn(grid, unit, row)) unit++;
      if (unit > begin) runs.push(`M${begin} ${grid.up - 1 - row}h${unit - begin}v1h-${unit - begin}z`);
    }
  }
  const [wide, high] = [grid.across, grid.up];
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${wide} ${high}" width="${wide * width * 4}" height="${high * height * 4}" preserveAspectRatio="none" data-figure="${await packed(grid)}"><path fill="#fff" d="M0 0h${wide}v${high}H0z"/><path d="${runs.join("")}"/></svg>\n`;
}
