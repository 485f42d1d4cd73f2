// Every screen that is looked at before a change is called done: how to get there and what to call its picture.
// A new screen gets a line here. Must reach each screen as a person does: by what is on the page, or by its address.

/**
 * `open` brings the page to the screen; `job` is the id of the front-corner demo job, which stands open in this browser.
 * @type {{name: string, open: (page: import("playwright-core").Page, job: string) => Promise<void>}[]}
 */
export const SCREENS = [
  { name: "gate", open: (page) => go(page, "#/gate") },
  { name: "gate-new", open: (page) => go(page, "#/gate").then(() => page.locator('[data-act="new"]').click()) },
  { name: "shop", open: (page) => go(page, "#/shop") },
  { name: "shop-times", open: shopTimes },
  { name: "walk-skin", open: (page, job) => go(page, `#/walk/${job}/front-left/skin`) },
  { name: "walk-above", open: (page, job) => go(page, `#/walk/${job}/above/skin`) },
  { name: "walk-structure", open: (page, job) => go(page, `#/walk/${job}/left/structure`) },
  { name: "walk-frame", open: (page, job) => go(page, `#/walk/${job}/below/frame`) },
  { name: "photos", open: (page, job) => go(page, `#/photos/${job}`) },
  { name: "plan", open: (page, job) => go(page, `#/plan/${job}`) },
  { name: "plan-cuts", open: (page, job) => go(page, `#/plan/${job}`).then(() => openCuts(page, "apron-tube-left")) },
  { name: "plan-best", open: (page, job) => planAt(page, job, ".best") },
  {
    name: "plan-options",
    open: (page, job) => planAt(page, job, "#finding-apron-tube-left .finding-options", ['#finding-apron-tube-left [data-act="options"]']),
  },
  { name: "plan-work", open: (page, job) => planAt(page, job, ".work", [".step-sums > summary"]) },
  { name: "plan-money", open: (page, job) => planAt(page, job, ".money", [".money-group > summary", ".money-total > summary"]) },
  { name: "joints", open: (page, job) => joints(page, job, "h1") },
  { name: "joints-map", open: (page, job) => joints(page, job, ".joints-map", ['[data-act="show-joint"]']) },
  { name: "joints-materials", open: (page, job) => joints(page, job, '[data-takes="refinish"]', ['[data-fold="material"] summary']) },
  {
    name: "plan-revision",
    open: (page, job) => planAt(page, job, ".revisions", ['[data-act="freeze"]', '.revision [data-act="given"]']),
  },
];

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
