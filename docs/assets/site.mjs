// The handbook around the calculators: turning pages without losing the running worker, opening the
// search, units and light. Pages work without this file; links then load in the ordinary way.

const root = document.documentElement;
const listeners = new Set();

// Whoever needs to bind to each page subscribes here: called now and after every turned page.
globalThis.document$ ??= {
  subscribe(listener) {
    listeners.add(listener);
    listener(document);
    return { unsubscribe: () => listeners.delete(listener) };
  },
};

const site = () => new URL(root.dataset.base.replace(/\/?$/, "/"), document.baseURI);
const keep = (name, value) => {
  try {
    if (value) localStorage.setItem(name, value);
    else localStorage.removeItem(name);
  } catch {
    // A browser that keeps nothing still shows the choice on this page.
  }
};

// Units and light ---------------------------------------------------------------------------

function chooseWorld(world) {
  const before = root.dataset.world;
  root.dataset.world = world;
  keep("ft-world", world);
  delete root.dataset.asked;
  showChoices();
  if (world !== before) document.dispatchEvent(new CustomEvent("ft-units", { detail: { before } }));
}

/** Which English the labels speak; what is counted in is a choice of its own. */
function chooseEnglish(english) {
  root.dataset.english = english;
  keep("ft-english", english);
  showChoices();
}

function turnTheme() {
  const dark = root.dataset.theme
    ? root.dataset.theme === "dark"
    : matchMedia("(prefers-color-scheme: dark)").matches;
  root.dataset.theme = dark ? "light" : "dark";
  keep("ft-theme", root.dataset.theme);
}

function showChoices() {
  for (const button of document.querySelectorAll("button[data-world]")) {
    button.setAttribute("aria-pressed", String(button.dataset.world === root.dataset.world));
  }
  for (const button of document.querySelectorAll("button[data-english]")) {
    button.setAttribute("aria-pressed", String(button.dataset.english === root.dataset.english));
  }
}

/** The tools are one stop of the tab key; the arrows go from one to the next. */
function oneStop() {
  const tools = [...document.querySelectorAll(".ft-tools button")];
  for (const [place, tool] of tools.entries()) tool.tabIndex = place ? -1 : 0;
}

function goAlong(event) {
  const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
  const from = event.target.closest(".ft-tools button");
  if (!step || !from) return;
  const tools = [...document.querySelectorAll(".ft-tools button")];
  const next = tools[(tools.indexOf(from) + step + tools.length) % tools.length];
  from.tabIndex = -1;
  next.tabIndex = 0;
  next.focus();
}

// Turning pages -----------------------------------------------------------------------------

const TURNED = ["ft-header", "ft-page", "ft-footer"];
const positions = new Map();
/** Read an anchor; one with a broken % in it names nothing, and stops nothing. */
function named(anchor) {
  try {
    return decodeURIComponent(anchor);
  } catch {
    return anchor;
  }
}

const place = (url) => url.pathname + url.search;
let here = new URL(location.href);
let turning = 0;

async function turn(url, position) {
  const turn_number = ++turning;
  let next;
  try {
    const reply = await fetch(url.pathname + url.search);
    if (!reply.ok || !reply.headers.get("content-type")?.includes("text/html")) throw reply;
    next = new DOMParser().parseFromString(await reply.text(), "text/html");
    if (!next.getElementById("ft-page") || build(next) !== build(document)) throw next;
    if (reply.redirected) url = Object.assign(new URL(reply.url), { hash: url.hash });
  } catch {
    location.assign(url);
    return;
  }
  if (turn_number !== turning) return;
  // Icons and manifest are named from the page first opened; the next one may lie elsewhere.
  for (const link of document.querySelectorAll("link[rel~=icon], link[rel=manifest]")) {
    link.href = link.href;
  }
  if (position === undefined) history.pushState(null, "", url);
  here = url;
  for (const id of TURNED) document.getElementById(id).replaceWith(next.getElementById(id));
  root.dataset.base = next.documentElement.dataset.base;
  document.title = next.title;
  delete root.dataset.asked;
  for (const selector of ["meta[name=description]", "link[rel=canonical]"]) {
    const [mine, theirs] = [document, next].map((page) => page.querySelector(selector));
    if (mine && theirs) mine.replaceWith(theirs);
  }
  document.getElementById("ft-main").focus({ preventScroll: true });
  const target = url.hash && document.getElementById(named(url.hash.slice(1)));
  if (position !== undefined) scrollTo(0, position);
  else if (target) {
    target.closest("details")?.setAttribute("open", "");
    target.scrollIntoView();
  } else scrollTo(0, 0);
  showChoices();
  oneStop();
  for (const listener of listeners) listener(document);
}

