// What the shop charges: rates typed over, a good and a bad price list, also after the browser was closed.
// Must not look inside the app: what counts is what stands on the page and in saved files.

import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";

import { ROOT, axe, bundle, launch, profile, serve, smallTargets } from "./harness.mjs";
import { go, takeDemo } from "./screens.mjs";

let server;
let folder;

before(async () => {
  server = await serve(bundle());
  folder = mkdtempSync(join(tmpdir(), "cutline-lists-"));
});
after(async () => {
  await server.stop();
  rmSync(folder, { recursive: true, force: true });
});

const HEADER = "service_part,price,delivery_days";

/** Writes a file to be given to the app. */
function file(name, content) {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
}

const load = (page, path) => page.locator('[data-act="load-prices"]').setInputFiles(path);
const inForce = (page, what) => page.locator(`[data-prices="${what}"]`).waitFor();

/** Types over a number and leaves the field. */
async function type(page, id, text) {
  await page.fill(`#${id}`, text);
  await page.locator(`#${id}`).press("Tab");
}

test("a good price list is taken, a bad one changes nothing and names every line and column", async (t) => {
  const where = profile(t);
  const browser = await launch(where, { size: "tablet", origin: server.origin });
  const { page } = browser;
  await go(page, "#/shop");
  await inForce(page, "built-in");
  const good = `\ufeff${HEADER}\r\n"fender","350.50",3\r\nfender-left,340.00,4\r\nrocker/front-section,99,0\r\n`;
  await load(page, file("north-yard.csv", good));
  await inForce(page, "own");
  assert.match(await page.locator('[data-prices="own"]').innerText(), /north-yard\.csv with 3 prices in USD/);

  const bad = `${HEADER}\nfender,"1,50",3\nfendor,-1,soon\nhood,1.005,2\nfender,1,1\n`;
  await load(page, file("bad.csv", bad));
  const alert = page.locator(".file-refused");
  await alert.waitFor();
  assert.match(await alert.innerText(), /bad\.csv was not taken, and nothing was changed\. It has 6 faults:/);
  const faults = await page.locator(".file-faults li").allInnerTexts();
  const wanted = [
    /Line 2, column 2 \(price\)\s+"1,50" has a comma\. Write 1\.50\./,
    /Line 3, column 1 \(service_part\)\s+There is no service part "fendor"/,
    /Line 3, column 2 \(price\)\s+A price cannot be below zero/,
    /Line 3, column 3 \(delivery_days\)\s+The delivery time must be a whole number/,
    /Line 4, column 2 \(price\)\s+USD has 2 decimals/,
    /Line 5, column 1 \(service_part\)\s+"fender" stands on line 2 already/,
  ];
  assert.equal(faults.length, wanted.length, faults.join("\n"));
  wanted.forEach((pattern, at) => assert.match(faults[at], pattern));
  await inForce(page, "own");
  assert.deepEqual(await axe(page), []);

  for (const [name, content, told] of [
    ["empty.csv", "", /The file is empty/],
    ["picture.csv", Buffer.from([0x89, 0x50, 0x4e, 0x47, 0, 1, 2, 0xff]), /not UTF-8 text/],
    ["semicolons.csv", `${HEADER.replaceAll(",", ";")}\nfender;1;1\n`, /separated by commas/],
    ["huge.csv", `${HEADER}\n${"fender,1,1\n".repeat(120_000)}`, /larger than 1024 kB/],
  ]) {
    await load(page, file(name, content));
    await page.locator(".file-refused", { hasText: name }).waitFor();
    assert.match(await page.locator(".file-refused").innerText(), told, name);
    await inForce(page, "own");
  }

  // What is saved is what was taken, and can be taken again.
  const [saved] = await Promise.all([page.waitForEvent("download"), page.locator('[data-act="save-prices"]').click()]);
  const list = readFileSync(await saved.path(), "utf8");
  assert.deepEqual(list.split("\r\n"), [HEADER, "fender,350.50,3", "fender-left,340.00,4", "rocker/front-section,99.00,0", ""]);

  // Settings stand in local storage, which a killed browser may lose for some seconds; one that is closed keeps them.
  await browser.close();
  const again = await launch(where, { size: "tablet", origin: server.origin });
  await go(again.page, "#/shop");
  await again.page.locator('[data-act="drop-prices"]').waitFor();
  await again.page.locator('[data-act="drop-prices"]').click();
  await inForce(again.page, "built-in");
  const [demo] = await Promise.all([
    again.page.waitForEvent("download"),
    again.page.locator('[data-act="save-prices"]').click(),
  ]);
  const all = readFileSync(await demo.path(), "utf8");
  assert.ok(all.split("\r\n").length > 140, "the whole demo list, to be filled in");
  await load(again.page, file("filled.csv", all));
  await inForce(again.page, "own");
  assert.deepEqual([...browser.faults, ...again.faults], []);
});

