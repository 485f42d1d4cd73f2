// The cut map on the plan: a finger drags a cut line within its band and to another line, reads what changes, lets go;
// taps a forbidden line and reads what forbids it; goes back to what is recommended. Must read only what stands there.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { SCHEMES, SIZES, axe, bundle, launch, profile, serve, smallTargets } from "./harness.mjs";
import { go, openCuts, takeDemo } from "./screens.mjs";
import { centre, drag, tap } from "./touch.mjs";

let server;

before(async () => {
  server = await serve(bundle());
});
after(() => server.stop());

async function withMap(options, demo, part, act) {
  const where = profile();
  const browser = await launch(where, { origin: server.origin, ...options });
  try {
    const job = await takeDemo(browser.page, demo);
    await go(browser.page, `#/plan/${job}`);
    const map = await openCuts(browser.page, part);
    await act(browser, browser.page, map);
    assert.deepEqual(browser.faults, []);
  } finally {
    await browser.close().catch(() => {});
    await where.remove();
  }
}

const chosen = (map) => map.locator('.cut-handle[data-use="chosen"]');
const renewed = (map) => map.locator('[data-goes="true"]').evaluateAll((all) => all.map((one) => one.dataset.cell));
const moved = async (map, cut) => Number(await map.locator(`.cut-handle[data-cut="${cut}"]`).getAttribute("data-moved"));
/** A point moved by so many pixels. */
const beside = ({ x, y }, dx, dy) => ({ x: x + dx, y: y + dy });

test("a finger moves a line within its band; the plan is held to it and lets go again", async () => {
  await withMap({ size: "tablet" }, "front-corner", "apron-tube-left", async (browser, page, map) => {
    const handle = chosen(map).first();
    const cut = await handle.getAttribute("data-cut");
    const [low, high] = [Number(await handle.getAttribute("aria-valuemin")), Number(await handle.getAttribute("aria-valuemax"))];
    assert.ok(high - low >= 2, `the line may move: ${low} to ${high}`);
    const before = await moved(map, cut);
    const cells = await renewed(map);
    const from = await centre(handle);
    // Far to one side: it stops at the end of its band or at another line; a little: it follows the finger.
    await drag(browser, from, beside(from, 9, 0), { hold: 60 });
    await page.locator('[data-act="cut-recommended"]').waitFor();
    const after = await moved(map, cut);
    assert.notEqual(after, before, "the line has moved");
    assert.ok(after >= low && after <= high, `${after} lies in ${low} to ${high}`);
    assert.deepEqual(await renewed(map), cells, "within its band nothing else changes");
    await page.locator(`#finding-apron-tube-left .verdict-held`).first().waitFor();

    await page.waitForTimeout(500); // a finger that has just swept must rest before it taps
    // A key that is pressed must lay out nothing, or the page may move away from under the finger before its click.
    await map.locator('[data-act="cut-recommended"]').tap();
    await page.waitForFunction(() => !document.querySelector('[data-act="cut-recommended"]'));
    assert.equal(await moved(map, cut), before);
  });
});

test("a line dragged to another permitted line renews what lies between, and says so first", async () => {
  await withMap({ size: "tablet" }, "front-corner", "apron-tube-left", async (browser, page, map) => {
    const handle = chosen(map).first();
    const cells = await renewed(map);
    await handle.focus();
    await page.keyboard.press("PageUp");
    if ((await map.locator(".cutmap-change li").count()) === 0) await page.keyboard.press("PageDown");
    const told = await map.locator(".cutmap-change").innerText();
    assert.match(told, /Renewed as well: |Stays: /);
    assert.match(told, /% of the part is renewed/);
    assert.match(told, /to cut and join/);
    await page.keyboard.press("Escape");
    assert.deepEqual(await renewed(map), cells, "nothing is kept without Enter");

    // The same with a finger: from the chosen line's handle to that of the permitted one.
    const other = map.locator('.cut-handle[data-use="permitted"]').first();
    const to = await other.getAttribute("data-cut");
    await drag(browser, await centre(handle), await centre(other), { hold: 60, steps: 24 });
    await map.locator(`.cut-handle[data-cut="${to}"][data-use="chosen"]`).waitFor();
    assert.notDeepEqual(await renewed(map), cells, "other pieces are renewed");
  });
});

test("arrow keys move a line by millimetres and Enter keeps it", async () => {
  await withMap({ size: "desk" }, "front-corner", "apron-tube-left", async (_, page, map) => {
    const handle = chosen(map).first();
    const cut = await handle.getAttribute("data-cut");
    const before = await moved(map, cut);
    await handle.focus();
    for (const key of ["ArrowRight", "ArrowRight", "ArrowRight"]) await page.keyboard.press(key);
    let now = Number(await handle.getAttribute("aria-valuenow"));
    if (now === before) {
      for (const key of ["ArrowLeft", "ArrowLeft", "ArrowLeft"]) await page.keyboard.press(key);
      now = Number(await handle.getAttribute("aria-valuenow"));
    }
    assert.equal(Math.abs(now - before), 3);
    await page.keyboard.press("Enter");
    await page.locator('[data-act="cut-recommended"]').waitFor();
    assert.equal(await moved(map, cut), now);
  });
});

test("a forbidden line says what forbids it", async () => {
  for (const size of ["phone", "desk"]) {
    await withMap({ size }, "front-corner", "apron-tube-left", async (browser, page, map) => {
      const forbidden = map.locator('.cut-handle[data-use="forbidden"]').first();
      const cut = await forbidden.getAttribute("data-cut");
      if (size === "phone") await tap(browser, await centre(forbidden));
      else await forbidden.click();
      const row = map.locator(`.cutmap-line[data-line="${cut}"]`);
      assert.equal(await row.getAttribute("data-selected"), "true");
      assert.match(await row.locator(".cutmap-why").innerText(), /mm must stay free|Damage lies on both sides|closes the piece/);
    });
  }
});

test("the map reads well: targets, contrast, names", async () => {
  for (const size of Object.keys(SIZES)) {
    for (const scheme of SCHEMES) {
      await withMap({ size, scheme }, "front-corner", "apron-tube-left", async (_, page, map) => {
        const handles = await map.locator(".cut-handle").evaluateAll((all) => all.map((one) => [one.offsetWidth, one.offsetHeight]));
        assert.ok(handles.length >= 2 && handles.every(([wide, high]) => wide >= 48 && high >= 48), `${size}: ${handles}`);
        assert.deepEqual(await smallTargets(page, ".cutmap button", 48), [], `${size} ${scheme}`);
        assert.deepEqual(await axe(page), [], `${size} ${scheme}`);
      });
    }
  }
});
