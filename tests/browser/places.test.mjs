// The gate, the plan and the shop as a person uses them: by finger, by keyboard, with good files and bad ones, and after
// the browser was killed. Must not look inside the app: what counts is what stands on the page and in saved files.

import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";

import { ROOT, axe, bundle, launch, serve, smallTargets } from "./harness.mjs";
import { go, spoil, takeDemo } from "./screens.mjs";
import { centre, tap } from "./touch.mjs";
import { withBrowser } from "./walking.mjs";

// The rule is 49 CFR 565.15; the number is a worked example of its check digit that is widely printed, here from memory.
const NUMBER = "1M8GDM9AXKP042788";
const MISREAD = "1M8GDM9A0KP042788";

let server;
let folder;

before(async () => {
  server = await serve(bundle());
  folder = mkdtempSync(join(tmpdir(), "cutline-files-"));
});
after(async () => {
  await server.stop();
  rmSync(folder, { recursive: true, force: true });
});

const place = (page, name) => page.getByRole("navigation").getByRole("button", { name, exact: true }).click();
const text = (page, selector) => page.locator(selector).first().innerText();
const demoFile = (name) => readFileSync(join(ROOT, "public/demo", `${name}.json`), "utf8");

/** Writes a file to be given to the app. */
function file(name, content) {
  const path = join(folder, name);
  writeFileSync(path, typeof content === "string" ? content : JSON.stringify(content));
  return path;
}

/** Waits until the app says that all is saved. */
async function saved(page) {
  await page.locator('.card [data-save], .saved[data-save="saved"]').first().waitFor();
  await page.waitForFunction(() => !document.querySelector('[data-save="saving"], [data-save="not-saved"]'));
}

test("a vehicle arrives by keyboard alone, and is there after the browser was killed", async () => {
  await withBrowser(server, { size: "desk" }, async (browser, page, where) => {
    await go(page, "#/gate");
    await page.locator('[data-act="new"]').focus();
    await page.keyboard.press("Enter");
    await page.locator("#arrival-title:focus").waitFor();
    await page.keyboard.press("Escape");
    await page.locator('[data-act="new"]:focus').waitFor();
    await page.keyboard.press("Enter");
    await page.fill("#arrival-owner", "Ada Quill");
    await page.fill("#vehicle-colour", "brick red");
    await page.fill("#vehicle-vin", MISREAD);
    assert.match(await text(page, "#vehicle-vin-hint"), /should be X, not 0/);
    await page.fill("#vehicle-vin", NUMBER.toLowerCase());
    assert.match(await text(page, "#vehicle-vin-hint"), /fits\. Model year 1989/);
    await page.locator('[data-value="extended"]').press("Enter");
    await page.locator('[data-value="long"]').press(" ");
    await page.locator('[data-act="start"]').press("Enter");
    await page.waitForURL(/#\/walk\//);
    await place(page, "Gate");
    await saved(page);
    assert.deepEqual(browser.faults, []);

    await browser.kill();
    const again = await launch(where, { size: "desk", origin: server.origin });
    await go(again.page, "#/gate");
    const card = await text(again.page, '[data-list="jobs"] .card');
    assert.match(card, /Ada Quill's vehicle/);
    assert.match(card, /brick red, extended cab, long bed/);
    assert.match(card, /Saved/);
    assert.deepEqual(again.faults, []);
    await again.close();
  });
});

test("a number that does not fit never stops a job", async () => {
  await withBrowser(server, { size: "phone" }, async (browser, page) => {
    await go(page, "#/gate");
    await page.locator('[data-act="new"]').click();
    await page.fill("#vehicle-vin", "NOT A NUMBER");
    await page.locator('[data-act="start"]').click();
    await page.waitForURL(/#\/walk\//);
    await place(page, "Plan");
    await page.locator(".plan-empty").waitFor();
    await page.locator('[data-act="papers"]').click();
    assert.equal(await page.inputValue("#vehicle-vin"), "NOT A NUMBER");
  });
});

test("jobs are copied, put away, taken out again and found", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    for (const name of ["front-corner", "hail", "side-hit", "rear-hit", "kinked-frame"]) await takeDemo(page, name);
    await go(page, "#/gate");
    const cards = page.locator('[data-list="jobs"] .card');
    assert.equal(await cards.count(), 5);
    await page.fill(".search input", "rear avelar");
    await page.waitForFunction(() => document.querySelectorAll('[data-list="jobs"] .card').length === 1);
    await page.fill(".search input", "no such words");
    await page.getByText("No job has these words").waitFor();
    await page.fill(".search input", "");

    const hail = page.locator(".card", { hasText: "Hail" });
    await hail.locator('[data-act="copy"]').click();
    await page.locator(".card", { hasText: "Hail on the upper panels (copy)" }).waitFor();
    await page.locator(".card", { hasText: "(copy)" }).locator('[data-act="archive"]').click();
    await page.locator('[data-act="archived"]').click();
    assert.equal(await page.locator('[data-list="archived"] .card').count(), 1);
    await page.locator('[data-list="archived"] [data-act="archive"]').click();
    await page.locator('[data-act="archived"]').waitFor({ state: "detached" });
    assert.equal(await cards.count(), 6);
  });
});

