// Privacy at rest as a person meets it: setting a passphrase, being asked for it, a wrong one, locking when nobody is
// there, changing it, taking it away; and the browser killed while everything is being sealed.
// Looks into the stores from outside the app: nothing of a job may stand there readable.
// Must print its seed, so that a failing history can be run again: CUTLINE_SEED=n.

import assert from "node:assert/strict";
import { join } from "node:path";
import { test } from "node:test";

import { SEED, numbers } from "./edits.mjs";
import { ROOT, SCHEMES, SIZES, axe, launch, looks, profile, smallTargets, stage } from "./harness.mjs";
import { go, takeDemo } from "./screens.mjs";
import { press, saved, withBrowser } from "./walking.mjs";

const PASSPHRASE = "tin barrow north plum";

const { server, folder } = await stage({ seed: SEED, pictures: true });

/** Everything that both stores hold of jobs, as it stands there: key and text, or the bytes of a picture as text. */
function raw(page) {
  return page.evaluate(async () => {
    const database = await new Promise((done, failed) => {
      const asked = indexedDB.open("cutline");
      asked.onsuccess = () => done(asked.result);
      asked.onerror = failed;
    });
    const out = {};
    for (const name of ["entries", "cards", "pictures"]) {
      const store = database.transaction(name).objectStore(name);
      const [keys, values] = await Promise.all(
        [store.getAllKeys(), store.getAll()].map((asked) => new Promise((done) => (asked.onsuccess = () => done(asked.result)))),
      );
      keys.forEach((key, at) => {
        const value = values[at];
        out[`${name} ${key}`] = typeof value === "string" ? value : Array.from(new Uint8Array(value), (b) => String.fromCharCode(b)).join("");
      });
    }
    database.close();
    for (let at = 0; at < localStorage.length; at += 1) {
      const key = localStorage.key(at);
      if (key.startsWith("cutline/")) out[`local ${key}`] = localStorage.getItem(key);
    }
    return out;
  });
}

/** Whether the journal holds a lock. */
function hasLock(page) {
  return page.evaluate(async () => {
    const answer = (asked) => new Promise((done) => (asked.onsuccess = () => done(asked.result)));
    const database = await answer(indexedDB.open("cutline"));
    const lock = await answer(database.transaction("settings").objectStore("settings").get("cutline-lock"));
    database.close();
    return lock !== undefined;
  });
}

const isSealed = (text) => text.startsWith("sealed-1");
/** Keys whose value does not stand as it should. */
const astray = (all, sealed) => Object.entries(all).filter(([, text]) => isSealed(text) !== sealed).map(([key]) => key);

function putPictures(page, job, count, size) {
  return page.evaluate(
    async ({ job, count, size }) => {
      const database = await new Promise((done) => {
        const asked = indexedDB.open("cutline");
        asked.onsuccess = () => done(asked.result);
      });
      await new Promise((done, failed) => {
        const transaction = database.transaction("pictures", "readwrite");
        for (let at = 0; at < count; at += 1) {
          const bytes = new Uint8Array(size + at).fill(at & 255);
          bytes.set([0xff, 0xd8, 0xff]);
          transaction.objectStore("pictures").put(bytes.buffer, `${job}/p${at}/full`);
        }
        transaction.oncomplete = done;
        transaction.onerror = failed;
      });
      database.close();
    },
    { job, count, size },
  );
}

const privacy = (page, word) => page.locator(`.privacy[data-privacy="${word}"]`).waitFor();

async function type(page, passphrase = PASSPHRASE) {
  await page.fill("#privacy-new", passphrase);
  await page.fill("#privacy-again", passphrase);
  await press(page.locator('[data-act="seal"]'));
  await press(page.locator('[data-act="seal-sure"]'));
}

/** Sets a passphrase on the shop screen and waits until all is sealed. */
async function seal(page, passphrase) {
  await go(page, "#/shop");
  await type(page, passphrase);
  await privacy(page, "open");
}

async function unlock(page, passphrase = PASSPHRASE) {
  await page.locator("#unlock").waitFor();
  await page.fill("#unlock", passphrase);
  await press(page.locator('[data-act="unlock"]'));
}

/** Loads the app anew at an address and gives the passphrase. */
async function come(page, address = "#/gate", passphrase) {
  await go(page, address);
  await unlock(page, passphrase);
  await page.locator("#unlock").waitFor({ state: "detached" });
}

const cards = (page) => page.locator('[data-list="jobs"] > li');

