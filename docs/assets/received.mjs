// A plan that somebody sent: what it is, before any form.

import { actions, button, make, told } from "./parts.mjs";

/** Put the card of a plan above its form; returns what shows the package's drawing on it. */
export function showReceived(section) {
  const card = make("div", "ft-received");
  const drawn = make("div", "ft-received-plan", "The drawing follows once the calculators are here.");
  const say = told();
  const save = button("Save", async () => {
    const { keepAsItIs } = await import("./keep.mjs");
    await keepAsItIs(section, say);
  });
  card.append(make("p", "ft-soft", "A plan sent to you"), section.querySelector(".ft-called"), drawn, actions(save), say);
  section.querySelector(".ft-head").after(card);
  return (html) => (drawn.innerHTML = html); // made by our own package, which escapes what was typed
}
