// Photos: from the camera's file to the grid and back after a kill; what is refused and in which words; pins by finger and
// by keyboard; the bin; a full disk; three hundred of them.
// Outside check: Pillow makes the eight EXIF orientations, says what upright is, and reads what the app keeps.
// Must read the kept bytes out of the browser's own store, not from the screen.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";

import { PYTHON, ROOT, axe, launch, profile, smallTargets, stage } from "./harness.mjs";
import { go } from "./screens.mjs";
import { arrive, close, mark, press, saved, withBrowser } from "./walking.mjs";

const { server, folder, told } = await stage({ pictures: true });

/** Runs the outside script and gives its answer. */
function pillow(args, input = "") {
  const run = spawnSync(PYTHON, [join(ROOT, "tests/outside/pictures.py"), ...args], { input, encoding: "utf8", maxBuffer: 1 << 26 });
  assert.equal(run.status, 0, run.stderr);
  return JSON.parse(run.stdout);
}

const path = (name) => join(folder, name);
const sample = (name) => readFileSync(path(name));
const open = (page, job) => go(page, `#/photos/${job}`);
const count = (page) => page.locator("[data-photos]").getAttribute("data-photos").then(Number);

/** Waits until so many photos show and none is on its way. */
async function shows(page, number) {
  await page.locator(`[data-photos="${number}"]`).waitFor({ timeout: 60_000 });
  await page.locator('[data-running="0"]').first().waitFor({ state: "attached" });
}

/** All pictures of the store, by key, as base64, and the notes of captures that are under way. */
function store(page) {
  return page.evaluate(async () => {
    const database = await new Promise((done) => {
      const asked = indexedDB.open("cutline");
      asked.onsuccess = () => done(asked.result);
    });
    const all = (name, what) =>
      new Promise((done) => {
        const asked = database.transaction(name).objectStore(name)[what]();
        asked.onsuccess = () => done(asked.result);
      });
    const [keys, values, settings] = [await all("pictures", "getAllKeys"), await all("pictures", "getAll"), await all("settings", "getAllKeys")];
    database.close();
    const text = (bytes) => {
      let out = "";
      for (let at = 0; at < bytes.length; at += 8192) out += String.fromCharCode(...bytes.subarray(at, at + 8192));
      return btoa(out);
    };
    const pictures = keys.map((key, at) => [key, values[at] instanceof ArrayBuffer ? text(new Uint8Array(values[at])) : "no bytes"]);
    return { pictures: Object.fromEntries(pictures), notes: settings.filter((key) => key.startsWith("photo-on-its-way/")) };
  });
}

test("all eight ways to hold a camera come out upright, small and without the camera's data", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page) => {
    const job = await arrive(page);
    await open(page, job);
    const names = [1, 2, 3, 4, 5, 6, 7, 8].map((way) => `turned-${way}.jpg`).concat("plain.png", "plain.webp", "small.jpg", "camera.jpg");
    // One after another, so that the order of the keys tells which is which.
    const kept = {};
    for (const [at, name] of names.entries()) {
      const known = new Set(Object.keys((await store(page)).pictures));
      await page.locator('[data-act="camera"]').setInputFiles(path(name));
      await shows(page, at + 1);
      for (const [key, bytes] of Object.entries((await store(page)).pictures)) if (!known.has(key)) kept[`${name}/${key.split("/")[2]}`] = bytes;
    }
    assert.equal(Object.keys(kept).length, names.length * 2, "a picture and a thumbnail each, and nothing else");
    const files = Object.keys(kept).map((one) => one.replace("/", "-kept-"));
    Object.values(kept).forEach((bytes, at) => writeFileSync(path(files[at]), Buffer.from(bytes, "base64")));
    const found = pillow([folder, "look"], JSON.stringify(files));
    for (const [at, one] of Object.keys(kept).entries()) {
      const [name, size] = one.split("/");
      const now = found[at];
      assert.equal(now.form, "JPEG", one);
      // The browser may write the colour profile of its own canvas; the samples have none.
      const info = now.info.filter((word) => word !== "icc_profile");
      assert.deepEqual([now.tags, now.orientation, info], [0, null, []], `${one} carries nothing of the camera`);
      assert.deepEqual(now.corners, told[name].corners, `${one} is upright`);
      const most = size === "full" ? 2048 : 256;
      const [width, height] = told[name].upright;
      const share = Math.min(1, most / Math.max(width, height));
      for (const [axis, wanted] of [width * share, height * share].entries()) assert.ok(Math.abs(now.size[axis] - wanted) <= 1, `${one}: ${now.size}`);
    }
    assert.ok(told["turned-6.jpg"].tags > 4, "the samples do carry place and device");
    await saved(page);
    assert.deepEqual((await store(page)).notes, [], "no capture is left under way");
  });
});

