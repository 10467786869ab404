// One calculator on the page: typing asks the package, the answer replaces the printed one.

import { bindDrawings, inWords as wordsOf } from "./by-drawing.mjs";
import { dropAddress, flushAddress, NAME, readAddress, writeAddress } from "./address.mjs";
import { carried, UNITS, writtenOut } from "./bare.mjs";
import { follow, offer } from "./lately.mjs";
import { button, dependedOn, fieldOf, make, named, planOf, showName, showUnits, units } from "./parts.mjs";
import { showReceived } from "./received.mjs";
import { ask, begin, inWords, watch } from "./runtime.mjs";

const PAUSE = 400; // before what is being typed is called wrong
const SILENCE = 900; // after the last change, before it is told aloud
const AGAIN = 20_000; // before what could not be fetched is tried again
const PATIENCE = 0.2; // seconds; a longer calculation shows what it has, and goes on

/** Bind one calculator's section; returns {restore, release, greet}. */
export function bind(section) {
  const id = section.dataset.calculator;
  const form = section.querySelector("form.ft-form");
  const answer = section.querySelector(".ft-answer");
  const stateLine = section.querySelector(".ft-state");
  const since = section.querySelector(".ft-since"); // which answers have changed since an old link
  const notice = section.querySelector(".ft-notice") ?? make("p", "ft-notice");
  const whose = section.querySelector(".ft-whose");
  const bar = section.querySelector(".ft-bar");
  const said = section.querySelector(".ft-said"); // the one line that is heard
  stateLine.before(notice); // not form.after(): a field may be called “after”, and would stand for it
  notice.hidden = !notice.textContent;

  const controls = [...form.querySelectorAll("input[name], select[name], textarea[name]")];
  const values = () => Object.fromEntries(controls.map((control) => [control.name, control.value]));
  const usual = Object.fromEntries(
    controls.map((control) => [control.name, control.dataset.default ?? control.value]),
  );
  // What a link of version 1 means where it leaves a field out.
  const usualThen = Object.fromEntries(
    controls.filter(({ dataset }) => "defaultV1" in dataset).map(({ name, dataset }) => [name, dataset.defaultV1]),
  );
  // What this page prints: the usual values, or the page's own example of them.
  let printed = Object.fromEntries(
    controls.map((control) => {
      const options = [...(control.options ?? [])];
      const chosen = options.find((option) => option.defaultSelected) ?? options[0];
      return [control.name, chosen ? chosen.value : control.defaultValue];
    }),
  );
  const fill = (wanted) => {
    for (const control of controls) if (control.name in wanted) control.value = wanted[control.name];
  };

  /** Show how a field was read, in our own package's markup; what is the same stays under the finger. */
  const showRead = (place, html) => {
    if (place.shown !== html) place.innerHTML = place.shown = html;
  };
  const readOf = (control) => control.closest(".ft-field")?.querySelector(".ft-read");
  const there = [...answer.querySelectorAll("script")];
  for (const part of there) part.remove();
  const inCentimetres = {
    values: printed,
    reads: new Map(controls.map((control) => [control.name, readOf(control)?.innerHTML])),
    answer: answer.innerHTML,
    bar: bar.innerHTML,
  };
  const told = JSON.parse(section.querySelector("script.ft-typed-in-inches")?.textContent ?? "{}");
  const typedThere = Object.entries(told.typed ?? {});
  const inInches = there.length > 0 && {
    values: { ...printed, ...Object.fromEntries(typedThere.map(([name, [typed]]) => [name, typed])) },
    reads: new Map(typedThere.map(([name, [, read]]) => [name, read])),
    answer: there.map((part) => part.textContent).join(""),
    bar: told.bar,
  };
  const example = () => (units() === "inch" && inInches) || inCentimetres;
  const isAsPrinted = () => controls.every(({ name, value }) => value === printed[name]);

  /** Show the worked example as the reader's units have it. */
  function showExample() {
    printed = example().values;
    for (const control of controls) {
      if ("defaultValue" in control) control.defaultValue = printed[control.name];
      const read = example().reads.get(control.name);
      if (read !== undefined) showRead(readOf(control), read);
    }
    fill(printed);
    showAnswer(example());
    settled = values();
    showActions();
    if (used) recalculate();
  }

  // Units --------------------------------------------------------------------------------------

  const fields = Object.fromEntries(controls.map((control) => [control.name, fieldOf(control)]));
  const rewrite = (plan, way) =>
    Object.fromEntries(Object.entries(plan).map(([name, typed]) => [name, fields[name] ? way(typed, fields[name]) : typed]));

  /** The reader counts in other units now: what was typed bare is written out, and goes on meaning the same. */
  function turnUnits({ detail }) {
    const before = UNITS[detail.before] ?? "";
    const way = (plan) => rewrite(plan, (typed, field) => writtenOut(typed, field, before));
    const untouched = isAsPrinted();
    showUnits(form);
    for (const [place, plan] of earlier.entries()) earlier[place] = way(plan);
    if (untouched) {
      showExample();
      return;
    }
    printed = example().values;
    settled = way(settled);
    fill(way(values()));
    edited();
  }

  // Asking -----------------------------------------------------------------------------------

  let used = false;
  let asking = false;
  let again = false;
  let unanswered = false;
  let timer = 0;
  let leftOut = ""; // what a link held that means nothing here
  let trouble = ""; // what is wrong, but with no field on show
  let progress = ""; // how far a long calculation has come
  let stopped = false; // by the reader

  async function recalculate() {
    use();
    unanswered = true;
    if (asking) {
      again = true;
      return;
    }
    asking = true;
    try {
      const way = document.documentElement.dataset.base ?? ".";
      const base = way === "." ? "" : `${way}/`;
      const card = Boolean(showCard);
      const reply = await ask({ call: "answer", id, inputs: values(), units: units(), base, patience: PATIENCE, card });
      unanswered = again;
      if (!again) showProgress(reply.more ?? "");
      show(reply);
      again ||= progress !== "" && !stopped;
    } catch {
      again = false; // the state line says why; trying again asks with what stands there then
    } finally {
      asking = false;
      if (again) {
        again = false;
        recalculate();
      }
    }
  }

  function showProgress(words) {
    progress = words;
    answer.setAttribute("aria-busy", String(words !== "" && !stopped));
    showState();
  }

  function show(reply) {
    clearTimeout(timer);
    say(reply.spoken);
    if (reply.ok) {
      if (!again) for (const words of ["about", "called"]) section.dataset[words] = JSON.stringify(reply[words]);
      showCard?.(reply.card);
      if (noted) draft.note();
      showFields(reply);
      showAnswer(reply);
      if (id === "cloth-plan") dress();
      return;
    }
    const typing = form.contains(document.activeElement);
    timer = setTimeout(() => showFields(reply), typing ? PAUSE : 0);
  }

  function showFields(reply) {
    const fields = reply.fields ?? {};
    for (const control of controls) {
      const { read = "", error = "", hint = "" } = fields[control.name] ?? {};
      const holder = control.closest(".ft-field");
      const readOut = holder?.querySelector(".ft-read");
      const place = holder?.querySelector(".ft-error");
      if (readOut) showRead(readOut, read);
      if (!place) continue;
      const words = error ? [error, hint].filter(Boolean).join(" ") : "";
      if (place.textContent !== words) place.textContent = words;
      place.hidden = !words;
      if (words) control.setAttribute("aria-invalid", "true");
      else control.removeAttribute("aria-invalid");
      const folded = words && control.closest("details");
      if (folded) folded.open = true;
    }
    const elsewhere = Object.keys(fields).filter((name) => fields[name].error && !(name in usual));
    trouble = [reply.problem, ...elsewhere.map((name) => fields[name].error)].filter(Boolean).join(" ");
    tell();
  }

  let dressing = 0;

  /** Show the cloth of the plan's figure, when the typing has stopped. */
  function dress() {
    clearTimeout(dressing);
    dressing = setTimeout(async () => {
      const { clothe } = await import("./cloth.mjs");
      if (!asking) await clothe(section, planOf(section));
    }, SILENCE);
  }

  let onShow = "";

  function showAnswer(reply) {
    if (reply.answer !== onShow) replaceAnswer(reply.answer); // else it stays under the reader's finger
    onShow = reply.answer;
    bar.innerHTML = reply.bar;
    if (again) return; // more has been typed since it was asked for
    delete section.dataset.stale;
    showWhose();
  }

  /** What is shown belongs to the earlier numbers, until the answer to these is there. */
  function outdate() {
    section.dataset.stale = "";
    showWhose();
  }

  const placeOf = (details) =>
    details.closest("[data-result]")?.dataset.result ?? details.querySelector("summary").textContent;

  function replaceAnswer(html) {
    const open = new Map([...answer.querySelectorAll("details")].map((details) => [placeOf(details), details.open]));
    answer.innerHTML = html; // made by our own package, which escapes what was typed
    for (const details of answer.querySelectorAll("details")) details.open = open.get(placeOf(details)) ?? details.open;
  }

  /** Say whose numbers are answered. */
  function showWhose() {
    const own = controls.some(({ name, value }) => value !== printed[name]);
    whose.textContent =
      "stale" in section.dataset ? "Answer to the earlier numbers" : own ? "Answer to your numbers" : "Worked example";
  }

  let silence = 0;

  /** One sentence for whoever listens, when the typing has stopped. */
  function say(words) {
    clearTimeout(silence);
    silence = setTimeout(() => (said.textContent = [leftOut, since.textContent, words].filter(Boolean).join(" ")), SILENCE);
  }

  // The plan goes to its squared paper as it is written down here, and its name to the loom.
  answer.addEventListener("click", ({ target }) => {
    const paper = target.closest('a[href*="drawing/#"]');
    if (paper) paper.hash = new URL(planOf(section).link).hash;
    const way = target.closest('a[href*="loom-side/#"]');
    if (!way || !section.dataset.planName) return;
    const values = new URLSearchParams(way.hash.slice(1));
    values.set(NAME, section.dataset.planName);
    way.hash = values.toString().replaceAll("+", "%20");
  });

  function tell() {
    notice.textContent = [leftOut, trouble].filter(Boolean).join(" ");
    notice.hidden = !notice.textContent;
  }

  // The runtime's state ----------------------------------------------------------------------

  let state = null;
  const stopper = button("", () => {
    stopped = !stopped;
    showProgress(progress);
    if (!stopped) recalculate();
  });

  function showState() {
    if (!used) return;
    stateLine.dataset.state = state.name;
    if (state.name === "ready" && progress) {
      // The button stays the same one while the words change, or no finger could press it.
      if (!stateLine.contains(stopper)) stateLine.replaceChildren("", " ", stopper);
      stateLine.firstChild.data = progress;
      stopper.textContent = stopped ? "Go on" : "Stop here";
      return;
    }
    stateLine.textContent = inWords(state);
    if (state.name === "failed") {
      say(stateLine.textContent);
      const way = state.reload
        ? button("Load the page again", () => {
            flushAddress();
            location.reload();
          })
        : button("Try again", () => recalculate());
      stateLine.append(" ", way);
    }
  }

  let waiting = 0;
  let pause = AGAIN;
  const tryAgain = () => {
    if (state.name === "failed" && !state.reload && unanswered && !document.hidden) recalculate();
  };
  addEventListener("online", tryAgain);
  document.addEventListener("visibilitychange", tryAgain);
  const unwatch = watch((next) => {
    state = next;
    showState();
    clearTimeout(waiting);
    if (state.name === "ready") pause = AGAIN;
    if (state.name === "failed") {
      waiting = setTimeout(tryAgain, pause);
      pause *= 2;
    }
    if (state.name === "ready" && unanswered && !asking) recalculate();
  });
  function release() {
    unwatch();
    clearTimeout(waiting);
    clearTimeout(silence);
    removeEventListener("online", tryAgain);
    document.removeEventListener("visibilitychange", tryAgain);
  }

  function use() {
    if (used) return;
    used = true;
    showState();
    begin();
  }

  // What is kept of it ------------------------------------------------------------------------

  const draft = follow(section);
  let noted = false; // not before there is anything of the reader's own
  let showCard = null; // where somebody sent this plan
  let latest = null; // of the plans that an address brought

  // Editing ----------------------------------------------------------------------------------

  const undo = section.querySelector('[data-action="undo"]');
  const reset = section.querySelector('[data-action="reset"]');
  const earlier = [];
  let arrived = new Map(); // what a link brought
  let settled = values();

  function settle() {
    const now = values();
    if (controls.some(({ name }) => now[name] !== settled[name])) earlier.push(settled);
    settled = now;
    showActions();
  }

  function showActions() {
    const now = values();
    const changed = controls.some(({ name }) => now[name] !== printed[name]);
    undo?.setAttribute("aria-disabled", String(earlier.length === 0 && !changed));
    reset?.setAttribute("aria-disabled", String(!changed));
    section.toggleAttribute("data-example", isAsPrinted());
    controls.forEach(mark);
  }

  /** Mark a field that is not the worked example's; what that has stands under its sign. */
  function mark(control) {
    const holder = control.closest(".ft-field");
    if (!holder) return;
    const changed = control.value !== printed[control.name];
    holder.toggleAttribute("data-changed", changed);
    holder.toggleAttribute("data-own-unit", /[\p{L}%]/u.test(control.value));
    if (control.tagName === "TEXTAREA") return;
    const line = holder.querySelector(".ft-example-has") ?? (changed ? lineUnderSign(holder) : null);
    if (!line) return;
    const offered = [...(control.options ?? [])].find(({ value }) => value === printed[control.name]);
    const came = arrived.get(control.name) === control.value ? "This came with the link. " : "";
    line.textContent = changed ? `${came}The worked example has ${offered?.text || printed[control.name] || "nothing"} here.` : "";
  }

  function lineUnderSign(holder) {
    let hint = holder.querySelector(".ft-hint");
    if (!hint) {
      const sign = make("summary", "", "?");
      sign.setAttribute("aria-label", `About: ${holder.querySelector("label").textContent}`);
      hint = make("details", "ft-hint");
      hint.append(sign);
      holder.append(hint);
    }
    const line = make("p", "ft-example-has");
    hint.append(line);
    return line;
  }

  function edited() {
    const now = values();
    stopped = false;
    const changed = section.dataset.planName || controls.some(({ name }) => now[name] !== printed[name]);
    writeAddress(id, changed ? named(section.dataset.planName, dependedOn(controls, now)) : null, units());
    for (const words of ["about", "called"]) delete section.dataset[words];
    noted = true;
    draft.note();
    showActions();
    leftOut = "";
    since.textContent = "";
    outdate();
    recalculate();
  }

  const replaceValues = (wanted) => {
    fill(wanted);
    settled = values();
    edited();
  };

  /** What follows a field and still shows the worked example's is emptied: it follows, here and in the link. */
  const own = new Set(); // what the reader or a link has put in
  function letFollow({ target }) {
    own.add(target.name);
    for (const control of controls) {
      const example = control.value === printed[control.name] && !own.has(control.name);
      if (control.dataset.follows && example) control.value = "";
    }
  }

  bindDrawings(form);
  section.addEventListener("ft-called", () => {
    noted = true;
    draft.note(0);
  });
  form.addEventListener("focusin", use);
  form.addEventListener("input", letFollow);
  form.addEventListener("input", edited);
  form.addEventListener("change", settle);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    settle();
    recalculate();
  });
  undo?.addEventListener("click", () => {
    settle();
    if (earlier.length) replaceValues(earlier.pop());
  });
  reset?.addEventListener("click", () => {
    settle();
    if (reset.getAttribute("aria-disabled") === "true") return;
    earlier.push(settled);
    showName(section, "");
    own.clear();
    replaceValues(printed);
  });

  /** Take over a plan from the address, naming what of it means nothing here. */
  async function restore(plan, sent) {
    for (const control of controls) {
      const { name } = control;
      if (plan.values.has(name)) plan.values.set(name, wordsOf(control, plan.values.get(name)));
    }
    const figure = id === "cloth-plan" && plan.values.get("figure");
    if (figure) plan.values.delete("figure");
    own.clear();
    for (const name of plan.values.keys()) own.add(name);
    latest = plan;
    showCard = null;
    section.querySelector(".ft-received")?.remove();
    showName(section, plan.name);
    section.querySelector(".ft-go-on")?.remove();
    for (const words of ["about", "called"]) delete section.dataset[words];
    const along = plan.cameFrom && plan.units === "inch" && inInches; // the rest is the worked example's there
    const wanted = { ...usual, ...(along ? along.values : {}), ...(plan.version === 1 ? usualThen : {}) };
    const ignored = plan.repeated.map((name) => `${name} (a second time)`);
    for (const [name, value] of plan.values) {
      const control = controls.find((one) => one.name === name);
      const offered = control?.tagName === "SELECT" && [...control.options].map((one) => one.value);
      if (!control || (offered && !offered.includes(value))) {
        ignored.push(control ? `${name} = ${value}` : name);
      } else wanted[name] = value;
    }
    leftOut = ignored.length
      ? `Not understood in this link, and left out: ${ignored.join(", ").slice(0, 300)}.`
      : "";
    if (plan.cameFrom) leftOut += " What came along is marked; everything else is the worked example’s.";
    const meant = rewrite(wanted, (typed, field) => carried(typed, field, plan.units, units()));
    tell();
    since.textContent = plan.version === 1 ? since.dataset.since : "";
    arrived = new Map([...plan.values.keys()].map((name) => [name, meant[name]]));
    fill(meant);
    settle();
    noted = true;
    const known = draft.arrived();
    outdate();
    recalculate();
    section.querySelector(".ft-came")?.remove();
    if (figure) {
      await known;
      const { ofPlan, takeIn } = await import("./kept-figure.mjs");
      if (plan !== latest) return;
      const line = await takeIn(await ofPlan(planOf(section)), figure);
      if (line) section.querySelector(".ft-head").after(line);
      dress();
    }
    if (!sent || (await known) || plan !== latest) return;
    showCard = showReceived(section);
    recalculate();
  }

  // A browser may have kept what was typed before a reload.
  const untouched = isAsPrinted();
  printed = example().values;
  if ((untouched || isAsPrinted()) && example() === inInches) showExample();
  settled = { ...printed };
  settle();
  if (earlier.length) {
    outdate();
    recalculate();
  }
  section.dataset.bound = "";

  /** Offer the last plan where the page stands as it was printed, with the usual values. */
  function greet() {
    const usualHere = controls.every(({ name }) => inCentimetres.values[name] === usual[name]);
    if (usualHere && isAsPrinted()) offer(section);
  }

  showUnits(form);
  document.addEventListener("ft-units", turnUnits);
  return {
    restore,
    release() {
      release();
      document.removeEventListener("ft-units", turnUnits);
    },
    greet,
  };
}

