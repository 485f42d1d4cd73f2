// What the tablet does to the stores: the browser killed at any moment, a tab that crashes, stores that refuse the nth
// write, a disk that fills up in the middle, a clock that goes back, two tabs at once. After each: every edit that the
// screen called saved is there, and the job opens.
// The edits are presses on the four depths of one mark, in turn: what stands after the fault tells how far they came.
// A control must fail: without the journal the same kill loses edits, or the kill is no kill.
// Must print its seed, so that a failing history can be run again: CUTLINE_SEED=n.

import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";

import { PART, SEED, SIZE, depth, edit, numbers, show, watchSaved, withJob } from "./edits.mjs";
import { launch, profile, stage } from "./harness.mjs";
import { go } from "./screens.mjs";
import { close, marks, pointOn, press, saved, setDepth } from "./walking.mjs";

const { server, folder } = await stage({ seed: SEED });

test("killed at any moment, nothing that was called saved is lost", async () => {
  const below = numbers(SEED);
  await withJob(server, async ({ browser, open }) => {
    await browser.close();
    let stands = 0; // edits made so far, as far as the last start found them
    // What comes back from one kill goes on to the next.
    let now = await open();
    for (let turn = 0; turn < 8; turn += 1) {
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
      now = await open();
      const found = await depth(now.page);
      const reached = [...Array(count + 1).keys()].filter((step) => (first + step) % 4 === found);
      const at = `seed ${SEED}, turn ${turn}: ${count} edits, ${acknowledged} saved, depth ${found}`;
      assert.equal(reached.length, 1, at);
      assert.ok(reached[0] >= acknowledged, at);
      assert.equal((await marks(now.page)).length, 1, at);
      stands = first + reached[0];
    }
    await now.close();
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
  const list = join(folder, "north-yard.csv");
  writeFileSync(list, "service_part,price,delivery_days\nfender,350.50,3\n");
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
});

test("control: without the journal the same kill loses edits", async () => {
  await withJob(server, async ({ browser, open }) => {
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
  await withJob(server, async ({ browser, job }) => {
    for (const step of [1, 2, 3]) await setDepth(browser.page, step);
    await browser.crashTab();
    const page = await browser.context.newPage();
    await show(page, job);
    assert.equal(await depth(page), 3, "local storage lives as long as the browser");
    await browser.close();
  });
});

test("whichever write a store refuses, the screen tells it and the next edit mends it", async () => {
  await withJob(server, async ({ browser, open }) => {
    await browser.close();
    const refuse = (store, nth) => `(() => {
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
        // Where the journal refuses, it does so in the place of the end of the transaction.
        if (window.armed && words[1] === "readwrite" && left.journal > 0 && --left.journal === 0) made.commit = () => made.abort();
        return made;
      };
    })()`;
    const cases = [["quick", 1], ["quick", 2], ["journal", 1], ["journal", 2], ["both", 1]];
    let last = 0;
    let now = await open(refuse(...cases[0]));
    for (const [turn, [store, nth]] of cases.entries()) {
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
      now = await open(refuse(...(cases[turn + 1] ?? cases[0])));
      assert.equal(await depth(now.page), last % 4, `${store} refused write ${nth}`);
    }
    await now.close();
  });
});

test("a disk that fills up in the middle: told in words, kept on screen, and saved once there is room", async () => {
  await withJob(server, async ({ browser, open }) => {
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

test("a clock that is set back and forth hides no later edit", async () => {
  const below = numbers(SEED + 2);
  await withJob(server, async ({ browser, open }) => {
    await browser.close();
    // The first is the one that a person makes: a year back.
    const clocks = [-365 * 24, ...Array.from({ length: 5 }, () => below(20_000) - 10_000)];
    // After each kill the clock is set elsewhere at once, at last to the true time.
    const at = (hours = 0) => open(`{ const now = Date.now.bind(Date); Date.now = () => now() + ${hours} * 3_600_000; }`);
    let moved = await at(clocks[0]);
    for (const [turn, hours] of clocks.entries()) {
      let last = await depth(moved.page);
      for (let edits = 1 + below(3); edits > 0; edits -= 1) {
        last = (last + 1 + below(3)) % 4;
        await setDepth(moved.page, last);
      }
      await saved(moved.page);
      await moved.kill();
      moved = await at(clocks[turn + 1]);
      const told = `seed ${SEED}, ${hours} hours`;
      assert.equal(await depth(moved.page), last, told);
      assert.equal((await marks(moved.page)).length, 1, told);
    }
    await moved.close();
  });
});

test("two tabs that edit in turn: the last edit stands in both", async () => {
  const below = numbers(SEED + 3);
  await withJob(server, async ({ browser, job, open }) => {
    const one = browser.page;
    const other = await browser.another();
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

/** Parts that are marked in either tab, beside the one on which the edits are. */
const OTHERS = ["fender-left", "front-wheel-left", "rocker-cover-left", "bed-side-outer-left", "front-door-glass-left"];

test("two tabs that edit the same job at random: no edit that was acknowledged is lost, and both show all of it", async () => {
  const below = numbers(SEED + 1);
  for (let round = 0; round < 2; round += 1) {
    await withJob(server, async ({ browser, job, open }) => {
      const one = browser.page;
      const other = await browser.another();
      await show(other, job);
      await show(one, job);
      const tabs = [one, other];
      const made = new Set(await marks(one));
      // Both tabs draw the same truck in the same size.
      const spots = {};
      for (const part of OTHERS) spots[part] = await pointOn(one, part);
      const told = [];
      /** One edit in one tab: a depth, or a mark on another part, which stays for good. */
      const act = async (page, what, part) => {
        if (what < 4) {
          await edit(page, what);
          return;
        }
        const before = await page.evaluate(() => document.querySelectorAll(".marks [data-mark]").length);
        const at = spots[part];
        await page.mouse.click(at.x, at.y);
        const answer = page.locator(`.ask [data-answer="${part}"]`);
        await answer.or(page.locator(`[data-part-sheet="${part}"]:visible`)).first().waitFor();
        if (await answer.isVisible()) await press(answer);
        // A mark of the other tab may lie there by now; then this was no edit.
        await page.waitForFunction((count) => document.querySelectorAll(".marks [data-mark]").length > count, before, { timeout: 1000 }).catch(() => {});
        await showSheet(page);
      };
      for (let turn = 0; turn < 12; turn += 1) {
        const next = () => [below(6), OTHERS[below(OTHERS.length)]];
        const [first, second] = [next(), next()];
        told.push(`${first} / ${second}`);
        if (below(3) === 0) await act(tabs[below(2)], ...first);
        else await Promise.all([act(one, ...first), act(other, ...second)]);
        if (below(3) === 0) {
          await Promise.all(tabs.map(saved));
          for (const page of tabs) for (const id of await marks(page)) made.add(id);
        }
      }
      const at = `seed ${SEED}, round ${round}: ${told.join(", ")}`;
      for (const page of tabs) await saved(page);
      const state = async (page) => [await depth(page), (await marks(page)).sort().join()].join(" ");
      const end = Date.now() + 10_000;
      while ((await state(one)) !== (await state(other)) && Date.now() < end) await one.waitForTimeout(50);
      const now = await state(one);
      assert.equal(await state(other), now, `${at}: both tabs show the same`);
      for (const id of made) assert.ok(now.includes(id), `${at}: ${id} was acknowledged`);
      await browser.kill();
      const again = await open();
      assert.equal(await state(again.page), now, `${at}: all of it is there after a kill`);
      await again.close();
    });
  }
});

/** Opens the sheet of the edited part again, whatever is open. */
async function showSheet(page) {
  if ((await page.locator('.walk[data-open="true"]').count()) > 0) await close(page);
  await press(page.locator('.tab[data-tab="found"]:visible'));
  await press(page.locator(`[data-list="found"] [data-row="${PART}"] .row-key`));
  await page.locator(`[data-part-sheet="${PART}"]`).waitFor();
}
