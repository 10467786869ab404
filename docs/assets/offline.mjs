// The offline copy as the reader sees it: what is kept, what failed and why, what can be done.

import { watch } from "./runtime.mjs";

const root = new URL("../", import.meta.url);
const supported = "serviceWorker" in navigator && "caches" in globalThis && isSecureContext;

let registration = null;
let words = "";
let actions = [];
let taking = false; // this tab asked for the newer edition
let left = false; // another tab did, and this one is still of the older

/** Show where the offline copy stands, in the footer of the page now open. */
export function showOffline() {
  let line = document.querySelector(".ft-offline");
  if (!line) {
    line = document.createElement("p");
    line.className = "ft-offline";
    line.setAttribute("role", "status");
    (document.querySelector("footer") ?? document.body).append(line);
  }
  line.textContent = words;
  for (const [text, act] of actions) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "ft-act";
    button.textContent = text;
    button.addEventListener("click", act);
    line.append(" ", button);
  }
}

function say(text, ...offered) {
  if (left) return; // what else is told is of the older edition
  words = text;
  actions = offered;
  showOffline();
}

const megabytes = (bytes) => `${(bytes / 1e6).toFixed(1)} MB`;
const tryAgain = ["Try again", () => install()];

function failed(reason) {
  say(`The offline copy failed: ${reason} The handbook works while you are connected.`, tryAgain);
}

/** Ask the service worker; it may tell of progress before it answers. */
function askKeeper(question, progress = () => {}) {
  return new Promise((resolve, reject) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => {
      if (data.loaded !== undefined) progress(data);
      else {
        port1.close();
        if (data.failed) reject(new Error(data.failed));
        else resolve(data);
      }
    };
    registration.active.postMessage(question, [port2]);
  });
}

async function isPersistent() {
  try {
    return await navigator.storage.persisted();
  } catch {
    return false;
  }
}

async function check() {
  if (registration?.waiting && registration.active) {
    say("A newer edition of the handbook is ready.", ["Use it now", takeNewer]);
    return;
  }
  if (!registration?.active) return;
  try {
    const { computing, packed } = await askKeeper("check");
    const lasting = (await isPersistent()) ? "" : " The browser may clear it when space runs short.";
    if (computing) say(`Ready offline: pages and calculators are kept on this device.${lasting}`);
    else {
      say(`Ready offline: the pages are kept on this device.${lasting}`, [
        `Keep the calculators too (about ${megabytes(packed)})`,
        () => keepCalculators(true),
      ]);
    }
  } catch (error) {
    failed(error.message);
  }
}

async function keepCalculators(asked) {
  try {
    await navigator.serviceWorker.ready;
    if (asked) await navigator.storage?.persist?.();
    await askKeeper("keep", ({ loaded, total }) =>
      say(`Keeping the calculators: ${megabytes(loaded)} of ${megabytes(total)}`),
    );
    await check();
  } catch (error) {
    say(`The calculators could not be kept: ${error.message} The pages are ready offline.`, [
      "Try again",
      () => keepCalculators(true),
    ]);
  }
}

function takeNewer() {
  taking = true;
  registration.waiting?.postMessage("use");
}

function follow(installing) {
  if (!installing) return;
  installing.addEventListener("statechange", () => {
    if (installing.state === "redundant" && !registration.active) {
      if (!words.startsWith("The offline copy failed")) failed("it could not be completed.");
    } else if (installing.state === "installed" || installing.state === "activated") check();
  });
}

async function install() {
  try {
    if (!registration?.active) say("Keeping an offline copy of the pages.");
    registration = await navigator.serviceWorker.register(new URL("service-worker.js", root), {
      scope: root.pathname,
      updateViaCache: "none",
    });
  } catch {
    // With an older copy in place, it goes on serving.
    registration = await navigator.serviceWorker.getRegistration(root.href).catch(() => null);
    if (!registration?.active) {
      failed("its program could not be fetched.");
      return;
    }
  }
  registration.addEventListener("updatefound", () => follow(registration.installing));
  follow(registration.installing);
  await check();
}

/** Begin keeping the offline copy, where the browser can. */
export async function startOffline() {
  if (!supported) {
    say("This browser keeps no offline copy here. The handbook works while you are connected; a printed page works anywhere.");
    return;
  }
  const hadKeeper = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener("message", ({ data }) => {
    if (data.failed && !registration?.active) failed(data.failed);
  });
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (taking) location.reload();
    else if (hadKeeper) {
      say("The handbook was renewed in another tab. Load this page again when it suits you; what you typed stays in its address.", [
        "Load again",
        () => location.reload(),
      ]);
      left = true;
    }
  });
  await install();
  let kept = false;
  watch(({ name }) => {
    if (name !== "ready" || kept || navigator.connection?.saveData) return;
    kept = true;
    setTimeout(() => keepCalculators(false), 1000); // the first answers come first
  });
  if (matchMedia("(display-mode: standalone)").matches) keepCalculators(false);
}
