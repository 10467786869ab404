// The hint that the handbook can stand on the home screen: it comes once, and not again once it was seen.

import { actions, button, make } from "./parts.mjs";
import { read, write } from "./store.mjs";

const KIND = "settings";
const KEY = "install-hint";

const installed = () => matchMedia("(display-mode: standalone)").matches || navigator.standalone === true;

function show(words, ...offered) {
  const hint = make("aside", "ft-install");
  hint.setAttribute("aria-label", "On the home screen");
  const gone = () => hint.remove();
  const acts = offered.map(([text, act]) => button(text, () => (gone(), act())));
  hint.append(make("p", "", words), actions(...acts, button("No, thank you", gone)));
  document.querySelector("footer").before(hint);
  new IntersectionObserver(([{ isIntersecting }], observer) => {
    if (!isIntersecting) return;
    observer.disconnect();
    write(KIND, KEY, { seen: true });
  }).observe(hint);
}

const isNew = async () => !installed() && !document.querySelector(".ft-install") && !(await read(KIND, KEY));

/** Say once, at the foot of the page, how the handbook comes to the home screen. */
export async function hintAtInstalling() {
  addEventListener("beforeinstallprompt", async (event) => {
    event.preventDefault();
    if (await isNew()) {
      show("The handbook can stand on your home screen: it opens there like any app, without a signal too.", [
        "Put it there",
        () => event.prompt(),
      ]);
    }
  });
  // Only Safari on a phone has this property, and it offers nothing itself.
  if (navigator.standalone === false && (await isNew())) {
    show("The handbook can stand on your home screen. Tap the browser’s own share button, then “Add to Home Screen”.");
  }
}
