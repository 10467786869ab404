// The page's side of the calculators' worker: one worker for the visit, its state in words.

const FETCH_PATIENCE = 45_000; // without a single further byte
const START_PATIENCE = 120_000; // a slow phone needs a tenth of it
const ANSWER_PATIENCE = 30_000;

const root = new URL("../", import.meta.url);
export const build = document.querySelector('meta[name="ft-build"]')?.content ?? "";

const listeners = new Set();
const waiting = new Map();
let state = { name: "idle" };
let worker = null;
let timer = 0;
let number = 0;

function enter(next) {
  state = next;
  for (const listener of listeners) listener(state);
}

function fail(reason, reload = false) {
  clearTimeout(timer);
  worker?.terminate();
  worker = null;
  const unanswered = [...waiting.values()];
  waiting.clear();
  enter({ name: "failed", reason, reload });
  for (const { reject } of unanswered) reject(new Error(reason));
}

function expect(patience, reason) {
  clearTimeout(timer);
  if (patience) timer = setTimeout(() => fail(reason), patience);
}

function expectAnswers() {
  expect(waiting.size ? ANSWER_PATIENCE : 0, "The calculators stopped answering.");
}

function hear({ data }) {
  if (data.number) {
    const { resolve } = waiting.get(data.number);
    waiting.delete(data.number);
    expectAnswers();
    resolve(JSON.parse(data.reply));
  } else if (data.state === "fetching") {
    expect(FETCH_PATIENCE, "Nothing has arrived for a while: the connection is too weak, or gone.");
    enter({ name: "fetching", loaded: data.loaded, total: data.total });
  } else if (data.state === "starting") {
    expect(START_PATIENCE, "Python took too long to start here.");
    enter({ name: "starting" });
  } else if (data.state === "ready") {
    for (const [key, { request, points }] of waiting) worker.postMessage({ number: key, request, points });
    expectAnswers();
    enter({ name: "ready" });
  } else {
    fail(data.reason, data.reload);
  }
}

/** Start the worker, unless it is running or on its way. */
export function begin() {
  if (worker) return;
  try {
    worker = new Worker(new URL(`assets/runtime/worker-${build}.mjs`, root), { type: "module" });
  } catch {
    fail("This browser does not run the calculators.");
    return;
  }
  worker.onmessage = hear;
  worker.onerror = (event) => {
    event.preventDefault();
    fail(
      event.message
        ? `The calculators broke off (${event.message}).`
        : "The calculators’ program could not be fetched.",
    );
  };
  worker.postMessage({ build });
  expect(FETCH_PATIENCE, "Nothing has arrived: the connection is too weak, or gone.");
  enter({ name: "fetching", loaded: 0, total: 0 });
}

/** Ask the package one thing, of a picture's points if need be; the promise is rejected, with words, when the runtime fails. */
export function ask(request, points) {
  const text = JSON.stringify(request);
  number += 1;
  const key = number;
  const answered = new Promise((resolve, reject) => {
    waiting.set(key, { request: text, points, resolve, reject });
  });
  begin();
  if (state.name === "ready") {
    worker.postMessage({ number: key, request: text, points });
    expectAnswers();
  }
  return answered;
}

/** Hear of every state, the present one first; returns the way to stop hearing. */
export function watch(listener) {
  listeners.add(listener);
  listener(state);
  return () => listeners.delete(listener);
}

const megabytes = (bytes) => (bytes / 1e6).toFixed(1);

/** Say a state in words. */
export function inWords({ name, loaded, total, reason }) {
  if (name === "fetching" && total) {
    return `Fetching the calculators, once: ${megabytes(loaded)} of about ${megabytes(total)} MB`;
  }
  if (name === "fetching") return "Fetching the calculators";
  if (name === "starting") return "Starting the calculators";
  if (name === "ready") return "The answer follows what you type.";
  if (name === "failed" && navigator.onLine) return reason;
  if (name === "failed") {
    return "There is no connection, and the calculators are not on this device yet. They are fetched by themselves, once, when the signal is back.";
  }
  return "";
}
