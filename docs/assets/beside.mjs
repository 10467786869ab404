// Two plans of one calculator side by side: what differs, in the order of the work.

import { labelled, make, openDialog, told } from "./parts.mjs";
import { ask } from "./runtime.mjs";
import { all } from "./store.mjs";

/** The plans and examples of the same calculator, this one left out. */
export function partners(plan, plans, examples) {
  const hers = examples.map((one) => ({ ...one, name: one.title, kept: undefined }));
  return [...plans, ...hers].filter((one) => one.calculator === plan.calculator && one.key !== plan.key);
}

const asked = ({ name, calculator, inputs, version = 1, units }) => ({ name, calculator, inputs, version, ...(units ? { units } : {}) });

/** Open a plan beside another that is chosen. */
export async function openBeside(plan, plans) {
  const others = partners(plan, plans, await all("examples"));
  const say = told();
  const table = make("div", "ft-beside-place");
  const chosen = make("select", "");
  chosen.append(...others.map((one, place) => new Option(one.name, place)));
  const none = make("p", "", "No other plan of this calculator is saved here. Save a second one, or open hers from a file, and they can stand side by side.");
  openDialog(`“${plan.name}” beside another`, ...(others.length ? [labelled("Beside", chosen), say, table] : [none]));
  if (!others.length) return;
  async function show() {
    try {
      const reply = await ask({ call: "compare", plans: [asked(plan), asked(others[chosen.value])] });
      say.textContent = reply.problem ?? "";
      table.innerHTML = reply.html ?? ""; // made by our own package, which escapes what was typed
    } catch (problem) {
      say.textContent = problem.message;
    }
  }
  chosen.addEventListener("change", show);
  await show();
}