test("rates are typed over, refused with the reason, and go back to the built-in ones", async (t) => {
  const where = profile(t);
  const browser = await launch(where, { size: "phone", origin: server.origin });
  const { page } = browser;
  await go(page, "#/shop");
  await page.locator('.rates [data-own="built-in"]').waitFor();
  await type(page, "rates-labour-body", "70.25");
  await page.locator('.rates [data-own="own"]').waitFor();
  for (const [id, text, told] of [
    ["rates-labour-body", "7,5", /has a comma\. Write 7\.5\./],
    ["rates-labour-glass", "-1", /between 0 and 100000000/],
    ["rates-tax-parts", "100.5", /between 0 and 100/],
    ["rates-storage", "", /A number is missing/],
    ["rates-threshold", "0", /between 1 and 200/],
  ]) {
    await type(page, id, text);
    await page.locator(`#${id}[aria-invalid="true"]`).waitFor();
    assert.match(await page.locator(`#${id}-hint`).innerText(), told);
    assert.equal(await page.inputValue(`#${id}`), text, "what was typed stays to be mended");
  }
  await type(page, "rates-labour-body", "71");
  await page.locator('#rates-labour-body[aria-invalid="false"]').waitFor();
  await page.locator(".rates-materials > summary").click();
  await type(page, "rates-price-rivets", "0.9");
  await type(page, "rates-outside-wheel-alignment", "");
  await type(page, "rates-outside-lamp-aim", "45.50");
  await page.selectOption("#rates-currency", "JPY");
  await page.locator('.rates [data-value="up"]').click();
  await page.locator('.rates [data-value="up"][aria-pressed="true"]').waitFor();

  await go(page, "#/shop");
  const held = {};
  for (const id of ["rates-labour-body", "rates-price-rivets", "rates-outside-wheel-alignment", "rates-outside-lamp-aim", "rates-currency", "rates-storage"]) {
    held[id] = await page.inputValue(`#${id}`);
  }
  assert.deepEqual(held, {
    "rates-labour-body": "71",
    "rates-price-rivets": "0.9",
    "rates-outside-wheel-alignment": "",
    "rates-outside-lamp-aim": "45.50",
    "rates-currency": "JPY",
    "rates-storage": "22.00",
  });
  assert.match(await page.locator("[data-prices]").innerText(), /in JPY/);
  await page.locator('[data-act="rates-back"]').click();
  await page.locator('[data-act="rates-back-sure"]').click();
  await page.locator('.rates [data-own="built-in"]').waitFor();
  assert.equal(await page.inputValue("#rates-labour-body"), "64.00");
  assert.equal(await page.inputValue("#rates-currency"), "USD");
  assert.deepEqual(browser.faults, []);
});

test("a price list that does not fit a new currency is put aside, not lost", async (t) => {
  const browser = await launch(profile(t), { size: "desk", origin: server.origin });
  const { page } = browser;
  await go(page, "#/shop");
  await load(page, file("dollars.csv", `${HEADER}\nhood,350.50,3\n`));
  await inForce(page, "own");
  await page.selectOption("#rates-currency", "JPY");
  await inForce(page, "built-in");
  assert.match(await page.locator(".prices .given-refused").innerText(), /line 2, column 2 \(price\): JPY has no decimals/);
  await page.selectOption("#rates-currency", "USD");
  await inForce(page, "own");
  assert.deepEqual(browser.faults, []);
});

