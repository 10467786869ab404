// Plans kept on this device, each under a key of its own.

import { readAddress, VERSION } from "./address.mjs";
import {
  actions, button, callPlan, dayOf, inBoth, labelled, link, linkTo, make, named, nameFor, openDialog, planOf, root, saveFile, told,
} from "./parts.mjs";
import { seenCloth } from "./cloth.mjs";
import { expectSent } from "./form.mjs";
import * as figures from "./kept-figure.mjs";
import { listLately } from "./lately.mjs";
import { build } from "./runtime.mjs";
import { all, newKey, remove, watch, write } from "./store.mjs";

const OPENED = "ft-opened"; // which kept plan this tab opened last, and when that was kept
const KIND = "fine-thread plans";
const LONGEST = 50_000; // letters in one field: a shelf of two hundred cones, with notes
const NO_ROOM =
  "This browser keeps nothing more here: its store is full, or closed as in a private window. A file keeps the plan all the same.";
const MAY_GO =
  "Saved plans stay in this browser on this device. It may delete them: when space runs short, when its data are cleared, some browsers after weeks without a visit. What matters should be saved as a file too.";

/** Every kept plan, the latest first. */
export async function plans() {
  return (await all("plans"))
    .filter((plan) => plan.calculator && plan.inputs)
    .sort((one, other) => String(other.kept).localeCompare(String(one.kept)));
}

// What was kept without a version was kept by the first edition.
const stored = ({ name, calculator, inputs, kept, version = 1, units }) => ({ name, calculator, inputs, kept, version, units });

/** Keep a plan; its key once it is kept, else nothing. */
async function keepPlan(plan, key = newKey()) {
  const { about = null, kept = new Date().toISOString() } = plan;
  return (await write("plans", key, { ...stored(plan), about, kept })) ? key : "";
}

/** The name under which exactly this is kept, or nothing. */
export async function nameOf(calculator, inputs) {
  return (await keptAs(calculator, inputs))?.name ?? "";
}

async function keptAs(calculator, inputs, name) {
  const filled = (plan) => Object.entries(plan).filter(([, value]) => value); // a link leaves out what is empty
  const wanted = filled(inputs);
  const same = (plan) => plan.calculator === calculator && (name ?? plan.name) === plan.name && wanted.every(([name, value]) => plan.inputs[name] === value);
  return (await plans()).find((plan) => same(plan) && filled(plan.inputs).length === wanted.length);
}

function opened(plan) {
  try {
    if (plan) sessionStorage.setItem(OPENED, JSON.stringify({ key: plan.key, kept: plan.kept }));
    return JSON.parse(sessionStorage.getItem(OPENED)) ?? {};
  } catch {
    return {};
  }
}

/** Write plans as the text of a file, each with its figure. */
export async function fileOf(list) {
  const written = [];
  for (const plan of list) {
    const figure = plan.figure ?? (await figures.figureOf(await figures.ofPlan(plan)))?.figure;
    written.push({ ...stored(plan), ...(figure && { figure }) });
  }
  return JSON.stringify({ kind: KIND, version: VERSION, build, plans: written }, null, 1);
}

/** Every saved plan, and those that only have a figure, under a name that says so. */
async function allPlans() {
  const saved = await plans();
  const keys = new Set();
  for (const plan of saved) keys.add((await figures.figureOf(await figures.ofPlan(plan)))?.key);
  const drawn = (await figures.figures()).filter(({ key, plan }) => !keys.has(key) && readAddress(plan));
  const others = drawn.map(({ plan, name, figure, day }) => {
    const { calculator, values, version, units } = readAddress(plan);
    return { name: name || `Without a name, drawn ${dayOf(day)}`, calculator, inputs: Object.fromEntries(values), kept: day, version, units, figure };
  });
  return [...saved, ...others];
}

function nameField(value) {
  return Object.assign(make("input", ""), { value, maxLength: 80, autocomplete: "off", required: true });
}

/** Keep a plan under a name, and say so; whether it is kept. */
async function keepUnder(section, plan, wanted, key, say) {
  const kept = new Date().toISOString();
  const name = await figures.nameFigure(await figures.ofPlan(plan), wanted);
  const place = await keepPlan({ ...plan, name, kept }, key);
  if (!place) {
    say.replaceChildren(NO_ROOM, " ", button("Save as a file", async () => saveFile("plan.json", await fileOf([{ ...plan, name }]))));
    return false;
  }
  opened({ key: place, kept });
  callPlan(section, name);
  say.replaceChildren(`Saved as “${name}”. ${name === wanted ? "" : `“${wanted}” has another figure. `}${MAY_GO} `, link("Your plans", new URL("plans/", root)));
  return true;
}

