// Restoring what a camera took: every byte of every picture comes back, also of the camera's own file; and the browser
// killed in the middle of a restore leaves no job that names a picture which is nowhere.
// Outside check: Pillow makes the camera's files, Python's tarfile and hashlib read the backup.
// Must print its seed, so that a failing history can be run again: CUTLINE_SEED=n.

import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";

import { SEED, numbers } from "./edits.mjs";
import { ROOT, bundle, launch, profile, serve } from "./harness.mjs";
import { go, takeDemo } from "./screens.mjs";
import { press, saved, withBrowser } from "./walking.mjs";

const python = process.env.CUTLINE_PYTHON ?? join(ROOT, "target/venv/bin/python");

let server;
let folder;
before(async () => {
  console.log(`seed ${SEED}`);
  server = await serve(bundle());
  folder = mkdtempSync(join(tmpdir(), "cutline-restore-"));
  const made = spawnSync(python, [join(ROOT, "tests/outside/pictures.py"), folder], { encoding: "utf8" });
  assert.equal(made.status, 0, made.stderr);
});
after(async () => {
  await server.stop();
  rmSync(folder, { recursive: true, force: true });
});

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
    for (const [key, text] of await all("entries")) if (key.startsWith("cutline/")) out.entries[key] = text;
    for (const [key, bytes] of await all("pictures")) {
      const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
      out.pictures[key] = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
    }
    database.close();
    return out;
  });
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
    const told = JSON.parse(execFileSync(python, [join(ROOT, "tests/outside/backup.py")], { input: JSON.stringify({ read: path, schema }) }));
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
  for (let turn = 0; turn < 8; turn += 1) {
    const where = profile();
    try {
      const browser = await launch(where, { size: "tablet", origin: server.origin });
      await look(browser.page, path);
      const wait = below(took + 50);
      await press(browser.page.locator('[data-act="restore-take"]'));
      await browser.page.waitForTimeout(wait);
      await browser.kill();
      const again = await launch(where, { size: "tablet", origin: server.origin });
      await again.page.goto("./icons/cutline.svg");
      const at = `seed ${SEED}, turn ${turn}, after ${wait} ms`;
      // The next start makes the stores where the kill came before them.
      await go(again.page, "#/gate");
      await again.page.locator('[data-list="jobs"] > li, .gate-empty').first().waitFor();
      const found = await stored(again.page);
      const parts = Object.keys(found.pictures).length + Object.keys(found.entries).length;
      if (parts > 0 && parts < Object.keys(before.pictures).length + Object.keys(before.entries).length) halfway += 1;
      for (const photo of named(found.entries)) {
        for (const size of ["full", "thumb"]) {
          assert.equal(found.pictures[`${photo}/${size}`], before.pictures[`${photo}/${size}`], `${at}: ${photo}/${size}`);
        }
      }
      await look(again.page, path);
      if ((await again.page.locator('[data-act="restore-take"]').count()) > 0) {
        await press(again.page.locator('[data-act="restore-take"]'));
        await state(again.page, "taken");
      }
      assert.deepEqual(await stored(again.page), before, at);
      await again.close();
    } finally {
      await where.remove();
    }
  }
  console.log(`${halfway} of 8 kills came in the middle`);
  assert.ok(halfway > 0, `seed ${SEED}: a kill that never comes in the middle is no test`);
});
