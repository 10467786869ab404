// The figure that is kept with a plan.

import { settled } from "./lately.mjs";
import * as store from "./store.mjs";

/** The key of the plan that is worked on just so, or nothing. */
export async function draftOf(hash) {
  await settled();
  return (await store.all("drafts")).find((one) => one.hash === hash)?.key ?? "";
}

/** What a plan's figure is kept under: its name, or what it was worked on as, or the plan itself. */
export const placesOf = (plan) => [plan.name, plan.key, plan.hash].filter(Boolean);

/** The figure kept with a plan, or null: {key, figure, plan, name, day}; the package reads its text as a grid. */
export async function figureOf(plan) {
  for (const place of placesOf(plan)) {
    const found = await store.read("figures", place);
    if (found) return { key: place, ...found };
  }
  return null;
}
