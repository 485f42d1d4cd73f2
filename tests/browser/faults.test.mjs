// What the tablet does to the stores: the browser killed at any moment, a tab that crashes, stores that refuse the nth
// write, a disk that fills up in the middle, a clock that goes back, two tabs at once. After each: every edit that the
// screen called saved is there, and the job opens.
// The edits are presses on the four depths of one mark, in turn: what stands after the fault tells how far they came.
// A control must fail: without the journal the same kill loses edits, or the kill is no kill.
// Must print its seed, so that a failing history can be run again: CUTLINE_SEED=n.

import assert from "node:assert/strict";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";

import { bundle, launch, profile, serve } from "./harness.mjs";
import { go } from "./screens.mjs";
import { arrive, mark, marks, peel, press, saved, setDepth, stand } from "./walking.mjs";

const SEED = Number(process.env.CUTLINE_SEED ?? Date.now() % 1_000_000);
const SIZE = { size: "desk", touch: false };
const PART = "front-door-left";

/** A small seeded generator (mulberry32): whole numbers below `count`. */
function numbers(seed) {
  let state = seed >>> 0;
  return (count) => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) % count;
  };
}

let server;
before(async () => {
  console.log(`seed ${SEED}`);
  server = await serve(bundle());
});
after(() => server.stop());

/** Runs `act` on a fresh profile, with a job in which one door is marked, and everything of it durable. */
async function withJob(act) {
  const where = profile();
  try {
    const browser = await launch(where, { ...SIZE, origin: server.origin });
    const job = await arrive(browser.page);
    await stand(browser.page, "left");
    await peel(browser.page, "skin");
    await mark(browser, PART);
    await setDepth(browser.page, 0);
    await saved(browser.page);
    await act({ browser, where, job, open: (script) => reopen(where, job, script) });
  } finally {
    await where.remove();
  }
}

/** The job again, in a browser on the same profile, with the mark's sheet open; `script` runs before the app. */
async function reopen(where, job, script) {
  const browser = await launch(where, { ...SIZE, origin: server.origin });
  if (script) await browser.page.addInitScript(script);
  await show(browser.page, job);
  return browser;
}

async function show(page, job) {
  await go(page, `#/walk/${job}/left/skin`);
  await page.locator(".map-svg path.outline").first().waitFor();
  await press(page.locator('.tab[data-tab="found"]:visible'));
  await press(page.locator(`[data-list="found"] [data-row="${PART}"] .row-key`));
  await page.locator(`[data-part-sheet="${PART}"]`).waitFor();
}

/** The depth that stands, 0 to 3. */
async function depth(page) {
  // The sheet's details follow an edit by a frame.
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(() => setTimeout(done)))));
  const steps = [0, 1, 2, 3].map((step) => `[data-value="${step}"][aria-pressed="true"]`);
  return Number(await page.locator(`.editor .form-row :is(${steps.join(", ")})`).first().getAttribute("data-value"));
}

/** Tells Node each time that the screen calls the edits so far saved: how many edits were made by then. */
async function watchSaved(page) {
  let safe = 0;
  await page.exposeFunction("toldSaved", (edits) => {
    safe = Math.max(safe, edits);
  });
  await page.evaluate(() => {
    window.edits = 0;
    const look = () => {
      if (document.querySelector(".saved")?.dataset.save === "saved") window.toldSaved(window.edits);
    };
    new MutationObserver(look).observe(document.querySelector(".bar"), { subtree: true, attributes: true, attributeFilter: ["data-save"] });
  });
  return () => safe;
}

/** Presses the next depth, as fast as the page takes it; the edit counts as made before the app hears of it. */
const edit = (page, step) =>
  page.evaluate((next) => {
    window.edits += 1;
    document.querySelector(`.editor .form-row [data-value="${next}"]`).click();
  }, step % 4);