test("good files come in, bad ones are named with field and next step, and nothing is overwritten", async () => {
  await withBrowser(server, { size: "desk" }, async (browser, page) => {
    await takeDemo(page, "front-corner");
    await go(page, "#/gate");
    await saved(page);
    const [download] = await Promise.all([page.waitForEvent("download"), page.locator('.card [data-act="save-file"]').click()]);
    const own = JSON.parse(readFileSync(await download.path(), "utf8"));
    assert.equal(own.format, "cutline-job");
    assert.equal(Object.keys(own.job.marks).length, 9);

    const bad = JSON.parse(demoFile("hail"));
    Object.values(bad.job.marks)[0].depth_mm = -3;
    const files = [
      file("rear.json", demoFile("rear-hit")),
      file("own.json", own),
      file("bad.json", bad),
      file("newer.json", { ...own, version: 9 }),
      file("other.json", { format: "something-else" }),
      file("broken.json", "{ nope"),
    ];
    await page.setInputFiles('[data-act="import"]', files);
    await page.locator(".given-refused").nth(3).waitFor();
    const taken = await text(page, ".given");
    assert.match(taken, /rear\.json was taken in as "Rear hit into the bed"/);
    assert.match(taken, /own\.json was taken in/);
    assert.match(taken, /bad\.json was not taken in\. job\.marks\.m01\.depth_mm: /);
    assert.match(taken, /newer\.json was not taken in\. version: .*newer Cutline \(version 9\)/);
    assert.match(taken, /other\.json was not taken in\. format: /);
    assert.match(taken, /broken\.json was not taken in\. line 1, column 3: /);
    // Its own file is the same job: it is joined, not doubled.
    assert.equal(await page.locator('[data-list="jobs"] .card').count(), 2);

    // The same by dropping on the page.
    const data = await page.evaluateHandle((content) => {
      const transfer = new DataTransfer();
      transfer.items.add(new File([content], "dropped.json", { type: "application/json" }));
      return transfer;
    }, demoFile("parking-scrape"));
    await page.dispatchEvent(".drop", "dragover", { dataTransfer: data });
    await page.dispatchEvent(".drop", "drop", { dataTransfer: data });
    await page.getByText('dropped.json was taken in as "Parking-lot scrape, right doors"').waitFor();
    assert.equal(await page.locator('[data-list="jobs"] .card').count(), 3);
  });
});

