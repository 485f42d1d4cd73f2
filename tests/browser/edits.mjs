// Edits that tell how far they came: presses on the four depths of one mark, in turn. What stands after a fault says which
// of them are there. Shared by the tests that break things.
// Must print its seed where a test fails, so that a failing history can be run again: CUTLINE_SEED=n.

import { launch, profile } from "./harness.mjs";
import { go } from "./screens.mjs";
import { arrive, mark, peel, press, saved, setDepth, stand } from "./walking.mjs";

export const SEED = Number(process.env.CUTLINE_SEED ?? Date.now() % 1_000_000);
export const SIZE = { size: "desk", touch: false };
export const PART = "front-door-left";

/** A small seeded generator (mulberry32): whole numbers below `count`. */
export function numbers(seed) {
  let state = seed >>> 0;
  return (count) => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) % count;
  };
}

/** Runs `act` on a fresh profile, with a job in which one door is marked, and everything of it durable. */
export async function withJob(server, act) {
  const where = profile();
  try {
    const browser = await launch(where, { ...SIZE, origin: server.origin });
    const job = await arrive(browser.page);
    await stand(browser.page, "left");
    await peel(browser.page, "skin");
    await mark(browser, PART);
    await setDepth(browser.page, 0);
    await saved(browser.page);
    await act({ browser, where, job, open: (script) => reopen(server, where, job, script) });
  } finally {
    await where.remove();
  }
}

/** The job again, in a browser on the same profile, with the mark's sheet open; `script` runs before the app. */
async function reopen(server, where, job, script) {
  const browser = await launch(where, { ...SIZE, origin: server.origin });
  if (script) await browser.page.addInitScript(script);
  await show(browser.page, job);
  return browser;
}

/** Brings a page to the walk of a job with the mark's sheet open. */
export async function show(page, job) {
  await go(page, `#/walk/${job}/left/skin`);
  await page.locator(".map-svg path.outline").first().waitFor();
  await press(page.locator('.tab[data-tab="found"]:visible'));
  await press(page.locator(`[data-list="found"] [data-row="${PART}"] .row-key`));
  await page.locator(`[data-part-sheet="${PART}"]`).waitFor();
}

/** The depth that stands, 0 to 3. */
export async function depth(page) {
  // The sheet's details follow an edit by a frame.
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(() => setTimeout(done)))));
  const steps = [0, 1, 2, 3].map((step) => `[data-value="${step}"][aria-pressed="true"]`);
  return Number(await page.locator(`.editor .form-row :is(${steps.join(", ")})`).first().getAttribute("data-value"));
}

/** Tells Node each time that the screen calls the edits so far saved: how many edits were made by then. */
export async function watchSaved(page) {
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
export const edit = (page, step) =>
  page.evaluate((next) => {
    window.edits += 1;
    document.querySelector(`.editor .form-row [data-value="${next}"]`).click();
  }, step % 4);