test("what is sealed cannot be read in either store, and opens with the passphrase alone", async () => {
  await withBrowser(server, {}, async (_, page) => {
    const job = await takeDemo(page, "front-corner");
    await saved(page);
    await takeDemo(page, "hail");
    await saved(page);
    await putPictures(page, job, 3, 5000);
    await seal(page);
    const all = await raw(page);
    assert.ok(Object.keys(all).length >= 7);
    assert.deepEqual(astray(all, true), []);
    assert.ok(!JSON.stringify(all).includes("Hail"), "no title stands readable");

    // Without the passphrase there is nothing but the question, at every address.
    for (const address of ["#/gate", "#/shop", `#/plan/${job}`, `#/walk/${job}/left/skin`]) {
      await go(page, address);
      await page.locator("#unlock").waitFor();
      assert.ok(!(await page.locator("body").innerText()).includes("Hail"));
      assert.equal(await page.locator(".bar").count(), 0);
    }
    // A wrong one says no more than that, and changes nothing.
    for (const wrong of ["x", `${PASSPHRASE} `, PASSPHRASE.toUpperCase()]) {
      await unlock(page, wrong);
      assert.match(await page.locator(".unlock .given-refused").innerText(), /does not open it\. Nothing was changed/);
    }
    assert.deepEqual(await raw(page), all);
    await unlock(page);
    await page.locator(".map-svg path.outline").first().waitFor();

    // Work goes on, sealed.
    await go(page, "#/gate");
    await unlock(page);
    await cards(page).nth(1).waitFor();
    const third = await takeDemoUnlocked(page, "rear-hit");
    const now = await raw(page);
    assert.ok(Object.keys(now).some((key) => key.includes(third)));
    assert.deepEqual(astray(now, true), []);
    for (const key of Object.keys(all).filter((key) => key.startsWith("pictures"))) assert.equal(now[key], all[key]);
    await come(page);
    await cards(page).nth(2).waitFor();
  });
});

