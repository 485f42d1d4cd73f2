// Killed at each step of storing an edit: the page is stopped by a breakpoint right before and right after every call that
// touches a store, and there the browser process, or the tab's alone, is killed. After each: every edit that the screen
// called saved is there, and the job opens.
// Must stop at calls of the browser's own interfaces, so that no step is left out that the app may add.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { SEED, depth, edit, numbers, show, watchSaved, withJob } from "./edits.mjs";
import { bundle, serve } from "./harness.mjs";
import { marks } from "./walking.mjs";

/** Enough for the tail to be folded into a snapshot and its keys taken out, whatever stood before. */
const EDITS = 18;

let server;
before(async () => {
  console.log(`seed ${SEED}`);
  server = await serve(bundle());
});
after(() => server.stop());

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

/** Opens the job, and makes edits until the page stops at the nth step. @returns what was made, acknowledged and seen */
async function upTo(open, nth, first) {
  const browser = await open(stopAt(nth));
  const { page } = browser;
  const safe = await watchSaved(page);
  await page.evaluate(() => (window.armed = true));
  const session = await browser.devtools();
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
  if (nth > 0) await Promise.race([stop, new Promise((done) => setTimeout(done, 1000))]);
  else await page.waitForTimeout(300);
  return { browser, made, stopped, safe: safe(), steps: nth > 0 ? [] : await page.evaluate(() => window.steps) };
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
      const dry = await upTo(open, 0, 0);
      assert.equal(dry.safe, EDITS, "every edit of the dry run was called saved");
      let stands = await depth(dry.browser.page);
      assert.equal(stands, EDITS % 4);
      await dry.browser.close();
      for (const nth of chosen(dry.steps)) {
        const at = `seed ${SEED}, step ${nth}: ${dry.steps[nth - 1]}`;
        const now = await upTo(open, nth, stands);
        assert.ok(now.stopped, `${at}: the page stopped there`);
        let page;
        let again;
        if (whole) {
          await now.browser.kill();
          again = await open();
          page = again.page;
        } else {
          await now.browser.crashTab();
          page = await now.browser.context.newPage();
          await show(page, job);
        }
        const found = await depth(page);
        // One edit at most is under way when the page stops: it is there or not, and all before it are.
        assert.ok(now.made - now.safe <= 1, `${at}: ${now.made} made, ${now.safe} saved`);
        const may = [now.safe, now.made].map((step) => (stands + step) % 4);
        assert.ok(may.includes(found), `${at}: ${now.made} made, ${now.safe} saved, depth ${found}, not ${may}`);
        assert.equal((await marks(page)).length, 1, at);
        stands = found;
        await (again ?? now.browser).close();
      }
    });
  });
}