/** Keep a plan that was sent, under the name it came with. */
export async function keepAsItIs(section, say) {
  const plan = planOf(section);
  const name = nameFor(plan);
  if (await keptAs(plan.calculator, plan.inputs, name)) say.textContent = `“${name}” is saved here already.`;
  else await keepUnder(section, plan, name, undefined, say);
}

/** Ask for a name and keep the plan in this calculator. */
export async function act(section) {
  const plan = planOf(section);
  const others = await plans();
  if (document.querySelector(".ft-dialog[open]")) return; // a second tap
  const before = opened();
  const own = others.filter((one) => one.calculator === plan.calculator);
  const known = own.find((one) => one.key === before.key && one.name === plan.name) ?? own.find((one) => one.name === plan.name);
  const later = Boolean(known) && known.key === before.key && known.kept !== before.kept; // in another window
  const field = nameField(nameFor(plan));
  const say = told();
  const form = make("form", "ft-asking");
  const keep = async (key) => {
    const name = field.value.trim() || nameFor(plan);
    if (!(await keepUnder(section, plan, name, key, say))) return;
    form.hidden = true;
    if (others.length === 0) await navigator.storage?.persist?.().catch(() => false);
  };
  const asNew = button(known ? "Save as another plan" : "Save", () => keep());
  form.append(labelled("Name", field));
  form.append(known ? actions(button(`Save the changes in “${known.name}”`, () => keep(known.key)), asNew) : actions(asNew));
  if (later) {
    form.append(make("p", "ft-soft", `“${known.name}” was changed in another window since you opened it here. To have both, save this as another plan.`));
  }
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    keep(field.value.trim() === known?.name && !later ? known.key : undefined); // another name is another plan
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
  if (!sound || inputs.length > 100) return "its numbers are not written as they should be";
  return /^[\w.~+-]{0,200000}$/.test(plan.figure ?? "") ? "" : "its figure is damaged";
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
  return { plans: file.plans.map(({ figure = "", ...plan }) => ({ ...stored(plan), figure })) };
}

// The page of plans ---------------------------------------------------------------------------

