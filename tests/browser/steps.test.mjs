// Killed at each step of storing an edit: the page is stopped by a breakpoint right before and right after every call that
// touches a store, and there the browser process, or the tab's alone, is killed. After each: every edit that the screen
// called saved is there, and the job opens.
// Must stop at calls of the browser's own interfaces, so that no step is left out that the app may add.

import assert from "node:assert/strict";
import { test } from "node:test";

import { SEED, depth, edit, numbers, show, watchSaved, withJob } from "./edits.mjs";
import { stage } from "./harness.mjs";
import { marks } from "./walking.mjs";

/** Enough for the tail to be folded into a snapshot and its keys taken out, whatever stood before. */
const EDITS = 18;

const { server } = await stage({ seed: SEED });

/** Before the app: writes every step of storing down, and stops at the nth once `window.armed` is set; 0 stops at none. */
const stopAt = (nth) => `(() => {
  window.steps = [];
  const step = (name) => {
    if (!window.armed) return;
    window.steps.push(name);
    if (window.steps.length === ${nth}) debugger;
  };
  const around = (of, name, own = () => true, then = () => {}) => {
    const old = of[name];
    of[name] = function (...words) {
      const mine = own.call(this, ...words);
      if (mine) step("before " + name);
      const made = old.apply(this, words);
      if (mine) step("after " + name);
      then(made, words);
      return made;
    };
  };
  const ofJobs = (key) => String(key).startsWith("cutline/");
  around(Storage.prototype, "setItem", ofJobs);
  around(Storage.prototype, "removeItem", ofJobs);
  around(IDBDatabase.prototype, "transaction", (stores, mode) => mode === "readwrite", (made, [, mode]) => {
    if (mode === "readwrite") made.addEventListener("complete", () => step("complete"));
  });
  around(IDBObjectStore.prototype, "put");
  around(IDBObjectStore.prototype, "delete");
  around(IDBTransaction.prototype, "commit");
})()`;

/** On the job's page, makes edits until it stops at the step of its script. @returns what was made, acknowledged and seen */
async function upTo(page, first) {
  const safe = await watchSaved(page);
  await page.evaluate(() => (window.armed = true));
  const session = await page.context().newCDPSession(page);
  await session.send("Debugger.enable");
  let stopped = false;
  const stop = new Promise((done) => session.once("Debugger.paused", done)).then(() => (stopped = true));
  let made = 0;
  while (made < EDITS && !stopped) {
    made += 1;
    const pressed = edit(page, first + made).catch(() => {}); // the page may be killed while it presses
    await Promise.race([stop, pressed]);
    // As a person does who waits for the word; the page may stop instead.
    const end = Date.now() + 3000;
    while (!stopped && safe() < made && Date.now() < end) await new Promise((done) => setTimeout(done, 5));
  }
  // Tidying comes behind the last word.
  if (!stopped) await Promise.race([stop, new Promise((done) => setTimeout(done, 1000))]);
  return { made, stopped, safe: safe() };
}

/** The steps of storing as many edits, without a stop. */
async function dryRun(page) {
  const { safe } = await upTo(page, 0);
  assert.equal(safe, EDITS, "every edit of the dry run was called saved");
  assert.equal(await depth(page), EDITS % 4);
  return page.evaluate(() => window.steps);
}

/** The steps at which the page is stopped: all of the first edit, all of the tidying, and some by chance. */
function chosen(steps) {
  const below = numbers(SEED);
  const first = steps.indexOf("complete") + 1;
  const tidying = steps.map((name, at) => [name, at + 1]).filter(([name]) => name.endsWith("removeItem"));
  assert.ok(first > 8 && tidying.length >= 8, `steps of an edit and of tidying are there: ${steps.join(", ")}`);
  const snapshot = tidying[0][1];
  const wanted = new Set([...Array(first).keys()].map((at) => at + 1));
  for (const at of [snapshot - 2, snapshot - 1, snapshot, snapshot + 1, tidying[tidying.length >> 1][1], tidying.at(-1)[1]]) wanted.add(at);
  while (wanted.size < first + 9) wanted.add(1 + below(steps.length));
  return [...wanted].sort((one, other) => one - other);
}

for (const [name, whole] of [["the browser", true], ["the tab", false]]) {
  test(`${name} killed at each step of storing: nothing that was called saved is lost`, async () => {
    await withJob(server, async ({ browser, job, open }) => {
      await browser.close();
      let now = await open(stopAt(0));
      let { page } = now;
      const steps = await dryRun(page);
      let stands = EDITS % 4;
      await now.close();
      const stops = chosen(steps);
      // What comes back from one kill goes on to the next.
      now = await open(stopAt(stops[0]));
      ({ page } = now);
      for (const [turn, nth] of stops.entries()) {
        const at = `seed ${SEED}, step ${nth}: ${steps[nth - 1]}`;
        const { made, safe, stopped } = await upTo(page, stands);
        assert.ok(stopped, `${at}: the page stopped there`);
        const next = stopAt(stops[turn + 1] ?? 0);
        if (whole) {
          await now.kill();
          now = await open(next);
          ({ page } = now);
        } else {
          now.page = page;
          now.session = undefined;
          await now.crashTab();
          const fresh = await now.context.newPage();
          await page.close();
          page = fresh;
          await page.addInitScript(next);
          await show(page, job);
        }
        const found = await depth(page);
        // One edit at most is under way when the page stops: it is there or not, and all before it are.
        assert.ok(made - safe <= 1, `${at}: ${made} made, ${safe} saved`);
        const may = [safe, made].map((step) => (stands + step) % 4);
        assert.ok(may.includes(found), `${at}: ${made} made, ${safe} saved, depth ${found}, not ${may}`);
        assert.equal((await marks(page)).length, 1, at);
        stands = found;
      }
      await now.close();
    });
  });
}
