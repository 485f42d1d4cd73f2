// The harness is tested against a small page of its own, so that a green app test means what it says:
// fingers arrive as fingers, a kill loses what a kill loses, a stopped server is gone, axe and the ruler find faults.

import assert from "node:assert/strict";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";

import { SIZES, axe, launch, percentile, profile, serve, smallTargets } from "./harness.mjs";
import { centre, drag, longPress, pinch, tap, twoFingerDrag } from "./touch.mjs";

const PAGE = `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Harness</title><link rel="icon" href="data:,">
<meta name="viewport" content="width=device-width, initial-scale=1">
<style>body{margin:0;background:#fff;color:#000}@media (prefers-color-scheme: dark){body{background:#000;color:#fff}}
#field{height:600px;touch-action:none}</style></head>
<body><main><h1>Harness</h1><div id="field">field</div><button id="good" style="width:48px;height:48px">go</button></main>
<script type="module" src="page.js"></script></body></html>`;

const SCRIPT = `
window.seen = [];
for (const type of ["pointerdown", "pointermove", "pointerup", "click"]) {
  field.addEventListener(type, (e) => window.seen.push({ type, id: e.pointerId, kind: e.pointerType, x: e.clientX, y: e.clientY }));
}
const open = () => new Promise((resolve, reject) => {
  const request = indexedDB.open("box", 1);
  request.onupgradeneeded = () => request.result.createObjectStore("rows");
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});
window.put = async (key, value) => {
  const base = await open();
  return new Promise((resolve, reject) => {
    const change = base.transaction("rows", "readwrite");
    change.objectStore("rows").put(value, key);
    change.oncomplete = () => { base.close(); resolve("saved"); };
    change.onabort = () => { base.close(); reject(change.error); };
  });
};
window.get = async (key) => {
  const base = await open();
  return new Promise((resolve, reject) => {
    const request = base.transaction("rows").objectStore("rows").get(key);
    request.onsuccess = () => { base.close(); resolve(request.result); };
    request.onerror = () => reject(request.error);
  });
};
window.ready = true;
`;

let folder;
let server;

before(async () => {
  folder = mkdtempSync(join(tmpdir(), "cutline-page-"));
  writeFileSync(join(folder, "index.html"), PAGE);
  writeFileSync(join(folder, "page.js"), SCRIPT);
  writeFileSync(join(folder, "small.wasm"), Buffer.from([0, 0x61, 0x73, 0x6d, 1, 0, 0, 0]));
  server = await serve(folder);
});

after(async () => {
  await server.stop();
  rmSync(folder, { recursive: true, force: true });
});

async function open(t, options = {}, where = profile(t)) {
  const browser = await launch(where, { origin: server.origin, ...options });
  await browser.page.goto("./");
  await browser.page.waitForFunction(() => window.ready === true);
  return { browser, where };
}

const seen = (browser) => browser.page.evaluate(() => window.seen.splice(0));

test("the server gives types, refuses missing files and files outside, and is gone when stopped", async () => {
  const wasm = await fetch(`${server.origin}/small.wasm`);
  assert.equal(wasm.headers.get("content-type"), "application/wasm");
  assert.equal((await fetch(`${server.origin}/missing.js`)).status, 404);
  assert.notEqual((await fetch(`${server.origin}/..%2f..%2fetc%2fpasswd`)).status, 200);
  const { port } = server;
  await server.stop();
  await assert.rejects(fetch(`${server.origin}/`));
  await server.start();
  assert.equal(server.port, port);
  assert.equal((await fetch(`${server.origin}/`)).status, 200);
});

test("each size and scheme arrives at the page", async (t) => {
  for (const [size, { width, height }] of Object.entries(SIZES)) {
    for (const scheme of ["light", "dark"]) {
      const { browser } = await open(t, { size, scheme });
      const page = await browser.page.evaluate(() => ({
        width: innerWidth,
        height: innerHeight,
        dark: matchMedia("(prefers-color-scheme: dark)").matches,
        coarse: matchMedia("(pointer: coarse)").matches,
      }));
      assert.deepEqual(page, { width, height, dark: scheme === "dark", coarse: size !== "desk" });
      await browser.close();
    }
  }
});

