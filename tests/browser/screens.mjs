// Every screen that is looked at before a change is called done: how to get there and what to call its picture.
// A new screen or state gets a line here. Must reach each screen as a person does: by what is on the page, or by its address.

import { readFileSync } from "node:fs";

/**
 * `open` brings the page to the screen; `job` is the id of the front-corner demo job, which stands open in this browser.
 * `empty` screens are looked at before any job is there, `paper` ones on paper, `broken` ones are made by breaking something.
 * @type {{name: string, open: (page: import("playwright-core").Page, job: string) => Promise<void>, empty?: boolean, paper?: boolean, broken?: boolean}[]}
 */
export const SCREENS = [
  { name: "gate-empty", empty: true, open: (page) => go(page, "#/gate") },
  { name: "walk-unmarked", empty: true, open: unmarked },
  { name: "plan-empty", empty: true, open: (page) => unmarked(page).then(() => page.getByRole("button", { name: "Plan", exact: true }).click()) },
  { name: "gate", open: (page) => go(page, "#/gate") },
  { name: "gate-new", open: (page) => go(page, "#/gate").then(() => page.locator('[data-act="new"]').click()) },
  { name: "gate-many", open: gateMany },
  { name: "gate-files", open: gateFiles },
  { name: "gate-damaged", broken: true, open: gateDamaged },
  { name: "no-job", open: (page) => go(page, "#/plan/nowhere").then(() => page.waitForTimeout(500)) },
  { name: "shop", open: (page) => go(page, "#/shop") },
  { name: "shop-times", open: shopTimes },
  { name: "shop-rates", open: shopRates },
  { name: "shop-restore", open: shopRestore },
  { name: "walk-skin", open: (page, job) => go(page, `#/walk/${job}/front-left/skin`) },
  { name: "walk-above", open: (page, job) => go(page, `#/walk/${job}/above/skin`) },
  { name: "walk-structure", open: (page, job) => go(page, `#/walk/${job}/left/structure`) },
  { name: "walk-frame", open: (page, job) => go(page, `#/walk/${job}/below/frame`) },
  { name: "walk-sheet", open: (page, job) => walkSheet(page, job, "fender-left") },
  { name: "walk-sheet-tube", open: (page, job) => walkSheet(page, job, "apron-tube-left") },
  { name: "walk-editor", open: walkEditor },
  { name: "walk-reasons", open: walkReasons },
  { name: "walk-part", open: walkPart },
  { name: "walk-menu", open: walkMenu },
  { name: "walk-found", open: (page, job) => walkTab(page, job, "found") },
  { name: "walk-parts", open: (page, job) => walkTab(page, job, "parts") },
  { name: "walk-behind", open: (page, job) => walkTab(page, job, "behind") },
  { name: "photos", open: (page, job) => go(page, `#/photos/${job}`) },
  { name: "photos-taken", open: photosTaken },
  { name: "photos-large", open: (page, job) => photosTaken(page, job).then(() => page.locator(".photo-grid .photo-open").first().click()) },
  { name: "plan", open: (page, job) => planAt(page, job, "h1") },
  { name: "plan-vehicle", open: (page, job) => planAt(page, job, ".circumstances", ['[data-act="papers"]']) },
  { name: "plan-cuts", open: (page, job) => go(page, `#/plan/${job}`).then(() => openCuts(page, "apron-tube-left")) },
  { name: "plan-cuts-floor", open: (page) => cutsOf(page, "side-hit", "floor-pan") },
  { name: "plan-cuts-rocker", open: (page) => cutsOf(page, "side-hit", "rocker-left") },
  { name: "plan-cuts-pillar", open: (page) => cutsOf(page, "side-hit", "b-pillar-left") },
  { name: "plan-best", open: (page, job) => planAt(page, job, ".best") },
  {
    name: "plan-options",
    open: (page, job) => planAt(page, job, "#finding-apron-tube-left .finding-options", ['#finding-apron-tube-left [data-act="options"]']),
  },
  { name: "plan-work", open: (page, job) => planAt(page, job, ".work", [".step-sums > summary"]) },
  { name: "plan-money", open: (page, job) => planAt(page, job, ".money", [".money-group > summary", ".money-total > summary"]) },
  { name: "joints", open: (page, job) => joints(page, job, "h1") },
  { name: "joints-map", open: (page, job) => joints(page, job, ".joints-map", ['[data-act="show-joint"]']) },
  { name: "joints-spot", open: jointsSpot },
  { name: "joints-floor", open: (page) => jointsOf(page, "side-hit", "floor-pan") },
  { name: "joints-rocker", open: (page) => jointsOf(page, "side-hit", "rocker-left") },
  { name: "joints-pillar", open: (page) => jointsOf(page, "side-hit", "b-pillar-left") },
  { name: "joints-materials", open: (page, job) => joints(page, job, '[data-takes="refinish"]', ['[data-fold="material"] summary']) },
  {
    name: "plan-revision",
    open: (page, job) => planAt(page, job, ".revisions", ['[data-act="freeze"]', '.revision [data-act="given"]']),
  },
  { name: "full", broken: true, open: fullStore },
  { name: "paper-plan", paper: true, open: (page, job) => planAt(page, job, "h1") },
  { name: "paper-template", paper: true, open: (page) => onPaper(page, "floor-pan", "template") },
  { name: "paper-overview", paper: true, open: (page) => onPaper(page, "floor-pan", "overview") },
  // Last: what follows would be asked for the passphrase.
  { name: "unlock", broken: true, open: unlock },
];

