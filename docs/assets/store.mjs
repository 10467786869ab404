// What this device keeps: on its disk before it is called kept, each thing under its kind and a key of its own.

import { forget, keysOf, recall } from "./parts.mjs";

const NAME = "fine-thread";
const KEPT = "kept";
const EARLIER = { plans: "ft-plan-", counts: "ft-count-" }; // how the first edition kept them, as texts

/** What is left where the browser keeps nothing: it lasts while the page is open. */
const inMemory = (() => {
  const held = new Map();
  const place = (kind, key) => JSON.stringify([kind, key]);
  return {
    async all(kind) {
      return [...held]
        .map(([at, value]) => [...JSON.parse(at), value])
        .filter(([its]) => its === kind)
        .map(([, key, value]) => ({ key, ...value }));
    },
    read: async (kind, key) => held.get(place(kind, key)) ?? null,
    async write(kind, key, value) {
      held.set(place(kind, key), structuredClone(value));
      return false;
    },
    async add(kind, key, value) {
      if (!held.has(place(kind, key))) held.set(place(kind, key), value);
      return false;
    },
    remove: async (kind, key) => void held.delete(place(kind, key)),
  };
})();

const isLater = (one, other) => (one.kept ?? one.picks ?? 0) > (other.kept ?? other.picks ?? 0);

function onDisk(disk) {
  /** Do something in one transaction; what it asked for comes back once the disk has it. */
  async function transact(mode, does) {
    const transaction = disk.transaction(KEPT, mode, { durability: "strict" });
    const requests = does(transaction.objectStore(KEPT));
    return new Promise((done, fail) => {
      transaction.oncomplete = () => done(requests.map((request) => request.result));
      transaction.onabort = () => fail(transaction.error ?? new Error("The browser broke off what it was keeping."));
    });
  }
  const committed = (does) => transact("readwrite", does).then(() => true, () => false);
  return {
    async all(kind) {
      const range = IDBKeyRange.bound([kind], [kind, []]);
      const [keys, values] = await transact("readonly", (kept) => [kept.getAllKeys(range), kept.getAll(range)]);
      return values.map((value, place) => ({ key: keys[place][1], ...value }));
    },
    async read(kind, key) {
      const [value] = await transact("readonly", (kept) => [kept.get([kind, key])]);
      return value ?? null;
    },
    write: (kind, key, value) => committed((kept) => [kept.put(value, [kind, key])]),
    add: (kind, key, value) =>
      committed((kept) => {
        const found = kept.get([kind, key]);
        found.onsuccess = () => {
          if (!found.result || isLater(value, found.result)) kept.put(value, [kind, key]);
        };
        return [found];
      }),
    remove: (kind, key) => committed((kept) => [kept.delete([kind, key])]),
  };
}

let opening = null;

function open() {
  opening ??= new Promise((done, fail) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(KEPT);
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
  }).then(
    (disk) => {
      disk.onclose = () => (opening = null); // the next wish opens it anew
      disk.onversionchange = () => {
        disk.close();
        opening = null;
      };
      return onDisk(disk);
    },
    () => inMemory,
  );
  return opening;
}

/** Take over what an earlier edition kept; it goes from its old place once the new one has it. */
async function takeOver(store) {
  for (const [kind, prefix] of Object.entries(EARLIER)) {
    for (const place of keysOf(prefix)) {
      const value = recall(place);
      if (value && (await store.add(kind, place.slice(prefix.length), value))) forget(place);
    }
  }
}

let takingOver = Promise.resolve();

async function ready() {
  const store = await open();
  await (takingOver = takingOver.then(() => takeOver(store)));
  return store;
}

// Other tabs --------------------------------------------------------------------------------

const watchers = new Set();
const tabs = globalThis.BroadcastChannel ? new BroadcastChannel(NAME) : null;

function tell({ kind, key }, elsewhere) {
  for (const one of watchers) if (one.kind === kind) one.callback(key, elsewhere);
}

if (tabs) tabs.onmessage = ({ data }) => tell(data, true);

function changed(kind, key) {
  tell({ kind, key }, false);
  tabs?.postMessage({ kind, key });
}

// For everyone ------------------------------------------------------------------------------

/** Whether this browser keeps anything beyond this page. */
export const lasts = async () => (await ready()) !== inMemory;

/** Everything of a kind, each with its key. */
export const all = async (kind) => (await ready()).all(kind);

/** One thing, or null. */
export const read = async (kind, key) => (await ready()).read(kind, key);

/** Keep one thing: true once it is on the disk, false when there is no room or no store. */
export async function write(kind, key, value) {
  const done = await (await ready()).write(kind, key, value);
  changed(kind, key);
  return done;
}

/** Keep one thing no longer. */
export async function remove(kind, key) {
  const store = await ready();
  await store.remove(kind, key);
  if (EARLIER[kind]) forget(EARLIER[kind] + key); // which could not be taken over, or a tab wrote again
  changed(kind, key);
}

/** Call back with the key whenever something of this kind changes, here or – then also with true – elsewhere. */
export function watch(kind, callback) {
  const one = { kind, callback };
  watchers.add(one);
  return () => watchers.delete(one);
}

/** A new key, never used before. */
export const newKey = () => Date.now().toString(36) + Math.random().toString(36).slice(2, 8);
