// A plan at the loom: counted along, row by row, and written down at every change.

import { readAddress } from "./address.mjs";
import { fill, placeOf } from "./filling.mjs";
import { byFigure, CALCULATOR, figureOf, keepOrders, takeIn } from "./kept-figure.mjs";
import { nameOf, plans } from "./keep.mjs";
import { itemsOf, linesOf } from "./mine.mjs";
import { button, COUNTED, dayOf, inBoth, link, linkTo, make, named, nameFor, recall, retain, root } from "./parts.mjs";
import { ask, build, inWords, watch } from "./runtime.mjs";
import * as store from "./store.mjs";

const SIGNAL = "ft-signal";
const STEPS_BACK = 60;
const HOLD = 700; // long enough that no sleeve does it
const FORWARD = ["PageDown", "ArrowRight", "ArrowDown", " ", "Enter", "MediaTrackNext", "MediaPlayPause"];
const BACKWARD = ["PageUp", "ArrowLeft", "ArrowUp", "Backspace", "MediaTrackPrevious"];

const USUAL = { rise: "", sink: "" }; // orders of the ground
const UNWOVEN = { picks: 0, temple: 0, advance: 0, past: [] };

let leave = () => {};

const latestFirst = (one, other) => String(other.day ?? "").localeCompare(String(one.day ?? ""));

const number = (count, one) => `${count} ${one}${count === 1 ? "" : "s"}`;

/** Say where in a plan so many picks are. */
export function standing(plan, woven) {
  const { name, inside, picks, row } = placeOf(plan, woven);
  if (picks === 0) return "all of it";
  return `${name}, ${row > 1 ? number(Math.floor(inside / row), "row") : number(inside, "pick")}`;
}

