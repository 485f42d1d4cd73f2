// Another engine opens every place of the app: WebKitGTK, driven by the W3C WebDriver protocol. iPads have no other engine
// than WebKit, so this is the nearest that this machine comes to one. A finger's press is a mouse's here.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

import { ROOT, bundle, serve } from "./harness.mjs";
import { launchWebKit } from "./webkit.mjs";

const PASSPHRASE = "tin barrow north plum";
const SIZE = { width: 820, height: 1180 };
let server;
before(async () => (server = await serve(bundle())));
after(() => server.stop());

/** A page that stands at the gate and writes down whatever goes wrong. */
async function gate(t) {
  const page = await launchWebKit(t, SIZE);
  await page.goto(`${server.origin}/`);
  await page.when(`!!document.querySelector('[data-act="new"]')`);
  await watch(page);
  return page;
}

const watch = (page) =>
  page.run(`
    window.faults = [];
    addEventListener("error", (event) => faults.push(String(event.message)));
    addEventListener("unhandledrejection", (event) => faults.push(String(event.reason)));
    const say = console.error; console.error = (...all) => { faults.push(all.map(String).join(" ")); say(...all); };`);

const saved = (page) => page.when(`!!document.querySelector('[data-save="saved"]')`, "everything is saved");

/** Opens a demo job by its place in the list; the page then stands at its walk. @returns the job's id */
async function openDemo(page, title) {
  await page.when(`[...document.querySelectorAll("main button")].some((key) => key.textContent.includes(${JSON.stringify(title)}))`);
  await page.run(`[...document.querySelectorAll("main button")].find((key) => key.textContent.includes(arguments[0])).click()`, title);
  await page.when(`/#\\/walk\\//.test(location.hash) && !!document.querySelector(".map-svg path.outline")`);
  return page.run(`return location.hash.split("/")[2]`);
}

/** Goes to an address within the app and waits for something that only that place has. */
async function place(page, hash, sign) {
  await page.run(`location.hash = arguments[0]`, hash);
  await page.when(`!!document.querySelector(${JSON.stringify(sign)})`, `${hash} shows ${sign}`);
}

async function look(page, name) {
  const folder = join(ROOT, "target/shots");
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, `webkit-${name}.png`), await page.picture());
}

test("every place of the app opens and says nothing of a fault", async (t) => {
  const page = await gate(t);
  await look(page, "gate");
  const job = await openDemo(page, "Left front corner");
  await saved(page);
  for (const [at, layer] of [["left", "skin"], ["left", "structure"], ["below", "frame"], ["above", "skin"], ["front-left", "skin"]]) {
    await place(page, `#/walk/${job}/${at}/${layer}`, `[data-place="${at}"][aria-pressed="true"]`);
    await page.when(`document.querySelectorAll(".map-svg path.outline").length > 5`, `${at} ${layer} is drawn`);
  }
  await look(page, "walk");
  assert.equal(await page.run(`return getComputedStyle(document.querySelector(".walk")).display`), "grid", "its sheet is there");
  // Strokes that do not scale come out hair-thin within a scaled pattern here, and a hatch tells the state without colour.
  assert.equal(await page.run(`return getComputedStyle(document.querySelector(".map-svg .hatch-line")).vectorEffect`), "none");
  await place(page, `#/plan/${job}`, ".best");
  await page.when(`/USD/.test(document.querySelector(".best").textContent)`, "the plan has its money");
  await look(page, "plan");
  await place(page, `#/joints/${job}/apron-tube-left`, ".joint");
  await page.when(`document.querySelectorAll(".joints-map svg [class]").length > 5`, "the map of the joints is drawn");
  await look(page, "joints");
  await place(page, `#/photos/${job}`, '[data-photos="0"]');
  await place(page, "#/shop", "#shop-times, .times-group");
  await look(page, "shop");
  assert.deepEqual(await page.run("return faults"), []);
});

