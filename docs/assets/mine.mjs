// What is the weaver's own on this device: records, cones, looms and reeds, each one line that the package wrote.

import { all, newKey, read, remove, write } from "./store.mjs";

const ORDER = ["loom", "reeds", "cone", "record"];

/** Everything of one's own of a kind, as it was put there. */
export async function itemsOf(kind) {
  const place = ({ sort, kept }) => `${ORDER.indexOf(sort)} ${kept}`;
  const items = (await all(kind)).filter(({ line }) => typeof line === "string");
  return items.sort((one, other) => place(one).localeCompare(place(other)));
}

/** The lines of one's own records, or of the cones, looms and reeds of one's workroom. */
export const linesOf = (items, sort = "") => items.filter((item) => !sort || item.sort === sort).map(({ line }) => line).join("\n");

const nameOf = ({ sort, name }) => `${sort} ${name.toLocaleLowerCase()}`;

/** Put one thing among one's own, in the place of another of its name; returns how to take that back, or null. */
export async function put(kind, { sort, name, line, about, metric, imperial, colour = "", drawing = "", measured = "" }, key = "") {
  const items = await itemsOf(kind);
  const same = items.find((item) => (key ? item.key === key : nameOf(item) === nameOf({ sort, name })));
  const place = key || same?.key || newKey();
  const before = await read(kind, place);
  const item = { sort, name, line, about, metric, imperial, colour, drawing, measured, kept: before?.kept ?? new Date().toISOString() };
  if (!(await write(kind, place, item))) return null;
  if (!items.length) navigator.storage?.persist?.().catch(() => false);
  return () => (before ? write(kind, place, before) : remove(kind, place));
}
