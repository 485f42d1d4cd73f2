// The main job from end to end, by touch alone: a vehicle arrives, a person walks to its front left corner, marks fender,
// hood and apron tube, reads what is permitted and why, and finds all of it after the browser was killed.
// That a kinked tube is never straightened, and that a buckled thin aluminium skin is repaired or replaced and never only
// painted, is common practice, no source. Must not look inside the app: what counts is what stands on the page.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { bundle, launch, serve } from "./harness.mjs";
import { arrive, close, findings, jobOf, mark, marks, peel, pointOn, press, saved, setDepth, setKind, stand, standing, sweep, verdict, withBrowser } from "./walking.mjs";

let server;
before(async () => {
  server = await serve(bundle());
});
after(() => server.stop());

/** Sweeps over the truck until the person stands at a place. */
async function walkTo(browser, place) {
  const { page } = browser;
  for (let step = 0; step < 8; step += 1) {
    if (standing(page).place === place) return;
    const before = standing(page).place;
    const map = await page.locator(".map-svg").boundingBox();
    const y = map.y + map.height * 0.3;
    await sweep(browser, { x: map.x + map.width * 0.3, y }, { x: map.x + map.width * 0.7, y });
    await page.waitForFunction((was) => !location.hash.includes(`/${was}/`), before);
  }
  assert.equal(standing(page).place, place, "the walk never came there");
}

/** Opens all options in the sheet and reads them. */
async function options(page) {
  await press(page.locator(".reasons .disclose"));
  await page.locator(".option").first().waitFor();
  return page.locator(".option").evaluateAll((all) =>
    all.map((option) => ({
      action: option.dataset.action,
      permitted: option.dataset.permitted === "true",
      traces: [...option.querySelectorAll(":scope > .traces > .trace")].map((trace) => ({
        reason: trace.querySelector("p").innerText.trim(),
        basis: trace.querySelector(".trace-basis").innerText.trim(),
        shown: trace.getBoundingClientRect().height > 0,
      })),
    })),
  );
}

test("a front corner is marked by touch, decided with reasons, and found again after the browser was killed", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page, where) => {
    const job = await arrive(page);
    assert.deepEqual(standing(page), { place: "left", layer: "skin" });

    // The apron tube, under the skin.
    await walkTo(browser, "front-left");
    await stand(page, "left");
    await peel(page, "structure");
    await mark(browser, "apron-tube-left");
    assert.equal((await marks(page)).length, 1, "one tap makes one mark");
    await setKind(page, "kink");
    await setDepth(page, 2);
    const tube = await verdict(page);
    assert.ok(["section", "replace"].includes(tube.action), `the kinked tube is to ${tube.action}`);
    assert.equal(tube.word.toLowerCase(), tube.action);
    assert.match(tube.reason, /\w+ \w+ \w+.*\.$/, "a whole sentence says why");
    const tubeOptions = await options(page);
    assert.deepEqual(tubeOptions.map(({ action }) => action), ["leave", "refinish", "repair", "section", "replace", "refer"]);
    const repair = tubeOptions.find(({ action }) => action === "repair");
    assert.equal(repair.permitted, false, "a kink is never straightened");
    assert.ok(repair.traces.some(({ reason, basis, shown }) => shown && /never|kink/i.test(reason) && basis.length > 10), JSON.stringify(repair));
    assert.ok(tubeOptions.find(({ action }) => action === tube.action).permitted);
    await close(page);

    // The fender, on the skin.
    await peel(page, "skin");
    await mark(browser, "fender-left");
    await setKind(page, "buckle");
    await setDepth(page, 2);
    const fender = await verdict(page);
    assert.ok(["repair", "replace"].includes(fender.action), `the fender is to ${fender.action}`);
    assert.match(fender.reason, /\w+ \w+ \w+.*\.$/);
    const fenderOptions = await options(page);
    const chosen = fenderOptions.find(({ action }) => action === fender.action);
    assert.ok(chosen.permitted);
    assert.ok(chosen.traces.every(({ reason, basis }) => reason.length > 10 && basis.length > 5), JSON.stringify(chosen));
    await close(page);

    // The hood, from above.
    await stand(page, "above");
    await mark(browser, "hood");
    await setDepth(page, 1);
    const hood = await verdict(page);
    assert.ok(["repair", "replace", "refinish"].includes(hood.action), `the hood is to ${hood.action}`);
    assert.notEqual(hood.reason, "");

    const found = await findings(page);
    assert.deepEqual(found.map((row) => row.split(":")[0]), ["apron-tube-left", "fender-left", "hood"]);
    await saved(page);
    assert.deepEqual(browser.faults, []);

    await browser.kill();
    const again = await launch(where, { size: "tablet", origin: server.origin });
    await again.page.goto("./");
    const card = again.page.locator(`.card[data-job="${job}"]`);
    await press(card.locator('[data-act="open"]'));
    await again.page.waitForURL(/#\/walk\//);
    assert.equal(jobOf(again.page), job);
    assert.deepEqual(await findings(again.page), found, "findings as they were");
    // Each decision with its reason as it was, from the drawing.
    for (const [place, layer, part, was] of [
      ["left", "structure", "apron-tube-left", tube],
      ["left", "skin", "fender-left", fender],
      ["above", "skin", "hood", hood],
    ]) {
      await stand(again.page, place);
      await peel(again.page, layer);
      assert.equal((await marks(again.page)).length, 1, `the mark on ${part}`);
      await pointOn(again.page, part);
      await press(again.page.locator(`[data-list="found"] [data-row="${part}"] .row-key`));
      await again.page.locator(`[data-part-sheet="${part}"]`).waitFor();
      assert.deepEqual(await verdict(again.page), was, part);
      await close(again.page);
    }
    assert.deepEqual(again.faults, []);
    await again.close();
  });
});
