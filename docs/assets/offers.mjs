// Beside a form's fields: what one's own records and workroom would put there, at one press.

import { readAddress } from "./address.mjs";
import { itemsOf, linesOf } from "./mine.mjs";
import { actions, button, make, planOf, told, units } from "./parts.mjs";
import { ask, watch as watchRuntime } from "./runtime.mjs";
import { watch } from "./store.mjs";

const PAUSE = 300; // after the last keystroke
const AT_ONCE = 3; // choices beside a field before the rest is folded
const WHOLE = { records: ["records", "record"], cones: ["workroom", "cone"] }; // fields that hold all of one's own

let releases = [];

/** Bind every calculator of the page now shown. */
export async function bindOffers() {
  for (const release of releases) release();
  releases = [];
  for (const section of document.querySelectorAll("section[data-calculator]")) bind(section);
}

function bind(section) {
  const id = section.dataset.calculator;
  const form = section.querySelector("form.ft-form");
  const control = (name) => form.querySelector(`[name="${name}"]`);
  let own = null; // {records, workroom}: the lines that are there
  let ready = false;
  let timer = 0;
  let asking = 0;
  const placed = {}; // what was put in the example's place

  async function look() {
    const [records, workroom] = await Promise.all(["records", "workroom"].map(itemsOf));
    own = { records: linesOf(records), workroom: linesOf(workroom) };
    replaceExample({ records, workroom }, readAddress()?.calculator === id);
    offer();
  }

  /** One's own stands where the example stood, as soon as there is any; a link keeps what it says. */
  function replaceExample(items, linked) {
    for (const [name, [kind, sort]] of Object.entries(WHOLE)) {
      const field = control(name);
      const lines = linesOf(items[kind], sort);
      const replaced = field?.value === placed[name] || (!linked && field?.value === field?.defaultValue);
      if (!field || !lines || !replaced || field.value === lines) continue;
      placed[name] = lines;
      enter({ [name]: lines });
    }
  }

  function enter(values) {
    for (const [name, value] of Object.entries(values)) control(name).value = value;
    const first = control(Object.keys(values)[0]);
    for (const kind of ["input", "change"]) first.dispatchEvent(new Event(kind, { bubbles: true }));
  }

  async function offer() {
    if (!own?.records && !own?.workroom) {
      show([]);
      return;
    }
    if (!ready) return; // a calculator that is not used does not start Python for this
    asking += 1;
    const mine = asking;
    const inputs = planOf(section).inputs;
    const reply = await ask({ call: "offers", id, inputs, units: units(), ...own }).catch(() => ({ offers: [] }));
    if (mine === asking && section.isConnected) show(reply.offers ?? []);
  }

  let onShow = "";

  function show(offers) {
    const fitting = offers.map((one) => Object.entries(one.values).map(([name, value]) => control(name)?.value === value));
    const folded = form.querySelector("details.ft-more")?.open;
    const now = JSON.stringify([offers, fitting, folded]);
    if (now === onShow) return; // it stays under the reader's finger
    onShow = now;
    for (const line of section.querySelectorAll(".ft-offer, .ft-origin")) line.remove();
    for (const field of new Set(offers.filter((one) => one.choice).map((one) => one.field))) {
      choose(field, offers.filter((one) => one.choice && one.field === field));
    }
    for (const one of offers.filter(({ choice }) => !choice)) {
      const names = Object.keys(one.values).filter(control);
      const there = names.filter((name) => control(name).value === one.values[name]);
      for (const name of there) origin(control(name), one.origin);
      if (there.length === names.length) continue;
      const line = make("p", "ft-offer", `${one.words} `);
      line.append(button(one.button, ({ detail }) => {
        enter(one.values);
        if (!detail) control(one.field).focus(); // from the keyboard: the button goes
      }));
      const holder = control(one.field).closest(".ft-field");
      const folded = holder.closest("details:not([open])");
      if (folded) folded.before(line);
      else holder.append(line);
    }
  }

  /** Offer one of several, such as one's cones, in a line beside their field. */
  function choose(field, offers) {
    const holder = control(field).closest(".ft-field");
    const line = make("div", "ft-offer", `${offers[0].words} `);
    const there = offers.find(({ values }) => Object.entries(values).every(([name, value]) => control(name)?.value === value));
    if (there) origin(control(field), there.origin);
    const others = offers.filter((one) => one !== there).map((one) =>
      button(one.button, ({ detail }) => {
        enter(one.values);
        if (!detail) control(field).focus();
      }),
    );
    if (!others.length) return;
    line.append(...others.slice(0, AT_ONCE));
    if (others.length > AT_ONCE) {
      const more = make("details", "");
      more.append(make("summary", "", `${others.length - AT_ONCE} more`), ...others.slice(AT_ONCE));
      line.append(more);
    }
    holder.append(line);
  }

  function origin(field, words) {
    const holder = field.closest(".ft-field");
    if (!holder.querySelector(".ft-origin")) holder.append(make("p", "ft-origin", words));
  }

  const later = () => {
    clearTimeout(timer);
    timer = setTimeout(offer, PAUSE);
  };
  form.addEventListener("input", later);
  form.querySelector("details.ft-more")?.addEventListener("toggle", later);
  document.addEventListener("ft-units", later);
  releases.push(
    watchRuntime(({ name }) => {
      const before = ready;
      ready = name === "ready";
      if (ready && !before) offer();
    }),
    watch("records", look),
    watch("workroom", look),
    () => {
      clearTimeout(timer);
      document.removeEventListener("ft-units", later);
    },
  );
  if (id === "record") bindRecord(section);
  look();
}

/** One press puts the cloth that was measured into one's records. */
function bindRecord(section) {
  if (section.querySelector(".ft-finished")) return;
  const say = told();
  const line = actions(button("Put it into my records", async () => {
    if (section.hasAttribute("data-example")) say.textContent = "These are the example’s figures. Fill in your own cloth first; its name and one loss are enough.";
    else (await import("./own.mjs")).finish({ ...planOf(section), name: "" }, say);
  }));
  line.classList.add("ft-finished");
  section.querySelector(".ft-answer").before(line, say);
}
