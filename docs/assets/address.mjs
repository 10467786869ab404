// A plan in the address, after the #: v=2&units=cm&calculator=sett&sett=24%20%2Fcm. Anchors stay anchors.

export const VERSION = 2;
export const NAME = "plan-name"; // no field is called so: theirs are written with underscores

const CAME_FROM = "came-from"; // the calculator whose answer led here

/**
 * Read the address, or that of a count: null when it holds no plan, else
 * {calculator, name, values, repeated, version, newer, cameFrom, units}.
 *
 * `units` are what its bare numbers are counted in, cm or inch; without them each has its field's own unit.
 */
export function readAddress(hash = location.hash) {
  const text = hash.slice(1);
  if (!text.startsWith("v=")) return null;
  const plan = { calculator: "", name: "", values: new Map(), repeated: [], version: 0, newer: "", cameFrom: "", units: "" };
  for (const [name, value] of new URLSearchParams(text)) {
    if (name === "v") {
      plan.version = Number(value);
      plan.newer = plan.version >= 1 && plan.version <= VERSION ? "" : value;
    }
    else if (name === "units" && (value === "cm" || value === "inch")) plan.units = value; // no field holds these
    else if (name === "calculator") plan.calculator = value;
    else if (name === CAME_FROM) plan.cameFrom = value;
    else if (name === NAME) plan.name = value.trim().slice(0, 200);
    else if (plan.values.has(name)) plan.repeated.push(name);
    else plan.values.set(name, value);
  }
  return plan;
}

let pending = null;
let before = ""; // what stood in the address when it was to be written
let timer = 0;

/** Write what is still to be written; browsers refuse too many changes of the address at once. */
export function flushAddress() {
  clearTimeout(timer);
  if (pending === null) return;
  const hash = pending;
  pending = null;
  if (location.hash !== before) return; // another plan came meanwhile, and is not written over
  if (hash || location.hash.startsWith("#v=")) {
    history.replaceState(history.state, "", location.pathname + location.search + hash);
  }
}

/** Forget what is still to be written: its page has been left. */
export function dropAddress() {
  clearTimeout(timer);
  pending = null;
}

/** Write a plan as an address after the #; what it leaves out means what that version meant. */
export function hashOf(calculator, values, version = VERSION, units = "") {
  const query = new URLSearchParams([
    ["v", version],
    ...(units ? [["units", units]] : []),
    ["calculator", calculator],
    ...Object.entries(values),
  ]);
  return `#${query.toString().replaceAll("+", "%20")}`;
}

/** Put a calculator's values into the address, a moment later; null takes them out of it. */
export function writeAddress(calculator, values, units) {
  before = location.hash;
  pending = values ? hashOf(calculator, values, VERSION, units) : "";
  clearTimeout(timer);
  timer = setTimeout(flushAddress, 250);
}