test("what is no photo is refused in words, one by one, and the good one among them is kept", async () => {
  await withBrowser(server, { size: "phone" }, async (browser, page) => {
    const job = await arrive(page);
    await open(page, job);
    const bad = {
      "empty.jpg": ["", /empty/],
      "text.jpg": ["This is a text and no picture.", /no picture/],
      "lies.png": [sample("small.jpg"), /says that it is image\/png.*JPEG/],
      "moving.gif": [Buffer.from("GIF89a\x01\0\x01\0\0\0\0", "latin1"), /GIF file/],
      "huge.png": [hugePng(20_000, 20_000), /400 megapixels/],
      "cut.jpg": [sample("turned-1.jpg").subarray(0, 40), /cut short/],
      "broken.jpg": [sample("turned-1.jpg").subarray(0, 1200), /damaged/],
    };
    for (const [name, [content]] of Object.entries(bad)) writeFileSync(path(name), content);
    await page.locator('[data-act="pictures"]').setInputFiles([...Object.keys(bad).map(path), path("small.jpg")]);
    await shows(page, 1);
    for (const [name, [, words]] of Object.entries(bad)) {
      const line = page.locator(`[data-failed="${name}"]`);
      // A browser may still show the upper part of a picture that is cut; then it is a photo.
      if (name === "broken.jpg" && (await line.count()) === 0) continue;
      assert.match(await line.innerText(), words, name);
      await press(line.locator('[data-act="give-up"]'));
    }
    await page.locator("[data-failed]").first().waitFor({ state: "detached" });
    assert.equal(Object.keys((await store(page)).pictures).length, 2 * (await count(page)));
  });
});

/** The head of a PNG that says how large it is, and nothing more. */
function hugePng(width, height) {
  const head = Buffer.alloc(33);
  head.write("\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR", "latin1");
  head.writeUInt32BE(width, 16);
  head.writeUInt32BE(height, 20);
  return head;
}

test("from the walk a photo belongs to the selected mark; a pin goes on it by finger and by keys; it survives a kill", async () => {
  const where = profile();
  try {
    const browser = await launch(where, { size: "tablet", origin: server.origin });
    const { page } = browser;
    const job = await arrive(page);
    await mark(browser, "front-door-left");
    assert.deepEqual(await smallTargets(page, ".shots .key", 64), [], "used while walking");
    await page.locator('[data-act="camera"]').setInputFiles(path("turned-6.jpg"));
    await page.locator('[data-running="1"]').waitFor({ state: "attached" }).catch(() => {});
    await page.locator('[data-running="0"]').waitFor({ state: "attached" });
    await saved(page);
    await open(page, job);
    await shows(page, 1);
    await page.locator(".photo-open img").waitFor();
    await press(page.locator(".photo-open"));
    await page.locator(".photo-picture img").waitFor();
    assert.match(await page.locator(".photo-title").innerText(), /door/i, "it is of the mark");
    const choose = page.locator('[data-act="pin"]');
    await choose.selectOption({ index: 1 });
    const pin = page.locator("[data-pin]");
    await pin.waitFor();
    assert.deepEqual(await axe(page), []);
    const frame = await page.locator(".photo-picture").boundingBox();
    await page.touchscreen.tap(frame.x + frame.width * 0.25, frame.y + frame.height * 0.75);
    await page.waitForFunction(() => document.querySelector("[data-pin]").style.left.startsWith("2"));
    const before = await pin.evaluate((one) => [one.style.left, one.style.top].map(parseFloat));
    assert.ok(Math.abs(before[0] - 25) < 1 && Math.abs(before[1] - 75) < 1, `${before}`);
    await pin.focus();
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("ArrowUp");
    await page.waitForFunction((was) => parseFloat(document.querySelector("[data-pin]").style.top) < was, before[1]);
    const now = await pin.evaluate((one) => [one.style.left, one.style.top].map(parseFloat));
    assert.deepEqual(now.map((value, at) => Math.round(value - before[at])), [2, -2]);
    await page.locator('.photo-side textarea').fill("Lower edge");
    await page.locator('.photo-side textarea').blur();
    await saved(page);
    await browser.kill();

    const again = await launch(where, { size: "tablet", origin: server.origin });
    await open(again.page, job);
    await shows(again.page, 1);
    await press(again.page.locator(".photo-open"));
    await again.page.locator(".photo-picture img").waitFor();
    const kept = await again.page.locator("[data-pin]").evaluate((one) => [one.style.left, one.style.top].map(parseFloat));
    assert.deepEqual(kept, now);
    assert.equal(await again.page.locator(".photo-side textarea").inputValue(), "Lower edge");
    // The pin leads to its mark.
    await press(again.page.locator("[data-pin]"));
    await press(again.page.locator('[data-act="to-mark"]'));
    await again.page.locator('[data-part-sheet="front-door-left"]').waitFor();
    assert.deepEqual(again.faults, []);
    await again.close();
  } finally {
    await where.remove();
  }
});

