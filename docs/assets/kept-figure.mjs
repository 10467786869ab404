// The figure that is kept with a plan: found, sent, taken in, and kept under the name that the plan gets.

import { hashOf, NAME } from "./address.mjs";
import { settled } from "./lately.mjs";
import { button, link, make, root } from "./parts.mjs";
import * as store from "./store.mjs";

export const CALCULATOR = "cloth-plan";
export const LONGEST_LINK = 8000; // letters; what lies above is cut off by some ways of sending
export const STEPS = 400_000; // bytes of the steps that are kept with a figure
const FIGURES = "figures";

/** A plan by what its figure is kept with: its name, its address, what it is worked on as. */
export async function byFigure({ name = "", inputs, version, units = "" }) {
  const hash = hashOf(CALCULATOR, name ? { [NAME]: name, ...inputs } : inputs, version, units);
  return { name, inputs, version, units, hash, key: await draftOf(hash) };
}

/** The same, of a calculator's form or of what is kept, as planOf and the store give them. */
export const ofPlan = async ({ calculator, name = "", inputs, held, version = 1, units }) =>
  calculator === CALCULATOR ? byFigure({ name, inputs: withoutName(held ?? inputs), version, units }) : null;

function withoutName({ [NAME]: _, ...inputs }) {
  return inputs;
}

/** The key of the plan that is worked on just so, or nothing. */
export async function draftOf(hash) {
  await settled();
  return (await store.all("drafts")).find((one) => one.hash === hash)?.key ?? "";
}

/** What a plan's figure is kept under: its name, or what it was worked on as, or the plan itself. */
const placesOf = (plan) => [plan.name, plan.key, plan.hash].filter(Boolean);

/** The figure kept with a plan, or null: {key, figure, plan, name, day, steps}; the package reads its text as a grid. */
export async function figureOf(plan) {
  if (!plan) return null;
  for (const place of placesOf(plan)) {
    const found = await store.read(FIGURES, place);
    if (found) return { key: place, ...found };
  }
  return (await figures()).find((one) => one.plan === plan.hash) ?? null;
}

/**
 * Keep the orders of rising and sinking that the ground of a plan's figure is tied in, as a step that can be undone;
 * gives the figure as it is kept then.
 */
export async function keepOrders(plan, orders) {
  const { figure, steps } = await figureOf(plan);
  const { History, opened, stored } = await import("./grid.mjs");
  const { grid, rule } = await opened(figure);
  const history = new History(grid, rule, steps);
  history.take(grid, { ...rule, ...orders });
  const { all, ...kept } = history.kept(STEPS);
  const tied = await stored(grid, history.now.whole);
  await keepFigure(plan, { figure: tied, steps: kept });
  return tied;
}

/** Every figure that is kept, the latest first. */
export const figures = async () => (await store.all(FIGURES)).sort((one, other) => String(other.day).localeCompare(String(one.day)));

/** Keep a figure with its plan; a plan that is nowhere yet stands among what was worked on lately from now on. */
export async function keepFigure(plan, drawn) {
  const day = new Date().toISOString();
  plan.key ||= await draftOf(plan.hash); // the plan may have been written down since
  if (!plan.key) {
    plan.key = store.newKey();
    const { name, hash, key } = plan;
    await store.write("drafts", key, { calculator: CALCULATOR, name, title: "The whole plan", page: "plan/whole-plan/", hash, day });
  }
  return store.write(FIGURES, placesOf(plan)[0], { ...drawn, plan: plan.hash, name: plan.name, day });
}

/**
 * A plan is kept under a name, and its figure with it. Gives that name, or another where that one has another figure,
 * which is not to be lost.
 */
export async function nameFigure(plan, name) {
  const drawn = await figureOf(plan);
  if (!drawn || drawn.key === name) return name;
  const { key, ...record } = drawn;
  const free = await freeName(record.figure, name);
  const done = await store.write(FIGURES, free, { ...record, name: free });
  if (done && key !== plan.name) await store.remove(FIGURES, key); // it had no name before
  return free;
}

/** A name under which there is no other figure. */
export async function freeName(figure, name) {
  for (let number = 1; ; number++) {
    const free = number > 1 ? `${name}, ${number}` : name;
    const there = await store.read(FIGURES, free);
    if (!there || there.figure === figure) return free;
  }
}

/** Keep the figure of a plan that comes from a file. */
export const keepNamed = (name, { figure, inputs, version, units }) => keepFigure({ name, key: name, hash: hashOf(CALCULATOR, { [NAME]: name, ...inputs }, version, units) }, { figure });

/** Take a figure out of where it is kept; gives what puts it back. */
export async function removeFigure({ key, ...record }) {
  await store.remove(FIGURES, key);
  await store.remove("cloths", key);
  return () => store.write(FIGURES, key, record);
}

/** A plan's address with its figure. */
export const linkWith = (address, figure) => `${address}&figure=${encodeURIComponent(figure)}`;

/** The figure of a plan as a form gives it, and the link with both; nothing where there is none. */
export async function figureFor(plan) {
  const drawn = await figureOf(await ofPlan(plan));
  return drawn && { figure: drawn.figure, whole: linkWith(plan.link, drawn.figure) };
}

// What comes with a link ----------------------------------------------------------------------

/** The whole of a stored figure, or a RangeError in words. */
export async function wholeFigure(text) {
  const { opened, wholeOf } = await import("./grid.mjs");
  const { grid, rule } = await opened(text);
  return { ...wholeOf(grid, rule), rise: rule.rise, sink: rule.sink };
}

/** Whether two stored figures are one, their ground tied alike. */
export async function sameFigure(one, other) {
  const { same } = await import("./grid.mjs");
  const [first, second] = await Promise.all([one, other].map(wholeFigure));
  return first.rise === second.rise && first.sink === second.sink && same(first, second);
}

/**
 * Keep the figure that came in the address with a plan, and give the line that tells it, or null where it is here
 * already; one's own of this plan stays. What is kept stands in the address no longer.
 */
export async function takeIn(plan, figure) {
  const address = location.hash;
  const kept = () => location.hash === address && history.replaceState(history.state, "", location.pathname + plan.hash);
  const line = make("p", "ft-told ft-came");
  line.setAttribute("role", "status");
  try {
    const whole = await wholeFigure(figure);
    const mine = await figureOf(plan);
    if (mine && (await sameFigure(mine.figure, figure))) {
      kept();
      return null;
    }
    const see = (words) => [`${words}: ${whole.across} units across, ${whole.up} up. `, link("Look at it", new URL(`figure/drawing/${plan.hash}`, root))];
    const take = async () => {
      const done = await keepFigure(plan, { figure });
      if (done) kept();
      return [...see("The figure that came is kept with this plan"), done ? "" : " This browser keeps nothing here: it lasts while the page is open."];
    };
    if (!mine) line.append(...(await take()));
    else {
      const { key, ...own } = mine;
      const ask = () => line.replaceChildren("Another figure came with this link. Yours of this plan stays. ", button("Take the one that came", async () => {
        line.replaceChildren(...(await take()), " ", button("Put mine back", async () => {
          await store.write(FIGURES, key, own);
          ask();
        }));
      }));
      ask();
    }
  } catch (problem) {
    if (!(problem instanceof RangeError)) throw problem;
    line.textContent = problem.message;
  }
  return line;
}
