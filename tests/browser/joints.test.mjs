// How it goes back together, as a technician uses it: from the plan to a part's joints, problems first, the map by finger and
// by key, the template on paper at true size, files. The outside judges are the command line, which works from the saved
// job, and a PDF reader that measures the printed bar. Must read only what stands on the page.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";

import { ROOT, SCHEMES, SIZES, axe, bundle, serve, smallTargets } from "./harness.mjs";
import { go, takeDemo } from "./screens.mjs";
import { centre, drag, tap } from "./touch.mjs";
import { withBrowser } from "./walking.mjs";

let server;
let folder;

before(async () => {
  server = await serve(bundle());
  folder = mkdtempSync(join(tmpdir(), "cutline-joints-"));
});
after(async () => {
  await server.stop();
  rmSync(folder, { recursive: true, force: true });
});

/** What the command line says of a demo. */
function commandLine(demo) {
  const text = execFileSync(
    "cargo",
    ["run", "--quiet", "--offline", "-p", "model", "--bin", "cutline", "--", "joints", `public/demo/${demo}.json`],
    { cwd: ROOT, maxBuffer: 1 << 28 },
  );
  return JSON.parse(text.toString());
}

/** Takes a demo and goes to the joints of a part. */
async function jointsOf(page, demo, part) {
  const job = await takeDemo(page, demo);
  await go(page, `#/joints/${job}/${part}`);
  await page.locator(".joint").first().waitFor();
  await page.locator(".jm path.jm-mark, .jm path.jm-stitch, .jm path.jm-bead").first().waitFor({ state: "attached" });
  return job;
}

const saved = async (page, act) => {
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator(`[data-act="${act}"]`).click()]);
  return { name: download.suggestedFilename(), text: readFileSync(await download.path(), "utf8") };
};

test("from the plan's card to its joints and back; the page says what the command line says", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    const job = await takeDemo(page, "side-hit");
    await go(page, `#/plan/${job}`);
    await page.locator('.plan-acts [data-act="joints"]').waitFor();
    await tap(browser, await centre(page.locator('#finding-rocker-left [data-act="joints"]')));
    await page.waitForURL(/#\/joints\/.*\/rocker-left/);
    await page.locator(".joint").first().waitFor();

    const told = commandLine("side-hit").joints;
    const picked = told.filter((joint) => joint.picked && joint.part === "rocker-left");
    const shown = await page.locator(".joint").evaluateAll((all) => all.map((one) => one.dataset.joint));
    assert.deepEqual([...shown].sort(), picked.map((joint) => joint.id).sort());
    for (const joint of picked) {
      const card = page.locator(`[data-joint="${joint.id}"]`).first();
      const words = await card.innerText();
      if (joint.fasteners.length > 0) assert.ok(words.includes(`${joint.fasteners.length} × `), `${joint.id}: ${words}`);
      const prefix = joint.id.slice(0, -joint.route.length);
      const others = told.filter((other) => !other.picked && other.id.slice(0, -other.route.length) === prefix);
      assert.equal(await card.locator(".joint-other").count(), others.length, `${joint.id}: other ways`);
    }
    const all = told.filter((joint) => joint.picked).reduce((sum, joint) => sum + joint.fasteners.length, 0);
    assert.match(await page.locator(".plan-sum").innerText(), new RegExp(`\\b${all} fasteners`));

    await tap(browser, await centre(page.locator('[data-act="to-plan"]')));
    await page.locator("#finding-rocker-left:focus").waitFor();
  });
});

test("what cannot be made stands first, with what would make it possible", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await jointsOf(page, "side-hit", "rocker-left");
    const told = commandLine("side-hit").joints.filter((joint) => joint.picked && joint.problems.length > 0);
    const parts = [...new Set(told.map((joint) => joint.part))];
    for (const part of parts) {
      await page.locator(`.joints-parts [data-value="${part}"]`).click();
      await page.locator(`.joints-part[data-part="${part}"]`).waitFor();
      const wrong = told.filter((joint) => joint.part === part);
      const flags = await page.locator(".joint").evaluateAll((all) => all.map((one) => one.dataset.problem === "true"));
      assert.deepEqual(flags.slice(0, wrong.length), wrong.map(() => true), part);
      assert.ok(flags.slice(wrong.length).every((flag) => !flag), part);
      const words = await page.locator('.joint[data-problem="true"]').first().innerText();
      assert.ok(wrong.some((joint) => words.includes(joint.problems[0].text)), `${part}: ${words}`);
    }
  });
});