/** The screens to which a person comes with a job in hand and nothing broken. */
export const PLACES = SCREENS.filter(({ empty, paper, broken }) => !empty && !paper && !broken);

/** A new arrival of which nothing is known and nothing is marked. */
async function unmarked(page) {
  await go(page, "#/gate");
  await page.locator('[data-act="new"]').click();
  await page.locator('[data-act="start"]').click();
  await page.waitForURL(/#\/walk\//);
  await page.locator(".map-svg path.outline").first().waitFor();
}

/** All demo jobs at the gate, one of them put away and unfolded. */
async function gateMany(page) {
  for (const name of ["side-hit", "hail", "rear-hit", "kinked-frame"]) await takeDemo(page, name);
  await go(page, "#/gate");
  await page.locator('[data-list="jobs"] [data-act="archive"]').last().click();
  await page.locator('[data-act="archived"]').click();
}

/** Files of which one is refused. */
async function gateFiles(page) {
  await go(page, "#/gate");
  const file = (name, text) => ({ name, mimeType: "application/json", buffer: Buffer.from(text) });
  const good = JSON.stringify({ format: "cutline-job", version: 1, id: "shots-file", job: { title: "Taken from a file", vehicle: { cab: "two-door", bed: "long" } } });
  await page.setInputFiles('[data-act="import"]', [file("good.json", good), file("broken.json", "{ nope")]);
  await page.locator(".given-refused").first().waitFor();
  await page.locator(".given").evaluate((element) => element.scrollIntoView({ block: "center" }));
}

/**
 * Puts two entries beside those of a job that is kept: `jdamaged`, which cannot be read, and `jnewer`, of a version that the
 * app does not know. An entry is named by the hash of its own text.
 */
export async function spoil(page) {
  await page.evaluate(async () => {
    const hash = async (text) =>
      [...new Uint8Array(await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text)))]
        .map((byte) => byte.toString(16).padStart(2, "0"))
        .join("");
    const key = Object.keys(localStorage).find((name) => /^cutline\/[^/]+\/c\//.test(name));
    const [, job, , id] = key.split("/");
    const newer = localStorage[key].replace('"v":1', '"v":7').replaceAll(job, "jnewer");
    localStorage[`cutline/jnewer/c/${await hash(newer)}`] = newer;
    localStorage[`cutline/jdamaged/c/${id}`] = localStorage[key].slice(0, 99);
  });
}

/** An entry that cannot be read, and one of a newer version. */
async function gateDamaged(page) {
  await takeDemo(page, "hail");
  await page.locator('.saved[data-save="saved"]').waitFor();
  await spoil(page);
  await go(page, "#/gate");
  await page.locator('.card[data-job="jdamaged"]').waitFor();
}

/** The sheet of a marked part, from the list of findings. */
async function walkSheet(page, job, part) {
  await walkTab(page, job, "found");
  await page.locator(`[data-list="found"] [data-row="${part}"] .row-key`).click();
  await page.locator(`[data-part-sheet="${part}"]:visible`).waitFor();
  await page.locator(".verdict-word:visible").waitFor();
}

/** The mark's editor with all that it can say. */
async function walkEditor(page, job) {
  await walkSheet(page, job, "fender-left");
  await page.locator('.editor [data-value="more"]:visible').click();
  await page.locator('.editor [data-act="more"]:visible').click();
  await page.locator(".editor").evaluate((element) => element.scrollIntoView());
}

