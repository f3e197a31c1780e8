/**
 * @file The kernel: the house's pure Python in a worker of its own. Fetches its files once (each checked against its hash and kept
 * under it), starts, answers. manifest.json beside the files says what they are; scripts/build_kernel makes them.
 */

const BUILT = new URL("./built/", import.meta.url);
const CACHE = "kernel";

/** One function is all that is called from here: text in, text out. */
const DOOR = `
import json
from honeyhold.errors import HoneyholdError
from honeyhold.kernel import work

def answer(name, request):
    try:
        return json.dumps({"answer": work(name, json.loads(request))})
    except HoneyholdError as trouble:
        return json.dumps({"problem": {"code": trouble.code, "detail": str(trouble), "remedy": trouble.remedy}})
    except Exception as defect:
        return json.dumps({"problem": {"code": "defect", "detail": f"{name} failed: {type(defect).__name__}: {defect}",
                                       "remedy": "Go on without it, and tell whoever looks after the house."}})

answer
`;

/** Imports what the rooms ask for first, so that the first caller does not wait for it. */
const WARM = `
from importlib import import_module
from honeyhold.kernel import TABLE, atlas
for piece in TABLE.values():
    try:
        import_module(piece.module)
    except ImportError:
        pass
atlas()
`;

/** @typedef {{version: string, pyodide: string, stdlib: string, package: string,
 *   files: {path: string, bytes: number, sha256: string}[]}} Manifest */

/** @type {((name: string, request: string) => string) | null} */
let answer = null;

self.addEventListener("message", async ({ data }) => {
  if (!data.wake) {
    reply(data);
    return;
  }
  hold(data.wake);
  try {
    await wake();
  } catch (error) {
    self.postMessage({ failed: error instanceof Error ? error.message : String(error) });
  }
});

/** What the library lets fall while it starts (a file of its own that did not come) is that the start failed, nothing more. */
self.addEventListener("unhandledrejection", (event) => {
  if (answer) return;
  event.preventDefault();
  self.postMessage({ failed: String(event.reason?.message ?? event.reason) });
});

/**
 * Held until this worker is gone, so that the page is told of it however it goes.
 * @param {string} lock
 */
function hold(lock) {
  navigator.locks?.request(lock, () => {
    self.postMessage({ holds: true });
    return new Promise(() => {});
  });
}

/**
 * What Python itself cannot catch (no memory left, a broken stack) leaves a kernel that answers nothing more: that is said.
 * @param {{id: number, name: string, request: string}} asked
 */
function reply({ id, name, request }) {
  try {
    if (!answer) throw new Error("it was asked before it stood");
    self.postMessage({ id, reply: answer(name, request) });
  } catch (error) {
    self.postMessage({ died: error instanceof Error ? error.message : String(error) });
  }
}

async function wake() {
  const begun = performance.now();
  const response = await fetch(new URL("manifest.json", BUILT));
  if (!response.ok) throw new Error(`they are not on the main computer (status ${response.status})`);
  const manifest = /** @type {Manifest} */ (await response.json());
  await fetchAll(manifest);
  self.postMessage({ state: "waking" });
  const fetched = performance.now();
  const indexURL = new URL(manifest.pyodide, BUILT).href;
  const { loadPyodide } = await import(`${indexURL}pyodide.mjs`);
  const [python, archive] = await Promise.all([
    loadPyodide({ indexURL, stdLibURL: new URL(manifest.stdlib, BUILT).href, env: { PYTHONHASHSEED: "0", HOME: "/home/pyodide" } }),
    fetch(new URL(manifest.package, BUILT)).then((packed) => packed.arrayBuffer()),
  ]);
  python.unpackArchive(archive, "zip", { extractDir: "/home/pyodide" });
  answer = python.runPython(DOOR);
  const heap_mb = () => Math.round(python._module.HEAPU8.length / 1e5) / 10;
  const seconds = (/** @type {number} */ since) => Math.round((performance.now() - since) / 10) / 100;
  self.postMessage({ state: "awake", start_s: seconds(fetched), fetch_s: Math.round((fetched - begun) / 10) / 100, heap_mb: heap_mb() });
  await dropOthers(manifest);
  python.runPython(WARM);
  self.postMessage({ state: "awake", heap_mb: heap_mb() });
}

/** @param {Manifest} manifest */
async function fetchAll({ files }) {
  const cache = await caches.open(CACHE);
  const total = files.reduce((sum, file) => sum + file.bytes, 0);
  let done = 0;
  const tell = () => self.postMessage({ state: "fetching", done, total });
  for (const { path, bytes, sha256 } of files) {
    const address = new URL(path, BUILT).href;
    if (!(await cache.match(address, { ignoreVary: true }))) {
      const before = done;
      const response = await fetch(address);
      if (!response.ok || !response.body) throw new Error(`${path} could not be fetched (status ${response.status})`);
      const body = await gathered(response.body, (got) => {
        done = before + got;
        tell();
      });
      if ((await hexHash(body)) !== sha256) throw new Error(`${path} came damaged`);
      await cache.put(address, new Response(body, { headers: { "Content-Type": response.headers.get("Content-Type") ?? "" } }));
      done = before;
    }
    done += bytes;
    tell();
  }
}

/**
 * @param {ReadableStream<Uint8Array>} stream
 * @param {(bytes: number) => void} onBytes
 */
async function gathered(stream, onBytes) {
  const parts = [];
  let got = 0;
  const reader = stream.getReader();
  for (let part = await reader.read(); !part.done; part = await reader.read()) {
    parts.push(/** @type {BlobPart} */ (part.value));
    got += part.value.length;
    onBytes(got);
  }
  return new Blob(parts).arrayBuffer();
}

/** @param {ArrayBuffer} bytes */
async function hexHash(bytes) {
  const digest = await crypto.subtle.digest("SHA-256", bytes);
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** @param {Manifest} manifest files of earlier versions are no longer needed */
async function dropOthers({ files }) {
  const cache = await caches.open(CACHE);
  const wanted = new Set(files.map(({ path }) => new URL(path, BUILT).href));
  for (const request of await cache.keys()) if (!wanted.has(request.url)) await cache.delete(request);
}
