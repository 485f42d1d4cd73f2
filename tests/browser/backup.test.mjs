// A backup as a person makes and uses it: made, the stores wiped, restored, everything there; a cut file; newer work kept;
// files that are no backup. The file itself is opened by Python's tarfile, an outside reader.
// Must not look inside the app: what counts is what stands on the page and in the file.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";

import { PYTHON, ROOT, SCHEMES, SIZES, axe, looks, smallTargets, stage } from "./harness.mjs";
import { go, takeDemo } from "./screens.mjs";
import { press, saved, withBrowser } from "./walking.mjs";

const { server, folder } = await stage();

const state = (page, word) => page.locator(`.backup [data-backup="${word}"]`).waitFor({ state: "attached" });

/** Makes a backup by its key. @returns the path of the file */
async function backup(page, name) {
  await go(page, "#/shop");
  const [download] = await Promise.all([page.waitForEvent("download"), press(page.locator('[data-act="backup"]'))]);
  assert.match(download.suggestedFilename(), /^cutline-backup-\d{4}-\d{2}-\d{2}\.tar$/);
  const path = join(folder, name);
  await download.saveAs(path);
  await state(page, "made");
  return path;
}

/** Gives a file to the restore key and waits for the answer. */
async function look(page, path, word = "asked") {
  await go(page, "#/shop");
  await page.locator('[data-act="restore"]').setInputFiles(path);
  await state(page, word);
}

async function take(page) {
  await press(page.locator('[data-act="restore-take"]'));
  await state(page, "taken");
}

/** The gate lists so many jobs, once the journal has been read. */
async function jobsAtGate(page, many) {
  await go(page, "#/gate");
  const jobs = page.locator('[data-list="jobs"] > li');
  await jobs.nth(many - 1).waitFor();
  assert.equal(await jobs.count(), many);
}

/** Everything that both stores hold is gone, as on another tablet. */
async function wipe(browser) {
  await browser.page.goto("about:blank");
  const session = await browser.devtools();
  await session.send("Storage.clearDataForOrigin", { origin: server.origin.replace(/\/$/, ""), storageTypes: "local_storage,indexeddb" });
}

/** All entries of the journal that belong to jobs, and the keys and lengths of pictures. */
function stored(page) {
  return page.evaluate(async () => {
    const database = await new Promise((done, failed) => {
      const asked = indexedDB.open("cutline");
      asked.onsuccess = () => done(asked.result);
      asked.onerror = failed;
    });
    const all = (name) =>
      new Promise((done, failed) => {
        const store = database.transaction(name).objectStore(name);
        const keys = store.getAllKeys();
        const values = store.getAll();
        values.onsuccess = () => done(keys.result.map((key, at) => [key, values.result[at]]));
        values.onerror = failed;
      });
    const entries = (await all("entries")).filter(([key]) => key.startsWith("cutline/"));
    const pictures = (await all("pictures")).map(([key, bytes]) => [key, [...new Uint8Array(bytes)].join()]);
    database.close();
    return { entries, pictures };
  });
}

/** Puts pictures into the journal as a camera would have, each of its own bytes. */
function putPictures(page, keys) {
  return page.evaluate(async (keys) => {
    const database = await new Promise((done) => {
      const asked = indexedDB.open("cutline");
      asked.onsuccess = () => done(asked.result);
    });
    await new Promise((done, failed) => {
      const transaction = database.transaction("pictures", "readwrite");
      keys.forEach((key, at) => {
        const bytes = new Uint8Array(3000 + at).map((_, i) => (i * 31 + at * 7) & 255);
        bytes.set([0xff, 0xd8, 0xff]);
        transaction.objectStore("pictures").put(bytes.buffer, key);
      });
      transaction.oncomplete = done;
      transaction.onerror = failed;
    });
    database.close();
  }, keys);
}

