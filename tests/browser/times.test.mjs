// The shop's time book as a person edits it: found by a word, changed by keys and by typing, refused with a reason, kept
// over a restart, and taken back. Must not look inside the app: what counts is what stands on the page.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { SCHEMES, SIZES, axe, bundle, serve, smallTargets } from "./harness.mjs";
import { go } from "./screens.mjs";
import { withBrowser } from "./walking.mjs";

let server;

before(async () => {
  server = await serve(bundle());
});
after(() => server.stop());

const changed = (page) => page.locator(".times-changed").getAttribute("data-changed");

/** Finds the preparing of a panel by a word of its name and opens it. */
async function openPrepare(page) {
  await page.fill("#times-find", "panel for PAINT");
  const work = page.locator('[data-work="prepare"]');
  await work.locator(".times-head").click();
  assert.equal(await page.locator(".times-work").count(), 1, "only what was sought");
  return work;
}

test("a time is found, changed by keys and by typing, kept, and taken back", async () => {
  await withBrowser(server, {}, async (_, page) => {
    await go(page, "#/shop");
    assert.equal(await changed(page), "0");
    let work = await openPrepare(page);
    const setUp = work.locator('[data-time="set-up"]');
    const input = setUp.locator("input");
    const book = Number(await input.inputValue());
    await setUp.getByRole("button", { name: /^More/ }).click();
    assert.equal(Number(await input.inputValue()), book + 5);
    await work.getByText("your own", { exact: true }).waitFor();
    assert.match(await setUp.locator(".field-hint").innerText(), new RegExp(`The book says ${book}`));
    await setUp.getByRole("button", { name: /^Less/ }).click();
    assert.equal(await changed(page), "0", "what is as in the book is no change");

    await page.fill("#time-prepare-square-metre", "37,5");
    await page.keyboard.press("Enter");
    await page.keyboard.press("Tab");
    assert.match(await work.locator(".times-short").innerText(), /each square metre 37\.5 min/);

    // What is not a time is said and changes nothing.
    for (const wrong of ["soon", "-3", "6000.5"]) {
      await page.fill("#time-prepare-set-up", wrong);
      await page.keyboard.press("Tab");
      assert.equal(await input.getAttribute("aria-invalid"), "true", wrong);
      assert.match(await setUp.locator(".field-hint").innerText(), /Give minutes from 0 to 6000/);
    }
    assert.match(await work.locator(".times-short").innerText(), new RegExp(`set-up ${book} min`));

    await page.getByRole("button", { name: "One person more" }).click();
    await go(page, "#/shop");
    assert.equal(await changed(page), "1");
    assert.equal(await page.getByRole("group", { name: "People on one truck" }).locator("output").innerText(), "3");
    work = await openPrepare(page);
    assert.equal(await page.locator("#time-prepare-square-metre").inputValue(), "37.5");
    await work.locator('[data-act="time-back"]').click();
    assert.equal(await changed(page), "0");
    assert.notEqual(await page.locator("#time-prepare-square-metre").inputValue(), "37.5");
  });
});

test("all times are taken back only after a second press", async () => {
  await withBrowser(server, {}, async (_, page) => {
    await go(page, "#/shop");
    const work = await openPrepare(page);
    await work.getByRole("button", { name: /^More for set-up/ }).click();
    await page.locator('[data-act="times-back"]').click();
    assert.equal(await changed(page), "1");
    await page.getByRole("button", { name: "Keep mine" }).click();
    await page.locator('[data-act="times-back"]').click();
    await page.locator('[data-act="times-back-sure"]').click();
    assert.equal(await changed(page), "0");
    await page.fill("#times-find", "no such work");
    await page.getByText("No work has that in its name").waitFor();
  });
});

for (const size of Object.keys(SIZES)) {
  for (const scheme of SCHEMES) {
    test(`the times can be read and touched: ${size}, ${scheme}`, async () => {
      await withBrowser(server, { size, scheme }, async (_, page) => {
        await go(page, "#/shop");
        await openPrepare(page);
        await page.fill("#times-find", "p");
        assert.ok((await page.locator(".times-work").count()) > 20);
        assert.deepEqual(await axe(page), []);
        assert.deepEqual(await smallTargets(page, ".times button, .times input", 48), []);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
        assert.ok(wide <= 0, `${wide} px too wide`);
      });
    });
  }
}
