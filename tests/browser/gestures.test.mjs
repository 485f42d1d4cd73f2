// What fingers do on the drawing: tap, pinch, drag, sweep, rest, and a finger that the system takes away. Every gesture
// is sent as real touch input; what must not mark is checked as strictly as what must.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { bundle, serve } from "./harness.mjs";
import { centre, longPress, pinch, tap } from "./touch.mjs";
import { arrive, close, learnParts, mark, marks, picture, pointOn, press, setDepth, setKind, standing, sweep, verdict, withBrowser } from "./walking.mjs";

let server;
before(async () => {
  server = await serve(bundle());
});
after(() => server.stop());

const inMap = async (page, across, down) => {
  const box = await page.locator(".map-svg").boundingBox();
  return { x: box.x + box.width * across, y: box.y + box.height * down };
};

/** Waits until the page has drawn all that came before. */
const drawn = (page) => page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));

const unmarked = async (page, after) => {
  await drawn(page);
  assert.deepEqual(await marks(page), [], `${after} left a mark`);
  assert.equal(await page.locator(".sheet:visible").count(), 0, `${after} opened a sheet`);
};

test("two fingers zoom and a finger pans the zoomed picture; neither marks nor walks", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await arrive(page);
    const whole = await picture(page);
    const middle = await pointOn(page, "front-door-left");
    await pinch(browser, middle, 100, 260);
    await page.locator('.map[data-zoomed="true"]').waitFor();
    const near = await picture(page);
    const grown = near.width / whole.width;
    assert.ok(grown > 2 && grown < 3.2, `a pinch from 100 to 260 px grew the truck ${grown} times`);
    await unmarked(page, "a pinch");

    const from = await inMap(page, 0.6, 0.5);
    await sweep(browser, from, { x: from.x - 120, y: from.y + 30 });
    await drawn(page);
    const moved = await picture(page);
    assert.ok(Math.abs(moved.width - near.width) < 0.5, "a drag does not zoom");
    const [across, down] = [moved.left - near.left, moved.top - near.top];
    assert.ok(Math.abs(across + 120) < 3 && Math.abs(down - 30) < 3, `the picture moved by ${across}, ${down}`);
    await unmarked(page, "a drag");
    assert.equal(standing(page).place, "left");

    await pinch(browser, middle, 260, 60);
    await press(page.locator('.zoom .key[aria-label="Smaller"]'));
    await unmarked(page, "zooming out");
  });
});

test("a sweep walks on round the truck, a sweep back walks back, and a short or upright one does nothing", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await arrive(page);
    const from = await inMap(page, 0.6, 0.4);
    const to = { x: from.x - 220, y: from.y };
    const wait = (place) => page.locator(`[data-place="${place}"][aria-pressed="true"]`).waitFor();
    await sweep(browser, from, to);
    await wait("rear-left");
    await sweep(browser, to, from);
    await wait("left");
    await sweep(browser, from, { x: from.x - 30, y: from.y });
    await sweep(browser, from, { x: from.x - 70, y: from.y + 160 });
    await unmarked(page, "a sweep");
    assert.equal(standing(page).place, "left");
    const seen = [];
    for (let step = 0; step < 8; step += 1) {
      const { place } = standing(page);
      await sweep(browser, from, to);
      await page.waitForFunction((was) => !location.hash.includes(`/${was}/`), place);
      seen.push(standing(page).place);
    }
    assert.equal(new Set(seen).size, 8, `eight sweeps lead round by ${seen.join(", ")}`);
    assert.equal(seen.at(-1), "left");
    await unmarked(page, "walking round");
  });
});

test("a finger that rests opens the menu of its part and leaves no mark", async () => {
  await withBrowser(server, { size: "phone" }, async (browser, page) => {
    await arrive(page);
    await longPress(browser, await pointOn(page, "front-door-left"));
    await page.locator('.ask [data-act="look"]').waitFor();
    assert.match(await page.locator(".ask h2").innerText(), /front door/i);
    await unmarked(page, "a long press");
    await close(page);
    await longPress(browser, await pointOn(page, "front-door-left"));
    await press(page.locator('.ask [data-act="missing"]'));
    await page.locator('[data-part-sheet="front-door-left"]').waitFor();
    assert.equal((await marks(page)).length, 1);
    assert.equal((await verdict(page)).action, "replace", "a missing door is replaced; common practice, no source");
  });
});

