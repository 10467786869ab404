// Plans kept on this device: one key for each, so that two tabs never overwrite each other's.

import { VERSION } from "./address.mjs";
import {
  actions, button, forget, keysOf, labelled, link, linkTo, make, openDialog, planOf, recall, retain, root, saveFile, told,
} from "./parts.mjs";
import { build } from "./runtime.mjs";

const PREFIX = "ft-plan-";
const OPENED = "ft-opened"; // which kept plan this tab opened last
const KIND = "fine-thread plans";
const LONGEST = 50_000; // letters in one field: a shelf of two hundred cones, with notes
const NO_ROOM =
  "This browser keeps nothing more here: its store is full, or closed as in a private window. A file keeps the plan all the same.";
const MAY_GO =
  "Saved plans stay in this browser on this device. It may delete them: when space runs short, when its data are cleared, some browsers after weeks without a visit. What matters should be saved as a file too.";

/** Every kept plan, the latest first. */
export function plans() {
  return keysOf(PREFIX)
    .map((key) => ({ key, ...recall(key) }))
    .filter((plan) => plan.calculator && plan.inputs)
    .sort((one, other) => String(other.kept).localeCompare(String(one.kept)));
}

// What was kept without a version was kept by the first edition.
const stored = ({ name, calculator, inputs, kept, version = 1 }) => ({ name, calculator, inputs, kept, version });

function keepPlan(plan, key = "") {
  const place = key || PREFIX + Date.now().toString(36) + Math.random().toString(36).slice(2, 8);
  const done = retain(place, { ...stored(plan), kept: plan.kept ?? new Date().toISOString() });
  return done ? place : "";
}

/** The name under which exactly this is kept, or nothing. */
export function nameOf(calculator, inputs) {
  const wanted = Object.entries(inputs);
  const same = (plan) => plan.calculator === calculator && wanted.every(([name, value]) => plan.inputs[name] === value);
  return plans().find((plan) => same(plan) && Object.keys(plan.inputs).length === wanted.length)?.name ?? "";
}

function opened(key) {
  try {
    if (key) sessionStorage.setItem(OPENED, key);
    return sessionStorage.getItem(OPENED);
  } catch {
    return "";
  }
}

/** Write plans as the text of a file. */
export function fileOf(list) {
  return JSON.stringify({ kind: KIND, version: VERSION, build, plans: list.map(stored) }, null, 1);
}

function nameField(value) {
  return Object.assign(make("input", ""), { value, maxLength: 80, autocomplete: "off", required: true });
}

/** Ask for a name and keep the plan in this calculator. */
export function act(section) {
  const plan = planOf(section);
  const known = plans().find((one) => one.key === opened() && one.calculator === plan.calculator);
  const field = nameField(known?.name ?? plan.title);
  const say = told();
  const form = make("form", "ft-asking");
  const keep = async (key) => {
    const name = field.value.trim() || plan.title;
    const first = plans().length === 0;
    const place = keepPlan({ ...plan, name }, key);
    if (!place) {
      say.replaceChildren(NO_ROOM, " ", button("Save as a file", () => saveFile("plan.json", fileOf([{ ...plan, name }]))));
      return;
    }
    opened(place);
    form.hidden = true;
    say.replaceChildren(`Saved as “${name}”. ${MAY_GO} `, link("Your plans", new URL("plans/", root)));
    if (first) await navigator.storage?.persist?.().catch(() => false);
  };
  const asNew = button(known ? "Save as another plan" : "Save", () => keep(""));
  form.append(labelled("Name", field));
  form.append(known ? actions(button(`Save the changes in “${known.name}”`, () => keep(known.key)), asNew) : actions(asNew));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    keep(field.value.trim() === known?.name ? known.key : ""); // another name is another plan
  });
  openDialog("Save this plan", form, say);
  field.select();
}

// Reading a file: all of it or nothing --------------------------------------------------------

function troublesOf(plan, homes) {
  const named = typeof plan?.name === "string" && plan.name.trim() && plan.name.length <= 200;
  if (!named) return "it has no name, or one of more than 200 letters";
  if (!Object.hasOwn(homes, plan.calculator)) return `there is no calculator “${String(plan.calculator).slice(0, 40)}” here`;
  const inputs = Object.entries(plan.inputs ?? [null]); // none at all is not sound either
  const sound = inputs.every(([name, value]) => /^[a-z_]{1,40}$/.test(name) && typeof value === "string" && value.length <= LONGEST);
  return sound && inputs.length <= 100 ? "" : "its numbers are not written as they should be";
}