test("a damaged and a newer entry are named, stay where they are, and can be saved as a file", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await takeDemo(page, "hail");
    await saved(page);
    await spoil(page);
    await go(page, "#/gate");
    const newer = page.locator('.card[data-job="jnewer"]');
    await newer.waitFor();
    assert.match(await newer.innerText(), /Made by a newer Cutline[\s\S]*version 7[\s\S]*Nothing in it was changed/);
    assert.ok(await newer.locator('[data-act="open"]').isDisabled());
    assert.match(await page.locator('.card[data-job="jdamaged"]').innerText(), /Cannot be read/);
    const [download] = await Promise.all([page.waitForEvent("download"), newer.locator('[data-act="save-file"]').click()]);
    assert.match(readFileSync(await download.path(), "utf8"), /\\"v\\":7/);
    const kept = await page.evaluate(() => Object.keys(localStorage).filter((key) => key.includes("jnewer")).length);
    assert.ok(kept >= 1, "the newer entry is still there");
  });
});

test("the plan says what is done and why, and follows a person's choice only where it is permitted", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await takeDemo(page, "front-corner");
    await place(page, "Plan");
    await page.locator(".finding").first().waitFor();
    assert.match(await text(page, ".plan-sum"), /^9 parts are damaged: .*to replace/);
    assert.equal(await page.locator(".finding").count(), 9);

    const tube = page.locator("#finding-apron-tube-left");
    assert.equal(await tube.getAttribute("data-action"), "section");
    assert.match(await tube.innerText(), /is not straightened[\s\S]*butt joint, \d+\smm long[\s\S]*mm from the damage/);
    await tap(browser, await centre(tube.locator('[data-act="options"]')));
    await tube.locator(".option-row").first().waitFor();
    const actions = await tube.locator("[data-action]").evaluateAll((all) => all.map((one) => one.dataset.action));
    assert.equal(new Set(actions).size, 6, "each action is permitted or told why not");
    assert.match(await tube.locator('.option[data-action="repair"]').innerText(), /Not permitted[\s\S]*Forbids[\s\S]*general-/);
    assert.equal(await tube.locator('.option[data-permitted="false"] [data-act="hold"]').count(), 0);

    await tap(browser, await centre(tube.locator('.option-row[data-action="replace"] [data-act="hold"]').first()));
    await page.locator('#finding-apron-tube-left[data-action="replace"]').waitFor();
    assert.match(await tube.innerText(), /Chosen by you\. Recommended: section/);
    await tube.locator('[data-act="options"]:focus').waitFor();
    await page.locator('[data-act="undo"]').click();
    await page.locator('#finding-apron-tube-left[data-action="section"]').waitFor();

    const [download] = await Promise.all([page.waitForEvent("download"), page.locator('[data-act="save-plan"]').click()]);
    const plan = JSON.parse(readFileSync(await download.path(), "utf8"));
    assert.equal(plan.findings.length, 9);
    assert.equal(plan.operations.length, await page.locator(".step").count());
  });
});

test("what was looked at counts down, and what was found damaged leads to the walk", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await takeDemo(page, "front-corner");
    await place(page, "Plan");
    const waiting = async () => Number(await page.locator(".behind-sum").getAttribute("data-waiting"));
    await page.locator(".behind-row").first().waitFor();
    const first = await waiting();
    assert.ok(first > 0);
    await tap(browser, await centre(page.locator('.behind-row [data-value="sound"]').first()));
    await page.waitForFunction((number) => document.querySelector(".behind-sum").dataset.waiting === String(number), first - 1);
    const row = page.locator(".behind-row").nth(1);
    const name = await row.locator("h4").innerText();
    await tap(browser, await centre(row.locator('[data-value="damaged"]')));
    await page.waitForURL(/#\/walk\//);
    await page.getByRole("heading", { name }).waitFor();
    await page.goBack();
    await page.locator(".plan-head").waitFor();
  });
});

