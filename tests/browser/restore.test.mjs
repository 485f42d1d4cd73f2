// Restoring what a camera took: every byte of every picture comes back, also of the camera's own file; and the browser
// killed in the middle of a restore leaves no job that names a picture which is nowhere, and no picture that no job names.
// Outside check: Pillow makes the camera's files, Python's tarfile and hashlib read the backup.
// Must print its seed, so that a failing history can be run again: CUTLINE_SEED=n.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { copyFileSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";

import { SEED, numbers } from "./edits.mjs";
import { PYTHON, ROOT, launch, profile, stage } from "./harness.mjs";
import { go, takeDemo } from "./screens.mjs";
import { press, saved, withBrowser } from "./walking.mjs";

const { server, folder } = await stage({ seed: SEED, pictures: true });

const state = (page, word, patience) => page.locator(`.backup [data-backup="${word}"]`).waitFor({ state: "attached", timeout: patience });

async function backup(page, name) {
  await go(page, "#/shop");
  const [download] = await Promise.all([page.waitForEvent("download"), press(page.locator('[data-act="backup"]'))]);
  const path = join(folder, name);
  await download.saveAs(path);
  await state(page, "made");
  return path;
}

async function look(page, path) {
  await go(page, "#/shop");
  await page.locator('[data-act="restore"]').setInputFiles(path);
  await state(page, "asked");
}

/** Everything that both stores hold is gone, as on another tablet. */
async function wipe(browser) {
  await browser.page.goto("about:blank");
  const session = await browser.devtools();
  await session.send("Storage.clearDataForOrigin", { origin: server.origin, storageTypes: "local_storage,indexeddb" });
}

/** The journal's entries by key, and the SHA-256 of each picture by key, worked out by the browser from the bytes. */
function stored(page) {
  return page.evaluate(async () => {
    const answer = (asked) => new Promise((done, failed) => {
      asked.onsuccess = () => done(asked.result);
      asked.onerror = failed;
    });
    const database = await answer(indexedDB.open("cutline"));
    const all = async (name) => {
      const store = database.transaction(name).objectStore(name);
      const [keys, values] = await Promise.all([answer(store.getAllKeys()), answer(store.getAll())]);
      return keys.map((key, at) => [key, values[at]]);
    };
    const out = { entries: {}, pictures: {} };
    const notes = (await all("settings")).map(([key]) => key).filter((key) => key.startsWith("job-on-its-way/"));
    for (const [key, text] of await all("entries")) if (key.startsWith("cutline/")) out.entries[key] = text;
    for (const [key, bytes] of await all("pictures")) {
      const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
      out.pictures[key] = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
    }
    database.close();
    return { ...out, notes };
  });
}

/** The same once the sweep that follows the start has ended. */
async function swept(page) {
  const end = Date.now() + 15_000;
  for (;;) {
    const found = await stored(page);
    if (found.notes.length === 0) return found;
    if (Date.now() > end) throw new Error(`never swept: ${found.notes.join(", ")}`);
    await new Promise((done) => setTimeout(done, 50));
  }
}

/** Takes photos of files on the photos screen of a job, and waits until all are kept. */
async function photograph(page, job, names, many) {
  await go(page, `#/photos/${job}`);
  await page.locator('[data-act="pictures"]').setInputFiles(names.map((name) => join(folder, name)));
  await page.locator(`[data-photos="${many}"]`).waitFor({ timeout: 120_000 });
  await page.locator('[data-running="0"]').first().waitFor({ state: "attached" });
  await saved(page);
}

/** The pictures that the jobs name: `<job>/<photo>` out of the changes that took them. */
const named = (entries) =>
  Object.values(entries).flatMap((text) => {
    const { job } = JSON.parse(text);
    return [...text.matchAll(/"photo":\{"id":"([^"]+)"/g)].map(([, photo]) => `${job}/${photo}`);
  });

test("real pictures of a camera come back byte for byte, with the camera's own files", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page) => {
    const job = await takeDemo(page, "hail");
    await saved(page);
    await go(page, "#/shop");
    await press(page.getByRole("group", { name: "Keep the camera's own file too" }).getByRole("button", { name: "Yes" }));
    await saved(page);
    const names = [...[1, 2, 3, 4, 5, 6, 7, 8].map((way) => `turned-${way}.jpg`), "camera.jpg"];
    await photograph(page, job, names, names.length);
    const before = await stored(page);
    assert.equal(Object.keys(before.pictures).length, 3 * names.length, "picture, thumbnail and camera's file each");
    const own = Object.entries(before.pictures).filter(([key]) => key.endsWith("/original")).map(([, sum]) => sum).sort();
    const files = names.map((name) => createHash("sha256").update(readFileSync(join(folder, name))).digest("hex")).sort();
    assert.deepEqual(own, files, "the camera's own files, with their EXIF data, are kept as they came");

    const path = await backup(page, "camera.tar");
    const schema = JSON.parse(readFileSync(join(ROOT, "public/schema/backup.schema.json"), "utf8"));
    const told = JSON.parse(execFileSync(PYTHON, [join(ROOT, "tests/outside/backup.py")], { input: JSON.stringify({ read: path, schema }) }));
    const inside = told.entries.map(([name]) => name).filter((name) => name.startsWith("photos/"));
    const sums = inside.map((name) => /([0-9a-f]{64})\.\w+$/.exec(name)[1]).sort();
    assert.deepEqual(sums, Object.values(before.pictures).sort(), "the outside reader finds the same bytes");

    await wipe(browser);
    await look(page, path);
    await press(page.locator('[data-act="restore-take"]'));
    await state(page, "taken");
    assert.deepEqual(await stored(page), before);
    await go(page, `#/photos/${job}`);
    await page.locator(`[data-photos="${names.length}"]`).waitFor();
    await page.locator(".photo-open img").first().waitFor();
  });
});

