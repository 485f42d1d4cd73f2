// Starts the app in two parts: the first is all that the gate needs; the rest follows once the gate stands, or at once
// where the app was on this device before, or when something asks for it earlier (tests/runner/src/split.rs).
// Must never leave the app waiting in silence: where the rest cannot be had, the page says so.
const FIRST = "@FIRST@";
const REST = "@REST@";
let first;
let whole = false;

async function brought(name) {
  const answer = await fetch(name);
  if (!answer.ok) throw new Error(`The app's file did not arrive (${answer.status}). Load the page again.`);
  return new Uint8Array(await answer.arrayBuffer());
}

/** Code of a file: unpacked and perhaps compiled already where the service worker keeps it, else unpacked here. */
async function code(name) {
  if (navigator.serviceWorker?.controller) {
    try {
      return await WebAssembly.compileStreaming(fetch(name.replace(/packed$/, "wasm")));
    } catch (error) {
      console.warn(error);
    }
  }
  return WebAssembly.compile(unpack(await brought(name)));
}

function join(module) {
  if (whole) return;
  // The sheets of the screens that come with it. Their rules lie in layers, so that it does not matter when they come.
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(new TextDecoder().decode(WebAssembly.Module.customSections(module, "style")[0]));
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
  new WebAssembly.Instance(module, { p: first });
  whole = true;
  // For public/offline.js, which comes when it comes.
  globalThis.cutlineWhole = true;
  dispatchEvent(new Event("cutline-whole"));
}

/** In slices, so that the page answers in between. */
async function follow() {
  await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  const more = unpacking(await brought(REST));
  let bytes;
  for (let limit = 32768; !bytes && !whole; limit += 32768) {
    bytes = more(limit);
    await new Promise((done) => setTimeout(done));
  }
  if (!whole) join(await WebAssembly.compile(bytes));
}

/** The app calls this: with 0 when the gate stands, with 1 from a function that needs the rest now. */
globalThis.cutlineRest = (now) => {
  if (whole) return;
  if (!now) {
    follow().catch((error) => console.warn(error));
    return;
  }
  try {
    const ask = new XMLHttpRequest();
    ask.open("GET", REST, false);
    // The only way to ask for bytes without waiting: each letter carries one.
    ask.overrideMimeType("text/plain; charset=x-user-defined");
    ask.send();
    if (ask.status !== 200) throw new Error(`${ask.status}`);
    join(new WebAssembly.Module(unpack(Uint8Array.from(ask.responseText, (letter) => letter.charCodeAt(0)))));
  } catch (error) {
    document.getElementById("broken")?.removeAttribute("hidden");
    throw error;
  }
};

/** Whether the app was here before: then its files are at hand, and the jobs that are kept need the rest at once. */
function returning() {
  if (navigator.serviceWorker?.controller) return true;
  try {
    return Object.keys(localStorage).some((key) => key.startsWith("cutline"));
  } catch {
    return false;
  }
}

/** What trunk's script hands to wasm-bindgen: the first part, joined with the rest where the app was here before. */
async function start() {
  const rest = returning() ? code(REST) : undefined;
  rest?.catch(() => {});
  const module = await code(FIRST);
  const ready = await rest?.catch(() => undefined);
  const instantiate = WebAssembly.instantiate;
  WebAssembly.instantiate = async (...given) => {
    WebAssembly.instantiate = instantiate;
    const made = await instantiate.apply(WebAssembly, given);
    first = made.exports;
    if (ready) join(ready);
    return made;
  };
  return module;
}