let bound = new Map();
let fromOutside = !document.referrer.startsWith(location.origin); // whoever turns a page was here before

/** Take the plan of the next page for one that somebody sent, as from a file. */
export function expectSent() {
  fromOutside = true;
}

/** Bind every calculator of the page now shown, and open the plan in its address. */
export function bindPage() {
  dropAddress();
  for (const { release } of bound.values()) release();
  bound = new Map();
  for (const section of document.querySelectorAll("section[data-calculator]")) {
    const key = section.dataset.calculator;
    const binding = bind(section);
    if (!bound.has(key)) bound.set(key, binding);
  }
  openAddress(fromOutside);
  fromOutside = false;
}

/** Open the plan in the address, if it holds one; `sent` when no link of the page led to it. */
export function openAddress(sent) {
  const plan = readAddress();
  document.querySelector(".ft-link-trouble")?.remove();
  if (document.querySelector(".ft-loom-start, .ft-guild")) return; // these read their own
  if (!plan) {
    for (const { greet } of bound.values()) greet();
    return;
  }
  const binding = bound.get(plan.calculator);
  if (!plan.newer && binding) {
    binding.restore(plan, sent);
    return;
  }
  const words = plan.newer
    ? `This link was made by another edition of the handbook (version ${plan.newer.slice(0, 20)}), and this one cannot read it.`
    : `This link is for a calculator that is not on this page (${plan.calculator.slice(0, 40) || "none named"}).`;
  const line = make("p", "ft-notice ft-link-trouble", words);
  line.setAttribute("role", "status");
  document.querySelector("main")?.prepend(line);
}