test("a restore that is killed anywhere leaves no job with a picture that is nowhere, and is ended by another", async () => {
  const below = numbers(SEED);
  const many = [];
  for (let at = 0; at < 12; at += 1) {
    many.push(`many-${at}.jpg`);
    copyFileSync(join(folder, `turned-${(at % 8) + 1}.jpg`), join(folder, many.at(-1)));
  }
  let path;
  let before;
  let took;
  await withBrowser(server, { size: "tablet" }, async (browser, page) => {
    for (const demo of ["hail", "front-corner", "side-hit"]) {
      const job = await takeDemo(page, demo);
      await saved(page);
      await photograph(page, job, many, many.length);
    }
    before = await stored(page);
    const wanted = new Set(named(before.entries));
    assert.equal(wanted.size, 3 * many.length, "the jobs name all photos");
    path = await backup(page, "many.tar");
    await wipe(browser);
    await look(page, path);
    const begun = Date.now();
    await press(page.locator('[data-act="restore-take"]'));
    await state(page, "taken");
    took = Date.now() - begun;
    assert.deepEqual(await stored(page), before);
  });
  let halfway = 0;
  let strays = 0;
  const where = profile();
  try {
    let browser = await launch(where, { size: "tablet", origin: server.origin });
    for (let turn = 0; turn < 8; turn += 1) {
      await look(browser.page, path);
      const wait = below(took + 50);
      // The press may be under way when the kill comes.
      const pressed = press(browser.page.locator('[data-act="restore-take"]')).catch(() => {});
      await new Promise((done) => setTimeout(done, wait));
      await browser.kill();
      await pressed;
      browser = await launch(where, { size: "tablet", origin: server.origin });
      const { page } = browser;
      const at = `seed ${SEED}, turn ${turn}, after ${wait} ms`;
      await page.goto("./icons/cutline.svg");
      if (await made(page)) {
        const left = await stored(page);
        const parts = Object.keys(left.pictures).length + Object.keys(left.entries).length;
        if (parts > 0 && parts < Object.keys(before.pictures).length + Object.keys(before.entries).length) halfway += 1;
        strays += left.notes.length;
      }
      // The next start makes the stores where the kill came before them.
      await go(page, "#/gate");
      await page.locator('[data-list="jobs"] > li, .gate-empty').first().waitFor();
      const found = await swept(page);
      const wanted = named(found.entries);
      for (const photo of wanted) {
        for (const size of ["full", "thumb"]) {
          assert.equal(found.pictures[`${photo}/${size}`], before.pictures[`${photo}/${size}`], `${at}: ${photo}/${size}`);
        }
      }
      const strange = Object.keys(found.pictures).filter((key) => !wanted.includes(key.replace(/\/[^/]*$/, "")));
      assert.deepEqual(strange, [], `${at}: pictures that no job names`);
      await look(page, path);
      if ((await page.locator('[data-act="restore-take"]').count()) > 0) {
        await press(page.locator('[data-act="restore-take"]'));
        await state(page, "taken");
      }
      assert.deepEqual(await stored(page), before, at);
      await wipe(browser);
    }
  } finally {
    await where.remove();
  }
  console.log(`${halfway} of 8 kills came in the middle, ${strays} in the middle of a job`);
  assert.ok(halfway > 0 && strays > 0, `seed ${SEED}: a kill that never comes in the middle is no test`);
});

/** Whether the app's stores are there at all: looking into a database that is not makes it. */
function made(page) {
  return page.evaluate(async () => (await indexedDB.databases()).some(({ name }) => name === "cutline"));
}