test("a mark's sheet shows its photos and takes another; the plan shows them all, sharp on paper", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page) => {
    const job = await arrive(page);
    await mark(browser, "front-door-left");
    const row = page.locator(".mark-photos");
    assert.equal(await row.locator("li").count(), 0);
    await row.locator('[data-act="camera-mark"]').setInputFiles(path("camera.jpg"));
    await row.locator("li img").first().waitFor();
    await row.locator('[data-act="camera-mark"]').setInputFiles(path("turned-6.jpg"));
    await row.locator("li img").nth(1).waitFor();
    assert.deepEqual(await smallTargets(page, ".mark-photos .key, .mark-photos .photo-open", 64), [], "used while walking");
    assert.deepEqual(await axe(page), []);
    // Another mark has none of them.
    await mark(browser, "fender-left");
    await page.waitForFunction(() => document.querySelectorAll(".mark-photos li").length === 0);
    await close(page);
    await mark(browser, "front-door-left");
    await row.locator("li img").nth(1).waitFor();
    await press(row.locator("li .photo-open").first());
    await page.locator(".photo-picture img").waitFor();
    assert.match(await page.locator(".photo-title").innerText(), /door/i);
    await page.locator(".photo-side textarea").fill("Seen from the side");
    await page.locator(".photo-side textarea").blur();
    await page.locator('[data-act="pin"]').selectOption({ index: 1 });
    await page.locator("[data-pin]").waitFor();
    await saved(page);
    await press(page.locator('.photo-large [data-act="close"]'));
    await page.locator('[data-act="pictures"]').setInputFiles(path("turned-1.jpg"));
    await shows(page, 3);

    await go(page, `#/plan/${job}`);
    const list = page.locator(".plan-photos-list li");
    await list.nth(2).locator("img").waitFor();
    const text = await page.locator(".plan-photos").innerText();
    assert.match(text, /door.*: /i);
    assert.match(text, /Of the job/);
    assert.match(text, /Seen from the side/);
    assert.equal(await page.locator(".plan-pin").innerText(), "1");
    assert.deepEqual(await axe(page), []);
    const widths = () => list.locator("img").evaluateAll((images) => images.map((image) => image.complete && image.naturalWidth).sort((one, other) => one - other));
    assert.ok((await widths()).every((width) => width > 0 && width <= 256), "small on the screen");
    await page.evaluate(() => {
      window.print = () => {
        window.printed = [...document.querySelectorAll(".plan-photos-list img")].map((image) => image.complete && image.naturalWidth);
      };
    });
    await press(page.locator('[data-act="print"]'));
    await page.waitForFunction(() => window.printed);
    // 12 megapixels held upright come down to 2048 pixels of height; the others are kept as they are.
    assert.deepEqual((await page.evaluate(() => window.printed)).sort((one, other) => one - other), [400, 640, 1536]);
    // And by the browser's own command, which waits for nothing.
    await page.waitForFunction(() => [...document.querySelectorAll(".plan-photos-list img")].every((image) => image.naturalWidth <= 256));
    await page.emulateMedia({ media: "print" });
    for (const image of await list.locator("img").all()) assert.ok(await image.isVisible());
  });
});

test("into the bin, out of it by undo and by hand, and its space freed when asked and after thirty days", async () => {
  const where = profile();
  try {
    const browser = await launch(where, { size: "tablet", origin: server.origin });
    const { page } = browser;
    const job = await arrive(page);
    await open(page, job);
    await page.locator('[data-act="pictures"]').setInputFiles(["turned-1.jpg", "turned-2.jpg", "turned-3.jpg"].map(path));
    await shows(page, 3);
    const throwAway = async () => {
      await press(page.locator(".photo-grid .photo-open").first());
      await press(page.locator('[data-act="bin"]'));
    };
    await throwAway();
    await shows(page, 2);
    await press(page.locator('[data-act="undo"]'));
    await shows(page, 3);
    await throwAway();
    await throwAway();
    await shows(page, 1);
    await press(page.locator(".photo-bin summary"));
    await press(page.locator('[data-act="restore"]').first());
    await shows(page, 2);
    assert.equal(Object.keys((await store(page)).pictures).length, 6, "nothing is gone yet");
    await press(page.locator('[data-act="empty-bin"]'));
    await page.locator(".photo-bin").waitFor({ state: "detached" });
    assert.equal(Object.keys((await store(page)).pictures).length, 4);
    await throwAway();
    await shows(page, 1);
    await saved(page);
    await browser.close();
    for (const [days, left] of [[29, 4], [32, 2]]) {
      const later = await launch(where, { size: "tablet", origin: server.origin });
      await later.page.clock.install({ time: Date.now() + days * 24 * 3_600_000 });
      await open(later.page, job);
      await later.page.locator("[data-photos]").waitFor();
      await later.page.waitForTimeout(800);
      assert.equal(Object.keys((await store(later.page)).pictures).length, left, `${days} days later`);
      await later.close();
    }
  } finally {
    await where.remove();
  }
});

