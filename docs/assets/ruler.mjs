// How large a millimetre is on this screen, found with a bank card; the pictures at true size use it.

import { actions, button, labelled, make, openDialog, recall, retain, told } from "./parts.mjs";

const KEY = "ft-screen";
const CARD = { width: "53.98mm", height: "85.6mm" }; // ISO/IEC 7810, format ID-1

const shown = () => Number(recall(KEY)?.ratio) || 1;

function show(ratio) {
  document.documentElement.style.setProperty("--ft-screen", ratio);
}

/** Use what was found on an earlier visit. */
export function useRuler() {
  show(shown());
}

/** Let the reader match an outline to a bank card, or to a ruler. */
export function act() {
  const slider = Object.assign(make("input", ""), { type: "range", min: 0.5, max: 2.5, step: 0.005, value: shown() });
  const say = told();
  const card = make("div", "ft-bank-card", "A bank card lies exactly in here: 54 × 85.6 mm (2 1/8 × 3 3/8 in)");
  Object.assign(card.style, CARD);
  const turn = (ratio) => {
    slider.value = ratio;
    show(slider.value);
    const kept = retain(KEY, { ratio: Number(slider.value) });
    say.textContent = kept ? "Remembered on this device." : "This browser remembers nothing; it holds for this visit.";
  };
  slider.addEventListener("input", () => turn(slider.value));
  openDialog(
    "The true size on this screen",
    make("p", "", "Lay a bank card on the screen, or hold a ruler to it, and move the slider until the outline fits."),
    labelled("Size of the outline", slider),
    actions(
      button("Smaller", () => turn(slider.valueAsNumber - 0.005)),
      button("Larger", () => turn(slider.valueAsNumber + 0.005)),
      button("As it came", () => turn(1)),
    ),
    say,
    card,
  );
}