test("fingers arrive as touch: tap, long press, drag, pinch, two-finger drag", async (t) => {
  const { browser } = await open(t);
  const point = await centre(browser.page.locator("#field"));
  await tap(browser, point);
  let events = await seen(browser);
  assert.deepEqual(events.map(({ type }) => type), ["pointerdown", "pointerup", "click"]);
  assert.equal(events[0].kind, "touch");

  const before = Date.now();
  await longPress(browser, point);
  assert.ok(Date.now() - before >= 700);
  events = await seen(browser);
  assert.equal(events[0].type, "pointerdown");

  await drag(browser, point, { x: point.x + 120, y: point.y + 60 });
  events = await seen(browser);
  const moves = events.filter(({ type }) => type === "pointermove");
  assert.ok(moves.length >= 5, `${moves.length} moves`);
  assert.equal(Math.round(moves.at(-1).x - point.x), 120);

  await pinch(browser, point, 100, 200);
  events = await seen(browser);
  const ids = [...new Set(events.map(({ id }) => id))];
  assert.equal(ids.length, 2, "two fingers have two pointers");
  const last = ids.map((id) => events.filter((event) => event.id === id && event.type === "pointermove").at(-1));
  const distance = Math.hypot(last[0].x - last[1].x, last[0].y - last[1].y);
  assert.ok(Math.abs(distance - 200) < 2, `fingers end ${distance} apart`);

  await twoFingerDrag(browser, point, { x: point.x, y: point.y + 80 });
  events = await seen(browser);
  assert.equal(new Set(events.map(({ id }) => id)).size, 2);
  assert.deepEqual(browser.faults, []);
  await browser.close();
});

test("after SIGKILL the same profile opens again with all that IndexedDB had completed", async (t) => {
  const { browser, where } = await open(t);
  for (let row = 0; row < 20; row += 1) {
    assert.equal(await browser.page.evaluate((n) => window.put(n, `row ${n}`), row), "saved");
  }
  await browser.kill();
  const { browser: again } = await open(t, {}, where);
  const rows = await again.page.evaluate(() => Promise.all([...Array(20).keys()].map((n) => window.get(n))));
  assert.deepEqual(rows, [...Array(20).keys()].map((n) => `row ${n}`));
  await again.close();
});

test("a crashed tab leaves the browser alive", async (t) => {
  const { browser } = await open(t);
  await browser.crashTab();
  const page = await browser.context.newPage();
  await page.goto("./");
  assert.equal(await page.title(), "Harness");
  await browser.close();
});

test("a full disk refuses a write and gives room again when lifted", async (t) => {
  const { browser } = await open(t);
  await browser.quota(server.origin, 10_000);
  const refused = await browser.page.evaluate(() => window.put("big", "x".repeat(200_000)).catch((e) => e?.name));
  assert.equal(refused, "QuotaExceededError");
  await browser.quota(server.origin);
  assert.equal(await browser.page.evaluate(() => window.put("big", "x".repeat(200_000))), "saved");
  await browser.close();
});

test("a slowed processor takes longer", async (t) => {
  const { browser } = await open(t);
  const work = () =>
    browser.page.evaluate(() => {
      const start = performance.now();
      let sum = 0;
      for (let n = 0; n < 3e7; n += 1) sum += Math.sqrt(n);
      return sum > 0 ? performance.now() - start : 0;
    });
  await work();
  const fast = await work();
  await browser.slow(6);
  const slow = await work();
  // Six times is asked for; twice is enough to show that it reached the page, on a busy machine too.
  assert.ok(slow > 2 * fast, `${fast.toFixed(0)} ms, then ${slow.toFixed(0)} ms`);
  await browser.close();
});

test("axe and the ruler find planted faults and pass the good page", async (t) => {
  const { browser } = await open(t);
  assert.deepEqual(await axe(browser.page), []);
  assert.deepEqual(await smallTargets(browser.page, "button", 48), []);
  await browser.page.evaluate(() => {
    const bad = document.createElement("button");
    bad.style.cssText = "width:20px;height:20px;color:#999;background:#aaa";
    document.querySelector("main").append(bad);
  });
  const found = await axe(browser.page);
  assert.ok(found.some((line) => line.startsWith("button-name:")), found.join("\n"));
  assert.equal((await smallTargets(browser.page, "button", 48)).length, 1);
  await browser.close();
});

test("faults of the page are collected", async (t) => {
  const { browser } = await open(t);
  await browser.page.evaluate(() => setTimeout(() => { throw new Error("planted"); }));
  await browser.page.waitForTimeout(100);
  assert.deepEqual(browser.faults, ["uncaught: planted"]);
  await browser.close();
});

test("percentile is the nearest rank", () => {
  const numbers = Array.from({ length: 100 }, (_, n) => 100 - n);
  assert.equal(percentile(numbers, 0.95), 95);
  assert.equal(percentile([7], 0.95), 7);
  assert.throws(() => percentile([], 0.5));
});