test("a finger on the border of two parts is asked which one is meant", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await arrive(page);
    await learnParts(page);
    const border = await page.evaluate(() => {
      const map = document.querySelector(".map-svg").getBoundingClientRect();
      const at = window.partAt;
      const pair = new Set(["front-door-left", "rear-door-left"]);
      for (let y = map.top + 10; y < map.bottom - 10; y += 7) {
        for (let x = map.left + 10; x < map.right - 10; x += 1) {
          const [left, right] = [at(x - 1, y), at(x + 2, y)];
          // Well inside the height of both, so that no third part is near.
          const calm = [-16, 16].every((d) => pair.has(at(x - 4, y + d)) && pair.has(at(x + 5, y + d)));
          if (calm && left !== right && pair.has(left) && pair.has(right)) return { x: x + 0.5, y };
        }
      }
      return null;
    });
    assert.ok(border, "the two doors meet on the drawing");
    await tap(browser, border);
    await page.locator(".ask [data-answer]").first().waitFor();
    assert.deepEqual(await marks(page), [], "nothing is guessed");
    const answers = await page.locator(".ask [data-answer]").evaluateAll((all) => all.map((one) => one.dataset.answer).sort());
    assert.ok(answers.includes("front-door-left") && answers.includes("rear-door-left"), `asked for ${answers}`);
    assert.ok(answers.length <= 3, "at most three large answers");
    await press(page.locator('[data-answer="rear-door-left"]'));
    await page.locator('[data-part-sheet="rear-door-left"]').waitFor();
    assert.equal((await marks(page)).length, 1);
  });
});

test("a part that is looked up in the list is ringed on the truck until a mark shows where it is", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await arrive(page);
    const ring = () => page.locator(".focus-line").getAttribute("d");
    assert.equal(await ring(), "", "nothing is looked at yet");
    await press(page.locator('[data-row="rear-door-left"] .row-key'));
    await page.locator('[data-part-sheet="rear-door-left"]:visible').waitFor();
    assert.equal(await ring(), await page.locator('.truck [data-part="rear-door-left"]').getAttribute("d"), "the ring is the door's outline");
    await press(page.locator('.sheet [data-act="mark"]:visible'));
    await page.locator(".selection-line:visible").waitFor();
    await page.waitForFunction(() => document.querySelector(".focus-line").getAttribute("d") === "");
    await close(page);
    assert.equal(await ring(), "");
  });
});

test("one tap makes a usable mark, three make a complete one", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await arrive(page);
    await page.evaluate(() => {
      window.taps = 0;
      addEventListener("pointerdown", () => (window.taps += 1), true);
    });
    await mark(browser, "fender-left");
    assert.equal(await page.evaluate(() => window.taps), 1);
    const first = await verdict(page);
    assert.notEqual(first.action, null, "one tap leads to a decision");
    assert.notEqual(first.word, "");
    await setKind(page, "crease");
    await setDepth(page, 2);
    assert.equal(await page.evaluate(() => window.taps), 3);
    const chosen = await page.locator('.editor [aria-pressed="true"]:visible').evaluateAll((all) => all.map((one) => one.dataset.value));
    assert.ok(chosen.includes("crease") && chosen.includes("2"), `chosen: ${chosen}`);
    assert.equal((await marks(page)).length, 1);
  });
});

const widthOf = (page) => page.locator(".selection-line").evaluate((path) => path.getBBox().width);