test("made, wiped, restored: jobs, pictures and the shop's own are all there again", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    const job = await takeDemo(page, "front-corner");
    await saved(page);
    await takeDemo(page, "hail");
    await saved(page);
    await go(page, "#/shop");
    await press(page.getByRole("button", { name: "One person more" })); // the shop's own time book
    await page.locator('[data-act="load-joining"]').setInputFiles(join(ROOT, "model/data/joining/general.json"));
    await page.locator('[data-joining="own"]').waitFor();
    await putPictures(page, [`${job}/p1/full`, `${job}/p1/thumb`, `${job}/p2/full`]);
    const before = await stored(page);
    assert.ok(before.entries.length >= 2 && before.pictures.length === 3);
    const path = await backup(page, "whole.tar");
    assert.match(await page.locator(".backup").innerText(), /2 jobs, 3 pictures/);
    assert.match(await page.locator(".backup-last").innerText(), /within the last day/);

    // The outside reader finds the same, byte for byte.
    const schema = JSON.parse(readFileSync(join(ROOT, "public/schema/backup.schema.json"), "utf8"));
    const told = JSON.parse(
      execFileSync(PYTHON, [join(ROOT, "tests/outside/backup.py")], { input: JSON.stringify({ read: path, schema }) }),
    );
    assert.equal(told.entries.filter(([name]) => name.startsWith("jobs/")).length, before.entries.length);
    assert.equal(told.entries.filter(([name]) => name.startsWith("photos/")).length, 3);

    await wipe(browser);
    await go(page, "#/gate");
    await page.locator(".gate-empty").waitFor();
    await look(page, path);
    const asked = page.locator(".backup-asked");
    assert.match(await asked.innerText(), /The file is whole/);
    assert.match(await asked.innerText(), /3 pictures come back/);
    assert.match(await asked.innerText(), /The shop gets back: .*time book/);
    assert.match(await asked.innerText(), /The shop gets back: .*joining list/);
    assert.equal((await stored(page)).entries.length, 0, "nothing is taken before the person says so");
    await take(page);
    assert.deepEqual(await stored(page), before);
    await jobsAtGate(page, 2);
    await go(page, "#/shop");
    assert.equal(await page.getByRole("group", { name: "People on one truck" }).locator("output").innerText(), "3");
    await page.locator('[data-joining="own"]').waitFor();
    await go(page, `#/walk/${job}/front-left/skin`);
    await page.locator(".map-svg path.outline").first().waitFor();

    // Once more: there is nothing left to take.
    await look(page, path);
    assert.match(await asked.innerText(), /Everything in it is here already/);
    assert.equal(await page.locator('[data-act="restore-take"]').count(), 0);
  });
});

test("a file cut short gives back what is whole and names the rest", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    const job = await takeDemo(page, "front-corner");
    await saved(page);
    await takeDemo(page, "hail");
    await saved(page);
    await putPictures(page, [`${job}/p1/full`, `${job}/p2/full`]);
    const path = await backup(page, "to-cut.tar");
    const bytes = readFileSync(path);
    // In the middle of the second picture.
    const at = bytes.lastIndexOf(Buffer.from("photos/")) - 345 + 512 + 1500;
    const cut = join(folder, "cut.tar");
    writeFileSync(cut, bytes.subarray(0, at));
    await wipe(browser);
    await look(page, cut);
    const text = await page.locator(".backup-asked").innerText();
    assert.match(text, /cut short/);
    assert.match(text, /Missing: 1 picture\./);
    await take(page);
    const now = await stored(page);
    assert.equal(now.pictures.length, 1);
    await jobsAtGate(page, 2);
  });
});

test("newer work stays, and what differs of the shop is asked for", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    const job = await takeDemo(page, "front-corner");
    await saved(page);
    await go(page, "#/shop");
    await press(page.getByRole("button", { name: "One person more" }));
    const path = await backup(page, "older.tar");
    const before = await stored(page);
    // The tablet works on: a revision, another job, another number of people.
    await go(page, `#/plan/${job}`);
    await press(page.locator('[data-act="freeze"]').first());
    await saved(page);
    await takeDemo(page, "hail");
    await saved(page);
    await go(page, "#/shop");
    await press(page.getByRole("button", { name: "One person more" }));
    const newer = await stored(page);
    assert.ok(newer.entries.length > before.entries.length);
    await look(page, path);
    const asked = page.locator(".backup-asked");
    assert.match(await asked.innerText(), /1 job is here already/);
    assert.match(await asked.innerText(), /differ from the backup: .*time book.*Replace them/s);
    await take(page);
    assert.deepEqual(await stored(page), newer, "nothing newer is lost");
    const people = () => page.getByRole("group", { name: "People on one truck" }).locator("output").innerText();
    assert.equal(await people(), "4", "not replaced without being asked for");
    await look(page, path);
    await press(asked.getByRole("button", { name: "Yes" }));
    await take(page);
    assert.equal(await people(), "3");
  });
});