/** As `takeDemo`, on a page that stands open at the gate. */
async function takeDemoUnlocked(page, name) {
  const demos = page.locator('[data-act="demo"]');
  if ((await demos.getAttribute("aria-expanded")) !== "true") await demos.click();
  await page.locator(`[data-demo="${name}"]`).click();
  await page.waitForURL(/#\/walk\//);
  await saved(page);
  return /#\/walk\/([^/]+)/.exec(page.url())[1];
}

test("a passphrase is set only when it was typed twice, is long enough, and the person was told", async () => {
  await withBrowser(server, {}, async (_, page) => {
    await takeDemo(page, "hail");
    await saved(page);
    await go(page, "#/shop");
    assert.match(await page.locator(".privacy").innerText(), /forgotten passphrase cannot be recovered/);
    await type(page, "short");
    await page.getByText("This passphrase is too short").waitFor();
    await page.fill("#privacy-new", PASSPHRASE);
    await page.fill("#privacy-again", `${PASSPHRASE}s`);
    await press(page.locator('[data-act="seal"]'));
    await press(page.locator('[data-act="seal-sure"]'));
    await page.getByText("The two are not the same").waitFor();
    assert.deepEqual(astray(await raw(page), false), []);
    await go(page, "#/gate");
    await cards(page).first().waitFor();
  });
});

test("another passphrase rewrites nothing but the lock; taken away, all stands open again", async () => {
  await withBrowser(server, {}, async (_, page) => {
    const job = await takeDemo(page, "hail");
    await saved(page);
    await putPictures(page, job, 2, 3000);
    const plain = await raw(page);
    await seal(page);
    const sealed = await raw(page);
    await press(page.locator('[data-act="privacy-change"]'));
    const renew = async (old, next) => {
      await page.fill("#privacy-old", old);
      await page.fill("#privacy-next", next);
      await page.fill("#privacy-next-again", next);
      await press(page.locator('[data-act="privacy-renew"]'));
    };
    await renew("not this one", "another one of ours");
    await page.getByText("does not open it").waitFor();
    await renew(PASSPHRASE, "another one of ours");
    await page.getByText("The new passphrase is in force").waitFor();
    assert.deepEqual(await raw(page), sealed);
    await go(page, "#/shop");
    await unlock(page);
    await page.getByText("does not open it").waitFor();
    await unlock(page, "another one of ours");
    await press(page.locator('[data-act="privacy-change"]'));
    await page.fill("#privacy-old", "another one of ours");
    await press(page.locator('[data-act="unseal"]'));
    await press(page.locator('[data-act="unseal-sure"]'));
    await privacy(page, "none");
    const again = await raw(page);
    assert.deepEqual(astray(again, false), []);
    for (const key of Object.keys(plain).filter((key) => !key.startsWith("local"))) assert.equal(again[key], plain[key], key);
    await go(page, "#/gate");
    await cards(page).first().waitFor();
  });
});

test("nobody there: it locks, after the last edit is safe", async () => {
  await withBrowser(server, {}, async (_, page) => {
    const job = await takeDemo(page, "hail");
    await saved(page);
    await seal(page);
    await come(page, `#/plan/${job}`);
    await press(page.locator('[data-act="freeze"]').first());
    // Nine minutes are not enough, ten are.
    await page.evaluate(() => {
      const now = Date.now;
      window.ahead = 9 * 60_000;
      Date.now = () => now() + window.ahead;
    });
    await page.waitForTimeout(3000);
    assert.equal(await page.locator("#unlock").count(), 0);
    await page.evaluate(() => (window.ahead = 11 * 60_000));
    await page.locator("#unlock").waitFor();
    assert.deepEqual(astray(await raw(page), true), []);
    await unlock(page);
    await page.locator('.revision [data-act="given"], .revision').first().waitFor();
    // By key, at once.
    await come(page, "#/shop");
    await press(page.locator('[data-act="lock"]'));
    await page.locator("#unlock").waitFor();
  });
});

test("locking waits for the photos on their way", async () => {
  await withBrowser(server, {}, async (_, page) => {
    const job = await takeDemo(page, "hail");
    await saved(page);
    await seal(page);
    await come(page, `#/photos/${job}`);
    const taken = ["camera.jpg", "turned-1.jpg", "camera.jpg", "turned-2.jpg", "camera.jpg"];
    await page.locator('[data-act="pictures"]').setInputFiles(taken.map((name) => join(folder, name)));
    await press(page.getByRole("navigation").getByRole("button", { name: "Shop", exact: true }));
    const kept = Object.keys(await raw(page)).filter((key) => key.endsWith("/full")).length;
    assert.ok(kept < taken.length - 1, `it is locked while photos are on their way (${kept} were kept)`);
    await press(page.locator('[data-act="lock"]'));
    await page.locator("#unlock").waitFor({ timeout: 60_000 });
    await unlock(page);
    await page.locator("#unlock").waitFor({ state: "detached" });
    await press(page.getByRole("navigation").getByRole("button", { name: "Gate", exact: true }));
    await press(page.locator('.card [data-act="open"]'));
    await press(page.getByRole("navigation").getByRole("button", { name: "Photos", exact: true }));
    await page.locator(`[data-photos="${taken.length}"]`).waitFor();
    assert.deepEqual(astray(await raw(page), true), []);
  });
});

test("another tab is asked for the passphrase as soon as one is set", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await takeDemo(page, "hail");
    await saved(page);
    const other = await browser.another();
    await other.goto(`${server.origin}#/gate`);
    await cards(other).first().waitFor();
    await page.bringToFront();
    await seal(page);
    await other.locator("#unlock").waitFor();
    assert.deepEqual(astray(await raw(page), true), []);
    await unlock(other);
    await cards(other).first().waitFor();
    await other.close();
  });
});

test("killed at any moment while sealing, everything is there and the next start goes on", async () => {
  const below = numbers(SEED);
  let halfway = 0;
  const where = profile();
  try {
    let browser = await launch(where, { origin: server.origin });
    const job = await takeDemo(browser.page, "front-corner");
    await saved(browser.page);
    await putPictures(browser.page, job, 60, 60_000);
    const plain = await raw(browser.page);
    for (let turn = 0; turn < 5; turn += 1) {
      const at = `seed ${SEED}, turn ${turn}`;
      await go(browser.page, "#/shop");
      await type(browser.page);
      await browser.page.locator('.privacy:is([data-privacy="working"], [data-privacy="open"])').waitFor();
      await browser.page.waitForTimeout(below(250));
      await browser.kill();

      const again = await launch(where, { origin: server.origin });
      await again.page.goto("./icons/cutline.svg");
      const found = await raw(again.page);
      const closed = Object.values(found).filter(isSealed).length;
      if (closed > 0 && closed < Object.keys(found).length) halfway += 1;
      for (const key of Object.keys(plain)) assert.ok(key in found || key.startsWith("local"), `${at}: ${key}`);
      await go(again.page, "#/shop");
      await unlock(again.page);
      await privacy(again.page, "open");
      const now = await raw(again.page);
      assert.deepEqual(astray(now, true), [], at);
      // Opened for good again, with another kill: every byte is what it was.
      await press(again.page.locator('[data-act="privacy-change"]'));
      await again.page.fill("#privacy-old", PASSPHRASE);
      await press(again.page.locator('[data-act="unseal"]'));
      await press(again.page.locator('[data-act="unseal-sure"]'));
      await again.page.locator('.privacy:is([data-privacy="working"], [data-privacy="none"])').waitFor();
      await again.page.waitForTimeout(below(250));
      await again.kill();
      // The next turn seals what this one has opened.
      browser = await launch(where, { origin: server.origin });
      await browser.page.goto("./icons/cutline.svg");
      const locked = await hasLock(browser.page);
      await go(browser.page, "#/shop");
      if (locked) await unlock(browser.page);
      await privacy(browser.page, "none");
      const end = await raw(browser.page);
      for (const [key, text] of Object.entries(plain)) {
        if (!key.startsWith("local")) assert.equal(end[key], text, `${at}: ${key}`);
      }
    }
  } finally {
    await where.remove();
  }
  console.log(`${halfway} of 5 kills came in the middle`);
  assert.ok(halfway > 0, "a kill that never comes in the middle is no test");
});

