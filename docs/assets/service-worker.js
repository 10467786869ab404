// Keeps the handbook for offline use, in two tiers: the pages, and the calculators' runtime.
// The build fills in its id and both lists; each entry is [address, SHA-256, bytes, bytes packed].

const BUILD = "@FT-BUILD@";
const READING = "@FT-READING@";
const COMPUTING = "@FT-COMPUTING@";

const SCOPE = self.registration.scope;
const OWN = `fine-thread ${SCOPE} `; // the address is part of the name: a neighbour's stay untouched
const SHELF = { reading: `${OWN}reading ${BUILD}`, computing: `${OWN}computing ${BUILD}` };
const TIERS = { reading: READING, computing: COMPUTING };
const PLACE = new Map();
for (const [tier, entries] of Object.entries(TIERS)) for (const [name] of entries) PLACE.set(name, tier);
const PICTURE = /\/memory-[^/]*$/; // a faster start, and the first thing given up for want of room

const TYPES = {
  css: "text/css", html: "text/html; charset=utf-8", js: "text/javascript", json: "application/json",
  mjs: "text/javascript", png: "image/png", svg: "image/svg+xml", txt: "text/plain; charset=utf-8",
  wasm: "application/wasm", webmanifest: "application/manifest+json", woff2: "font/woff2",
  xml: "application/xml", csv: "text/csv; charset=utf-8", zip: "application/zip",
};

const address = (name) => new URL(name, SCOPE).href;
const typeOf = (name) =>
  TYPES[/(^|\/)$/.test(name) ? "html" : name.split(".").at(-1)] ?? "application/octet-stream";
const ownCaches = async () => (await caches.keys()).filter((name) => name.startsWith(OWN));

async function isGenuine(bytes, sum) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (value) => value.toString(16).padStart(2, "0")).join("") === sum;
}

// Filling -------------------------------------------------------------------------------------

async function fromEarlierBuild(name, sum) {
  for (const cache of await ownCaches()) {
    const stored = await caches.match(address(name), { cacheName: cache });
    if (!stored) continue;
    const bytes = await stored.arrayBuffer();
    if (await isGenuine(bytes, sum)) return bytes;
  }
  return null;
}

async function fromServer(name, sum) {
  const html = typeOf(name).startsWith("text/html");
  let reason = "";
  for (const cache of ["no-cache", "reload"]) {
    let response;
    try {
      response = await fetch(address(name), { cache });
    } catch {
      throw new Error(`${name || "the first page"} could not be fetched.`);
    }
    const type = response.headers.get("content-type") ?? "";
    if (!response.ok) reason = `the server answered ${response.status}`;
    else if (response.redirected) reason = "the server sent us elsewhere";
    else if (!html && type.startsWith("text/html")) reason = "a web page came in its place";
    else {
      const bytes = await response.arrayBuffer();
      if (await isGenuine(bytes, sum)) return bytes;
      reason = "it arrived changed";
    }
  }
  throw new Error(`${name || "the first page"} was refused: ${reason}.`);
}

async function fill(tier, entries, tell = () => {}) {
  const cache = await caches.open(SHELF[tier]);
  const there = new Set((await cache.keys()).map((request) => request.url));
  const missing = entries.filter(([name]) => !there.has(address(name)));
  const total = missing.reduce((sum, entry) => sum + entry[3], 0);
  let loaded = 0;
  const next = async () => {
    for (let entry = missing.shift(); entry; entry = missing.shift()) {
      const [name, sum, size, packed] = entry;
      const bytes = (await fromEarlierBuild(name, sum)) ?? (await fromServer(name, sum));
      const headers = { "content-type": typeOf(name), "content-length": String(size) };
      await cache.put(address(name), new Response(bytes, { headers }));
      loaded += packed;
      tell({ loaded, total });
    }
  };
  await Promise.all([next(), next(), next(), next()]);
}

const inWords = (error) =>
  error.name === "QuotaExceededError" ? "this device has no room for it." : error.message;

