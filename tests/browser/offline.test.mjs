// Without a network: the app starts in every place of it, a newer build comes as a whole or not at all and only when the
// person takes it, nothing is fetched from elsewhere, and the browser itself calls the app installable.
// Sources: the browser's own installability errors (Page.getInstallabilityErrors of its debugging protocol); W3C Content
// Security Policy Level 3 for what the policy must stop; W3C Service Workers for what waiting means.
// Must print its seed, so that a failing history can be run again (CUTLINE_SEED=n), and cut the network by stopping the server: the browser's own "offline" switch leaves the service worker online.

import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { cpSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeEach, test } from "node:test";

import { SEED, numbers } from "./edits.mjs";
import { bundle, launch, serve, stage } from "./harness.mjs";
import { PLACES, go, takeDemo } from "./screens.mjs";
import { arrive, mark, marks, press, saved, withBrowser } from "./walking.mjs";

const { server, folder } = await stage({ seed: SEED });
const newer = join(folder, "newer");
mkdirSync(newer);
rebuild(newer);
beforeEach(() => {
  server.use(bundle());
  server.cut = () => undefined;
});

/** Another build: the same files, but for a page with another name of the build, and the worker that lists it. */
function rebuild(folder) {
  cpSync(bundle(), folder, { recursive: true });
  const page = readFileSync(join(folder, "index.html"), "utf8");
  const name = /<meta name="build" content="([0-9a-f]{12})"/.exec(page)[1];
  const next = "f".repeat(12);
  const text = page.replace(name, next);
  writeFileSync(join(folder, "index.html"), text);
  const worker = readFileSync(join(folder, "sw.js"), "utf8");
  const digest = (bytes) => createHash("sha256").update(bytes).digest("hex");
  const [old, now] = [digest(page), digest(text)];
  assert.ok(worker.includes(old), "the worker lists the page by its SHA-256");
  writeFileSync(join(folder, "sw.js"), worker.replace(name, next).replace(old, now));
}

/** The files that the worker lists, with their digests. */
function listed() {
  const worker = readFileSync(join(bundle(), "sw.js"), "utf8");
  return JSON.parse(/const FILES = (\{[^}]*\});/.exec(worker)[1].replace(/,\s*\}/, "}"));
}

const buildOf = (page) => page.locator('meta[name="build"]').getAttribute("content");
const stores = (page) => page.evaluate(() => caches.keys());
const state = (page, word) => page.waitForFunction((wanted) => document.documentElement.dataset.offline === wanted, word);

/** Opens the gate and waits until the app is stored. */
async function stored(page) {
  await go(page, "#/gate");
  await state(page, "ready");
}

test("every file of the bundle is listed with its digest, and nothing else", () => {
  const list = listed();
  assert.ok(Object.keys(list).length > 8);
  assert.ok(list["index.html"] && !list["sw.js"]);
  for (const [name, digest] of Object.entries(list)) {
    assert.equal(createHash("sha256").update(readFileSync(join(bundle(), name))).digest("hex"), digest, name);
  }
  const page = readFileSync(join(bundle(), "index.html"), "utf8");
  for (const [, address] of page.matchAll(/(?:src|href)="(?:\.\/)?([^"]+)"/g)) assert.ok(address in list, address);
});

test("with the server gone and the browser killed, every place of the app opens and the job is whole", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page, where) => {
    await stored(page);
    const job = await takeDemo(page, "front-corner");
    await saved(page);
    await browser.kill();
    await server.stop();
    try {
      const again = await launch(where, { size: "tablet", origin: server.origin });
      for (const screen of PLACES) {
        await screen.open(again.page, job);
        assert.equal(await again.page.locator("#broken").isVisible(), false, screen.name);
      }
      await go(again.page, `#/walk/${job}/left/skin`);
      await again.page.locator(".map-svg path.outline").first().waitFor();
      assert.ok((await marks(again.page)).length > 0, "the marks are there");
      await mark(again, "front-door-left");
      await saved(again.page);
      await go(again.page, "#/shop");
      await again.page.locator('[data-kept="ready"]').waitFor();
      assert.deepEqual(again.faults, []);
      await again.close();
    } finally {
      await server.start();
    }
  });
});

