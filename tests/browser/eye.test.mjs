// What an eye would find at once: words that lie on each other or are cut off, keys that the keyboard reaches in another
// order than they stand, a sheet wider than its place, a message that pushes the truck away.
// Must measure what is painted, by the boxes that the browser gives, and must know nothing of how it was placed.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";

import { ROOT, SIZES, stage } from "./harness.mjs";
import { SCREENS, go, openCuts, takeDemo } from "./screens.mjs";
import { withBrowser } from "./walking.mjs";

const { server } = await stage();

/** Pairs of boxes that share more than a pixel in both directions. */
const onEachOther = (boxes) =>
  boxes.flatMap((one, at) =>
    boxes
      .slice(at + 1)
      .filter((other) => Math.min(one.right, other.right) - Math.max(one.left, other.left) > 1)
      .filter((other) => Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top) > 1)
      .map((other) => `"${one.text}" and "${other.text}"`),
  );

/** Boxes that reach beyond another by more than a pixel. */
const beyond = (boxes, out) =>
  boxes
    .filter(({ left, right, top, bottom }) => left < out.left - 1 || right > out.right + 1 || top < out.top - 1 || bottom > out.bottom + 1)
    .map(({ text }) => `"${text}"`);

/**
 * Goes through a screen by Tab, until all of it has been reached or so many keys, and says where the keyboard went against
 * how things stand: on to something wholly above that is in no column further right, or on the same row further left; and
 * what it reached without showing it.
 */
async function astray(page, most = 90) {
  await page.evaluate(() => {
    // Whatever was pressed last would be where the keyboard goes on.
    document.querySelector(".bar .key").focus();
    window.before = null;
    window.reached = new Set();
    // A field that only opens a file window lies under the label that shows.
    window.shown = (one) => one.closest("label.key, label.camera-key, .search") ?? one;
    window.named = (one) => (one.getAttribute("aria-label") ?? one.innerText ?? one.id).trim().slice(0, 30);
  });
  const faults = [];
  for (let step = 0; step < most; step += 1) {
    await page.keyboard.press("Tab");
    const told = await page.evaluate(() => {
      const own = document.activeElement;
      if (!own || own === document.body || window.reached.has(own)) return "end";
      window.reached.add(own);
      const now = window.shown(own);
      const last = window.before;
      window.before = now;
      const drawn = own.closest(".map-svg");
      const lined = (one) => getComputedStyle(one).outlineStyle !== "none" && parseFloat(getComputedStyle(one).outlineWidth) >= 2;
      const ring = drawn || own.closest(".board-view") || lined(own) || lined(now);
      const unseen = ring ? "" : `"${window.named(own)}" does not show that it has the keyboard`;
      // The bar does not scroll along with what lies under it.
      if (!last || drawn || last.closest(".map-svg") || Boolean(last.closest(".bar")) !== Boolean(now.closest(".bar"))) return unseen;
      const [from, to] = [last.getBoundingClientRect(), now.getBoundingClientRect()];
      const row = Math.min(from.bottom, to.bottom) - Math.max(from.top, to.top) > 0.5 * Math.min(from.height, to.height);
      const back = row ? to.right <= from.left + 2 : to.bottom <= from.top + 2 && to.left < from.right - 2;
      return back ? `"${window.named(last)}" is followed by "${window.named(now)}"` : unseen;
    });
    if (told === "end") break;
    if (told) faults.push(told);
  }
  return faults;
}

const ORDERED = ["gate-many", "gate-new", "shop", "walk-skin", "walk-sheet", "walk-editor", "walk-found", "walk-behind", "photos-taken"]
  .concat(["plan", "plan-vehicle", "plan-options", "plan-cuts", "joints-spot", "plan-revision"]);

for (const size of Object.keys(SIZES)) {
  test(`the keyboard goes through each screen as it stands: ${size}`, async () => {
    await withBrowser(server, { size }, async (browser, page) => {
      const job = await takeDemo(page, "front-corner");
      for (const name of ORDERED) {
        await SCREENS.find((one) => one.name === name).open(page, job);
        // Left as it is: on an upright tablet the lists stand left of the places; on a telephone the zoom goes up beside the
        // photo's key while a list or sheet covers its place.
        const known = { tablet: '"Below" is followed by', phone: '"Photo" is followed by "Larger"' }[size];
        const faults = (await astray(page)).filter((fault) => !known || !fault.startsWith(known));
        assert.deepEqual(faults, [], name);
      }
      // Zoomed in, one key more stands beside the others.
      await go(page, `#/walk/${job}/left/skin`);
      await page.locator(".map-svg [data-part]").first().waitFor();
      const larger = page.locator(".walk .zoom .key").first();
      const stood = await larger.boundingBox();
      await larger.click();
      await page.locator('.walk .zoom [data-act="whole"]').waitFor();
      const keys = await page.locator(".walk .zoom .key").evaluateAll((all) => all.map((one) => one.getBoundingClientRect().toJSON()));
      assert.ok(keys[0].bottom <= keys[1].top && keys[1].right <= keys[2].left, "zoomed in: the key for the whole above the two");
      const stands = await page.locator(".walk .zoom .key").nth(1).boundingBox();
      assert.deepEqual([stands.x, stands.y], [stood.x, stood.y], "the pressed key has not moved");
    });
  });
}

