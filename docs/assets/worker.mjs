// Runs the calculators: fetches their runtime, checks every byte of it, starts Python, answers.
//
// In:  {build}                                   start, for the page's build
//      {number, request, points}                 one question, as JSON text; points of a picture
//      {memory}                                  unpack the memory picture, and post its bytes
// Out: {state: "fetching", loaded, total}        bytes as they travel, about
//      {state: "starting"}, {state: "ready"}
//      {state: "failed", reason, reload}         why, in words; reload: trying again will not help
//      {number, reply}                           one answer, as JSON text
//
// The build puts this file beside the runtime's own files.

const here = new URL("./", import.meta.url);
const network = self.fetch.bind(self);
const FIRST_BYTES = { python: [0x00, 0x61, 0x73, 0x6d], library: [0x1f, 0x8b], memory: [0x1f, 0x8b] };
const TWO_EDITIONS =
  "This page and its calculators come from two editions of the handbook. " +
  "Load the page again; what you typed stays in its address.";

class Trouble extends Error {
  constructor(reason, reload = false) {
    super(reason);
    this.reload = reload;
  }
}

async function get(name, cache) {
  let response;
  try {
    response = await network(new URL(name, here), { cache });
  } catch {
    throw new Trouble("There is no connection to the handbook’s server.");
  }
  if (response.status === 404) throw new Trouble(TWO_EDITIONS, true);
  if (!response.ok) throw new Trouble(`The server could not send ${name} (status ${response.status}).`);
  const type = response.headers.get("content-type") ?? "";
  if (response.redirected || type.startsWith("text/html")) {
    throw new Trouble(`A web page came in place of ${name}: perhaps this network wants you to sign in.`);
  }
  return response;
}

async function read(response, part, travelled) {
  const bytes = new Uint8Array(part.bytes);
  const reader = response.body.getReader();
  let filled = 0;
  for (;;) {
    let chunk;
    try {
      chunk = await reader.read();
    } catch {
      throw new Trouble(`The connection broke off while ${part.path} was on its way.`);
    }
    if (chunk.done) break;
    if (filled + chunk.value.length > part.bytes) throw new Trouble(`${part.path} is longer than it should be.`);
    bytes.set(chunk.value, filled);
    filled += chunk.value.length;
    travelled(filled);
  }
  return bytes.subarray(0, filled);
}

async function isGenuine(bytes, part, first = []) {
  if (bytes.length !== part.bytes || first.some((value, index) => bytes[index] !== value)) return false;
  if (!self.crypto?.subtle) return true; // no checksums where the address is not a secure one
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(sum, (value) => value.toString(16).padStart(2, "0")).join("") === part.sha256;
}

async function fetchPart(key, part, travelled) {
  for (const cache of ["default", "reload"]) {
    const response = await get(part.path, cache);
    const streams = key === "python" && response.headers.get("content-type") === part.type;
    const compiling = streams ? WebAssembly.compileStreaming(response.clone()) : null;
    compiling?.catch(() => {}); // a damaged file is reported below
    const bytes = await read(response, part, travelled);
    if (await isGenuine(bytes, part, FIRST_BYTES[key])) {
      return { url: new URL(part.path, here).href, bytes, compiling };
    }
  }
  throw new Trouble(`${part.path} arrived damaged, and again when fetched anew.`);
}

async function fetchAll(parts) {
  const keys = ["loader", "glue", "python", "library"];
  const total = keys.reduce((sum, key) => sum + parts[key].packed, 0);
  const loaded = {};
  let told = 0;
  const travelled = (key) => (filled) => {
    loaded[key] = (filled / parts[key].bytes) * parts[key].packed;
    if (performance.now() - told < 100) return;
    told = performance.now();
    const sum = Object.values(loaded).reduce((one, other) => one + other, 0);
    postMessage({ state: "fetching", loaded: Math.round(sum), total });
  };
  postMessage({ state: "fetching", loaded: 0, total });
  const fetched = await Promise.all(keys.map((key) => fetchPart(key, parts[key], travelled(key))));
  return Object.fromEntries(keys.map((key, index) => [key, fetched[index]]));
}