test("killed at any moment, nothing that was called saved is lost", async () => {
  const below = numbers(SEED);
  await withJob(async ({ browser, open }) => {
    await browser.close();
    let stands = 0; // edits made so far, as far as the last start found them
    for (let turn = 0; turn < 8; turn += 1) {
      const now = await open();
      const safe = await watchSaved(now.page);
      const first = stands;
      const count = 1 + below(3);
      for (let step = 1; step <= count; step += 1) {
        await edit(now.page, first + step);
        await new Promise((done) => setTimeout(done, below(12)));
      }
      await new Promise((done) => setTimeout(done, below(20)));
      const acknowledged = safe();
      await now.kill();
      const again = await open();
      const found = await depth(again.page);
      const reached = [...Array(count + 1).keys()].filter((step) => (first + step) % 4 === found);
      const at = `seed ${SEED}, turn ${turn}: ${count} edits, ${acknowledged} saved, depth ${found}`;
      assert.equal(reached.length, 1, at);
      assert.ok(reached[0] >= acknowledged, at);
      assert.equal((await marks(again.page)).length, 1, at);
      stands = first + reached[0];
      await again.close();
    }
  });
});

/** Opens the shop on a profile, with or without the journal, and runs `act` there. */
async function inShop(where, journal, act) {
  const browser = await launch(where, { ...SIZE, origin: server.origin });
  if (!journal) await browser.page.addInitScript(() => Object.defineProperty(window, "indexedDB", { get: () => undefined }));
  await go(browser.page, "#/shop");
  const prices = browser.page.locator("[data-prices]");
  await prices.waitFor();
  await act(browser, () => prices.getAttribute("data-prices"));
}