for (const size of Object.keys(SIZES)) {
  test(`no word of a cut map lies on another or on a handle, and each is whole: ${size}`, async () => {
    await withBrowser(server, { size }, async (browser, page) => {
      let words = 0;
      for (const [demo, part] of [
        ["front-corner", "apron-tube-left"],
        ["side-hit", "b-pillar-left"],
        ["side-hit", "rocker-left"],
        ["side-hit", "floor-pan"],
      ]) {
        await go(page, `#/plan/${await takeDemo(page, demo)}`);
        const map = await openCuts(page, part);
        for (const handle of await map.locator(".cut-handle").all()) {
          await handle.evaluate((one) => one.click());
          await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(done))));
          const seen = await map.evaluate((map) => {
            const box = (one) => {
              const { left, right, top, bottom } = one.getBoundingClientRect();
              // A letter's box is taller than what is painted of it.
              const air = one.localName === "text" ? (bottom - top) * 0.15 : 0;
              return { text: one.textContent || one.parentElement.ariaLabel, left, right, top: top + air, bottom: bottom - air };
            };
            return {
              words: [...map.querySelectorAll(".cut-word")].map(box),
              signs: [...map.querySelectorAll(".cut-sign")].map(box),
              board: box(map.querySelector(".cutmap-board")),
            };
          });
          words += seen.words.length;
          const at = `${part}, ${await handle.getAttribute("data-cut")}`;
          assert.deepEqual(onEachOther([...seen.words, ...seen.signs]).filter((pair) => seen.words.some(({ text }) => pair.includes(`"${text}"`))), [], at);
          assert.deepEqual(beyond(seen.words, seen.board), [], at);
          assert.ok(seen.words.some(({ text }) => /mm/.test(text)), `${at} shows a distance`);
        }
      }
      assert.ok(words > 30, `${words} words`);
    });
  });
}

test("on the joints' paper no label lies on another and none is cut off", async () => {
  await withBrowser(server, { size: "desk" }, async (browser, page) => {
    const job = await takeDemo(page, "side-hit");
    await page.evaluate(() => (window.print = () => {}));
    let labels = 0;
    for (const part of ["floor-pan", "rocker-left", "b-pillar-left"]) {
      await go(page, `#/joints/${job}/${part}`);
      await page.locator(".joint").first().waitFor();
      await page.evaluate(() => (window.print = () => (window.asked = true)));
      for (const sheet of ["template", "overview"]) {
        await page.evaluate(() => (window.asked = false));
        await page.locator(`[data-act="print-${sheet}"]`).click();
        await page.waitForFunction(() => window.asked);
        await page.evaluate(() => document.getElementById("joint-paper").setAttribute("data-printing", ""));
        await page.emulateMedia({ media: "print" });
        const pages = await page.locator(".joint-page > svg").evaluateAll((all) =>
          all.map((sheet) => {
            const box = (one) => {
              const { left, right, top, bottom } = one.getBoundingClientRect();
              const air = one.localName === "text" ? (bottom - top) * 0.15 : 0;
              return { text: one.textContent || "number", left, right, top: top + air, bottom: bottom - air };
            };
            return {
              own: box(sheet),
              drawing: box(sheet.querySelector("svg") ?? sheet),
              labels: [...sheet.querySelectorAll(".jm-label, .jm-badge")].map(box),
              notes: [...sheet.querySelectorAll(".jm-title")].map(box),
            };
          }),
        );
        await page.emulateMedia({ media: "screen" });
        await page.evaluate(() => document.getElementById("joint-paper").removeAttribute("data-printing"));
        for (const [at, one] of pages.entries()) {
          const where = `${part}, ${sheet}, page ${at + 1}`;
          assert.deepEqual(beyond(one.notes, one.own), [], `${where}: cut off by the paper`);
          assert.deepEqual(onEachOther(one.labels), [], where);
          if (sheet === "overview") assert.deepEqual(beyond(one.labels, one.drawing), [], `${where}: cut off`);
          labels += one.labels.length;
        }
      }
    }
    assert.ok(labels > 300, `${labels} labels`);
  });
});

