// The plan of a whole job as an estimator uses it: what it comes to, the best of each aim, holding and letting go, hours
// and money down to their arithmetic, revisions that stay as they were given out. The outside judge of the sums is the
// command line, which works from the saved file alone. Must not look inside the app.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";

import { ROOT, axe, bundle, launch, serve, smallTargets } from "./harness.mjs";
import { go, takeDemo } from "./screens.mjs";
import { centre, tap } from "./touch.mjs";
import { press, withBrowser } from "./walking.mjs";

let server;
let folder;

before(async () => {
  server = await serve(bundle());
  folder = mkdtempSync(join(tmpdir(), "cutline-plans-"));
});
after(async () => {
  await server.stop();
  rmSync(folder, { recursive: true, force: true });
});

/** Takes a demo and goes to its plan. */
async function planOf(page, demo) {
  const job = await takeDemo(page, demo);
  await go(page, `#/plan/${job}`);
  await page.locator(".finding").first().waitFor();
  await page.locator(".best-card").nth(2).waitFor();
  return job;
}

/** The plan as the command line makes it of a job file. */
function commandLine(file) {
  const text = execFileSync("cargo", ["run", "--quiet", "--offline", "-p", "model", "--bin", "cutline", "--", "plan", file], {
    cwd: ROOT,
    maxBuffer: 1 << 28,
  });
  return JSON.parse(text.toString());
}

/** The job on screen as a file. */
async function saveJob(page, name) {
  await page.waitForFunction(() => document.querySelector('.saved[data-save="saved"]'));
  const address = page.url();
  await page.getByRole("navigation").getByRole("button", { name: "Gate", exact: true }).click();
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator('.card [data-act="save-file"]').first().click()]);
  const path = join(folder, name);
  writeFileSync(path, readFileSync(await download.path(), "utf8"));
  await page.goto(address);
  await page.locator(".best-card").nth(2).waitFor();
  return path;
}

const number = async (page, selector, name = "data-value") => Number(await page.locator(selector).first().getAttribute(name));
const total = (page) => number(page, '.totals [data-figure="money"]');
const seconds = (page) => number(page, '.totals [data-figure="hours"]');
const chosen = (page) => page.locator('.best-card[data-chosen="true"]').getAttribute("data-aim");
const picks = (page) => page.locator(".finding").evaluateAll((all) => all.map((one) => `${one.dataset.part}: ${one.dataset.action}`));
const amounts = (rows) => rows.evaluateAll((all) => all.map((row) => Number(row.dataset.amount)));
const sum = (list) => list.reduce((one, other) => one + other, 0);
/** The digits of an amount as shown, minor units. */
const shown = (text) => Number(text.replace(/[^\d]/g, ""));

test("what the plan comes to is what the command line works out from the saved file", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    for (const demo of ["front-corner", "parking-scrape"]) {
      await planOf(page, demo);
      const plan = commandLine(await saveJob(page, `${demo}.json`));
      const { money, hours, days } = plan.money;
      const scale = 10 ** money.decimals;
      assert.equal(await total(page), Math.round(Number(money.total) * scale), demo);
      assert.equal(await seconds(page), hours.planned_s, demo);
      const stay = await page.locator('.totals [data-figure="days"]').getAttribute("data-value");
      assert.equal(stay, `${days.numerator}/${days.denominator}`, demo);
      for (const aim of ["money", "hours", "days"]) {
        const card = page.locator(`.best-card[data-aim="${aim}"]`);
        const wanted = { money: "data-money", hours: "data-seconds", days: "data-days" }[aim];
        const own = Number(await card.getAttribute(wanted));
        const unit = { money: scale, hours: 3600, days: days.denominator }[aim];
        // The tax of each of the five categories is rounded once; hours and days are whole in both.
        const apart = Math.abs(own - plan.best[aim].objective * unit);
        assert.ok(apart <= (aim === "money" ? 5 : 0.01), `${demo}, ${aim}: ${own} and ${plan.best[aim].objective * unit}`);
      }
      const shownPicks = await picks(page);
      for (const { part, pick: { action } } of plan.findings) assert.ok(shownPicks.includes(`${part}: ${action}`), `${demo}: ${part} ${action}`);
    }
  });
});

