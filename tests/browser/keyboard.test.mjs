// The walk without a finger: by keys alone, by the list of parts, and as a screen reader is told of it.
// Must not click or tap while it claims to use the keyboard.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { axe, bundle, serve } from "./harness.mjs";
import { go, takeDemo } from "./screens.mjs";
import { arrive, marks, saved, verdict, withBrowser } from "./walking.mjs";

let server;
before(async () => {
  server = await serve(bundle());
});
after(() => server.stop());

/** What has the keyboard: its part or its name, and whether that is to be seen. */
const focused = (page) =>
  page.evaluate(() => {
    const own = document.activeElement;
    const style = getComputedStyle(own);
    const ring = document.querySelector(".focus-ring");
    const line = document.querySelector(".focus-line");
    return {
      part: own.getAttribute("data-part"),
      name: own.getAttribute("aria-label") ?? own.textContent.trim(),
      outlined: own.matches(":focus-visible") && style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
      ringed: Boolean(ring) && getComputedStyle(ring).visibility !== "hidden" && getComputedStyle(ring).display !== "none" && line.getBoundingClientRect().width > 4,
    };
  });

/** Goes on by Tab until something has the keyboard. */
async function tabTo(page, test, most = 120) {
  for (let step = 0; step < most; step += 1) {
    await page.keyboard.press("Tab");
    if (await page.evaluate((selector) => document.activeElement?.matches(selector), test)) return;
  }
  assert.fail(`Tab never came to ${test}`);
}

test("a part is reached by arrows, marked by Enter, and its damage said, all by keys and with the focus to be seen", async () => {
  await withBrowser(server, { size: "desk" }, async (browser, page) => {
    await arrive(page);
    await tabTo(page, ".map-svg [data-part]");
    const inOrder = await page.locator('.map-svg [data-part][tabindex="0"]').evaluateAll((all) => new Set(all.map((one) => one.dataset.part)).size);
    assert.equal(inOrder, 1, "one part stands in the tab order");
    await page.keyboard.press("Home");
    const seen = new Set();
    for (let step = 0; step < 40; step += 1) {
      const now = await focused(page);
      assert.ok(now.ringed, `the ring round ${now.part} is to be seen`);
      seen.add(now.part);
      if (now.part === "fender-left") break;
      await page.keyboard.press(step % 6 === 5 ? "ArrowUp" : step % 6 === 2 ? "ArrowDown" : "ArrowRight");
    }
    assert.ok(seen.size >= 3, `arrows lead from part to part: ${[...seen].join(", ")}`);

    const { part } = await focused(page);
    await page.keyboard.press("Enter");
    await page.locator(`[data-part-sheet="${part}"]:visible`).waitFor();
    assert.equal((await marks(page)).length, 1);
    assert.equal((await focused(page)).part, part, "the keyboard stays on the part");

    // On to the kinds and depths, by Tab.
    await tabTo(page, '.editor .form-grid [data-value]:not([aria-pressed="true"])');
    const kind = await page.evaluate(() => document.activeElement.dataset.value);
    assert.ok((await focused(page)).outlined, "the key that has the keyboard is outlined");
    await page.keyboard.press("Enter");
    await page.locator(`.editor [data-value="${kind}"][aria-pressed="true"]`).waitFor();
    assert.notEqual((await verdict(page)).action, null);
    await saved(page);

    // Back on the part: larger, smaller, away with the mark.
    await page.locator(`.map-svg [data-part="${part}"]`).first().focus();
    const width = () => page.locator(".map-svg .truck").evaluate((truck) => truck.getBoundingClientRect().width);
    const whole = await width();
    await page.keyboard.press("+");
    await page.waitForFunction((was) => document.querySelector(".map-svg .truck").getBoundingClientRect().width > was * 1.3, whole);
    await page.keyboard.press("-");
    await page.waitForFunction((was) => Math.abs(document.querySelector(".map-svg .truck").getBoundingClientRect().width - was) < 2, whole);
    await page.keyboard.press("Delete");
    await page.waitForFunction(() => document.querySelectorAll(".marks [data-mark]").length === 0);
  });
});