for (const size of Object.keys(SIZES)) {
  test(`in bright sun, and with keys for gloves, a part's sheet is no wider than its place: ${size}`, async () => {
    await withBrowser(server, { size }, async (browser, page) => {
      const job = await takeDemo(page, "front-corner");
      await go(page, "#/shop");
      await page.locator('[data-value="sun"]').click();
      for (const gloves of ["no", "yes"]) {
        await go(page, "#/shop");
        await page.getByRole("group", { name: /gloves/ }).locator(`[data-value="${gloves}"]`).click();
        for (const name of ["walk-structure", "walk-sheet-tube", "walk-editor", "walk-found"]) {
          await SCREENS.find((one) => one.name === name).open(page, job);
          const wide = await page.evaluate(() =>
            [...document.querySelectorAll(".walk .side, .walk .list, .walk .sheet-body, .walk .round, .walk .key:not(.tab)")]
              .filter((one) => one.checkVisibility({ visibilityProperty: true }))
              .filter((one) => one.scrollWidth > one.clientWidth + 1)
              .map((one) => `${one.className} "${one.innerText.trim().slice(0, 20)}": ${one.scrollWidth} in ${one.clientWidth}`),
          );
          assert.deepEqual(wide, [], `${name}, gloves: ${gloves}`);
        }
      }
    });
  });
}

for (const size of Object.keys(SIZES)) {
  test(`when an edit cannot be kept, what is said has room, and undo stays where it was: ${size}`, async () => {
    await withBrowser(server, { size }, async (browser, page) => {
      const job = await takeDemo(page, "front-corner");
      await go(page, `#/walk/${job}/left/skin`);
      const undo = page.locator('[data-act="undo"]');
      const before = await undo.boundingBox();
      await SCREENS.find((one) => one.name === "full").open(page, job);
      const after = await undo.boundingBox();
      assert.deepEqual([after.x, after.y], [before.x, before.y]);
      const [all, text] = [await page.locator(".not-saved").boundingBox(), await page.locator(".not-saved p").boundingBox()];
      assert.ok(text.width > 0.6 * all.width, `${text.width} of ${all.width} px for the words`);
    });
  });
}

test("a plan of nothing says so, and offers the walk before all else", async () => {
  await withBrowser(server, { size: "phone" }, async (browser, page) => {
    await SCREENS.find((one) => one.name === "plan-empty").open(page, "");
    await page.locator(".plan-empty").waitFor();
    assert.doesNotMatch(await page.locator("main").innerText(), /0 parts/);
    assert.equal(await page.locator(".plan-acts").isVisible(), false, "there is nothing to print");
    assert.ok(await page.locator(".plan-empty .key").isVisible());
  });
});

test("what an adhesive adds to a hand-over opens, at each of the three bests, to terms that add up", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page) => {
    const list = JSON.parse(readFileSync(join(ROOT, "model/data/joining/general.json"), "utf8"));
    // A week: nothing that follows takes as long.
    for (const one of list.adhesives) one.cure_minutes = 10_080;
    await go(page, "#/shop");
    const slow = { name: "slow.json", mimeType: "application/json", buffer: Buffer.from(JSON.stringify(list)) };
    await page.locator('[data-act="load-joining"]').setInputFiles(slow);
    await page.locator('[data-joining="own"]').waitFor();
    await go(page, `#/plan/${await takeDemo(page, "front-corner")}`);
    const folds = page.locator(".best-card .best-held");
    await folds.nth(2).waitFor();
    for (const fold of await folds.all()) {
      await fold.locator("summary").click();
      await fold.locator("dd").nth(3).waitFor();
      const rows = await fold.locator("dd").allInnerTexts();
      const seconds = rows.map((text) => {
        const of = (unit) => Number(new RegExp(`(\\d+) ${unit}\\b`).exec(text)?.[1] ?? 0);
        return 3600 * of("h") + 60 * of("min") + of("s");
      });
      assert.equal(seconds[0], 7 * 24 * 3600, rows[0]);
      // The built-in time book works eight hours of each twenty-four.
      assert.equal(seconds[1], 7 * 8 * 3600, rows[1]);
      assert.equal(seconds[3], seconds[1] - seconds[2], rows.join(", "));
      const told = /Handed over (?:(\d+) h)?\s?(?:(\d+) min)?/.exec(await fold.locator("summary").innerText());
      assert.ok(Math.abs(3600 * Number(told[1] ?? 0) + 60 * Number(told[2] ?? 0) - seconds[3]) <= 30, told[0]);
    }
  });
});
