// Binds the calculators of each page as it is turned to, and keeps the handbook for offline use.

import { flushAddress } from "./address.mjs";
import { bindPage, openAddress } from "./form.mjs";
import { hintAtInstalling } from "./install.mjs";
import { showOffline, startOffline } from "./offline.mjs";
import { openDialog, make } from "./parts.mjs";
import { useRuler } from "./ruler.mjs";

// What is not wanted on every page is fetched when it is.
const WANTED = {
  share: () => import("./share.mjs"),
  keep: () => import("./keep.mjs"),
  print: () => import("./paper.mjs"),
  ruler: () => import("./ruler.mjs"),
};
const PLACES = {
  ".ft-kept": async (place) => (await import("./keep.mjs")).list(place),
  ".ft-own": async (place) => (await import("./own.mjs")).list(place),
  "section[data-calculator]": async () => (await import("./offers.mjs")).bindOffers(),
  ".ft-stages": async (place) => (await import("./narrow.mjs")).narrow(place),
  '[data-calculator="shelf"]': async (section) => (await import("./cones.mjs")).bindCones(section),
  '[data-calculator="look"]': async (section) => (await import("./light.mjs")).bindLight(section),
  ".ft-guild": async (place) => (await import("./guild.mjs")).bindGuild(place),
  ".ft-doors": (place) => import("./doors.mjs").then(({ bindDoors }) => bindDoors(place), () => {}),
  ".ft-drawing": async (section) => (await import("./figure.mjs")).bindFigure(section),
  ".ft-loom-start": async (place) => (await import("./loom.mjs")).bindLoom(place),
};

let coming = false; // a second tap while the first one's part is still being fetched opens nothing

async function use(button) {
  const wanted = WANTED[button?.dataset.action];
  if (!wanted || coming) return;
  coming = true;
  try {
    const { act } = await wanted();
    act(button.closest("[data-calculator]"), button);
  } catch {
    openDialog("Not just now", make("p", "", "This part of the handbook could not be fetched: there is no connection, and no offline copy yet."));
  } finally {
    coming = false;
  }
}

function begin() {
  for (const dialog of document.querySelectorAll(".ft-dialog")) dialog.close();
  bindPage();
  showOffline();
  for (const [place, bind] of Object.entries(PLACES)) {
    const found = document.querySelector(place);
    if (found) bind(found).catch(() => found.append("This part could not be fetched. Load the page again when you are connected."));
  }
}

if (!globalThis.ftPage) {
  globalThis.ftPage = true;
  if (globalThis.document$) globalThis.document$.subscribe(begin);
  else if (document.readyState === "loading") addEventListener("DOMContentLoaded", begin);
  else begin();
  // A link pasted into the open page brings a plan as it does into a new one.
  let followed = "";
  const note = ({ target }) => (followed = target.closest("a[href]")?.hash ?? "");
  document.addEventListener("click", note, true);
  addEventListener("hashchange", () => openAddress(location.hash !== followed));
  addEventListener("pagehide", flushAddress);
  document.addEventListener("click", flushAddress, true); // before a link is followed
  document.addEventListener("click", ({ target }) => use(target.closest("[data-action]")));
  useRuler();
  hintAtInstalling();
  if (document.readyState === "complete") startOffline();
  else addEventListener("load", startOffline);
}