test("a finger reads a fastener on the map, pans and zooms; keys do the same in the order of work", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await jointsOf(page, "side-hit", "rocker-left");
    const told = commandLine("side-hit").joints.find((joint) => joint.id === "rocker-left/cut/rear-door/riveted-bonded");
    const card = page.locator(`[data-joint="${told.id}"]`).first();
    const number = (await card.locator(".joint-number").innerText()).trim();
    await tap(browser, await centre(card.locator('[data-act="show-joint"]')));
    await page.locator('.board[data-zoomed="true"]').waitFor();

    const marks = page.locator(`.jm path.jm-mark[data-joint="${number}"]`);
    assert.equal(await marks.count(), told.fasteners.length);
    const box = await marks.first().boundingBox();
    await tap(browser, { x: box.x + box.width / 2, y: box.y + box.height / 2 });
    const sheet = page.locator(".joints-spot");
    await sheet.waitFor();
    assert.equal(await sheet.getAttribute("data-spot"), `B${number}.1`);
    const words = await sheet.innerText();
    const first = told.fasteners[0];
    const kept = told.fastener;
    for (const [what, value] of [
      ["hole", kept.hole_mm],
      ["grip", kept.grip_mm],
      ["edge", first.edge_mm],
      ["pitch", first.pitch_mm],
      ["row", first.row],
    ]) {
      assert.ok(words.includes(`${value}`), `${what} ${value} in: ${words}`);
    }

    // A finger moves the zoomed map; nothing is read by it.
    const before = await marks.first().boundingBox();
    await page.waitForTimeout(500);
    const from = await centre(page.locator(".board"));
    await drag(browser, from, { x: from.x + 90, y: from.y });
    const moved = await marks.first().boundingBox();
    assert.ok(Math.abs(moved.x - before.x - 90) < 25, `${before.x} to ${moved.x}`);

    await page.locator('[data-act="close-spot"]').click();
    await page.locator(".board-view").focus();
    await page.keyboard.press("Enter");
    await sheet.waitFor();
    const label = await sheet.getAttribute("data-spot");
    await page.keyboard.press("ArrowRight");
    await page.waitForFunction((old) => document.querySelector(".joints-spot").dataset.spot !== old, label);
    const next = await sheet.getAttribute("data-spot");
    const order = (text) => Number(text.split(".")[1]);
    assert.equal(order(next), order(label) + 1, `${label} is followed by ${next}`);
    await page.keyboard.press("Escape");
    await sheet.waitFor({ state: "detached" });
  });
});

for (const [paper, width, height] of [
  ["a4", 210, 297],
  ["letter", 215.9, 279.4],
]) {
  test(`the template is printed at true size on ${paper}: a PDF reader measures the bar`, async () => {
    await withBrowser(server, { size: "desk" }, async (browser, page) => {
      await jointsOf(page, "side-hit", "rocker-left");
      // The browser's own print window would wait for a person.
      await page.evaluate(() => (window.print = () => (window.asked = (window.asked ?? 0) + 1)));
      await page.locator(`.joints-sheets [data-value="${paper}"]`).click();
      const said = Number(/(\d+) page/.exec(await page.locator('[data-act="print-template"]').innerText())[1]);
      for (const [act, bar] of [
        ["print-template", 100],
        ["print-overview", 0],
      ]) {
        await page.locator(`[data-act="${act}"]`).click();
        await page.waitForFunction((count) => window.asked === count, bar ? 1 : 2);
        // As the page stands while the print window is open.
        await page.evaluate(() => document.getElementById("joint-paper").setAttribute("data-printing", ""));
        const file = join(folder, `${paper}-${act}.pdf`);
        writeFileSync(file, await page.pdf({ preferCSSPageSize: true, printBackground: true }));
        await page.evaluate(() => document.getElementById("joint-paper").removeAttribute("data-printing"));
        const pages = measured(file);
        if (bar) assert.equal(pages.length, said, "as many pages as the key says");
        for (const [at, one] of pages.entries()) {
          const sides = [one.width_mm, one.height_mm].sort((a, b) => a - b);
          assert.ok(Math.abs(sides[0] - Math.min(width, height)) < 0.5 && Math.abs(sides[1] - Math.max(width, height)) < 0.5, `page ${at}: ${sides}`);
          if (bar) {
            const nearest = one.level_mm.reduce((best, mm) => (Math.abs(mm - bar) < Math.abs(best - bar) ? mm : best), 0);
            assert.ok(Math.abs(nearest - 100) <= 0.2, `page ${at}: the bar measures ${nearest} mm`);
            assert.match(one.text, /Page \d+ of \d+: row/);
          }
        }
      }
    });
  });
}

/** Pages of a PDF by an independent reader. */
function measured(file) {
  const python = join(ROOT, "target/venv/bin/python");
  const text = execFileSync(python, [join(ROOT, "tests/outside/pdf_bars.py")], { input: JSON.stringify({ file }), maxBuffer: 1 << 28 });
  return JSON.parse(text.toString());
}