const build = (page) => page.querySelector("meta[name=ft-build]")?.content;

function follow(event) {
  const link = event.target.closest("a[href]");
  if (!link || event.defaultPrevented || event.button !== 0) return;
  if (event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
  if (link.closest(".ft-search")) link.closest(".ft-search").close();
  if (link.target || link.hasAttribute("download")) return;
  const url = new URL(link.href);
  if (!url.href.startsWith(site().href)) return;
  if (place(url) === place(new URL(location.href)) && url.hash) return;
  if (!/(\/|\.html)$/.test(url.pathname)) return;
  event.preventDefault();
  positions.set(place(here), scrollY);
  turn(url);
}

addEventListener("popstate", () => {
  const url = new URL(location.href);
  if (place(url) === place(here)) {
    here = url;
    return;
  }
  positions.set(place(here), scrollY);
  turn(url, positions.get(place(url)) ?? 0);
});

// Search ------------------------------------------------------------------------------------

const dialog = document.getElementById("ft-search");
let searching;

async function search() {
  try {
    searching ??= import("./search.mjs");
    await (await searching).showFound(dialog, site());
  } catch {
    searching = undefined;
    dialog.querySelector(".ft-found").textContent =
      "The search could not be fetched. Type again to try once more, or load the page again when you are connected.";
  }
}

function openSearch() {
  if (!dialog.open) dialog.showModal();
  document.getElementById("ft-query").select();
  search();
}

// Listening once, for every page of the visit ------------------------------------------------

document.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (button?.matches("[data-world]")) chooseWorld(button.dataset.world);
  else if (button?.matches("[data-other-units]")) chooseWorld(root.dataset.world === "metric" ? "imperial" : "metric");
  else if (button?.matches("[data-english]")) chooseEnglish(button.dataset.english);
  else if (button?.matches("[data-turn-theme]")) turnTheme();
  else if (button?.matches("[data-open-search]")) openSearch();
  else if (button?.matches("[data-close-search]")) dialog.close();
  const contents = document.querySelector(".ft-contents[open]");
  if (contents && !event.target.closest(".ft-contents summary")) {
    if (!contents.contains(event.target) || event.target.closest("a")) contents.open = false;
  }
  follow(event);
});

document.addEventListener("keydown", (event) => {
  goAlong(event);
  if (event.key === "Escape") {
    const contents = document.querySelector(".ft-contents[open]");
    if (contents) {
      contents.open = false;
      contents.querySelector("summary").focus();
    }
  }
  const typing = event.target.closest("input, select, textarea, [contenteditable]");
  if (event.key === "/" && !typing && !event.ctrlKey && !event.metaKey) {
    event.preventDefault();
    openSearch();
  }
});

// A table wider than the screen must be reachable by keyboard to be scrolled.
document$.subscribe(() => {
  for (const table of document.querySelectorAll(".ft-main > table")) {
    if (table.scrollWidth > table.clientWidth) table.tabIndex = 0;
  }
});
document.getElementById("ft-query").addEventListener("input", search);
dialog.querySelector("form").addEventListener("submit", (event) => {
  event.preventDefault();
  dialog.querySelector(".ft-hits a")?.click();
});
showChoices();
if ("asked" in root.dataset) keep("ft-world", root.dataset.world); // once
oneStop();
