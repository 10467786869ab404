// A plan in the address, after the #: v=1&calculator=sett&sett=24%20%2Fcm. Anchors stay anchors.

const VERSION = "1";

/** Read the address: null when it holds no plan, else {calculator, values, repeated, newer}. */
export function readAddress() {
  const text = location.hash.slice(1);
  if (!text.startsWith("v=")) return null;
  const plan = { calculator: "", values: new Map(), repeated: [], newer: "" };
  for (const [name, value] of new URLSearchParams(text)) {
    if (name === "v") plan.newer = value === VERSION ? "" : value;
    else if (name === "calculator") plan.calculator = value;
    else if (plan.values.has(name)) plan.repeated.push(name);
    else plan.values.set(name, value);
  }
  return plan;
}

let pending = null;
let timer = 0;

/** Write what is still to be written; browsers refuse too many changes of the address at once. */
export function flushAddress() {
  clearTimeout(timer);
  if (pending === null) return;
  const hash = pending;
  pending = null;
  if (hash || location.hash.startsWith("#v=")) {
    history.replaceState(history.state, "", location.pathname + location.search + hash);
  }
}

/** Forget what is still to be written: its page has been left. */
export function dropAddress() {
  clearTimeout(timer);
  pending = null;
}

/** Write a plan as an address after the #. */
export function hashOf(calculator, values) {
  const query = new URLSearchParams({ v: VERSION, calculator, ...values });
  return `#${query.toString().replaceAll("+", "%20")}`;
}

/** Put a calculator's changed values into the address, a moment later. */
export function writeAddress(calculator, values) {
  pending = Object.keys(values).length ? hashOf(calculator, values) : "";
  clearTimeout(timer);
  timer = setTimeout(flushAddress, 250);
}
