/**
 * @file Keeps one whole version of the app on this device. All files of the shell or none, each checked against its hash; a page
 * is only ever given files of the version this worker belongs to. The kernel's large files are kept apart, by the hash in their
 * names. The house's doors (/api/) are never kept.
 */
const worker = /** @type {any} */ (self);
worker.importScripts("/shell-list.js"); // self.SHELL = {version, files: {address: 'sha256-...'}}
const shell = /** @type {{version: string, files: Record<string, string>}} */ (worker.SHELL);
const SHELL_CACHE = `shell-${shell.version}`;
const WHOLE = "/shell-is-whole"; // laid into the cache last: without it the cache is what a failed filling left behind
const KERNEL_CACHE = "kernel";
const SHELL_FOLDERS = ["shell", "rooms", "parts", "store", "look", "lib"];

worker.addEventListener("install", (/** @type {any} */ event) => {
  event.waitUntil(fillShell());
  // Where the browser can, it takes these from the cache by itself, without waking this worker: a start is a third quicker. What is
  // asked of the server goes there straight: a worker that is being woken cannot hand over.
  event.addRoutes?.([
    { condition: { urlPattern: { pathname: "/api/*" } }, source: "network" },
    {
      condition: { or: SHELL_FOLDERS.map((folder) => ({ urlPattern: { pathname: `/${folder}/*` } })) },
      source: { cacheName: SHELL_CACHE },
    },
  ]);
});

worker.addEventListener("activate", (/** @type {any} */ event) => {
  event.waitUntil(dropOldShells());
});

// A new version waits until every page is closed, or until a page says so between two orders (store/update.js).
worker.addEventListener("message", (/** @type {any} */ event) => {
  if (event.data === "take over") worker.skipWaiting();
  else event.ports[0]?.postMessage("awake");
});

worker.addEventListener("fetch", (/** @type {any} */ event) => {
  const { method, url, mode } = event.request;
  const { origin, pathname } = new URL(url);
  if (method !== "GET" || origin !== worker.location.origin || pathname.startsWith("/api/")) return;
  const address = mode === "navigate" ? "/" : pathname;
  if (shell.files[address]) event.respondWith(fromShell(address));
  else if (pathname.startsWith("/kernel/built/")) event.respondWith(fromKernel(event.request));
});

/**
 * All of the shell, or nothing: one file that cannot be had, or is not what it must be, fails the whole installation. The cache has a
 * name of its own for each version (the worker's bytes count too), so the one in use is never touched: not by a release whose name
 * is there already, whole, either.
 */
async function fillShell() {
  const whole = await caches.match(WHOLE, { cacheName: SHELL_CACHE });
  if (!whole) await caches.delete(SHELL_CACHE);
  const cache = await caches.open(SHELL_CACHE);
  const kept = new Set((await cache.keys()).map(({ url }) => new URL(url).pathname));
  const requests = Object.entries(shell.files)
    .filter(([address]) => !kept.has(address))
    .map(([address, integrity]) => new Request(address, { integrity, cache: "no-cache" }));
  try {
    await cache.addAll(requests);
    await cache.put(WHOLE, new Response(shell.version));
  } catch (error) {
    if (!whole) await caches.delete(SHELL_CACHE);
    throw error;
  }
}

/** The first version serves the pages that are open already; a later one gets them by taking over. */
async function dropOldShells() {
  const old = (await caches.keys()).filter((name) => name.startsWith("shell-") && name !== SHELL_CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
  if (old.length === 0) await worker.clients.claim();
}

/** @param {string} address */
async function fromShell(address) {
  const kept = await caches.match(address, { cacheName: SHELL_CACHE, ignoreVary: true });
  // the browser dropped it: only the very same file will do
  return kept ?? fetch(new Request(address, { integrity: shell.files[address], cache: "no-cache" }));
}

/** @param {Request} request */
async function fromKernel(request) {
  const kept = await caches.match(request.url, { cacheName: KERNEL_CACHE, ignoreVary: true });
  return kept ?? fetch(request);
}
