// Small parts that several scripts of the page share: elements, dialogs, plans, what the device keeps.

import { hashOf, NAME, VERSION, writeAddress } from "./address.mjs";
import { UNITS, writtenOut } from "./bare.mjs";

export const COUNTED = ["cloth-plan", "rhythm"]; // what can be counted along at the loom
export const root = new URL("../", import.meta.url);

/** Make an element with a class and text. */
export function make(tag, name, text = "") {
  const element = document.createElement(tag);
  element.className = name;
  element.textContent = text;
  return element;
}

/** Make a button that does something. */
export function button(text, act) {
  const element = make("button", "ft-act", text);
  element.type = "button";
  element.addEventListener("click", act);
  return element;
}

/** Make a link. */
export function link(text, address) {
  return Object.assign(make("a", "", text), { href: address });
}

/** Make a line of buttons and links. */
export function actions(...parts) {
  const line = make("p", "ft-actions");
  line.append(...parts);
  return line;
}

/** Make a field with its label above it. */
export function labelled(words, field) {
  const label = make("label", "ft-labelled", words);
  label.append(field);
  return label;
}

/** Make a line that is read out when its text changes. */
export function told() {
  const line = make("p", "ft-told");
  line.setAttribute("role", "status");
  return line;
}

/** Open a dialog with a title; it is gone once closed. */
export function openDialog(title, ...parts) {
  const dialog = make("dialog", "ft-dialog");
  const heading = make("h2", "", title);
  dialog.setAttribute("aria-label", title);
  dialog.append(heading, ...parts, actions(button("Close", () => dialog.close())));
  dialog.addEventListener("close", () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
  return dialog;
}

// Plans -------------------------------------------------------------------------------------

/** What the reader counts in, cm or inch. */
export const units = () => UNITS[document.documentElement.dataset.world] ?? "";

/** Say beside each field what a bare number means to the reader. */
export function showUnits(form) {
  for (const { dataset, firstChild } of form.querySelectorAll(".ft-unit[data-cm]")) {
    dataset.own ??= firstChild.data;
    firstChild.data = dataset[units()] ?? dataset.own;
  }
}

/** What a control is in: its field's name and kind, and the words of its unit for each reader. */
export function fieldOf(control) {
  const holder = control.closest(".ft-field");
  const unit = holder?.querySelector(".ft-unit[data-cm]");
  const words = unit && { "": (unit.dataset.own ??= unit.textContent), cm: unit.dataset.cm, inch: unit.dataset.inch };
  return { name: control.name, kind: holder?.dataset.kind, words };
}

/** Read the plan that stands in a calculator: its name, and every field, none of it bare any more. */
export function planOf(section) {
  const { calculator, planName: name = "", about = "null", called = "null" } = section.dataset;
  const controls = [...section.querySelectorAll(".ft-form [name]")];
  const texts = controls.map((control) => [control.name, writtenOut(control.value, fieldOf(control), units())]);
  const plan = { calculator, name, inputs: Object.fromEntries(texts), version: VERSION, units: units(), about: JSON.parse(about) };
  plan.called = JSON.parse(called);
  plan.title = section.querySelector(".ft-title").firstChild.textContent.trim();
  plan.held = named(name, dependedOn(controls, plan.inputs));
  plan.link = linkTo(location.href, plan.calculator, plan.held, VERSION, plan.units);
  return plan;
}

/** What a plan goes by: its name, else what it is of, else its calculator. */
export const nameFor = ({ name, called, title }) => name || called?.[units() === "inch" ? "imperial" : "metric"] || title;

/** What a link holds: all that the answer depends on, so that it goes on saying the same. */
export function dependedOn(controls, values) {
  const depended = controls.filter(({ name, dataset }) => values[name] || dataset.default);
  return Object.fromEntries(depended.map(({ name }) => [name, values[name]]));
}

/** Put a plan's name to the values of its link. */
export const named = (name, values) => (name ? { [NAME]: name, ...values } : values);

/** Call the plan in a calculator by a name: here and in the address. */
export function callPlan(section, name) {
  showName(section, name);
  const { calculator, held, units: counted } = planOf(section);
  writeAddress(calculator, held, counted);
  section.dispatchEvent(new Event("ft-called"));
}

/** Show above a form what its plan is called. */
export function showName(section, name) {
  section.dataset.planName = name;
  const line = section.querySelector(".ft-called") ?? make("p", "ft-called");
  line.textContent = name && `“${name}”`;
  line.hidden = !name;
  if (!line.isConnected) section.querySelector(".ft-head").after(line);
}

/** Write a text that has a metric and an imperial side; the reader's choice shows one or both. */
export function inBoth({ metric, imperial }) {
  if (metric === imperial) return make("span", "", metric);
  const both = make("span", "ft-both");
  both.append(make("span", "ft-metric", metric), " ", make("span", "ft-imperial", imperial));
  return both;
}

/** Write a day as people do. */
export const dayOf = (moment) => new Date(moment).toLocaleDateString("en-GB", { dateStyle: "long" });

/** Write the whole address of a plan on a page. */
export function linkTo(page, calculator, values, version, units) {
  return new URL(hashOf(calculator, values, version, units), page).href;
}

/** Hand a text over as a file. */
export function saveFile(name, text, type = "application/json") {
  const address = URL.createObjectURL(new Blob([text], { type }));
  Object.assign(link("", address), { download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

// What the device keeps ---------------------------------------------------------------------

/** Read one kept object, or null; a browser may keep nothing, or something broken. */
export function recall(key) {
  try {
    const found = JSON.parse(localStorage.getItem(key));
    return found && typeof found === "object" ? found : null;
  } catch {
    return null;
  }
}

/** Keep one object; false when there is no room, or the browser keeps nothing here. */
export function retain(key, value) {
  try {
    localStorage.setItem(key, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}

/** Forget one kept object. */
export function forget(key) {
  try {
    localStorage.removeItem(key);
  } catch {
    // Nothing was kept.
  }
}

/** List the keys that begin so. */
export function keysOf(prefix) {
  try {
    return Object.keys(localStorage).filter((key) => key.startsWith(prefix));
  } catch {
    return [];
  }
}