/** Show the kept plans, and go on showing them while other tabs change them. */
export function list(place) {
  const homes = JSON.parse(place.dataset.homes);
  const say = told();
  const held = make("ul", "ft-plans");
  const chooser = Object.assign(make("input", ""), { type: "file", accept: ".json,application/json" });
  const together = button("Save all as one file", async () => saveFile("plans.json", await fileOf(await allPlans())));
  const line = make("p", "ft-soft");
  place.replaceChildren(say, held, actions(together), labelled("Open a file of plans", chooser), line);
  const tell = (words, ...more) => {
    say.replaceChildren(words, " ", ...more);
    return show();
  };

  function linkOf(plan, page = homes[plan.calculator]?.page) {
    return linkTo(new URL(page, root), plan.calculator, named(plan.name, plan.inputs), plan.version ?? 1, plan.units);
  }

  async function item(plan) {
    const entry = make("li", "");
    const open = link(plan.name, linkOf(plan, homes[plan.calculator]?.page ?? "plans/"));
    open.className = "ft-plan-name";
    open.addEventListener("click", () => opened(plan));
    const about = make("p", "ft-soft", `${homes[plan.calculator]?.title ?? plan.calculator}, saved ${dayOf(plan.kept)}`);
    if (plan.about) about.prepend(inBoth(plan.about), " · ");
    const act = (words, does) => {
      const one = button(words, does);
      one.setAttribute("aria-label", `${words}: ${plan.name}`);
      return one;
    };
    const ways = homes[plan.calculator]?.loom ? [link("Take it to the loom", linkOf(plan, "loom-side/"))] : [];
    entry.append(await seenCloth(plan), open, about, actions(
      ...ways,
      ...(plan.calculator === "cloth-plan" ? [link("Draw its figure", linkOf(plan, "figure/drawing/")), act("Into my records", async () => (await import("./own.mjs")).finish(plan, say))] : []),
      act("Rename", () => rename(plan)),
      act("Duplicate", async () => {
        const name = await figures.nameFigure(await figures.ofPlan(plan), `${plan.name}, again`);
        const done = await keepPlan({ ...plan, name, kept: undefined });
        tell(done ? `“${name}” stands beside it.` : NO_ROOM);
      }),
      act("Compare", async () => (await import("./beside.mjs")).openBeside(plan, await plans())),
      act("Save as a worked example", async () => (await import("./guild.mjs")).begin({ version: 1, ...plan }, plan.name, say)),
      act("Delete", async () => {
        await remove("plans", plan.key);
        const putBack = await leaveFigure(plan);
        const back = button("Put it back", async () => {
          await putBack?.();
          await tell((await keepPlan(plan, plan.key)) ? `“${plan.name}” is back${putBack ? ", and its figure" : ""}.` : NO_ROOM);
          held.querySelector("a")?.focus();
        });
        await tell(`“${plan.name}” is deleted${putBack ? ", and its figure" : ""}.`, back);
        back.focus();
      }),
    ));
    return entry;
  }

  /** A plan's name is given up, and its figure with it, unless another plan is called so; gives what puts it back. */
  async function leaveFigure(plan) {
    const shared = (await plans()).some((one) => one.calculator === plan.calculator && one.name === plan.name);
    const drawn = !shared && (await figures.figureOf(await figures.ofPlan(plan)));
    return drawn ? figures.removeFigure(drawn) : null;
  }

  function rename(plan) {
    const field = nameField(plan.name);
    const form = make("form", "ft-asking");
    form.append(labelled("Name", field), actions(Object.assign(make("button", "ft-act", "Rename"), { type: "submit" })));
    const dialog = openDialog("Another name", form);
    field.select();
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      const name = await figures.nameFigure(await figures.ofPlan(plan), field.value.trim() || plan.name);
      const done = await keepPlan({ ...plan, name }, plan.key);
      if (done && name !== plan.name && (await figures.figureOf({ name }))) await leaveFigure(plan);
      tell(done ? `It is called “${name}” now.` : NO_ROOM);
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
    const fresh = [];
    for (const plan of read.plans) if (!(await isHere(plan))) fresh.push(plan);
    if (read.plans.length === 1 && fresh.length === 1) {
      const { figure } = fresh[0];
      expectSent();
      const way = link("", figure ? figures.linkWith(linkOf(fresh[0]), figure) : linkOf(fresh[0]));
      document.body.append(way);
      way.click();
      way.remove();
      return;
    }
    const keys = [];
    const drawn = [];
    let room = true;
    for (const plan of fresh) {
      const name = plan.figure ? await figures.freeName(plan.figure, plan.name) : plan.name;
      const there = plan.figure && (await figures.figureOf({ name }));
      if (plan.figure && !there) {
        room &&= await figures.keepNamed(name, plan);
        drawn.push(name);
      }
      keys.push(newKey());
      room &&= Boolean(await keepPlan({ ...plan, name, kept: undefined }, keys.at(-1)));
      if (!room) break;
    }
    if (!room) {
      await Promise.all([...keys.map((key) => remove("plans", key)), ...drawn.map((key) => figures.removeFigure({ key }))]);
      tell(`${NO_ROOM} Nothing was taken in; open from here what you want to see:`, ...read.plans.flatMap((plan) => [link(plan.name, linkOf(plan)), " "]));
      return;
    }
    const here = read.plans.length - fresh.length;
    tell(`${fresh.length} taken in${here ? `; ${here} stood here already` : ""}.`);
  }

  /** Whether just this plan is kept here, under its name and with its figure. */
  async function isHere(plan) {
    if (!(await keptAs(plan.calculator, plan.inputs, plan.name))) return false;
    return !plan.figure || (await figures.figureOf(await figures.ofPlan(plan)))?.figure === plan.figure;
  }

  let shown = 0;

  async function show() {
    const turn = ++shown;
    const now = await plans();
    const items = await Promise.all(now.map(item));
    if (turn !== shown) return; // what is newer is on its way
    held.replaceChildren(...items);
    together.hidden = (await allPlans()).length === 0;
    line.textContent = now.length ? MAY_GO : `Nothing is saved yet. Every calculator has a button for it. ${MAY_GO}`;
  }

  chooser.addEventListener("change", take);
  const release = watch("plans", () => (place.isConnected ? show() : release()));
  show();
  listLately(place);
}