test("the frame's state and the shop's equipment change the plan at once", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await takeDemo(page, "front-corner");
    await place(page, "Plan");
    const frame = page.locator('[data-notice="notice-frame-not-measured"]');
    await frame.waitFor();
    await page.locator('.circumstances [data-value="within-tolerance"]').click();
    await frame.waitFor({ state: "detached" });

    const tube = page.locator("#finding-apron-tube-left");
    assert.match(await text(page, "#finding-apron-tube-left .finding-joined"), /Also permitted: MIG weld/);
    await place(page, "Shop");
    await page.getByRole("group", { name: /Aluminium welding/ }).locator('[data-value="no"]').click();
    await place(page, "Plan");
    await tube.waitFor();
    assert.doesNotMatch(await text(page, "#finding-apron-tube-left .finding-joined"), /MIG weld/);
    await tube.locator("summary").click();
    assert.match(await tube.locator(".routes").innerText(), /MIG weld: Not permitted/);
  });
});

test("a shop's rule book is checked with its place, and the plan says that it stands on it", async () => {
  const own = (role) => ({
    format: "cutline-rules",
    version: 1,
    id: "north-yard",
    edition: "2026-1",
    title: "North Yard",
    rules: [
      {
        id: "north-yard-no-weld",
        when: { role: [role] },
        then: [{ forbid_route: "welded", with: ["section"] }],
        text: "Our yard does not weld structure.",
        basis: { kind: "shop-policy", source: "Yard rules, page 3" },
      },
    ],
  });
  await withBrowser(server, {}, async (browser, page) => {
    await go(page, "#/shop");
    await page.setInputFiles('[data-act="load-rules"]', file("bad-rules.json", own("structurel")));
    await page.getByText(/rules\[0\]\.when\.role\[0\]/).waitFor();
    await page.locator('[data-rules="built-in"]').waitFor();
    await page.setInputFiles('[data-act="load-rules"]', file("rules.json", own("structural")));
    await page.locator('[data-rules="own"]').waitFor();
    await takeDemo(page, "front-corner");
    await place(page, "Plan");
    await page.locator('[data-rules="north-yard"]').waitFor();
    const tube = page.locator("#finding-apron-tube-left");
    await tube.locator("summary").click();
    assert.match(await tube.locator(".routes").innerText(), /MIG weld: Not permitted\. Our yard does not weld structure\.[\s\S]*Yard rules, page 3/);
    await place(page, "Shop");
    await page.locator('[data-act="drop-rules"]').click();
    await page.locator('[data-rules="built-in"]').waitFor();
  });
});

test("what two tablets wrote at the same time is shown with both values, and a person settles it", async () => {
  const saveJob = async (page, name) => {
    await place(page, "Gate");
    await saved(page);
    const [download] = await Promise.all([page.waitForEvent("download"), page.locator('.card [data-act="save-file"]').click()]);
    return file(name, readFileSync(await download.path(), "utf8"));
  };
  const writeOwner = async (page, owner) => {
    await page.locator('.card [data-act="open"]').click();
    await place(page, "Plan");
    await page.locator('[data-act="papers"]').click();
    await page.fill("#papers-owner", owner);
    await page.keyboard.press("Tab");
    await page.locator(".plan-whose", { hasText: owner }).waitFor();
  };
  await withBrowser(server, {}, async (one, first) => {
    await takeDemo(first, "hail");
    const common = await saveJob(first, "common.json");
    let theirs;
    await withBrowser(server, {}, async (two, second) => {
      await go(second, "#/gate");
      await second.setInputFiles('[data-act="import"]', common);
      await second.locator(".given-taken").waitFor();
      await writeOwner(second, "Second Tablet");
      theirs = await saveJob(second, "theirs.json");
    });
    await writeOwner(first, "First Tablet");
    await place(first, "Gate");
    await first.setInputFiles('[data-act="import"]', theirs);
    await first.locator(".given-taken").waitFor();
    await first.locator('.card [data-act="open"]').click();
    await place(first, "Plan");
    const both = first.locator(".conflicts");
    await both.waitFor();
    assert.match(await both.innerText(), /"First Tablet" stands for now[\s\S]*"Second Tablet" was written too/);
    assert.deepEqual(await axe(first), []);
    await first.getByRole("button", { name: /Let this stand: "Second Tablet"/ }).click();
    await both.waitFor({ state: "detached" });
    assert.match(await text(first, ".plan-whose"), /^Second Tablet/);
  });
});

