// What was worked on lately: there again by the menu, from the search, tomorrow.

import { button, COUNTED, dayOf, inBoth, link, make, nameFor, planOf, root } from "./parts.mjs";
import { all, newKey, read, remove, write } from "./store.mjs";

const KIND = "drafts";
const MOST = 12;
const PAUSE = 300; // after the last keystroke

/** Every plan worked on lately, the latest first. */
async function lately() {
  return (await all(KIND)).sort((one, other) => String(other.day).localeCompare(String(one.day)));
}

function opened(one) {
  return {
    ...one,
    name: nameFor(one),
    named: Boolean(one.name),
    address: new URL(one.page + one.hash, root).href,
    loom: COUNTED.includes(one.calculator) ? new URL(`loom-side/${one.hash}`, root).href : "",
  };
}

/** The plan last worked on, of these calculators: {name, about, day, address, loom}, or null. */
export async function lastPlan(...calculators) {
  const last = (await lately()).find((one) => calculators.includes(one.calculator));
  return last && !last.aside ? opened(last) : null;
}

const figureOf = async ({ key, name }) => (await read("figures", key)) ?? (name && (await read("figures", name)));

/** The oldest are forgotten, unless a figure was drawn for one: it would not be found again. */
async function forgetOldest() {
  const places = new Set();
  for (const [number, one] of (await lately()).entries()) {
    const place = one.name || one.key;
    if (number >= MOST && (places.has(place) || !(await figureOf(one)))) await remove(KIND, one.key);
    places.add(place);
  }
}

const waiting = new Set(); // what was typed and is not yet written down
let work = Promise.resolve();

/** Write down at once what was typed, for who looks it up now. */
export function settled() {
  for (const flush of waiting) flush();
  return work;
}

/** Write down the plan in a calculator as it is typed; {arrived, note}. */
export function follow(section) {
  let key = "";
  let written = ""; // the hash, and what it comes to
  let pending = null; // typed, not yet written down
  let timer = 0;

  function now() {
    const { calculator, name, title, about, called, link: address } = planOf(section);
    const page = location.pathname.slice(root.pathname.length);
    return { calculator, name, title, about, called, page, hash: new URL(address).hash };
  }

  async function keep(plan) {
    if (JSON.stringify(plan) === written) return;
    const there = key && (await read(KIND, key));
    if (!key || (there && there.hash !== JSON.parse(written).hash)) key = newKey(); // another tab went on from the same
    written = JSON.stringify(plan);
    await write(KIND, key, { ...plan, day: new Date().toISOString() });
    await forgetOldest();
  }

  const after = (does) => (work = work.then(does, does));

  function flush() {
    const plan = pending;
    pending = null;
    clearTimeout(timer);
    waiting.delete(flush);
    if (plan) after(() => keep(plan));
  }

  return {
    /** A plan came with the address; tells whether it was worked on here before. */
    arrived() {
      flush(); // under the key of the plan that stood here before
      const plan = now();
      const address = location.hash; // a draft may have begun elsewhere, in the words of its link
      return after(async () => {
        const same = (await lately()).find(({ hash }) => hash === plan.hash || hash === address);
        key = same?.key ?? "";
        written = same ? JSON.stringify({ hash: same.hash }) : "";
        await keep({ ...plan, about: plan.about ?? same?.about ?? null, called: plan.called ?? same?.called ?? null });
        return Boolean(same);
      });
    },
    /** Write it down, a moment after the last keystroke. */
    note(pause = PAUSE) {
      pending = now(); // the page may be turned before it is written
      clearTimeout(timer);
      waiting.add(flush);
      timer = setTimeout(flush, pause);
    },
  };
}

function wayTo(one, address) {
  const way = make("span", "");
  way.append(link(one.name, address));
  if (one.about && one.named) way.append(", ", inBoth(one.about));
  return way;
}

/** Offer to go on with the last plan of this calculator, above its form. */
export async function offer(section) {
  const last = await lastPlan(section.dataset.calculator);
  if (!last || !section.isConnected || section.querySelector(".ft-go-on")) return;
  const line = make("p", "ft-go-on", "Go on with ");
  const anew = button("Start anew", async () => {
    const { key, ...kept } = (await lately()).find((one) => one.key === last.key);
    await write(KIND, key, { ...kept, aside: true });
    line.remove();
    section.querySelector("form [name]")?.focus();
  });
  line.append(wayTo(last, last.hash), " ", anew);
  line.querySelector("a").addEventListener("click", () => {
    const title = section.querySelector(".ft-title");
    title.tabIndex = -1;
    title.focus({ preventScroll: true }); // the line goes away under the finger
  });
  section.querySelector(".ft-head").after(line);
}

/** List what was worked on lately, saved or not; nothing typed is lost. */
export async function listLately(place, open = false) {
  const all = (await lately()).map(opened);
  if (all.length === 0) return;
  const line = make("p", "ft-go-on", "Go on with ");
  line.append(wayTo(all[0], all[0].address));
  const more = Object.assign(make("details", "ft-lately"), { open });
  const list = make("ul", "ft-plans");
  for (const one of all) {
    const item = make("li", "");
    const drawn = await figureOf(one);
    item.append(wayTo(one, one.address), make("p", "ft-soft", `${one.title}, ${dayOf(one.day)}${drawn ? ", with a figure, so it is not forgotten" : ""}`));
    list.append(item);
  }
  const forget = button("Forget these", async () => {
    for (const one of all) if (!(await figureOf(one))) await remove(KIND, one.key);
    line.remove();
    more.remove();
    await listLately(place, true); // what a figure was drawn for
  });
  more.append(make("summary", "", "What you worked on lately"), list, forget);
  place.prepend(line, more);
}
