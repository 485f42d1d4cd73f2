// Registers the service worker and tells the app how far it is, by an attribute of the page and an event:
// preparing, ready (starts without a network), newer (another build waits), none (this browser or this address cannot).
// Must never reload the page: the app does that when every edit is safe.

const container = navigator.serviceWorker;

function say(state) {
  document.documentElement.dataset.offline = state;
  dispatchEvent(new Event("cutline-offline"));
}

/** When all of the app is there, or after so many seconds: storing the build fetches it once more, which must not slow the
 *  first start. */
async function arrived(seconds) {
  if (window.cutlineWhole) return;
  await new Promise((done) => {
    addEventListener("cutline-whole", done, { once: true });
    setTimeout(done, seconds * 1000);
  });
}

async function start() {
  // A page that came out of the store is stored, whatever else is still on its way.
  if (container.controller) say("ready");
  await arrived(60);
  const registration = await container.register("sw.js", { updateViaCache: "none" });
  const look = () => {
    if (registration.waiting && registration.active) say("newer");
    else say(registration.active ? "ready" : "preparing");
  };
  const watch = (worker) => worker?.addEventListener("statechange", look);
  watch(registration.installing);
  registration.addEventListener("updatefound", () => watch(registration.installing));
  look();
  addEventListener("cutline-accept", () => registration.waiting?.postMessage("accept"));
  // Only an accepted build takes over a page that has one already; the first one does not.
  container.addEventListener("controllerchange", () => dispatchEvent(new Event("cutline-leave")));
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") registration.update().catch(() => {}); // no network: the next time
  });
}

// Only a finished release bundle names its build; while developing, nothing is kept.
if (container && document.querySelector('meta[name="build"]')) start().catch(() => say("none"));
else say("none");