test("on paper the plan has no keys and all its folds", async () => {
  await withBrowser(server, { size: "desk", scheme: "dark" }, async (browser, page) => {
    await takeDemo(page, "front-corner");
    await place(page, "Plan");
    await page.locator(".finding").first().waitFor();
    await page.emulateMedia({ media: "print" });
    for (const selector of [".bar", ".plan-acts", ".finding-acts", ".behind-answer", ".picture-keys"]) {
      assert.equal(await page.locator(selector).first().isVisible(), false, selector);
    }
    const hidden = await page.locator(".behind-row").evaluateAll((rows) => rows.filter((row) => row.offsetHeight === 0).length);
    assert.equal(hidden, 0);
    const colours = await page.evaluate(() => {
      const style = getComputedStyle(document.body);
      return [style.color, style.backgroundColor];
    });
    assert.deepEqual(colours, ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]);
  });
});

for (const size of ["phone", "desk"]) {
  for (const look of ["light", "dark", "sun"]) {
    test(`gate, plan and shop can be read and touched: ${size}, ${look}`, async () => {
      await withBrowser(server, { size }, async (browser, page) => {
        await go(page, "#/shop");
        await page.locator(`[data-value="${look}"]`).click();
        const check = async (where) => {
          assert.deepEqual(await axe(page), [], where);
          assert.deepEqual(await smallTargets(page, "main .key, main .field input, main summary", 48), [], where);
          const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
          assert.ok(wide <= 0, `${where} is ${wide} px too wide`);
        };
        await check("shop");
        await go(page, "#/gate");
        await check("gate without jobs");
        await page.locator('[data-act="new"]').click();
        await check("new arrival");
        await takeDemo(page, "front-corner");
        await place(page, "Plan");
        await page.locator(".finding").first().waitFor();
        await page.locator('.finding [data-act="options"]').last().click();
        await page.locator(".option").first().waitFor();
        await check("plan");
        await go(page, "#/gate");
        await check("gate");
      });
    });
  }
}

test("hundreds of jobs: a page of them at first, the rest on demand, and the search finds every one", async () => {
  await withBrowser(server, { size: "tablet" }, async (_, page) => {
    await go(page, "#/gate");
    const names = Array.from({ length: 60 }, (_, at) => `Job number ${at}`);
    const files = names.map((title, at) =>
      file(`many-${at}.json`, { format: "cutline-job", version: 1, id: `many-${at}`, job: { title, vehicle: { cab: "two-door", bed: "long" } } }),
    );
    await page.setInputFiles('[data-act="import"]', files);
    const cards = page.locator('[data-list="jobs"] > li');
    await page.getByText("60 jobs", { exact: true }).waitFor();
    await saved(page);
    await go(page, "#/gate");
    await cards.nth(23).waitFor();
    assert.equal(await cards.count(), 24);
    assert.deepEqual(await smallTargets(page, '[data-act="more-jobs"]', 48), []);
    assert.match(await page.locator('[data-act="more-jobs"]').innerText(), /36 jobs/);
    await page.locator('[data-act="more-jobs"]').click();
    await cards.nth(47).waitFor();
    await page.locator('[data-act="more-jobs"]').click();
    await cards.nth(59).waitFor();
    assert.equal(await page.locator('[data-act="more-jobs"]').count(), 0);
    const shown = await cards.locator(".card-title").allInnerTexts();
    assert.deepEqual([...shown].sort(), [...names].sort(), "each of them, and none twice");
    await go(page, "#/gate");
    await cards.nth(23).waitFor();
    const last = shown.at(-1);
    await page.locator('.search input').fill(last);
    await page.getByText(last, { exact: true }).waitFor();
  });
});
