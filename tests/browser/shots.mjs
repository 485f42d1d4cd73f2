// Pictures of every screen in the three sizes, light and dark, and of the walk in the look for sun, into target/shots:
// `sh tests/go shots [WORD] [whole]`, where WORD picks the screens whose name holds it, and `whole` takes pages that
// scroll in their whole length. What stands on paper becomes a PDF. For looking at, not a test; ends badly when a screen
// cannot be opened. CUTLINE_LOOKS=phone-light,desk-dark picks from the looks.

import { mkdirSync } from "node:fs";
import { join } from "node:path";

import { ROOT, SCHEMES, SIZES, bundle, launch, profile, serve } from "./harness.mjs";
import { SCREENS, go, takeDemo } from "./screens.mjs";

const words = process.argv.slice(2).filter((word) => word !== "whole");
const whole = process.argv.includes("whole");
const folder = join(ROOT, "target/shots");
mkdirSync(folder, { recursive: true });

const wanted = SCREENS.filter(({ name }) => words.length === 0 || words.some((word) => name.includes(word)));
if (wanted.length === 0) {
  console.error(`no screen has "${words.join(" ")}" in its name; there are: ${SCREENS.map(({ name }) => name).join(", ")}`);
  process.exit(1);
}

/** Sizes and looks; sun only where it is meant for. */
const looks = Object.keys(SIZES)
  .flatMap((size) => [...SCHEMES, "sun"].map((look) => [size, look]))
  .filter(([size, look]) => !process.env.CUTLINE_LOOKS || process.env.CUTLINE_LOOKS.split(",").includes(`${size}-${look}`));

const server = await serve(bundle());
let failures = 0;

/** Lets the page be as long as what is on it; by the sheet itself, since the app takes no styles from elsewhere. */
const unroll = (page) =>
  page.evaluate(() => {
    const sheet = document.styleSheets[0];
    for (const rule of [".frame { height: auto; overflow: visible }", ".page { overflow: visible }"]) sheet.insertRule(rule, sheet.cssRules.length);
  });

async function shoot(browser, { name, open, paper }, job, end) {
  const file = join(folder, `${name}-${end}${whole ? "-whole" : ""}`);
  try {
    await open(browser.page, job);
    await browser.page.waitForTimeout(400); // slides and fades have settled
    if (paper) {
      await browser.page.pdf({ path: `${file}.pdf`, preferCSSPageSize: true, printBackground: true });
    } else {
      if (whole) await unroll(browser.page);
      await browser.page.screenshot({ path: `${file}.png`, animations: "disabled", fullPage: whole });
    }
    console.log(file);
  } catch (error) {
    failures += 1;
    console.error(`${name}-${end}: ${error.message}`);
  }
}

for (const [size, look] of looks) {
  const own = wanted.filter(({ name, paper }) => (look !== "sun" || name.startsWith("walk")) && (!paper || (size === "desk" && look === "light")));
  if (own.length === 0) continue;
  const where = profile();
  try {
    const browser = await launch(where, { size, scheme: look === "dark" ? "dark" : "light", origin: server.origin });
    if (look === "sun") {
      await go(browser.page, "#/shop");
      await browser.page.locator('[data-value="sun"]').click();
    }
    for (const screen of own.filter(({ empty }) => empty)) await shoot(browser, screen, "", `${size}-${look}`);
    const job = await takeDemo(browser.page, "front-corner");
    for (const screen of own.filter(({ empty }) => !empty)) await shoot(browser, screen, job, `${size}-${look}`);
    for (const fault of browser.faults) console.error(`${size} ${look}: ${fault}`);
    failures += browser.faults.length;
  } finally {
    await where.remove();
  }
}
await server.stop();
process.exit(failures > 0 ? 1 : 0);