for (const size of ["phone", "tablet", "desk"]) {
  for (const scheme of ["light", "dark"]) {
    test(`rates and prices can be read and hit: ${size}, ${scheme}`, async (t) => {
      const browser = await launch(profile(t), { size, scheme, origin: server.origin });
      const { page } = browser;
      await go(page, "#/shop");
      await page.locator(".rates-materials > summary").click();
      await page.locator("#rates-price-rivets").waitFor();
      assert.deepEqual(await axe(page), []);
      assert.deepEqual(await smallTargets(page, ".rates :is(input, select, summary, button), .prices .key", 48), []);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
      assert.ok(wide <= 0, `the page is ${wide} px wider than the screen`);
      assert.deepEqual(browser.faults, []);
    });
  }
}

test("a good joining list is what joints, materials and waits follow; a bad one names every row and changes nothing", async (t) => {
  const where = profile(t);
  const browser = await launch(where, { size: "tablet", origin: server.origin });
  const { page } = browser;
  const job = await takeDemo(page, "side-hit");
  await go(page, `#/plan/${job}`);
  const stay = page.locator(".totals-stay");
  await stay.waitFor();
  const before = await stay.innerText();

  await go(page, "#/shop");
  await page.locator('[data-joining="built-in"]').waitFor();
  const [saved] = await Promise.all([page.waitForEvent("download"), page.locator('[data-act="save-joining"]').click()]);
  const text = readFileSync(await saved.path(), "utf8");
  assert.equal(text, readFileSync(join(ROOT, "model/data/joining/general.json"), "utf8"), "what is saved is the list");
  const list = JSON.parse(text);
  list.id = "north-yard";
  const structural = list.adhesives.find((one) => one.use === "structural");
  structural.id = "north-glue";
  structural.fixture_minutes = 720;
  const loads = (name, content) => page.locator('[data-act="load-joining"]').setInputFiles(file(name, content));
  await loads("north-yard.json", JSON.stringify(list));
  await page.locator('[data-joining="own"]').waitFor();
  assert.match(await page.locator('[data-joining="own"]').innerText(), /north-yard/);

  const bad = structuredClone(list);
  bad.fasteners[1].grip_mm = [4, 2];
  bad.fasteners[3].diameter_mm = 0.19;
  bad.coats[2].volume_solids = 50;
  await loads("bad.json", JSON.stringify(bad));
  const alert = page.locator(".file-refused");
  await alert.waitFor();
  assert.match(await alert.innerText(), /bad\.json was not taken, and nothing was changed\. It has 3 faults:/);
  const faults = await page.locator(".file-faults li").allInnerTexts();
  const wanted = [
    /Fasteners, row 2, grip_mm\s+.*smaller first/,
    /Fasteners, row 4, diameter_mm\s+.*looks like inches\. If so, write 4\.8/,
    /Coats, row 3, volume_solids\s+.*from 0\.01 to 1/,
  ];
  assert.equal(faults.length, wanted.length, faults.join("\n"));
  wanted.forEach((pattern, at) => assert.match(faults[at], pattern));
  await page.locator('[data-joining="own"]').waitFor();
  assert.deepEqual(await axe(page), []);
  assert.deepEqual(await smallTargets(page, ".shop-acts .key", 48), []);

  // Joints, materials and the days of the plan follow the list, and go on doing so after the browser was closed.
  await go(page, `#/joints/${job}/rocker-left`);
  await page.locator('[data-material="north-glue"]').waitFor();
  await go(page, `#/plan/${job}`);
  await stay.waitFor();
  const after = await stay.innerText();
  assert.notEqual(after, before);
  assert.match(after, /12 h|12\.0 h/, after);
  await browser.close();
  const again = await launch(where, { size: "tablet", origin: server.origin });
  await go(again.page, "#/shop");
  await again.page.locator('[data-joining="own"]').waitFor();
  await again.page.locator('[data-act="drop-joining"]').click();
  await again.page.locator('[data-joining="built-in"]').waitFor();
  assert.deepEqual([...browser.faults, ...again.faults], []);
});