test("map, materials and coats are saved as files that say what the command line says; a material leads to its joint", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await jointsOf(page, "side-hit", "rocker-left");
    const told = commandLine("side-hit");
    const map = await saved(page, "save-map");
    assert.match(map.name, /rocker-left-joints\.svg$/);
    const marks = told.joints.filter((joint) => joint.picked && joint.part === "rocker-left").flatMap((joint) => joint.fasteners);
    assert.equal(map.text.split("data-fastener=").length - 1, marks.length);
    const csv = (await saved(page, "save-materials")).text.trim().split("\r\n");
    assert.equal(csv.length, told.materials.length + 1);
    assert.equal((await saved(page, "save-coats")).text.trim().split("\r\n").length, told.refinish.length + 1);
    assert.equal(await page.locator('[data-fold="material"]').count(), told.materials.length);
    assert.equal(await page.locator("[data-coat]").count(), told.refinish.length);

    const fold = page.locator('[data-material="blind-6.5-5"]');
    await fold.locator("summary").click();
    const uses = told.materials.find((line) => line.id === "blind-6.5-5").used;
    assert.equal(await fold.locator(".joints-uses li").count(), uses.length);
    await fold.locator('[data-act="to-joint"]').first().click();
    await page.waitForFunction((id) => document.activeElement?.dataset.joint === id, uses[0].at);
  });
});

test("a joint between two renewed parts stands on one sheet, and the other part leads there", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    const told = commandLine("side-hit");
    assert.ok(told.made_with.length > 0, "the demo has neighbours that are both renewed");
    const one = told.made_with[0];
    await takeDemo(page, "side-hit").then((job) => go(page, `#/joints/${job}/${one.part}`));
    const rows = page.locator(".joints-elsewhere li");
    await rows.first().waitFor();
    const own = told.made_with.filter((other) => other.part === one.part);
    assert.deepEqual(await rows.evaluateAll((all) => all.map((row) => row.dataset.with)), own.map((other) => other.with));
    const row = page.locator(`.joints-elsewhere li[data-with="${one.with}"]`);
    assert.equal(await row.locator('[data-act="to-joint"]').count(), one.joints.length);
    await tap(browser, await centre(row.locator('[data-act="to-joint"]').first()));
    await page.waitForFunction((id) => document.activeElement?.dataset.joint === id, one.joints[0]);
    // No joint is on two sheets.
    const between = (joint) => [joint.part, joint.to].sort().join(" ") + joint.what;
    const picked = told.joints.filter((joint) => joint.picked && joint.to !== joint.part);
    const sheets = new Map();
    for (const joint of picked) sheets.set(between(joint), new Set([...(sheets.get(between(joint)) ?? []), joint.part]));
    const twice = [...sheets].filter(([, parts]) => parts.size > 1).map(([key]) => key);
    const bothCut = told.made_with.filter((other) => other.rest_itself);
    assert.ok(twice.length <= bothCut.length, `on two sheets: ${twice}`);
  });
});

test("the kind of the colour says into which panels it is blended, and why", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    const job = await takeDemo(page, "front-corner");
    const blended = async () => {
      await go(page, `#/joints/${job}`);
      await page.locator("[data-blended]").first().waitFor();
      return page.locator('[data-blended="true"]').count();
    };
    const assumed = await blended();
    assert.ok(assumed > 0);
    assert.match(await page.locator('[data-blended="true"]').first().innerText(), /Nobody has said/);
    await go(page, `#/plan/${job}`);
    const money = () => page.locator('.totals [data-figure="money"]').getAttribute("data-value").then(Number);
    const before = await money();
    await page.locator('.circumstances [data-value="metallic"]').click();
    await page.waitForFunction((old) => Number(document.querySelector('.totals [data-figure="money"]').dataset.value) < old, before);
    const metallic = await blended();
    assert.ok(metallic < assumed, `${metallic} of ${assumed}`);
    assert.match(await page.locator('[data-blended="false"]').first().innerText(), /no blend/);
    assert.deepEqual(await axe(page), []);
  });
});

test("no sentence on the page begins with a small letter", async () => {
  await withBrowser(server, {}, async (browser, page) => {
    await jointsOf(page, "side-hit", "b-pillar-left");
    const small = await page.evaluate(() =>
      [...document.querySelectorAll("main p, main dd, main li")]
        .map((one) => one.textContent.trim())
        .filter((text) => /^[a-z].*\.$/s.test(text) && !/^[a-z]+(-[a-z0-9.]+)+/.test(text)),
    );
    assert.deepEqual(small, []);
  });
});

for (const size of Object.keys(SIZES)) {
  for (const scheme of SCHEMES) {
    test(`large enough, readable, nothing sideways: ${size}, ${scheme}`, async () => {
      await withBrowser(server, { size, scheme }, async (browser, page) => {
        await jointsOf(page, "side-hit", "b-pillar-left");
        await page.locator(".board-view").focus();
        await page.keyboard.press("Enter");
        await page.locator(".joints-spot").waitFor();
        assert.deepEqual(await axe(page), []);
        assert.deepEqual(await smallTargets(page, "button:visible, summary:visible", 48), []);
        const wide = await page.evaluate(() => document.querySelector("main").scrollWidth - document.querySelector("main").clientWidth);
        assert.ok(wide <= 1, `${wide} px too wide`);
      });
    });
  }
}