test("killed within a second after a price list was taken: it is there; without the journal it is not", async () => {
  const folder = mkdtempSync(join(tmpdir(), "cutline-prices-"));
  const list = join(folder, "north-yard.csv");
  writeFileSync(list, "service_part,price,delivery_days\nfender,350.50,3\n");
  try {
    for (const [journal, word, found] of [[true, "saved", "own"], [false, "not-saved", "built-in"]]) {
      const where = profile();
      try {
        await inShop(where, journal, async (browser) => {
          await browser.page.locator('[data-act="load-prices"]').setInputFiles(list);
          await browser.page.locator('[data-prices="own"]').waitFor();
          await browser.page.locator(`.saved[data-save="${word}"]`).waitFor();
          await browser.kill();
        });
        await inShop(where, true, async (browser, inForce) => {
          await saved(browser.page);
          assert.equal(await inForce(), found);
          await browser.close();
        });
      } finally {
        await where.remove();
      }
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});

test("control: without the journal the same kill loses edits", async () => {
  await withJob(async ({ browser, open }) => {
    // An ordinary end lets local storage reach the disk.
    await browser.close();
    const now = await open(() => {
      Object.defineProperty(window, "indexedDB", { get: () => undefined });
    });
    for (const step of [1, 2]) await edit(now.page, step);
    assert.equal(await depth(now.page), 2);
    await now.page.locator('.saved[data-save="not-saved"]').waitFor();
    await now.kill();
    const again = await open();
    assert.equal(await depth(again.page), 0, "both edits are gone: the kill is one");
    await again.close();
  });
});

test("a tab that crashes takes nothing with it", async () => {
  await withJob(async ({ browser, job }) => {
    for (const step of [1, 2, 3]) await setDepth(browser.page, step);
    await browser.crashTab();
    const page = await browser.context.newPage();
    await show(page, job);
    assert.equal(await depth(page), 3, "local storage lives as long as the browser");
    await browser.close();
  });
});

test("whichever write a store refuses, the screen tells it and the next edit mends it", async () => {
  await withJob(async ({ browser, open }) => {
    await browser.close();
    let last = 0;
    for (const [store, nth] of [["quick", 1], ["quick", 2], ["journal", 1], ["journal", 2], ["both", 1]]) {
      const now = await open(
        `(() => {
          const left = { quick: ${store === "journal" ? 0 : nth}, journal: ${store === "quick" ? 0 : nth} };
          window.armed = false;
          const put = Storage.prototype.setItem;
          Storage.prototype.setItem = function (...words) {
            if (window.armed && left.quick > 0 && --left.quick === 0) throw new DOMException("full", "QuotaExceededError");
            return put.apply(this, words);
          };
          const begin = IDBDatabase.prototype.transaction;
          IDBDatabase.prototype.transaction = function (...words) {
            const made = begin.apply(this, words);
            if (window.armed && words[1] === "readwrite" && left.journal > 0 && --left.journal === 0) queueMicrotask(() => made.abort());
            return made;
          };
        })()`,
      );
      await now.page.evaluate(() => {
        window.edits = 0;
        window.armed = true;
      });
      for (let step = 1; step <= 3; step += 1) {
        last += 1;
        await edit(now.page, last);
        await now.page.waitForTimeout(60);
        assert.equal(await depth(now.page), last % 4, `${store} ${nth}: the edit stays on screen`);
      }
      await saved(now.page);
      await now.kill();
      const again = await open();
      assert.equal(await depth(again.page), last % 4, `${store} refused write ${nth}`);
      await again.close();
    }
  });
});

test("a disk that fills up in the middle: told in words, kept on screen, and saved once there is room", async () => {
  await withJob(async ({ browser, open }) => {
    await browser.close();
    // Chromium lets small writes pass a set quota, so both stores refuse as they do on a full disk.
    const now = await open(() => {
      window.full = false;
      const put = Storage.prototype.setItem;
      Storage.prototype.setItem = function (...words) {
        if (window.full) throw new DOMException("full", "QuotaExceededError");
        return put.apply(this, words);
      };
      const keep = IDBObjectStore.prototype.put;
      IDBObjectStore.prototype.put = function (...words) {
        if (window.full) throw new DOMException("full", "QuotaExceededError");
        return keep.apply(this, words);
      };
    });
    const { page } = now;
    await page.evaluate(() => {
      window.edits = 0;
      window.full = true;
    });
    await edit(page, 1);
    await page.locator('.saved[data-save="not-saved"]').waitFor();
    assert.equal(await depth(page), 1, "the edit stays on screen");
    assert.ok((await page.locator(".not-saved p").innerText()).length > 20, "says what to do");
    await page.evaluate(() => {
      window.full = false;
    });
    await edit(page, 2);
    await saved(page);
    await now.kill();
    const again = await open();
    assert.equal(await depth(again.page), 2);
    await again.close();
  });
});

test("a clock set back by a year hides no later edit", async () => {
  await withJob(async ({ browser, open }) => {
    await setDepth(browser.page, 1);
    await saved(browser.page);
    await browser.close();
    const back = await open(() => {
      const now = Date.now.bind(Date);
      Date.now = () => now() - 365 * 24 * 3_600_000;
    });
    await setDepth(back.page, 3);
    await saved(back.page);
    await back.kill();
    const again = await open();
    assert.equal(await depth(again.page), 3);
    await again.close();
  });
});

test("two tabs that edit the same job at random both show all of it", async () => {
  const below = numbers(SEED + 1);
  await withJob(async ({ browser, job, open }) => {
    const one = browser.page;
    const other = await browser.context.newPage();
    await show(other, job);
    await show(one, job);
    let last = 0;
    for (let turn = 0; turn < 24; turn += 1) {
      const page = below(2) === 0 ? one : other;
      last = below(4);
      await setDepth(page, last);
      if (below(3) === 0) await page.waitForTimeout(below(30));
    }
    for (const page of [one, other]) {
      await saved(page);
      await page.locator(`.editor .form-row [data-value="${last}"][aria-pressed="true"]`).waitFor();
    }
    await browser.kill();
    const again = await open();
    assert.equal(await depth(again.page), last, `seed ${SEED}`);
    assert.equal((await marks(again.page)).length, 1);
    await again.close();
  });
});
