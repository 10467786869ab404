// The sheet for paper: it takes the page's place until it is closed.

import { clothe } from "./cloth.mjs";
import { nameOf } from "./keep.mjs";
import { figureFor } from "./kept-figure.mjs";
import { actions, button, make, planOf, told } from "./parts.mjs";
import { ask, build, inWords, watch } from "./runtime.mjs";

// What A4 and Letter both have room for, within the margins of @page job.
const PAGE = { width: "186mm", height: "259mm" };
const LETTERS = { most: 9.5, least: 5.5, step: 0.1 }; // pt

let close = () => {};

/** Find the largest letters with which a plan's sheet is one page. */
function fit(sheet) {
  const job = sheet.querySelector(".ft-job");
  if (!job) return;
  const page = make("div", "ft-print");
  Object.assign(page.style, { position: "absolute", visibility: "hidden", padding: 0, maxWidth: "none", ...PAGE });
  const copy = page.appendChild(job.cloneNode(true));
  document.body.append(page);
  let letters = LETTERS.most;
  do copy.style.setProperty("--ft-letters", `${letters}pt`);
  while (copy.offsetHeight > page.offsetHeight && (letters -= LETTERS.step) >= LETTERS.least);
  page.remove();
  job.style.setProperty("--ft-page-letters", `${letters}pt`);
}

/** Put a sheet in the page's place until it is closed: {sheet, state, ready}. */
export function openSheet(closed) {
  close();
  const view = make("main", "ft-print");
  const state = told();
  const print = button("Print this sheet", () => globalThis.print());
  const away = button("Back to the page", () => close());
  const sheet = make("div", "ft-print-sheet");
  const [height, title] = [scrollY, document.title];
  print.disabled = true;
  view.append(actions(print, away), state, sheet);
  const leave = (event) => event.key === "Escape" && close();
  const end = () => close();
  close = () => {
    close = () => {};
    removeEventListener("keydown", leave);
    removeEventListener("popstate", end);
    view.remove();
    document.documentElement.classList.remove("ft-printing");
    document.title = title;
    scrollTo({ top: height, behavior: "instant" });
    closed();
  };
  addEventListener("keydown", leave);
  addEventListener("popstate", end);
  document.documentElement.classList.add("ft-printing");
  document.body.append(view);
  scrollTo({ top: 0, behavior: "instant" });
  away.focus();
  return {
    sheet,
    state,
    /** It can be printed; its name is the one a saved PDF gets. */
    ready(name) {
      document.title = name;
      print.disabled = false;
      print.focus();
    },
  };
}

/** Show this calculator's sheet, ready to be printed. */
export async function act(section, pressed) {
  const plan = planOf(section);
  let release = () => {};
  const { sheet, state, ready } = openSheet(() => {
    release();
    pressed.focus({ preventScroll: true });
  });
  release = watch((now) => (state.textContent = now.name === "ready" ? "" : inWords(now)));
  try {
    const name = plan.name || (await nameOf(plan.calculator, plan.inputs));
    const date = new Date().toLocaleDateString("en-GB", { dateStyle: "long" });
    const { calculator: id, inputs, link: address } = plan;
    const whole = (await figureFor(plan))?.whole ?? "";
    const reply = await ask({ call: "sheet", id, inputs, units: plan.units, address, whole, date, name, build });
    if (reply.ok) {
      sheet.innerHTML = reply.sheet; // made by our own package, which escapes what was typed
      await clothe(sheet, plan);
      fit(sheet);
      ready(`${name || plan.title}, ${date}`);
    } else state.textContent = `No sheet can be made of this: ${reply.problem}`;
  } catch (problem) {
    state.textContent = `The sheet could not be made. ${problem.message} The page itself can be printed.`;
  }
}