/** Why, with one option open. */
async function walkReasons(page, job) {
  await walkSheet(page, job, "apron-tube-left");
  await page.locator(".reasons .disclose:visible").click();
  await page.locator(".option:visible").first().waitFor();
  await page.locator(".reasons").evaluate((element) => element.scrollIntoView());
}

/** The sheet of a part that bears no mark. */
async function walkPart(page, job) {
  await walkTab(page, job, "parts");
  await page.locator('[data-list="parts"] [data-row="rear-door-left"] .row-key').click();
  await page.locator('[data-part-sheet="rear-door-left"]:visible').waitFor();
}

/** What a long press asks. */
async function walkMenu(page, job) {
  await go(page, `#/walk/${job}/left/skin`);
  const door = page.locator('.map-svg [data-part="front-door-left"]').first();
  const box = await door.boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height * 0.7);
  await page.mouse.down();
  await page.locator(".ask").waitFor();
  await page.mouse.up();
}

/** A list of the walk. */
async function walkTab(page, job, tab) {
  await go(page, `#/walk/${job}/left/skin`);
  await page.locator(".map-svg [data-part]").first().waitFor();
  await page.locator(`.tab[data-tab="${tab}"]`).click();
  await page.locator(`[data-list="${tab}"] .row`).first().waitFor();
}

/** Three photos that the browser itself has painted. */
async function photosTaken(page, job) {
  await go(page, `#/photos/${job}`);
  await page.locator("[data-photos]").waitFor();
  if ((await page.locator(".photo-grid .photo-open").count()) === 0) {
    const files = [];
    for (const [name, wide, high] of [["door", 800, 600], ["fender", 600, 800], ["hood", 800, 500]]) {
      const base64 = await page.evaluate(([wide, high]) => {
        const canvas = Object.assign(document.createElement("canvas"), { width: wide, height: high });
        const pen = canvas.getContext("2d");
        const shade = pen.createLinearGradient(0, 0, wide, high);
        shade.addColorStop(0, "#8d2b22");
        shade.addColorStop(1, "#d9d4c8");
        pen.fillStyle = shade;
        pen.fillRect(0, 0, wide, high);
        pen.strokeRect(wide * 0.2, high * 0.2, wide * 0.6, high * 0.6);
        return canvas.toDataURL("image/jpeg").split(",")[1];
      }, [wide, high]);
      files.push({ name: `${name}.jpg`, mimeType: "image/jpeg", buffer: Buffer.from(base64, "base64") });
    }
    await page.locator('[data-act="pictures"]').setInputFiles(files);
    await page.locator('[data-photos="3"]').waitFor();
  }
  await page.locator(".photo-grid img").nth(2).waitFor();
}

/** The cut map of a part of another demo job. */
async function cutsOf(page, demo, part) {
  const job = await takeDemo(page, demo);
  await go(page, `#/plan/${job}`);
  await openCuts(page, part);
}

/** The joints of a part of another demo job. */
async function jointsOf(page, demo, part) {
  const job = await takeDemo(page, demo);
  await go(page, `#/joints/${job}/${part}`);
  await page.locator(".joint").first().waitFor();
}

/** A fastener of the joint map that was asked for. */
async function jointsSpot(page, job) {
  await joints(page, job, ".joints-map", ['[data-act="show-joint"]']);
  await page.locator(".board-view").focus();
  await page.keyboard.press("Enter");
  await page.locator(".joints-spot").waitFor();
  await page.locator(".joints-map").evaluate((element) => element.scrollIntoView());
}

/** A sheet of the joints as it stands while the print window is open. */
async function onPaper(page, part, sheet) {
  await jointsOf(page, "side-hit", part);
  await page.evaluate(() => (window.print = () => (window.asked = true)));
  await page.locator(`[data-act="print-${sheet}"]`).click();
  await page.waitForFunction(() => window.asked);
  await page.evaluate(() => document.getElementById("joint-paper").setAttribute("data-printing", ""));
}

/** The shop's rates, opened, with a number that is none. */
async function shopRates(page) {
  await go(page, "#/shop");
  const rates = page.locator(".rates, [data-rates]").first();
  await rates.evaluate((element) => element.scrollIntoView());
}