async function dropPictures() {
  for (const name of await ownCaches()) {
    const cache = await caches.open(name);
    for (const { url } of await cache.keys()) if (PICTURE.test(url)) await cache.delete(url);
  }
}

async function keepReading() {
  try {
    await fill("reading", READING);
  } catch (error) {
    if (error.name !== "QuotaExceededError") throw error;
    await dropPictures();
    await fill("reading", READING);
  }
}

async function keepComputing(tell) {
  const needed = COMPUTING.filter(([name]) => !PICTURE.test(name));
  try {
    await fill("computing", needed, tell);
  } catch (error) {
    if (error.name !== "QuotaExceededError") throw error;
    await dropPictures();
    await fill("computing", needed, tell);
  }
  await fill("computing", COMPUTING, tell).catch(() => dropPictures());
}

// Life ----------------------------------------------------------------------------------------

async function tellEveryone(message) {
  const pages = await self.clients.matchAll({ includeUncontrolled: true });
  for (const page of pages) if (page.url.startsWith(SCOPE)) page.postMessage(message);
}

async function install() {
  const hadCalculators = (await ownCaches()).some((name) => name.startsWith(`${OWN}computing`));
  try {
    await keepReading();
  } catch (error) {
    await caches.delete(SHELF.reading);
    await tellEveryone({ failed: inWords(error) });
    throw error;
  }
  if (hadCalculators) await keepComputing().catch(() => caches.delete(SHELF.computing));
}

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

// An earlier build's copy serves the tabs that began with it; it goes when only one tab is left.
async function tidy() {
  const pages = await self.clients.matchAll({ type: "window" });
  if (pages.length > 1) return;
  for (const name of await ownCaches()) {
    if (!Object.values(SHELF).includes(name)) await caches.delete(name);
  }
}

async function isComplete(tier) {
  if (!(await caches.has(SHELF[tier]))) return false;
  const there = new Set((await (await caches.open(SHELF[tier])).keys()).map(({ url }) => url));
  return TIERS[tier].every(([name]) => there.has(address(name)) || PICTURE.test(name));
}

async function check() {
  if (!(await isComplete("reading"))) await keepReading();
  await tidy();
  const packed = COMPUTING.reduce((sum, entry) => sum + entry[3], 0);
  return { computing: await isComplete("computing"), packed };
}

self.addEventListener("message", (event) => {
  const port = event.ports[0];
  if (event.data === "use") self.skipWaiting();
  const task = { check, keep: () => keepComputing((told) => port.postMessage(told)).then(() => ({})) }[event.data];
  if (!task || !port) return;
  event.waitUntil(
    task().then(
      (answer) => port.postMessage(answer),
      (error) => port.postMessage({ failed: inWords(error) }),
    ),
  );
});

// Serving -------------------------------------------------------------------------------------

async function kept(name) {
  const tier = PLACE.get(name);
  if (tier) return caches.match(address(name), { cacheName: SHELF[tier] });
  if (!name.startsWith("assets/runtime/")) return undefined;
  for (const cache of await ownCaches()) {
    const stored = await caches.match(address(name), { cacheName: cache });
    if (stored) return stored;
  }
  return undefined;
}

async function serve(request, url) {
  const name = url.pathname.slice(new URL(SCOPE).pathname.length).replace(/(^|\/)index\.html$/, "$1");
  if (!PLACE.has(name) && PLACE.has(`${name}/`)) {
    return Response.redirect(address(`${name}/`) + url.search, 302);
  }
  const stored = await kept(name);
  if (stored) return stored;
  try {
    return await fetch(request);
  } catch (error) {
    const lost = request.mode === "navigate" && (await kept("404.html"));
    if (!lost) throw error;
    return new Response(lost.body, { status: 404, headers: lost.headers });
  }
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || !url.href.startsWith(SCOPE)) return;
  event.respondWith(serve(event.request, url));
});