test("choosing another aim moves the mark and the picks, and undo brings both back", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await planOf(page, "front-corner");
    assert.equal(await chosen(page), "money");
    const before = { picks: await picks(page), total: await total(page) };
    const words = await page.locator('.best-card[data-chosen="true"]').innerText();
    assert.match(words, /The plan follows this/, "told by a word, not by colour alone");
    const wanted = [];
    for (const aim of ["hours", "days"]) {
      const card = page.locator(`.best-card[data-aim="${aim}"]`);
      const promised = { total: Number(await card.getAttribute("data-money")), seconds: Number(await card.getAttribute("data-seconds")) };
      await tap(browser, await centre(card.locator('[data-act="aim"]')));
      await page.locator(`.best-card[data-aim="${aim}"][data-chosen="true"]`).waitFor();
      assert.equal(await page.locator('.best-card[data-chosen="true"]').count(), 1);
      assert.equal(await total(page), promised.total, "the plan comes to what the card promised");
      assert.equal(await seconds(page), promised.seconds);
      await page.locator(`#best-${aim} h3:focus`).waitFor();
      wanted.push((await picks(page)).join());
    }
    assert.ok(wanted.some((list) => list !== before.picks.join()), "some aim treats some part otherwise in this demo");
    await page.locator('[data-act="undo"]').click();
    await page.locator('[data-act="undo"]').click();
    await page.locator('.best-card[data-aim="money"][data-chosen="true"]').waitFor();
    assert.deepEqual({ picks: await picks(page), total: await total(page) }, before);
  });
});

test("a part is held to an option, comes to what the option said, and is let go; the forbidden ones say why", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await planOf(page, "front-corner");
    const card = page.locator("#finding-apron-tube-left");
    await tap(browser, await centre(card.locator('[data-act="options"]')));
    const rows = card.locator(".option-row");
    await rows.first().waitFor();
    assert.equal(await card.locator('.option-row[data-chosen="true"]').count(), 1);
    assert.match(await card.locator('.options-forbidden .option[data-action="repair"]').innerText(), /Not permitted[\s\S]*Forbids[\s\S]*general-/);
    assert.equal(await card.locator(".options-forbidden [data-act]").count(), 0, "what is forbidden cannot be held to");
    const before = await total(page);
    const other = card.locator('.option-row[data-chosen="false"][data-action="replace"]').first();
    const change = Number(await other.getAttribute("data-money"));
    const route = await other.getAttribute("data-route");
    await tap(browser, await centre(other.locator('[data-act="hold"]')));
    await page.locator('#finding-apron-tube-left[data-action="replace"]').waitFor();
    await card.locator('[data-act="options"]:focus').waitFor();
    const held = card.locator('.option-row[data-held="true"]');
    await held.waitFor();
    assert.equal(await held.count(), 1);
    assert.equal(await held.getAttribute("data-route"), route);
    assert.match(await card.innerText(), /Held by you|Chosen by you/);
    // All other parts could follow; what they save is never less than staying as they were.
    assert.ok((await total(page)) <= before + change + 100, `${await total(page)} is more than ${before} and ${change}`);
    await tap(browser, await centre(held.locator('[data-act="let-go"]')));
    await page.waitForFunction((wanted) => document.querySelector('.totals [data-figure="money"]').dataset.value === String(wanted), before);
    assert.equal(await card.locator('.option-row[data-held="true"]').count(), 0);
  });
});