async function unpacked(bytes) {
  const stream = new Response(bytes).body.pipeThrough(new DecompressionStream("gzip"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

// The memory picture is used only where an earlier visit has stored it. A worker of its own unpacks
// it, beside all else that is to be done.
function unpackedElsewhere(part) {
  if (!part || !self.Worker) return null;
  return new Promise((done) => {
    const other = new Worker(import.meta.url, { type: "module" });
    other.onmessage = ({ data }) => {
      other.terminate();
      done(data);
    };
    other.onerror = () => done(null);
    other.postMessage({ memory: part });
  });
}

async function storedMemory(part) {
  try {
    const stored = await caches.match(new URL(part.path, here));
    if (!stored) return null;
    const packed = new Uint8Array(await stored.arrayBuffer());
    if (!(await isGenuine(packed, part, FIRST_BYTES.memory))) return null;
    return await unpacked(packed);
  } catch {
    return null;
  }
}

// Restoring a picture overwrites the place of a call table that belongs to this engine; put it back.
function keepingCallTable(create) {
  return async (settings) => {
    const module = await create(settings);
    const api = module.API;
    const offset = module.HEAP32[module.__PyEM_EMSCRIPTEN_TRAMPOLINE_OFFSET >>> 2];
    const slot = (module.__PyRuntime + offset) >>> 2;
    const own = module.HEAP32[slot];
    const restore = api.restoreSnapshot.bind(api);
    api.restoreSnapshot = (picture) => {
      if (picture.length > module.HEAP8.length) module._emscripten_resize_heap(picture.length);
      const restored = restore(picture);
      module.HEAP32[slot] = own;
      return restored;
    };
    return module;
  };
}

async function startPython(parts, lock, remembered) {
  const [{ loadPyodide }, { default: create }, library, program, memory] = await Promise.all([
    import(parts.loader.url),
    import(parts.glue.url),
    unpacked(parts.library.bytes),
    parts.python.compiling ?? WebAssembly.compile(parts.python.bytes),
    remembered,
  ]);
  // Pyodide fetches and compiles by itself, and waits for ever when that fails: hand it what is
  // already here and checked.
  self.fetch = async (resource) => {
    const wanted = String(resource);
    if (wanted === parts.library.url) return new Response(library);
    if (wanted.endsWith(".wasm")) return new Response();
    throw new Error(`Nothing else is to be fetched, but this was: ${wanted}`);
  };
  let stop;
  const stopped = new Promise((_, reject) => (stop = reject));
  WebAssembly.instantiateStreaming = async (_, imports) => {
    try {
      return { module: program, instance: await WebAssembly.instantiate(program, imports) };
    } catch (error) {
      stop(error);
      throw error;
    }
  };
  const start = async (picture) => {
    const pyodide = await loadPyodide({
      indexURL: here.href,
      packageBaseUrl: here.href,
      stdLibURL: parts.library.url,
      lockFileContents: lock,
      env: { PYTHONHASHSEED: "0" },
      createPyodideModule: picture ? keepingCallTable(create) : create,
      ...(picture ? { _loadSnapshot: picture } : {}),
    });
    if (!picture) pyodide.pyimport("handbook_start");
    const respond = pyodide.pyimport("calculators.page").respond;
    pyodide.runPython("import sys\nif 'random' in sys.modules: sys.modules['random'].seed()");
    return (request, points) => {
      if (!points) return respond(request);
      const inPython = pyodide.toPy(points);
      try {
        return respond(request, inPython);
      } finally {
        inPython.destroy();
      }
    };
  };
  if (memory) {
    try {
      return await Promise.race([start(memory), stopped]);
    } catch (error) {
      console.info("The memory picture did not fit; starting without it.", error);
    }
  }
  return Promise.race([start(null), stopped]);
}

async function start(build) {
  const manifest = await (await get(`runtime-${build}.json`, "no-cache")).json().catch(() => ({}));
  if (manifest.build !== build) throw new Trouble(TWO_EDITIONS, true);
  const memory = unpackedElsewhere(manifest.files.memory);
  const parts = await fetchAll(manifest.files);
  postMessage({ state: "starting" });
  try {
    return await startPython(parts, manifest.lock, memory);
  } catch (error) {
    const short = /memory|allocation/i.test(String(error));
    throw new Trouble(
      short
        ? "This device has not enough free memory for the calculators just now."
        : `Python did not start here (${String(error).slice(0, 200)}).`,
    );
  }
}

let respond = null;
self.onmessage = async ({ data }) => {
  if (data.memory) {
    const picture = await storedMemory(data.memory);
    postMessage(picture, picture ? [picture.buffer] : []);
    return;
  }
  if (data.build === undefined) {
    try {
      postMessage({ number: data.number, reply: respond(data.request, data.points) });
    } catch (error) {
      const last = String(error.message).trim().split("\n").at(-1).slice(0, 200);
      postMessage({ state: "failed", reason: `The calculators broke off (${last}).` });
    }
    return;
  }
  try {
    respond = await start(data.build);
    postMessage({ state: "ready" });
  } catch (error) {
    postMessage({ state: "failed", reason: error.message, reload: error.reload === true });
  }
};
