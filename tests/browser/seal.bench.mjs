// What privacy and backup cost a person, in Chromium: working the passphrase out, opening a sealed job of 200 marks beside an
// open one, sealing 100 pictures, making and reading a backup of them.
// Measures only, on the page's own clock; there are no bars but that of opening a job, 100 ms.

import { readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

import { ROOT, browserVersion, bundle, launch, percentile, profile, serve } from "./harness.mjs";
import { go } from "./screens.mjs";
import { saved } from "./walking.mjs";

const PASSPHRASE = "tin barrow north plum";
const PICTURES = 100;
const SIZE = 600_000;
const ROUNDS = 12;
const rows = [];
const ms = (value) => `${value.toFixed(value < 20 ? 1 : 0)} ms`;
const demo = (name) => JSON.parse(readFileSync(join(ROOT, "public/demo", `${name}.json`), "utf8"));

/** A job of 200 marks: those of the demo jobs over and over. */
function job() {
  const known = ["front-corner", "side-hit", "rear-hit", "hail"].flatMap((name) => Object.values(demo(name).job.marks));
  const file = demo("hail");
  file.id = "bench-sealed";
  file.job.title = "200 marks";
  file.job.marks = Object.fromEntries(Array.from({ length: 200 }, (_, at) => [`m${at}`, known[at % known.length]]));
  return file;
}

/** Milliseconds of the page's clock from a click on `selector` until `until` is true in the page. */
function timed(page, selector, until) {
  return page.evaluate(
    async ([selector, until]) => {
      const done = new Function(`return (${until})`);
      const begun = performance.now();
      document.querySelector(selector).click();
      while (!done()) await new Promise((next) => setTimeout(next, 1));
      return performance.now() - begun;
    },
    [selector, until],
  );
}

const OPEN = '[data-act="open"]';
const DRAWN = "document.querySelector('.map-svg [data-mark]')";

/** Opens the job from the journal alone, cold, some times. @returns {Promise<number[]>} */
async function opens(page, unlock) {
  const all = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    await page.evaluate(() => Object.keys(localStorage).filter((key) => key.startsWith("cutline/")).forEach((key) => localStorage.removeItem(key)));
    await go(page, "#/gate");
    if (unlock) await unlock();
    await page.locator(OPEN).first().waitFor();
    await page.waitForTimeout(1500); // the rest of the app is there
    all.push(await timed(page, OPEN, DRAWN));
    await page.goto("about:blank");
    await page.goto("./#/gate");
    if (unlock) await page.locator("#unlock").waitFor();
  }
  return all;
}

const server = await serve(bundle());
const where = profile();
try {
  const browser = await launch(where, { size: "desk", touch: false, origin: server.origin });
  const { page } = browser;
  const path = join(tmpdir(), `cutline-bench-sealed-${process.pid}.json`);
  writeFileSync(path, JSON.stringify(job()));
  await go(page, "#/gate");
  await page.setInputFiles('[data-act="import"]', path);
  await page.locator(OPEN).first().click();
  await page.locator(".map-svg path.outline").first().waitFor();
  await saved(page);
  const plain = await opens(page);
  rows.push(["Open a job of 200 marks from the journal, no passphrase, median and 95th percentile", `${ms(percentile(plain, 0.5))}, ${ms(percentile(plain, 0.95))}`]);

  await page.evaluate(
    async ([count, size]) => {
      const database = await new Promise((done) => {
        const asked = indexedDB.open("cutline");
        asked.onsuccess = () => done(asked.result);
      });
      for (let at = 0; at < count; at += 1) {
        const bytes = crypto.getRandomValues(new Uint8Array(65_536));
        const whole = new Uint8Array(size);
        for (let to = 0; to + bytes.length <= size; to += bytes.length) whole.set(bytes, to);
        whole.set([0xff, 0xd8, 0xff]);
        const transaction = database.transaction("pictures", "readwrite");
        transaction.objectStore("pictures").put(whole.buffer, `bench-sealed/p${at}/full`);
        await new Promise((done) => (transaction.oncomplete = done));
      }
      database.close();
    },
    [PICTURES, SIZE],
  );
  await go(page, "#/shop");
  const state = (word) => `document.querySelector('.backup [data-backup="${word}"]')`;
  const [download, made] = await Promise.all([page.waitForEvent("download"), timed(page, '[data-act="backup"]', state("made"))]);
  const file = join(tmpdir(), `cutline-bench-${process.pid}.tar`);
  await download.saveAs(file);
  rows.push([`Make a backup with ${PICTURES} pictures of ${SIZE / 1000} kB`, ms(made)]);
  const begun = Date.now();
  await page.locator('[data-act="restore"]').setInputFiles(file);
  await page.locator('.backup [data-backup="asked"]').waitFor({ state: "attached" });
  rows.push(["Read that backup through and say what would change", ms(Date.now() - begun)]);

  await page.fill("#privacy-new", PASSPHRASE);
  await page.fill("#privacy-again", PASSPHRASE);
  await page.locator('[data-act="seal"]').click();
  rows.push([`Set a passphrase and seal ${PICTURES} pictures of ${SIZE / 1000} kB`, ms(await timed(page, '[data-act="seal-sure"]', "document.querySelector('[data-privacy=\"open\"]')"))]);

  const worked = [];
  const unlock = async () => {
    await page.fill("#unlock", PASSPHRASE);
    worked.push(await timed(page, '[data-act="unlock"]', "!document.querySelector('#unlock')"));
  };
  await go(page, "#/gate");
  const sealed = await opens(page, unlock);
  rows.push(["Passphrase until the gate stands, median and worst", `${ms(percentile(worked, 0.5))}, ${ms(Math.max(...worked))}`]);
  rows.push(["Open a sealed job of 200 marks, median and 95th percentile", `${ms(percentile(sealed, 0.5))}, ${ms(percentile(sealed, 0.95))}`]);
  await browser.slow?.(4);
  worked.length = 0;
  await go(page, "#/gate");
  await unlock();
  rows.push(["Passphrase until the gate stands, processor slowed four times", ms(worked[0])]);
} finally {
  await where.remove();
  await server.stop();
}
console.log(`\nPrivacy and backup, ${browserVersion()}`);
for (const [what, measured] of rows) console.log(`  ${what.padEnd(84)} ${measured}`);
