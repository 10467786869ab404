// Takes the offline copy back: put in place of service-worker.js by `python -m scripts.offline`.
// It deletes this site's own stored copies and takes itself out of use; open pages go on working.

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(withdraw()));

async function withdraw() {
  const own = `fine-thread ${self.registration.scope} `;
  for (const name of await caches.keys()) if (name.startsWith(own)) await caches.delete(name);
  await self.registration.unregister();
}