test("killed at any moment of a capture: whole photos only, and no bytes that nobody names", async () => {
  const where = profile();
  try {
    let browser = await launch(where, { size: "tablet", origin: server.origin });
    const job = await arrive(browser.page);
    await saved(browser.page);
    let [known, later] = [0, 0];
    for (const wait of [0, 60, 150, 260, 400, "kept"]) {
      await open(browser.page, job);
      await browser.page.locator('[data-act="pictures"]').setInputFiles(["camera.jpg", "turned-5.jpg"].map(path));
      if (wait === "kept") {
        // However slow the machine is, some capture comes through.
        while ((await count(browser.page)) === known) await browser.page.waitForTimeout(20);
        await saved(browser.page);
      } else {
        await browser.page.waitForTimeout(wait);
      }
      const seen = await count(browser.page);
      const told = (await browser.page.locator(".saved").getAttribute("data-save")) === "saved" ? seen : known;
      await browser.kill();
      browser = await launch(where, { size: "tablet", origin: server.origin });
      // Two minutes later each time, so that no note may be of another tab's capture.
      later += 120_000;
      await browser.page.addInitScript((later) => {
        const now = Date.now.bind(Date);
        Date.now = () => now() + later;
      }, later);
      await open(browser.page, job);
      await browser.page.locator("[data-photos]").waitFor();
      // The sweep follows the start.
      const end = Date.now() + 10_000;
      while ((await store(browser.page)).notes.length > 0 && Date.now() < end) await browser.page.waitForTimeout(50);
      const there = await count(browser.page);
      assert.ok(there >= told, `${there} of ${told} after ${wait}`);
      known = there;
      const { pictures, notes } = await store(browser.page);
      assert.deepEqual(notes, [], `after ${wait}`);
      assert.equal(Object.keys(pictures).length, 2 * there, `after ${wait}: bytes of ${there} photos and no more`);
      for (const [key, bytes] of Object.entries(pictures)) assert.ok(bytes.startsWith("/9j/"), `${key} is a JPEG file`);
    }
    assert.ok(known > 0, "some capture came through");
    await browser.close();
  } finally {
    await where.remove();
  }
});

test("a disk that fills up in the middle of a capture: told in words, nothing half, kept once there is room", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page) => {
    // Chromium lets single writes pass a set quota, so the store refuses the thumbnail as it does on a full disk.
    await page.addInitScript(() => {
      window.full = false;
      const keep = IDBObjectStore.prototype.put;
      IDBObjectStore.prototype.put = function (...words) {
        if (window.full && String(words[1]).endsWith("/thumb")) throw new DOMException("full", "QuotaExceededError");
        return keep.apply(this, words);
      };
    });
    const job = await arrive(page);
    await open(page, job);
    await page.locator('[data-act="pictures"]').setInputFiles(path("turned-1.jpg"));
    await shows(page, 1);
    await page.evaluate(() => (window.full = true));
    await page.locator('[data-act="pictures"]').setInputFiles(path("camera.jpg"));
    const failed = page.locator('[data-failed="camera.jpg"]');
    await failed.waitFor();
    assert.match(await failed.innerText(), /no room left/);
    assert.equal(await count(page), 1);
    const { pictures, notes } = await store(page);
    assert.deepEqual([Object.keys(pictures).length, notes], [2, []], "nothing half");
    await page.evaluate(() => (window.full = false));
    await press(failed.locator('[data-act="again"]'));
    await shows(page, 2);
    await saved(page);
  });
});

test("when room is nearly gone it is said once, with what to do, and the photo is kept all the same", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page) => {
    // Chromium tells every page that 10 GiB are free, whatever the disk or a set quota (measured with version 156), so the
    // page is told here what other browsers tell.
    await page.addInitScript(() => {
      if (navigator.storage) navigator.storage.estimate = async () => ({ usage: 385_000_000, quota: 400_000_000 });
    });
    const job = await arrive(page);
    await open(page, job);
    await page.locator('[data-act="pictures"]').setInputFiles(["turned-1.jpg", "turned-2.jpg"].map(path));
    await shows(page, 2);
    const said = page.locator(".notice", { hasText: "of room are left" });
    await said.waitFor();
    assert.equal(await said.count(), 1);
    assert.match(await said.innerText(), /Only 14\.3 MB of room .*bins of photos/s);
    await go(page, "#/shop");
    await page.getByText("In use: 367.2 MB of 381.5 MB").waitFor();
  });
});
