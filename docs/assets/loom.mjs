// A plan at the loom: counted along, row by row, and written down at every change.

import { readAddress } from "./address.mjs";
import { nameOf, plans } from "./keep.mjs";
import { keysOf, link, linkTo, make, recall, retain, root } from "./parts.mjs";
import { ask, build, inWords, watch } from "./runtime.mjs";

const PREFIX = "ft-count-";
const SIGNAL = "ft-signal";
const STEPS_BACK = 60;
const HOLD = 700; // long enough that no sleeve does it
const FORWARD = ["PageDown", "ArrowRight", "ArrowDown", " ", "Enter"];
const BACKWARD = ["PageUp", "ArrowLeft", "ArrowUp", "Backspace"];

let leave = () => {};

const number = (count, one) => `${count} ${one}${count === 1 ? "" : "s"}`;

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

  // What is open -----------------------------------------------------------------------------

  async function open() {
    const address = location.hash;
    const plan = readAddress();
    list();
    if (!plan) return;
    if (plan.newer || plan.repeated.length) {
      said.textContent = "This link cannot be read here: it was damaged, or made by another edition of the handbook.";
      return;
    }
    const inputs = Object.fromEntries(plan.values);
    const known = keysOf(PREFIX).find((one) => recall(one)?.address === address && recall(one).build === build);
    if (known) {
      take(known, recall(known));
      return;
    }
    const release = watch((state) => (said.textContent = state.name === "ready" ? "" : inWords(state)));
    try {
      const reply = await ask({ call: "loom", id: plan.calculator, inputs, version: plan.version });
      if (location.hash !== address) return;
      if (!reply.ok) {
        said.textContent = `This plan cannot be taken to the loom: ${reply.problem}`;
        return;
      }
      const place = `${PREFIX}${reply.key}`;
      const name = nameOf(plan.calculator, inputs) || reply.title;
      const counted = keysOf(PREFIX).map(recall).find((one) => one?.address === address);
      const before = recall(place) ?? counted ?? { picks: 0, temple: 0, advance: 0, past: [] };
      said.textContent = reply.ignored;
      take(place, { ...before, address, build, name, plan: reply });
      save();
    } catch {
      // the state says why
    } finally {
      release();
    }
  }

  function take(place, record) {
    [key, count] = [place, record];
    show.plan.textContent = count.name;
    show.facts.innerHTML = count.plan.facts; // written by our own package
    again.hidden = false;
    enter();
  }

  function list() {
    const counts = keysOf(PREFIX).map(recall).filter((one) => one?.address);
    const kept = plans().filter((plan) => ["cloth-plan", "rhythm"].includes(plan.calculator));
    const page = new URL("loom-side/", root);
    const lines = counts.map((one) => [one.name, page.href + one.address, `${number(one.picks, "pick")} woven`]);
    for (const plan of kept) lines.push([plan.name, linkTo(page, plan.calculator, plan.inputs, plan.version ?? 1), "a plan you saved"]);
    start.querySelector("ul").replaceChildren(
      ...lines.map(([name, address, words]) => {
        const item = make("li", "");
        item.append(Object.assign(link(name, address), { className: "ft-plan-name" }), make("p", "ft-soft", words));
        return item;
      }),
    );
  }

  // Counting ---------------------------------------------------------------------------------

  function where() {
    let begin = 0;
    for (const stretch of count.plan.stretches) {
      if (count.picks < begin + stretch.picks) return { ...stretch, begin, inside: count.picks - begin };
      begin += stretch.picks;
    }
    return { name: "All of it is woven", begin, picks: 0, inside: 0, row: 1 };
  }

  const due = (what) => count[what] + count.plan[what] - count.picks;

  function save() {
    show.kept.textContent = retain(key, count)
      ? "Every step is written down on this device at once."
      : "This browser keeps nothing here: the count lasts only while this page is open.";
  }

  function change(act, does) {
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
    const rows = row > 1;
    const whole = count.plan.stretches.reduce((sum, one) => sum + one.picks, 0);
    const done = picks === 0;
    show.stretch.textContent = name;
    show.number.textContent = done ? "✓" : rows ? Math.floor(inside / row) : inside;
    show.left.textContent = done
      ? number(whole, "pick")
      : rows
        ? `rows of ${picks / row} woven, ${Math.ceil((picks - inside) / row)} left${inside % row ? `; ${number(inside % row, "pick")} of the next` : ""}`
        : `picks of ${picks} woven, ${picks - inside} left`;
    show.next.textContent = rows ? "Row woven" : "Pick woven";
    view.querySelector('[data-loom="pick"]').hidden = !rows;
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
    show.whole.textContent = `${count.picks} of ${whole} picks in all, ${whole - count.picks} left.`;
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
    else change(act, deeds[act]);
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

  const changed = (event) => {
    if (event.key !== key || !event.newValue) return;
    count = recall(key) ?? count;
    render();
  };
  const turned = () => view.isConnected && open();
  addEventListener("storage", changed);
  addEventListener("hashchange", turned);
  document.addEventListener("visibilitychange", stayAwake);
  leave = () => {
    leave = () => {};
    light?.release().catch(() => {});
    removeEventListener("storage", changed);
    removeEventListener("hashchange", turned);
    document.removeEventListener("visibilitychange", stayAwake);
  };
  open();
}