/** Bind the page; the plan in its address opens at once. */
export function bindLoom(start) {
  leave();
  const view = start.parentElement.querySelector("dialog.ft-loom");
  const said = start.querySelector(".ft-told");
  const again = start.querySelector('[data-loom="open"]');
  const show = Object.fromEntries([...view.querySelectorAll("[data-show]")].map((one) => [one.dataset.show, one]));
  const signal = view.querySelector('[name="signal"]');
  const typed = view.querySelector('[name="picks"]');
  let count = null;
  let key = "";
  let light = null;
  let rows = null; // of the figure, where one is kept with the plan

  // What is open -----------------------------------------------------------------------------

  async function open() {
    let address = location.hash;
    const plan = readAddress();
    said.textContent = "";
    view.querySelector(".ft-came")?.remove();
    await list();
    if (!plan || location.hash !== address) return;
    if (plan.newer || plan.repeated.length) {
      said.textContent = "This link cannot be read here: it was damaged, or made by another edition of the handbook.";
      return;
    }
    const figure = plan.calculator === CALCULATOR && plan.values.get("figure");
    if (figure) {
      plan.values.delete("figure");
      const withFigure = await planHere(plan);
      const line = await takeIn(withFigure, figure);
      if (location.hash === address) history.replaceState(history.state, "", location.pathname + withFigure.hash);
      address = withFigure.hash;
      if (location.hash !== address) return;
      if (line) show.said.before(line);
    }
    const inputs = Object.fromEntries(plan.values);
    const counts = await store.all("counts");
    const workroom = linesOf((await itemsOf("workroom")).filter(({ sort }) => sort !== "cone"));
    const known = counts.find((one) => one.address === address && one.build === build && (one.workroom ?? "") === workroom);
    if (known) {
      take(known);
      return;
    }
    const release = watch((state) => (said.textContent = state.name === "ready" ? "" : inWords(state)));
    try {
      const reply = await ask({ call: "loom", id: plan.calculator, inputs, version: plan.version, units: plan.units, workroom });
      if (location.hash !== address) return;
      if (!reply.ok) {
        said.textContent = `This plan cannot be taken to the loom: ${reply.problem}`;
        return;
      }
      const name = plan.name || (await nameOf(plan.calculator, inputs)) || nameFor(reply);
      const fresh = { key: reply.key, address, build, workroom, name, plan: reply };
      const same = counts.find((one) => one.key === reply.key || one.address === address);
      const before = counts.filter((one) => one.name === name && one.picks > 0).sort(latestFirst)[0];
      said.textContent = reply.ignored;
      if (same) begin({ ...same, ...fresh, key: same.key });
      else if (before && (await keyNow(before)) === reply.key) begin({ ...before, ...fresh, key: before.key });
      else if (before) askAbout(before, fresh);
      else {
        begin({ ...fresh, ...UNWOVEN });
        show.said.textContent = "Nothing is counted of this plan yet.";
      }
    } catch {
      // the state says why
    } finally {
      release();
    }
  }

  /** The key of a counted plan as it is written today: an earlier edition may have made its own. */
  async function keyNow({ address, build: made }) {
    const plan = made !== build && readAddress(address);
    if (!plan) return "";
    const inputs = Object.fromEntries(plan.values);
    return (await ask({ call: "loom", id: plan.calculator, inputs, version: plan.version, units: plan.units })).key;
  }

  /** Ask whether the picks counted of a plan hold for what it has become. */
  function askAbout(before, fresh) {
    const woven = number(before.picks, "pick");
    const was = before.plan ? `, ${standing(before.plan, before.picks)}` : "";
    const { picks, temple, advance } = before;
    said.replaceChildren(
      `“${fresh.name}” was changed after ${woven} were woven of it${was}. In the plan as it is now that is ${standing(fresh.plan, picks)}. Do the picks carry over? `,
      button(`Carry over ${woven}`, async () => {
        said.textContent = "";
        if (await begin({ ...fresh, picks, temple, advance, past: [] })) await store.remove("counts", before.key);
      }),
      " ",
      button("Begin at 0", () => {
        said.textContent = "";
        begin({ ...fresh, ...UNWOVEN });
      }),
      " ",
      link("Open it as it was", new URL("loom-side/", root).href + before.address),
    );
    said.querySelector("button").focus();
  }

  /** Open a count, and write it down as it now is. */
  function begin(record) {
    take({ ...record, ...USUAL });
    return save();
  }

  /** Tell the ground in the weaver's own orders, as they are kept with the figure; what is wrong with them, or nothing. */
  async function tie(orders) {
    const { calculator: id, values, version, units } = readAddress() ?? readAddress(count.address);
    const own = count;
    const reply = await ask({ call: "loom", id, inputs: Object.fromEntries(values), version, units, ...orders });
    if (!reply.ok) return reply.problem;
    if (own !== count) return "";
    const { ground, ground_face_down } = reply;
    Object.assign(count, orders, { plan: { ...count.plan, ground, ground_face_down } });
    await save();
    render();
    return "";
  }

  /** Tie the ground otherwise from now on, on paper too; what is wrong with that, or nothing. */
  async function retie(orders) {
    const wrong = await tie(orders);
    if (!wrong) bound = await keepOrders(await planHere(), orders);
    return wrong;
  }

  function take({ key: place, ...record }) {
    [key, count] = [place, record];
    show.plan.textContent = count.name;
    show.facts.innerHTML = count.plan.facts; // written by our own package
    again.hidden = false;
    bound = "";
    enter();
    findFigure();
  }

  let finding = 0;
  let bound = ""; // the figure whose rows are told

  /** Tell the rows of the figure that is kept with the plan. */
  async function findFigure() {
    const own = ++finding;
    let bind = null;
    try {
      const kept = count.plan.figured?.length ? await figureOf(await planHere()) : null;
      if (kept && kept.figure === bound) return;
      const read = kept && (await (await import("./row-by-row.mjs")).readRows(kept));
      if (own !== finding || !view.isConnected) return;
      const { orders } = read ?? { orders: USUAL };
      const tied = Object.entries(orders).every(([name, order]) => order === (count[name] ?? ""));
      const wrong = tied ? "" : await tie(orders).catch(({ message }) => message);
      if (wrong) show.said.textContent = `The ground cannot be tied in the orders that are kept with the figure. ${wrong}`;
      bind = read?.bind;
      bound = kept?.figure ?? "";
    } catch (problem) {
      show.said.textContent = `The figure of this plan cannot be read. ${problem.message}`;
    }
    if (own !== finding || !view.isConnected) return;
    rows?.leave();
    rows = bind?.(view, { count: () => count, enter, shown: render, changed, tie: retie });
    render();
  }

  /** The plan in the address, as its figure is kept with it. */
  function planHere({ name, values, version, units } = readAddress() ?? { ...count, values: [] }) {
    const { figure, ...inputs } = Object.fromEntries(values);
    return byFigure({ name, inputs, version, units });
  }

  /** Write down with the count what the weaver chose for this cloth. */
  function changed(choice) {
    Object.assign(count, choice);
    save();
  }

  /** List the plans that can be counted: what is under way, then what waits. */
  async function list() {
    const counts = (await store.all("counts")).filter((one) => one.address).sort(latestFirst);
    const kept = (await plans()).filter((plan) => COUNTED.includes(plan.calculator));
    const page = new URL("loom-side/", root);
    const lines = counts.map((one) => {
      const plan = kept.find(({ name }) => name === one.name);
      const address = plan ? addressOf(plan, page) : page.href + one.address;
      return [one.name, address, one.plan?.about, `${number(one.picks, "pick")} woven`, one.day && `last on ${dayOf(one.day)}`];
    });
    for (const plan of kept) {
      if (counts.some(({ name }) => name === plan.name)) continue;
      lines.push([plan.name, addressOf(plan, page), plan.about, "nothing woven yet", `saved ${dayOf(plan.kept)}`]);
    }
    start.querySelector("ul").replaceChildren(
      ...lines.map(([name, address, about, ...words]) => {
        const item = make("li", "");
        const line = make("p", "ft-soft", words.filter(Boolean).join(" · "));
        if (about) line.prepend(inBoth(about), " · ");
        item.append(Object.assign(link(name, address), { className: "ft-plan-name" }), line);
        return item;
      }),
    );
  }

  const addressOf = (plan, page) => linkTo(page, plan.calculator, named(plan.name, plan.inputs), plan.version ?? 1, plan.units);

  // Counting ---------------------------------------------------------------------------------

  const where = () => placeOf(count.plan, count.picks);

  const due = (what) => count[what] + count.plan[what] - count.picks;

  let saving = 0;

  /** Write the count down; only what is on the disk is called so. */
  async function save() {
    const own = ++saving;
    count.day = new Date().toISOString();
    show.written.textContent = "…";
    const { picks } = count;
    const done = await store.write("counts", key, count);
    if (own !== saving) return done;
    show.written.textContent = done ? `${number(picks, "pick")} in all, saved` : "not saved";
    show.kept.textContent = done
      ? "Every step is saved on this device at once."
      : "This browser keeps nothing here: the count lasts only while this page is open.";
    return done;
  }

  function step(act, does) {
    const before = [where().name, due("temple") > 0, due("advance") > 0].join();
    const was = [count.picks, count.temple, count.advance];
    does();
    const moved = was.join() !== [count.picks, count.temple, count.advance].join();
    if (moved && act !== "back") count.past = [...count.past, was].slice(-STEPS_BACK);
    save();
    render();
    const now = [where().name, due("temple") > 0, due("advance") > 0].join();
    if (moved && before !== now && ["next", "pick", "stretch"].includes(act)) alarm();
    else if (act !== "set") show.said.textContent = "";
  }

  const deeds = {
    next() {
      const { begin, inside, row, picks } = where();
      if (rows?.step() === "pick") return deeds.pick();
      count.picks = Math.min(begin + picks, begin + inside - (inside % row) + row);
    },
    pick() {
      const { picks, inside } = where();
      count.picks += picks > inside ? 1 : 0;
    },
    stretch() {
      const { begin, picks } = where();
      count.picks = begin + picks;
    },
    temple: () => (count.temple = count.picks),
    advance: () => (count.advance = count.picks),
    back() {
      const before = count.past.pop();
      if (before) [count.picks, count.temple, count.advance] = before;
    },
    set() {
      const wanted = Number(typed.value);
      const whole = count.plan.stretches.reduce((sum, one) => sum + one.picks, 0);
      if (typed.value.trim() && Number.isInteger(wanted) && wanted >= 0 && wanted <= whole) {
        count.picks = count.temple = count.advance = wanted;
        show.said.textContent = "";
      } else show.said.textContent = `A whole number of picks is wanted here, from 0 to ${whole}.`;
    },
  };

  function render() {
    const { name, inside, picks, row } = where();
    const inRows = row > 1;
    rows?.render();
    const whole = count.plan.stretches.reduce((sum, one) => sum + one.picks, 0);
    const done = picks === 0;
    show.stretch.textContent = name;
    show.number.textContent = done ? "✓" : inRows ? Math.floor(inside / row) : inside;
    show.left.textContent = done
      ? number(whole, "pick")
      : inRows
        ? `rows of ${picks / row} woven, ${Math.ceil((picks - inside) / row)} left${inside % row ? `; ${number(inside % row, "pick")} of the next` : ""}`
        : `picks of ${picks} woven, ${picks - inside} left`;
    const byRow = inRows && rows?.step() !== "pick";
    show.next.textContent = byRow ? "Row woven" : "Pick woven";
    view.querySelector('[data-loom="pick"]').hidden = !byRow;
    for (const [what, now, later, moved] of [
      ["temple", "Move the temple now", "Temple", "moved"],
      ["advance", "Advance now", "Advance", "advanced"],
    ]) {
      const left = due(what);
      const button = view.querySelector(`[data-loom="${what}"]`);
      button.toggleAttribute("data-due", left <= 0 && !done);
      button.setAttribute("aria-label", `${left <= 0 ? now : `${later} in ${number(left, "pick")}`}. Press when ${moved}.`);
      show[what].textContent = left <= 0 && !done ? now : done ? later : `${later} in ${number(left, "pick")}`;
    }
    fill(view.querySelector(".ft-filling"), count.plan, count.picks, count.temple + count.plan.temple);
    show.whole.textContent = `${count.picks} of ${whole} picks in all, ${whole - count.picks} left.`;
    view.querySelector('[data-loom="record"]').hidden = !done || readAddress()?.calculator !== "cloth-plan";
    view.querySelector('[data-loom="back"]').setAttribute("aria-disabled", String(!count.past.length));
    const guard = view.querySelector('[data-loom="guard"]');
    guard.setAttribute("aria-pressed", String(Boolean(count.guarded)));
    guard.textContent = count.guarded ? "Hold to free" : "Guard";
    view.toggleAttribute("data-guarded", Boolean(count.guarded));
  }

  function alarm() {
    const [temple, advance] = [due("temple") <= 0, due("advance") <= 0];
    show.said.textContent = [temple && "Move the temple.", advance && "Advance the warp."].filter(Boolean).join(" ");
    if (signal.value === "shake") navigator.vibrate?.([120, 80, 120]);
    if (signal.value !== "sound") return;
    const sound = new AudioContext();
    const tone = sound.createOscillator();
    tone.frequency.value = 660;
    tone.connect(sound.destination);
    tone.start();
    tone.stop(sound.currentTime + 0.25);
    tone.addEventListener("ended", () => sound.close());
  }

  // The view ---------------------------------------------------------------------------------

  async function stayAwake() {
    if (!view.open || document.visibilityState !== "visible") return;
    try {
      light = await navigator.wakeLock.request("screen");
      show.awake.textContent = "The screen stays awake while this is open.";
    } catch {
      show.awake.textContent =
        "This browser does not keep the screen awake here. Lengthen the time in the device’s own settings; the count is kept either way.";
    }
  }

  function enter() {
    signal.value = recall(SIGNAL)?.signal ?? "";
    if (!view.open) view.showModal();
    render();
    view.querySelector('[data-loom="next"]').focus();
    stayAwake();
  }

  function press(act) {
    if (act === "leave") view.close();
    else if (act === "record") intoRecords();
    else if (act === "say") rows?.say();
    else step(act, deeds[act]);
  }

  /** The cloth that is woven goes into the weaver's own records. */
  async function intoRecords() {
    const { calculator, values, version, units } = readAddress();
    const { finish } = await import("./own.mjs");
    await finish({ calculator, inputs: Object.fromEntries(values), version, units, name: count.name }, show.said);
  }

  // A button that the tab key went to answers to its keys; one that a thumb pressed leaves them to counting.
  let tabbed = false;
  const isChosen = (element) => tabbed && element.matches(":is(button, summary):not([data-loom=next])");

  let held = 0;
  let tapped = -Infinity;
  function guard(on) {
    count.guarded = on;
    tapped = -Infinity;
    show.said.textContent = on ? "Guarded: nothing here can be pressed by accident. A pedal still counts." : "";
    save();
    render();
  }
  const guardButton = view.querySelector('[data-loom="guard"]');
  guardButton.addEventListener("pointerdown", () => {
    held = count.guarded ? setTimeout(() => ((held = -1), guard(false)), HOLD) : 0;
  });
  for (const kind of ["pointerup", "pointercancel", "pointerleave"]) {
    guardButton.addEventListener(kind, () => held > 0 && clearTimeout(held));
  }
  guardButton.addEventListener("click", (event) => {
    if (held === -1) held = 0; // the hold has just freed it
    else if (!count.guarded) guard(true);
    else if (event.timeStamp - tapped < 2500) guard(false);
    else {
      tapped = event.timeStamp;
      show.said.textContent = "Hold the button, or press it once more, to free the others.";
    }
  });
  view.addEventListener("click", ({ target }) => {
    const act = target.closest("[data-loom]")?.dataset.loom;
    if (!act || act === "guard") return;
    if (count.guarded) show.said.textContent = "Guarded. Hold the button above to free it.";
    else press(act);
  });
  view.addEventListener("pointerdown", () => (tabbed = false));
  view.addEventListener("keydown", (event) => {
    tabbed ||= event.key === "Tab";
    if (event.target.closest("input, select") || event.ctrlKey || event.altKey || event.metaKey) return;
    if (isChosen(event.target) && [" ", "Enter"].includes(event.key)) return;
    const act = FORWARD.includes(event.key) ? "next" : BACKWARD.includes(event.key) ? "back" : "";
    if (!act) return;
    event.preventDefault();
    if (!event.repeat) press(act);
  });
  view.addEventListener("keyup", (event) => {
    if (event.key === " " && !event.target.closest("input, select") && !isChosen(event.target)) event.preventDefault();
  });
  view.addEventListener("cancel", (event) => count.guarded && event.preventDefault());
  view.addEventListener("close", () => {
    light?.release().catch(() => {});
    list();
  });
  signal.addEventListener("change", () => retain(SIGNAL, { signal: signal.value }));
  again.addEventListener("click", enter);

  const release = store.watch("counts", async (place, elsewhere) => {
    if (!elsewhere || place !== key) return;
    const own = saving;
    const theirs = await store.read("counts", key);
    if (!theirs || own !== saving) return; // counted on here meanwhile
    count = theirs;
    render();
  });
  const releaseFigures = store.watch("figures", () => view.open && findFigure());
  const turned = () => view.isConnected && open();
  addEventListener("hashchange", turned);
  document.addEventListener("visibilitychange", stayAwake);
  leave = () => {
    leave = () => {};
    light?.release().catch(() => {});
    release();
    releaseFigures();
    rows?.leave();
    removeEventListener("hashchange", turned);
    document.removeEventListener("visibilitychange", stayAwake);
  };
  open();
}