/** What a backup holds, before it is taken back. */
async function shopRestore(page) {
  await go(page, "#/shop");
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator('[data-act="backup"]').click()]);
  const path = await download.path();
  await page.locator('.backup [data-backup="made"]').waitFor({ state: "attached" });
  await page.locator('[data-act="restore"]').setInputFiles({ name: "backup.tar", mimeType: "application/x-tar", buffer: readFileSync(path) });
  await page.locator('.backup [data-backup="asked"]').waitFor({ state: "attached" });
  await page.locator(".backup").evaluate((element) => element.scrollIntoView());
}

/** An edit that neither store takes. */
async function fullStore(page, job) {
  await go(page, `#/walk/${job}/left/skin`);
  await page.locator(".map-svg [data-part]").first().waitFor();
  await page.evaluate(() => {
    const full = () => {
      throw new DOMException("full", "QuotaExceededError");
    };
    Storage.prototype.setItem = full;
    IDBObjectStore.prototype.put = full;
    IDBObjectStore.prototype.add = full;
  });
  await page.locator('[data-act="undo"], .bar-undo').first().waitFor();
  await page.locator('.tab[data-tab="parts"]').click();
  await page.locator('[data-list="parts"] [data-row="rear-door-left"] .row-act').click();
  await page.locator('.saved[data-save="not-saved"]').waitFor();
}

/** A tablet that is closed by a passphrase. */
async function unlock(page) {
  await go(page, "#/shop");
  await page.fill("#privacy-new", "tin barrow north plum");
  await page.fill("#privacy-again", "tin barrow north plum");
  await page.locator('[data-act="seal"]').click();
  await page.locator('[data-act="seal-sure"]').click();
  await page.locator('.privacy[data-privacy="open"]').waitFor({ timeout: 60_000 });
  await page.locator('[data-act="lock"]').click();
  await page.locator("#unlock").waitFor();
}

/** The shop's times: a group open, one work open with a time of the shop's own and a number that is none. */
async function shopTimes(page) {
  await go(page, "#/shop");
  await page.locator('.times-group[data-skill="refinish"] h3 button').click();
  const work = page.locator('[data-work="prepare"]');
  await work.locator(".times-head").click();
  await page.fill("#time-prepare-set-up", "25");
  await page.fill("#time-prepare-square-metre", "an hour");
  await page.keyboard.press("Tab");
  await work.evaluate((element) => element.scrollIntoView({ block: "center" }));
}

/** Goes to the joints of the apron tube, presses the first of each selector, and brings a place of the page to the top. */
async function joints(page, job, place, presses = []) {
  await go(page, `#/joints/${job}/apron-tube-left`);
  await page.locator(".joint").first().waitFor();
  for (const one of presses) await page.locator(one).first().click();
  await page.locator(place).first().evaluate((element) => element.scrollIntoView());
}

/** Unfolds the cut map of a part on the plan. @returns its locator, scrolled into view */
export async function openCuts(page, part) {
  const card = page.locator(`#finding-${part}`);
  await card.locator('[data-act="cuts"]').click();
  const map = card.locator(".cutmap");
  await map.locator(".cutmap-svg").waitFor();
  await map.evaluate((element) => element.scrollIntoView({ block: "start" }));
  return map;
}

/** Goes to an address within the app by loading it anew, and waits until the app has drawn it. */
export async function go(page, address) {
  // Another address after the hash sign alone would not load the page again.
  await page.goto("about:blank");
  await page.goto(`./${address}`);
  await page.locator("main").first().waitFor();
}

/** Goes to the plan, presses the first of each selector, and brings a place of it to the top. */
async function planAt(page, job, place, presses = []) {
  await go(page, `#/plan/${job}`);
  await page.locator(".best-card").nth(2).waitFor();
  for (const one of presses) await page.locator(one).first().click();
  await page.locator(place).first().evaluate((element) => element.scrollIntoView());
}

/**
 * Takes a demo job as a new copy, from the gate, as a person does.
 * @param {import("playwright-core").Page} page
 * @param {string} name the demo's file name in public/demo, without its ending
 * @returns {Promise<string>} the id of the copy; the page stands at its walk
 */
export async function takeDemo(page, name) {
  await go(page, "#/gate");
  const demos = page.locator('[data-act="demo"]');
  if ((await demos.getAttribute("aria-expanded")) !== "true") await demos.click();
  await page.locator(`[data-demo="${name}"]`).click();
  await page.waitForURL(/#\/walk\//);
  const id = /#\/walk\/([^/]+)/.exec(page.url())?.[1];
  if (!id) throw new Error(`the address ${page.url()} names no job`);
  return id;
}
