// The app comes in two parts: the gate stands with the first alone; the rest follows, is waited for where something needs
// it earlier, and where it cannot be had the page says so.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { bundle, serve } from "./harness.mjs";
import { withBrowser } from "./walking.mjs";

let server;
before(async () => {
  server = await serve(bundle());
});
after(() => server.stop());

const REST = "**/*-rest.packed";
const usable = (page) => page.locator('[data-act="new"]').waitFor();

test("the gate answers before anything of the rest has arrived", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    let asked = 0;
    await page.route(REST, () => (asked += 1)); // never answered
    await page.goto("./");
    await usable(page);
    await page.locator('[data-act="new"]').click();
    await page.locator('[data-act="start"]').waitFor();
    await page.waitForFunction(() => performance.now() > 1000);
    assert.equal(asked, 1, "the rest is asked for once, behind the first screen, and nothing waits for it");
    assert.equal(await page.locator("#broken").isVisible(), false);
  });
});

test("what needs the rest early waits for it and then goes on", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await page.route(REST, async (route) => {
      await new Promise((done) => setTimeout(done, 1500));
      await route.continue();
    });
    await page.goto("./");
    await usable(page);
    await page.locator('[data-demo="front-corner"]').click();
    await page.waitForURL(/#\/walk\//);
    await page.locator(".map-svg path.outline").first().waitFor();
    assert.equal(await page.locator("#broken").isVisible(), false);
    // Its sheet came with it: a finger on the picture pans the picture and not the page.
    assert.equal(await page.locator(".map-svg").evaluate((map) => getComputedStyle(map).touchAction), "none");
  });
});

test("where the rest cannot be had, the page says so", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await page.route(REST, (route) => route.abort());
    await page.goto("./");
    await usable(page);
    await page.locator('[data-demo="front-corner"]').click();
    await page.locator("#broken").waitFor();
    browser.faults = [];
  });
});