test("a photo is taken, turned upright and there after loading anew", async (t) => {
  const folder = mkdtempSync(join(tmpdir(), "cutline-pictures-"));
  t.after(() => rmSync(folder, { recursive: true, force: true }));
  const python = process.env.CUTLINE_PYTHON ?? join(ROOT, "target/venv/bin/python");
  const made = spawnSync(python, [join(ROOT, "tests/outside/pictures.py"), folder], { encoding: "utf8" });
  const [width, height] = JSON.parse(made.stdout)["turned-6.jpg"].upright;
  const page = await gate(t);
  const job = await openDemo(page, "Left front corner");
  await place(page, `#/photos/${job}`, '[data-photos="0"]');
  await page.give('[data-act="pictures"]', "turned-6.jpg", "image/jpeg", readFileSync(join(folder, "turned-6.jpg")));
  const shown = async () => {
    await page.when(`!!document.querySelector('[data-photos="1"]')`, "the photo is kept");
    await page.when(`document.querySelector(".photo-open img")?.naturalWidth > 0`, "its small picture is drawn");
    return page.run(`const image = document.querySelector(".photo-open img"); return image.naturalWidth / image.naturalHeight`);
  };
  assert.ok(Math.abs((await shown()) - width / height) < 0.02, "upright");
  await saved(page);
  assert.deepEqual(await page.run("return faults"), []);
  await page.goto("about:blank");
  await page.goto(`${server.origin}/#/photos/${job}`);
  assert.ok(Math.abs((await shown()) - width / height) < 0.02);
});

test("behind a passphrase nothing shows but the question, and the right one opens", async (t) => {
  const page = await gate(t);
  await openDemo(page, "Left front corner");
  await saved(page);
  await place(page, "#/shop", "#privacy-new");
  await page.type("#privacy-new", PASSPHRASE);
  await page.type("#privacy-again", PASSPHRASE);
  await page.press('[data-act="seal"]');
  await page.press('[data-act="seal-sure"]');
  await page.when(`!!document.querySelector('.privacy[data-privacy="open"]')`, "all is sealed");
  assert.deepEqual(await page.run("return faults"), []);
  await page.goto("about:blank");
  await page.goto(`${server.origin}/`);
  await page.when(`!!document.querySelector("#unlock")`, "the passphrase is asked for");
  await watch(page);
  assert.equal(await page.run(`return document.querySelectorAll(".card, .bar").length`), 0);
  await look(page, "unlock");
  await page.type("#unlock", `${PASSPHRASE}x`);
  await page.press('[data-act="unlock"]');
  await page.when(`!!document.querySelector(".unlock .given-refused")`, "a wrong one is refused");
  await page.run(`document.querySelector("#unlock").value = ""; document.querySelector("#unlock").dispatchEvent(new Event("input", { bubbles: true }))`);
  await page.type("#unlock", PASSPHRASE);
  await page.press('[data-act="unlock"]');
  await page.when(`!!document.querySelector('.card [data-act="open"]')`, "the job is listed");
  assert.deepEqual(await page.run("return faults"), []);
});

test("a press marks, the decision stands at once, and all of it is there after loading anew", async (t) => {
  const page = await gate(t);
  await page.press('[data-act="new"]');
  await page.press('[data-act="start"]');
  await page.when(`!!document.querySelector(".map-svg path.outline")`);
  const spot = await page.run(`
    const box = document.querySelector('.map-svg [data-part="front-door-left"]').getBoundingClientRect();
    return [box.left + box.width / 2, box.top + box.height * 0.7]`);
  await page.pressAt(...spot);
  await page.when(`!document.querySelector("[data-part-sheet]").hasAttribute("data-away")`, "the sheet opens");
  await page.when(`!!document.querySelector('[data-kind], .editor:not([hidden])')`, "the mark can be said more exactly");
  const word = await page.run(`return document.querySelector(".verdict-word").textContent`);
  assert.notEqual(word.trim(), "");
  await saved(page);
  assert.deepEqual(await page.run("return faults"), []);
  await page.goto("about:blank");
  await page.goto(`${server.origin}/`);
  await page.when(`!!document.querySelector('.card [data-act="open"]')`);
  await page.press('.card [data-act="open"]');
  await page.when(`document.querySelectorAll(".marks [data-mark]").length === 1`, "the mark is there again");
});

test("without a network it starts again from what it kept", async (t) => {
  const page = await gate(t);
  await page.when("navigator.serviceWorker.controller !== null || navigator.serviceWorker.ready.then(() => true)", "the worker is there");
  await page.when(`caches.keys().then((keys) => keys.length > 0)`, "the build is kept");
  await page.goto("about:blank");
  await server.stop();
  try {
    await page.goto(`${server.origin}/`);
    await page.when(`!!document.querySelector('[data-act="new"]')`, "the gate answers");
    await page.press('[data-act="new"]');
    await page.press('[data-act="start"]');
    await page.when(`!!document.querySelector(".map-svg path.outline")`, "the walk is drawn");
  } finally {
    await server.start();
  }
});
