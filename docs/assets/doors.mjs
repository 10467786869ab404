// The first page's door to the loom: it leads to what is under way there, else to the last plan.

import { lastPlan } from "./lately.mjs";
import { COUNTED, linkTo, make, named, root } from "./parts.mjs";
import { all, watch } from "./store.mjs";

const latest = (list, day) => list.sort((one, other) => String(other[day] ?? "").localeCompare(String(one[day] ?? "")))[0];

async function underWay(page) {
  const count = latest((await all("counts")).filter(({ address }) => address), "day");
  if (count) return [count.name, page.href + count.address];
  const last = await lastPlan(...COUNTED);
  if (last) return [last.name, last.loom];
  const plan = latest((await all("plans")).filter(({ calculator }) => COUNTED.includes(calculator)), "kept");
  return plan ? [plan.name, linkTo(page, plan.calculator, named(plan.name, plan.inputs), plan.version ?? 1, plan.units)] : [];
}

/** Name on the door what waits behind it; what was typed a moment ago may still be on its way. */
export async function bindDoors(doors) {
  const door = doors.querySelector('[href$="loom-side/"]');
  async function show() {
    const [name, address] = await underWay(new URL("loom-side/", root));
    if (!name) return;
    door.href = address;
    door.querySelector("small").replaceWith(make("small", "ft-own", name));
  }
  const release = watch("drafts", () => (doors.isConnected ? show() : release()));
  await show();
}
