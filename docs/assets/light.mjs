// Turns the light on a cloth with a slider, just above the pictures that it changes; draws every thread below them.

import { actions, button, labelled, make, planOf } from "./parts.mjs";

const HOURS = 12;

const written = (hour) => `${Math.floor(hour)}${hour % 1 ? `:${60 * (hour % 1)}` : ""}`;

/** Say which hour of the clock is typed, to the next quarter; nothing where it is told otherwise. */
function hourOf(text) {
  const [, number, minutes, degrees] = /^\s*(\d+(?:\.\d+)?)(?::(\d\d))?\s*(°)?/.exec(text) ?? [];
  if (number === undefined) return null;
  const hour = degrees ? ((Number(number) % 360) * HOURS) / 360 : Number(number) + Number(minutes ?? 0) / 60;
  return Math.round(4 * hour) / 4;
}

export async function bindLight(section) {
  const field = section.querySelector('[name="light"]');
  const answer = section.querySelector(".ft-answer");
  const slider = Object.assign(make("input", ""), { type: "range", min: 0, max: HOURS, step: 0.25 });
  const show = () => {
    const hour = hourOf(field.value);
    if (hour !== null) slider.value = hour;
    slider.setAttribute("aria-valuetext", `from ${field.value}`);
  };
  slider.addEventListener("input", () => {
    field.value = written(slider.valueAsNumber);
    field.dispatchEvent(new Event("input", { bubbles: true }));
    show();
  });
  slider.addEventListener("change", () => field.dispatchEvent(new Event("change", { bubbles: true })));
  field.addEventListener("input", show);
  new MutationObserver(show).observe(answer, { childList: true }); // undone, restored, opened from a link
  show();
  answer.before(labelled("Turn the light: hour of the clock, 12 at the far end of the cloth", slider));

  const place = make("div", "ft-every");
  let cloth = null;
  const all = button("Draw every thread", async () => {
    const { bindThreads } = await import("./threads.mjs");
    cloth ??= bindThreads(place, () => {
      const { inputs, units } = planOf(section);
      return { inputs, units };
    });
    await cloth.start();
  });
  place.append(actions(all));
  answer.before(place);
  section.querySelector("form").addEventListener("input", () => cloth?.stop("You have changed the cloth since. "));
}