test("what is no backup is refused in words and changes nothing", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await takeDemo(page, "hail");
    await saved(page);
    const before = await stored(page);
    for (const [name, bytes, words] of [
      ["empty.tar", Buffer.alloc(0), /This file is empty/],
      ["zeros.tar", Buffer.alloc(20_000), /no backup that Cutline made/],
      ["photo.tar", Buffer.from(Array.from({ length: 50_000 }, (_, i) => (i * 97) & 255)), /no backup that Cutline made/],
      ["job.tar", readFileSync(join(ROOT, "public/demo/hail.json")), /no backup that Cutline made/],
    ]) {
      const path = join(folder, name);
      writeFileSync(path, bytes);
      await look(page, path, "failed");
      const told = await page.locator(".backup .given-refused").innerText();
      assert.match(told, words, name);
      assert.match(told, /nothing was changed/);
    }
    assert.deepEqual(await stored(page), before);
  });
});

test("the gate reminds once a week when something has changed since", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    const job = await takeDemo(page, "hail");
    await saved(page);
    const reminder = page.locator(".gate-backup");
    const ahead = (days) => `const now = Date.now; Date.now = () => now() + ${days} * 864e5;`;
    await go(page, "#/gate");
    await page.locator('[data-list="jobs"] > li').waitFor();
    assert.equal(await reminder.count(), 0, "not on the first day");
    await backup(page, "reminder.tar");
    await page.addInitScript(ahead(8));
    await go(page, "#/gate");
    await page.locator('[data-list="jobs"] > li').waitFor();
    assert.equal(await reminder.count(), 0, "nothing has changed since");
    await go(page, `#/plan/${job}`);
    await press(page.locator('[data-act="freeze"]').first());
    await saved(page);
    await go(page, "#/gate");
    await reminder.waitFor();
    assert.match(await reminder.innerText(), /8 days old, and 1 job changed since/);
    await press(reminder.locator("button"));
    await page.waitForURL(/#\/shop/);
    await page.waitForFunction(() => document.activeElement?.dataset.act === "backup");
    // Not wanted at all.
    for (let day = 0; day < 7; day += 1) await press(page.getByRole("button", { name: "Remind sooner" }));
    await go(page, "#/gate");
    await page.locator('[data-list="jobs"] > li').waitFor();
    assert.equal(await reminder.count(), 0);
  });
});

test("backup can be read and touched in each size, light and dark", async () => {
  for (const sizes of looks()) {
    await withBrowser(server, { size: sizes[0] }, async (browser, page) => {
      await takeDemo(page, "hail");
      await saved(page);
      const path = await backup(page, `look-${sizes[0]}.tar`);
      await wipe(browser);
      await takeDemo(page, "hail");
      for (const size of sizes) {
        await page.setViewportSize(SIZES[size]);
        for (const scheme of SCHEMES) {
          await page.emulateMedia({ colorScheme: scheme });
          await look(page, path);
          const at = `${size}, ${scheme}`;
          assert.deepEqual(await axe(page), [], at);
          assert.deepEqual(await smallTargets(page, ".backup button, .backup label.key", 48), [], at);
          const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
          assert.ok(wide <= 0, `${at}: ${wide} px too wide`);
          if (!process.env.CUTLINE_SHOTS) continue;
          await page.locator(".backup").evaluate((element) => element.scrollIntoView());
          await page.screenshot({ path: join(ROOT, `target/shots/backup-${size}-${scheme}.png`) });
        }
      }
    });
  }
});