test("a half-fetched update is never served and leaves nothing behind", async () => {
  const below = numbers(SEED);
  const names = Object.keys(listed());
  await withBrowser(server, { size: "desk" }, async (browser, page) => {
    await stored(page);
    const [build, kept] = [await buildOf(page), await stores(page)];
    assert.equal(kept.length, 1);
    server.use(newer);
    // Each kind of file at its ends and in its middle, then files and bytes by chance.
    const cuts = [".packed", "/", ".css"].flatMap((ending) => [0, 0.5, 0.999].map((share) => [ending, (size) => Math.floor(size * share)]));
    for (let turn = 0; turn < 20; turn += 1) {
      const [name, bytes] = [names[below(names.length)], below(1 << 30)];
      cuts.push([name === "index.html" ? "/" : `/${name}`, (size) => bytes % size]);
    }
    for (const [ending, most] of cuts) {
      let at;
      server.cut = (path, size) => (path.endsWith(ending) ? (at = most(size)) : undefined);
      const result = await page.evaluate(async () => {
        const registration = await navigator.serviceWorker.getRegistration();
        await registration.update().catch(() => {});
        while (registration.installing) await new Promise((done) => setTimeout(done, 20));
        return registration.waiting === null;
      });
      assert.ok(at !== undefined, `seed ${SEED}: ${ending} was asked for`);
      assert.ok(result, `seed ${SEED}: ${ending} cut after ${at} bytes: nothing waits`);
      assert.deepEqual(await stores(page), kept, "the broken build is gone, the running one is whole");
    }
    await page.reload();
    assert.equal(await buildOf(page), build, "the old build still starts");
    // The browser itself reports a failed update as a console error or not at all; either is fine, the page's own are not.
    browser.faults = browser.faults.filter((fault) => !/sw\.js|ServiceWorker|Failed to load resource/.test(fault));
  });
});

test("a file that is not that of the build is refused", async () => {
  const wrong = join(folder, "wrong");
  cpSync(newer, wrong, { recursive: true });
  writeFileSync(join(wrong, "offline.js"), `${readFileSync(join(wrong, "offline.js"), "utf8")}\n`);
  await withBrowser(server, { size: "desk" }, async (browser, page) => {
    await stored(page);
    const kept = await stores(page);
    server.use(wrong);
    const waits = await page.evaluate(async () => {
      const registration = await navigator.serviceWorker.getRegistration();
      await registration.update().catch(() => {});
      while (registration.installing) await new Promise((done) => setTimeout(done, 20));
      return registration.waiting !== null;
    });
    assert.equal(waits, false);
    assert.deepEqual(await stores(page), kept);
    browser.faults = browser.faults.filter((fault) => !/sw\.js|ServiceWorker|Failed to load resource/.test(fault));
  });
});

test("a whole update waits until it is taken, then comes to every tab, and no edit is lost", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page) => {
    await stored(page);
    const build = await buildOf(page);
    const job = await arrive(page);
    await mark(browser, "front-door-left");
    const other = await browser.another();
    await go(other, "#/shop");
    server.use(newer);
    await page.evaluate(async () => (await navigator.serviceWorker.getRegistration()).update());
    await page.locator('[data-act="take-newer"]').waitFor();
    assert.equal((await stores(page)).length, 2, "both builds are kept while the newer one waits");
    await other.reload();
    await other.locator("main").waitFor();
    assert.equal(await buildOf(other), build, "a reload does not take it");

    const reloaded = [page, other].map((one) => one.waitForEvent("load"));
    await press(page.locator('[data-act="take-newer"]'));
    await Promise.all(reloaded);
    for (const one of [page, other]) {
      await one.locator("main").first().waitFor();
      assert.equal(await buildOf(one), "f".repeat(12));
    }
    await page.locator(".map-svg path.outline").first().waitFor();
    assert.equal((await marks(page)).length, 1, "the mark is there");
    assert.ok(page.url().includes(job), "the person stands where they stood");
    await page.waitForFunction(async () => (await caches.keys()).length === 1);
  });
});