test("a mark is sized by its handle, by steps, and moved; each is one step of undo and redo", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await arrive(page);
    const at = await mark(browser, "front-door-left");
    await drawn(page);
    const small = await widthOf(page);
    const handle = await centre(page.locator(".selection .handle").first());
    const middle = await centre(page.locator(".selection-line"));
    const out = Math.sign(handle.x - middle.x) || 1;
    await sweep(browser, handle, { x: handle.x + out * 40, y: handle.y });
    await page.waitForFunction((was) => document.querySelector(".selection-line").getBBox().width > was * 1.2, small);
    const large = await widthOf(page);
    assert.equal(standing(page).place, "left", "a drag on a handle is no sweep");

    const undo = page.locator('[data-act="undo"]');
    const redo = page.locator('[data-act="redo"]');
    const becomes = (width) =>
      page.waitForFunction((want) => Math.abs((document.querySelector(".selection-line")?.getBBox().width ?? 0) - want) < 0.5, width);
    await press(undo);
    await becomes(small);
    await press(redo);
    await becomes(large);

    await press(page.locator('.editor [data-act="more"]'));
    const length = page.locator(".measures .stepper").first();
    const before = await length.locator("output").innerText();
    await press(length.locator("button").last());
    await page.waitForFunction((was) => document.querySelector(".measures .stepper output").innerText !== was, before);
    const longer = await widthOf(page);
    assert.ok(longer > large, `a step longer: ${large} to ${longer}`);
    await press(length.locator("button").first());
    await becomes(large);

    // A finger on the mark itself moves it.
    const from = await centre(page.locator(".selection-line"));
    await sweep(browser, from, { x: from.x, y: from.y - 30 });
    await page.waitForFunction((was) => {
      const box = document.querySelector(".selection-line").getBoundingClientRect();
      return Math.abs(box.y + box.height / 2 - (was - 30)) < 4;
    }, from.y);
    assert.equal((await marks(page)).length, 1, "sizing and moving make no further mark");

    // Undone to nothing and redone to the last.
    while (await undo.isEnabled()) await press(undo);
    await page.waitForFunction(() => document.querySelectorAll(".marks [data-mark]").length === 0);
    while (await redo.isEnabled()) await press(redo);
    await page.waitForFunction(() => document.querySelectorAll(".marks [data-mark]").length === 1);
    assert.ok(at.room > 0);
  });
});

test("a touch that the system takes away marks nothing and changes nothing", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await arrive(page);
    const session = await browser.devtools();
    const send = (type, points) =>
      session.send("Input.dispatchTouchEvent", { type, touchPoints: points.map(({ x, y }, id) => ({ x, y, id, radiusX: 11, radiusY: 11 })) });
    const at = await pointOn(page, "front-door-left");
    await page.evaluate(() => {
      window.cancelled = 0;
      addEventListener("pointercancel", () => (window.cancelled += 1), true);
    });
    await send("touchStart", [at]);
    await send("touchCancel", []);
    await page.waitForFunction(() => window.cancelled === 1);
    await unmarked(page, "a cancelled touch");

    await mark(browser, "front-door-left");
    await drawn(page);
    const width = await widthOf(page);
    const handle = await centre(page.locator(".selection .handle").first());
    await send("touchStart", [handle]);
    for (let step = 1; step <= 5; step += 1) await send("touchMove", [{ x: handle.x + 12 * step, y: handle.y }]);
    await page.waitForFunction((was) => document.querySelector(".selection-line").getBBox().width > was, width);
    await send("touchCancel", []);
    await page.waitForFunction((was) => Math.abs(document.querySelector(".selection-line").getBBox().width - was) < 0.01, width);
    assert.equal(await page.locator('[data-act="redo"]').isDisabled(), true);
    await press(page.locator('[data-act="undo"]'));
    await page.waitForFunction(() => document.querySelectorAll(".marks [data-mark]").length === 0);
  });
});

test("kinds that are rarely met stand behind one more tap", async () => {
  await withBrowser(server, { size: "phone" }, async (browser, page) => {
    await arrive(page);
    await mark(browser, "front-door-left");
    assert.equal(await page.locator('.editor [data-value="corrosion"]:visible').count(), 0);
    await setKind(page, "corrosion");
    await page.locator('.editor .form-row [data-value="0"]').first().waitFor({ state: "hidden" });
  });
});