test("hours and money open to arithmetic whose terms add up to what is shown", async () => {
  await withBrowser(server, { size: "phone" }, async (browser, page) => {
    await planOf(page, "front-corner");
    // Every tenth step, and all of the money.
    const steps = page.locator(".step-sums");
    const count = await steps.count();
    assert.ok(count > 20);
    assert.equal(await page.locator(".money-lines").count(), 0, "nothing is made before it is opened");
    for (let at = 0; at < count; at += 10) {
      const step = steps.nth(at);
      await step.locator("summary").click();
      await step.locator(".money-lines").waitFor();
      const terms = await step.locator("tr[data-seconds]").evaluateAll((all) => all.map((row) => Number(row.dataset.seconds)));
      // What is done outside has no hours of the shop's.
      const together = step.locator(".sum [data-seconds]");
      assert.equal(await together.count(), terms.length > 0 ? 1 : 0);
      if (terms.length > 0) assert.equal(sum(terms), Number(await together.getAttribute("data-seconds")));
      assert.equal(sum(await amounts(step.locator("tr[data-amount]"))), shown(await step.locator("summary .cash").innerText()));
      await step.locator("summary").click();
    }
    let all = 0;
    for (const group of await page.locator(".money-group").all()) {
      await group.locator("summary").click();
      await group.locator(".money-lines").waitFor();
      const lines = sum(await amounts(group.locator("tr[data-amount]")));
      assert.equal(lines, shown(await group.locator("summary .cash").innerText()));
      all += lines;
    }
    await page.locator(".money-total summary").click();
    await page.locator(".money-total tr[data-amount]").first().waitFor();
    const terms = await amounts(page.locator(".money-total tr[data-amount]"));
    assert.equal(sum(terms), await total(page));
    assert.ok(all > 0 && all <= sum(terms), "tax comes on top");
  });
});

test("how near the value of the vehicle is told in words, and a wrong amount is named", async () => {
  await withBrowser(server, { size: "desk" }, async (browser, page) => {
    await planOf(page, "parking-scrape");
    const hint = page.locator("#vehicle-value-hint");
    const put = async (text) => {
      await page.fill("#vehicle-value", text);
      await page.keyboard.press("Tab");
    };
    await put("many");
    await page.waitForFunction(() => /many/.test(document.querySelector("#vehicle-value-hint").innerText));
    const whole = Math.ceil((await total(page)) / 100);
    await put(String(whole * 4));
    await page.waitForFunction(() => /comes to 2[45](\.\d)?\s% of the vehicle/.test(document.querySelector("#vehicle-value-hint").innerText));
    const far = await hint.innerText();
    await put(String(whole));
    await page.waitForFunction(() => /comes to (99|100)(\.\d)?\s% of the vehicle/.test(document.querySelector("#vehicle-value-hint").innerText));
    assert.notEqual((await hint.innerText()).replace(/\d/g, ""), far.replace(/\d/g, ""), "another word as it comes near");
  });
});

test("a revision stays as it was given out: a new mark shows as difference with its cause, also after the browser was killed", async () => {
  await withBrowser(server, {}, async (browser, page, where) => {
    const job = await planOf(page, "parking-scrape");
    const given = { total: await total(page), seconds: await seconds(page) };
    await page.fill("#revision-name", "For Ada Quill");
    await tap(browser, await centre(page.locator('[data-act="freeze"]')));
    const row = page.locator('.revision[data-revision="1"]');
    await row.waitFor();
    assert.match(await row.innerText(), /Revision 1: For Ada Quill[\s\S]*check sum [0-9a-f]{8}[\s\S]*Nothing has changed since/);
    const words = await row.locator(".revision-facts").innerText();

    // A new mark, as on the walk: a tap on the hood.
    await go(page, `#/walk/${job}/above/skin`);
    const hood = page.locator('[data-part="hood"]').first();
    await hood.waitFor();
    await tap(browser, await centre(hood));
    await page.waitForFunction(() => document.querySelectorAll("[data-mark]").length > 0 || document.querySelector(".sheet"));
    await page.waitForFunction(() => document.querySelector('.saved[data-save="saved"]'));
    await go(page, `#/plan/${job}`);
    await page.locator("#finding-hood").waitFor();
    await row.locator('[data-act="since"]').click();
    const hoodRow = row.locator('.since-row[data-about="hood"]');
    await hoodRow.waitFor();
    assert.match(await hoodRow.innerText(), /Because: 1 mark was added/);
    const differences = sum(await row.locator(".since-row").evaluateAll((all) => all.map((one) => Number(one.dataset.money))));
    assert.equal(differences, (await total(page)) - given.total, "the differences add up to the change of the total");
    assert.equal(await row.locator(".revision-facts").innerText(), words);

    // Undo passes the revision and says so.
    await page.locator('[data-act="undo"]').click();
    await page.waitForFunction(() => document.querySelector('.saved[data-save="saved"]'));
    assert.equal(await row.count(), 1);
    await page.locator('[data-act="redo"]').click();
    await page.waitForFunction(() => document.querySelector('.saved[data-save="saved"]'));
    assert.deepEqual(browser.faults, []);
    await browser.kill();

    const again = await launch(where, { origin: server.origin });
    await go(again.page, `#/plan/${job}`);
    const kept = again.page.locator('.revision[data-revision="1"]');
    await kept.waitFor();
    assert.equal(await kept.locator(".revision-facts").innerText(), words);
    await kept.locator('[data-act="given"]').click();
    await kept.locator(".document").waitFor();
    assert.equal(shown(await kept.locator(".document tr.sum").last().innerText()), given.total);
    assert.deepEqual(again.faults, []);
  });
});