test("the worker killed in the middle of an update: the running build stays whole", async () => {
  await withBrowser(server, { size: "desk" }, async (browser, page) => {
    await stored(page);
    const build = await buildOf(page);
    const below = numbers(SEED + 1);
    server.use(newer);
    // The packed wasm file never ends, so that the installation is under way when the worker dies.
    server.cut = (path) => (path.endsWith(".packed") ? 100_000 : undefined);
    const session = await browser.devtools();
    await session.send("ServiceWorker.enable");
    for (let turn = 0; turn < 8; turn += 1) {
      await page.evaluate(() => navigator.serviceWorker.getRegistration().then((one) => void one.update().catch(() => {})));
      const wait = turn === 0 ? 0 : below(250);
      await new Promise((done) => setTimeout(done, wait));
      await session.send("ServiceWorker.stopAllWorkers");
      await server.stop();
      try {
        await page.reload();
        await page.locator("main").waitFor();
        assert.equal(await buildOf(page), build, `seed ${SEED}, turn ${turn}, after ${wait} ms`);
      } finally {
        await server.start();
      }
    }
    browser.faults = browser.faults.filter((fault) => !/sw\.js|ServiceWorker|Failed to load resource|ERR_/.test(fault));
  });
});

test("the policy stops other hosts, inline scripts and eval, and the app needs none of them", async () => {
  const elsewhere = await serve(bundle());
  try {
    await withBrowser(server, { size: "desk" }, async (browser, page) => {
      await stored(page);
      const origin = new URL(page.url()).origin;
      const asked = [];
      page.on("request", (request) => asked.push(new URL(request.url()).origin));
      const job = await takeDemo(page, "front-corner");
      for (const screen of PLACES) await screen.open(page, job);
      assert.deepEqual(browser.faults, [], "no screen breaks the policy");
      assert.deepEqual([...new Set(asked)].filter((one) => one !== origin && one !== "null"), [], "no other host is asked");

      const stopped = await page.evaluate(async (other) => {
        const broken = [];
        addEventListener("securitypolicyviolation", (event) => broken.push(event.effectiveDirective));
        await fetch(other).catch(() => {});
        const script = document.createElement("script");
        script.textContent = "window.ran = true";
        document.head.append(script);
        const picture = new Image();
        picture.src = `${other}/icons/cutline-192.png`;
        document.body.append(picture);
        const link = document.createElement("script");
        link.src = `${other}/offline.js`;
        document.head.append(link);
        await new Promise((done) => setTimeout(done, 300));
        return { broken: broken.sort(), ran: window.ran === true };
      }, elsewhere.origin);
      assert.deepEqual(stopped, { broken: ["connect-src", "img-src", "script-src-elem", "script-src-elem"], ran: false });
      const policy = await page.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute("content");
      assert.ok(!/'unsafe-eval'|script-src[^;]*'unsafe-inline'|\*|https?:/.test(policy), policy);
      assert.deepEqual(elsewhere.requests, [], "nothing came there");
      browser.faults = [];
    });
  } finally {
    await elsewhere.stop();
  }
});

test("the browser finds nothing that keeps the app from being installed", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page) => {
    await stored(page);
    const session = await browser.devtools();
    const { errors, url } = await session.send("Page.getAppManifest");
    assert.deepEqual(errors, []);
    assert.ok(url.endsWith("cutline.webmanifest"));
    const { installabilityErrors } = await session.send("Page.getInstallabilityErrors");
    // A browser without a window of its own never offers to install; every other error counts.
    const real = installabilityErrors.filter(({ errorId }) => errorId !== "in-incognito");
    assert.deepEqual(real, []);
  });
});

test("once there is a job the browser is asked to keep what is stored, and not before", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page) => {
    await page.addInitScript(() => {
      window.asked = 0;
      // An empty page has no stores.
      if (window.StorageManager) StorageManager.prototype.persist = async () => (window.asked += 1) > 0;
    });
    await go(page, "#/gate");
    await page.locator('[data-act="new"]').waitFor();
    assert.equal(await page.evaluate(() => window.asked), 0, "an empty app asks for nothing");
    await arrive(page);
    await saved(page);
    assert.ok((await page.evaluate(() => window.asked)) > 0, "asked with the first job");
  });
});