test("every part of the truck is found and marked from the list, by keys alone", async () => {
  await withBrowser(server, { size: "desk" }, async (browser, page) => {
    await arrive(page);
    await tabTo(page, ".search input");
    await page.keyboard.type("apron tube");
    const row = '[data-row="apron-tube-left"]';
    await page.locator(row).waitFor();
    await tabTo(page, `${row} .row-act`);
    assert.match((await focused(page)).name, /^Mark .*apron tube/i);
    await page.keyboard.press("Enter");
    await page.locator('[data-part-sheet="apron-tube-left"]:visible').waitFor();
    assert.match(page.url(), /structure/, "the walk goes to where the part shows");
    assert.equal((await marks(page)).length, 1);
    const { action } = await verdict(page);
    assert.ok(["section", "replace"].includes(action), `a kinked tube is to ${action}; common practice, no source`);
  });
});

test("a screen reader is told of every part, key and sheet by role and name", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page) => {
    await takeDemo(page, "front-corner");
    await page.locator(".map-svg [data-part]").first().waitFor();
    const session = await browser.devtools();
    const tree = async () => {
      const { nodes } = await session.send("Accessibility.getFullAXTree");
      return nodes.filter((node) => !node.ignored).map((node) => ({ role: node.role?.value, name: node.name?.value ?? "" }));
    };
    const nodes = await tree();
    const parts = await page.locator(".map-svg [data-part]").evaluateAll((all) => all.map((one) => one.getAttribute("aria-label")));
    assert.ok(parts.length > 20);
    const buttons = new Set(nodes.filter(({ role }) => role === "button").map(({ name }) => name));
    assert.deepEqual(parts.filter((name) => !buttons.has(name)), [], "parts that are no named buttons");
    for (const { role, name } of nodes) {
      if (["button", "textbox", "searchbox", "link", "checkbox"].includes(role)) assert.notEqual(name.trim(), "", `a ${role} without a name`);
    }
    for (const role of ["navigation", "main", "banner", "heading"]) assert.ok(nodes.some((node) => node.role === role), `no ${role}`);
    await page.locator('[data-row="fender-left"] .row-key').click();
    const sheet = page.getByRole("region", { name: /fender/i });
    await sheet.waitFor();
    assert.ok((await sheet.getByRole("button").count()) > 8);
    assert.ok((await sheet.getByRole("heading").count()) >= 1);
    assert.equal(await page.locator('.sheet [aria-live="polite"]').first().count(), 1, "a changed decision is read aloud");
  });
});

for (const look of ["light", "dark", "sun"]) {
  test(`axe finds nothing on the gate, the walk with its sheet, the plan and the shop: ${look}`, async () => {
    await withBrowser(server, { size: "tablet" }, async (browser, page) => {
      await go(page, "#/shop");
      await page.locator(`[data-value="${look}"]`).click();
      await page.waitForFunction((want) => document.documentElement.dataset.look === want, look);
      assert.deepEqual(await axe(page), [], "shop");
      const job = await takeDemo(page, "front-corner");
      await page.locator('[data-row="fender-left"] .row-key').click();
      await page.locator('[data-part-sheet="fender-left"]:visible').waitFor();
      await page.locator(".reasons .disclose:visible").click();
      await page.locator(".option:visible").first().waitFor();
      assert.deepEqual(await axe(page), [], "walk with its sheet open");
      await go(page, `#/plan/${job}`);
      await page.locator(".finding").first().waitFor();
      assert.deepEqual(await axe(page), [], "plan");
      await go(page, "#/gate");
      await page.locator(".card").first().waitFor();
      assert.deepEqual(await axe(page), [], "gate");
    });
  });
}