test("the plan with everything open is sound for screen readers and fingers, light and dark", async () => {
  for (const scheme of ["light", "dark"]) {
    await withBrowser(server, { size: "phone", scheme }, async (browser, page) => {
      await planOf(page, "front-corner");
      await page.locator('.finding [data-act="options"]').first().click();
      await page.locator(".option-row").first().waitFor();
      for (const one of ['.step-sums summary', '.money-group summary', ".money-total summary"]) await page.locator(one).first().click();
      await page.fill("#revision-name", "x");
      await page.locator('[data-act="freeze"]').click();
      await page.locator(".revision summary:visible").first().waitFor();
      for (const one of await page.locator(".revision summary:visible").all()) await one.click();
      assert.deepEqual(await axe(page), []);
      assert.deepEqual(await smallTargets(page, ".plan :is(button, summary, input)", 48), []);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      const tall = await page.evaluate(() => document.documentElement.scrollHeight - innerHeight);
      assert.deepEqual([wide, tall], [0, 0], "the page scrolls inside its frame alone");
    });
  }
});

test("the walk shows what the plan picks for the whole job, and why it is not the least that is permitted", async () => {
  await withBrowser(server, { size: { width: 820, height: 1180 } }, async (browser, page) => {
    const job = await takeDemo(page, "front-corner");
    await go(page, `#/walk/${job}/left/structure`);
    await press(page.locator('.tab[data-tab="found"]:visible'));
    const row = page.locator('[data-list="found"] [data-row="radiator-support"] .row-key');
    await row.filter({ hasText: "Replace" }).waitFor();
    await press(row);
    const sheet = page.locator('.sheet[data-part-sheet="radiator-support"]:visible');
    await sheet.locator('.decision[data-action="replace"]').waitFor();
    const why = await sheet.locator(".verdict-aimed").innerText();
    assert.match(why, /Picked for the whole job[\s\S]*instead of sectioning the radiator support[\s\S]*saves [0-9.]+ USD/);
    assert.equal(await sheet.locator(".decision .verdict-held").count(), 0, "nobody holds it");
    // A person's word goes before the plan's, also where it is the least that is permitted.
    await press(sheet.locator(".disclose"));
    await press(sheet.locator('.option[data-action="section"] [data-act="hold"]'));
    await sheet.locator('.decision[data-action="section"] .verdict-held').waitFor();
    assert.equal(await sheet.locator(".verdict-aimed").count(), 0);
    await press(sheet.locator('.option[data-action="section"] [data-act="let-go"]'));
    await sheet.locator('.decision[data-action="replace"] .verdict-why').waitFor();
    await sheet.locator(".verdict-aimed").waitFor();
  });
});