/** Puts texts into local storage before the app starts the next time; `null` takes one out. */
function atStart(page, texts) {
  return page.addInitScript((texts) => {
    if (location.protocol === "about:" || sessionStorage.getItem("once")) return;
    sessionStorage.setItem("once", "done");
    for (const [key, text] of texts) {
      if (text === null) localStorage.removeItem(key);
      else localStorage.setItem(key, text);
    }
  }, texts);
}

test("what local storage brings back from before is sealed again at the next start", async () => {
  await withBrowser(server, {}, async (_, page) => {
    const job = await takeDemo(page, "hail");
    await saved(page);
    const before = await raw(page);
    await seal(page);
    // A killed browser loses the last minute of local storage: the lock is gone from it, the plain entries are back.
    const local = Object.entries(before).filter(([key]) => key.startsWith("local ")).map(([key, text]) => [key.slice(6), text]);
    assert.ok(local.length > 0);
    await atStart(page, [...local, ["cutline-lock", null]]);
    await come(page, `#/walk/${job}/left/skin`);
    await page.locator(".map-svg path.outline").first().waitFor();
    assert.deepEqual(astray(await raw(page), true), []);
  });
});

test("a lock that local storage brings back after it was taken away is not asked for", async () => {
  await withBrowser(server, {}, async (_, page) => {
    await takeDemo(page, "hail");
    await saved(page);
    await seal(page);
    const local = () => page.evaluate(() => ({ ...localStorage }));
    const before = await local();
    await press(page.locator('[data-act="privacy-change"]'));
    await page.fill("#privacy-old", PASSPHRASE);
    await press(page.locator('[data-act="unseal"]'));
    await press(page.locator('[data-act="unseal-sure"]'));
    await privacy(page, "none");
    await atStart(page, Object.entries(before));
    await go(page, "#/gate");
    await cards(page).first().waitFor();
    assert.deepEqual(astray(await raw(page), false), []);
    assert.equal((await local())["cutline-lock"], undefined);
  });
});

test("the passphrase can be read and touched in each size, light and dark", async () => {
  for (const sizes of looks()) {
    await withBrowser(server, { size: sizes[0] }, async (_, page) => {
      await takeDemo(page, "hail");
      await saved(page);
      /** Looks at what stands there in each size and scheme. */
      const looked = async (name, selector, draw) => {
        for (const size of sizes) {
          await page.setViewportSize(SIZES[size]);
          for (const scheme of SCHEMES) {
            await page.emulateMedia({ colorScheme: scheme });
            await draw();
            const at = `${name}, ${size}, ${scheme}`;
            assert.deepEqual(await axe(page), [], at);
            assert.deepEqual(await smallTargets(page, `${selector} button, ${selector} input`, 48), [], at);
            const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
            assert.ok(wide <= 0, `${at}: ${wide} px too wide`);
            if (!process.env.CUTLINE_SHOTS) continue;
            await page.locator(selector).evaluate((element) => element.scrollIntoView());
            await page.screenshot({ path: join(ROOT, `target/shots/${name}-${size}-${scheme}.png`) });
          }
        }
      };
      await looked("privacy-off", ".privacy", () => go(page, "#/shop"));
      await seal(page);
      await looked("privacy-on", ".privacy", async () => {
        await come(page, "#/shop");
        await press(page.locator('[data-act="privacy-change"]'));
      });
      await looked("unlock", ".unlock", async () => {
        await go(page, "#/gate");
        await unlock(page, "a wrong one");
        await page.getByText("does not open it").waitFor();
      });
    });
  }
});