/** Read a file's text: {plans} or {problem}. */
export function readFile(text, homes) {
  let file;
  try {
    file = JSON.parse(text);
  } catch {
    return { problem: "This is not a file of plans, or it was damaged on the way: it cannot be read as JSON." };
  }
  if (file?.kind !== KIND || !Array.isArray(file.plans)) {
    return { problem: "This file is not one of the handbook’s plans." };
  }
  if (!(file.version >= 1 && file.version <= VERSION)) {
    return { problem: `This file was made by another edition of the handbook (version ${String(file.version).slice(0, 20)}), and this one cannot read it.` };
  }
  const troubles = file.plans
    .map((plan, place) => [place + 1, troublesOf(plan, homes)])
    .filter(([, trouble]) => trouble)
    .map(([number, trouble]) => `plan ${number}: ${trouble}`);
  if (troubles.length) return { problem: `Nothing was taken from this file. ${troubles.slice(0, 5).join("; ")}.` };
  return { plans: file.plans.map(stored) };
}

// The page of plans ---------------------------------------------------------------------------

/** Show the kept plans, and go on showing them while other tabs change them. */
export function list(place) {
  const homes = JSON.parse(place.dataset.homes);
  const say = told();
  const held = make("ul", "ft-plans");
  const chooser = Object.assign(make("input", ""), { type: "file", accept: ".json,application/json" });
  const all = button("Save all as one file", () => saveFile("plans.json", fileOf(plans())));
  const line = make("p", "ft-soft");
  place.replaceChildren(say, held, actions(all), labelled("Open a file of plans", chooser), line);
  const tell = (words, ...more) => {
    say.replaceChildren(words, " ", ...more);
    show();
  };

  function linkOf(plan, page = homes[plan.calculator]?.page) {
    return linkTo(new URL(page, root), plan.calculator, plan.inputs, plan.version ?? 1);
  }

  function item(plan) {
    const entry = make("li", "");
    const open = link(plan.name, linkOf(plan, homes[plan.calculator]?.page ?? "plans/"));
    open.className = "ft-plan-name";
    open.addEventListener("click", () => opened(plan.key));
    const day = new Date(plan.kept).toLocaleDateString("en-GB", { dateStyle: "long" });
    const about = make("p", "ft-soft", `${homes[plan.calculator]?.title ?? plan.calculator}, saved ${day}`);
    const act = (words, does) => {
      const one = button(words, does);
      one.setAttribute("aria-label", `${words}: ${plan.name}`);
      return one;
    };
    const ways = homes[plan.calculator]?.loom ? [link("Take it to the loom", linkOf(plan, "loom-side/"))] : [];
    entry.append(open, about, actions(
      ...ways,
      act("Rename", () => rename(plan)),
      act("Duplicate", () => {
        const done = keepPlan({ ...plan, name: `${plan.name}, again`, kept: undefined });
        tell(done ? `“${plan.name}, again” stands beside it.` : NO_ROOM);
      }),
      act("Delete", () => {
        forget(plan.key);
        tell(`“${plan.name}” is deleted.`, button("Put it back", () => {
          tell(keepPlan(plan, plan.key) ? `“${plan.name}” is back.` : NO_ROOM);
          held.querySelector("a")?.focus();
        }));
        say.querySelector("button").focus();
      }),
    ));
    return entry;
  }

  function rename(plan) {
    const field = nameField(plan.name);
    const form = make("form", "ft-asking");
    form.append(labelled("Name", field), actions(Object.assign(make("button", "ft-act", "Rename"), { type: "submit" })));
    const dialog = openDialog("Another name", form);
    field.select();
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const name = field.value.trim() || plan.name;
      tell(keepPlan({ ...plan, name }, plan.key) ? `It is called “${name}” now.` : NO_ROOM);
      dialog.close();
    });
  }

  async function take() {
    const [file] = chooser.files;
    if (!file) return;
    const read = file.size > 5e6 ? { problem: "This file is far too large for plans." } : readFile(await file.text(), homes);
    chooser.value = "";
    if (read.problem) {
      tell(read.problem);
      return;
    }
    const fresh = read.plans.filter((plan) => nameOf(plan.calculator, plan.inputs) !== plan.name);
    const kept = [];
    for (const plan of fresh) kept.push(keepPlan({ ...plan, kept: undefined }));
    if (kept.includes("")) {
      kept.forEach((key) => key && forget(key));
      tell(`${NO_ROOM} Nothing was taken in; open from here what you want to see:`, ...read.plans.flatMap((plan) => [link(plan.name, linkOf(plan)), " "]));
      return;
    }
    const here = read.plans.length - fresh.length;
    tell(`${fresh.length} taken in${here ? `; ${here} stood here already` : ""}.`);
  }

  function show() {
    const now = plans();
    held.replaceChildren(...now.map(item));
    all.hidden = now.length === 0;
    line.textContent = now.length ? MAY_GO : `Nothing is saved yet. Every calculator has a button for it. ${MAY_GO}`;
  }

  chooser.addEventListener("change", take);
  addEventListener("storage", () => place.isConnected && show());
  show();
}
