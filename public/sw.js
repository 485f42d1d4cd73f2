// The service worker: keeps one whole build of the app on the device and serves it, with or without a network.
// Must never mix two builds, never serve a file that is not byte for byte that of its build, never fetch from another
// host, and never touch a job. The task runner writes version and list when it finishes the bundle.

const VERSION = "@VERSION@";
/** Every file of the build, as a path from this script's folder, with its SHA-256 in hexadecimal digits. */
const FILES = { "@FILES@": "" };
// The functions of app/unpack.js.
"@UNPACK@";

const OWN = "cutline-build-";
const CACHE = OWN + VERSION;
const SCOPE = new URL("./", self.location.href);

self.addEventListener("install", (event) => event.waitUntil(fill()));
self.addEventListener("activate", (event) => event.waitUntil(tidy()));

// A new build waits until the person takes it: the page that is open goes on with its own files.
self.addEventListener("message", (event) => {
  if (event.data === "accept") self.skipWaiting();
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== SCOPE.origin || !url.pathname.startsWith(SCOPE.pathname)) return;
  const name = url.pathname.slice(SCOPE.pathname.length) || "index.html";
  // What is not of this build is the network's business; a missing file is then a plain 404.
  if (Object.hasOwn(FILES, name) || Object.hasOwn(FILES, packed(name))) event.respondWith(serve(name, event.request));
});

/** Fetches the whole build, or nothing of it: one wrong or missing file undoes all. */
async function fill() {
  const cache = await caches.open(CACHE);
  try {
    await Promise.all(Object.entries(FILES).map(([name, digest]) => keep(cache, name, digest)));
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
}

/** The packed file from which an unpacked one comes; other names stay. */
const packed = (name) => name.replace(/\.wasm$/, ".packed");

async function keep(cache, name, digest) {
  // Some hosts send `index.html` on to its folder; the folder is asked for at once.
  const address = new URL(name === "index.html" ? "./" : name, SCOPE);
  const response = await fetch(address, { cache: "reload", credentials: "same-origin" });
  if (!response.ok) throw new Error(`${name}: ${response.status}`);
  const bytes = await response.arrayBuffer();
  const found = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const text = Array.from(found, (byte) => byte.toString(16).padStart(2, "0")).join("");
  if (text !== digest) throw new Error(`${name} is not the file of this build`);
  const put = (name, bytes, type) => cache.put(new URL(name, SCOPE), new Response(bytes, { headers: { "Content-Type": type } }));
  await put(name, bytes, response.headers.get("Content-Type") ?? "application/octet-stream");
  // Code is kept unpacked as well: unpacking took most of a start, and of a stored wasm file the browser keeps what it
  // compiled.
  if (name.endsWith(".packed")) await put(name.replace(/packed$/, "wasm"), unpack(new Uint8Array(bytes)), "application/wasm");
}

async function serve(name, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(new URL(name, SCOPE))) ?? fetch(request);
}

/** Removes other builds, also those that a broken update left behind. */
async function tidy() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(OWN) && name !== CACHE).map((name) => caches.delete(name)));
}
