// Pictures of every screen in the three sizes, light and dark, into target/shots: `sh tests/go shots [WORD]`,
// where WORD picks the screens whose name holds it. For looking at, not a test; ends badly when a screen cannot be opened.

import { mkdirSync } from "node:fs";
import { join } from "node:path";

import { ROOT, SCHEMES, SIZES, bundle, launch, profile, serve } from "./harness.mjs";
import { SCREENS, takeDemo } from "./screens.mjs";

const word = process.argv[2] ?? "";
const folder = join(ROOT, "target/shots");
mkdirSync(folder, { recursive: true });

const wanted = SCREENS.filter(({ name }) => name.includes(word));
if (wanted.length === 0) {
  console.error(`no screen has "${word}" in its name; there are: ${SCREENS.map(({ name }) => name).join(", ")}`);
  process.exit(1);
}

const server = await serve(bundle());
let failures = 0;
for (const size of Object.keys(SIZES)) {
  for (const scheme of SCHEMES) {
    const where = profile();
    try {
      const browser = await launch(where, { size, scheme, origin: server.origin });
      const job = await takeDemo(browser.page, "front-corner");
      for (const { name, open } of wanted) {
        const file = `${name}-${size}-${scheme}.png`;
        try {
          await open(browser.page, job);
          await browser.page.waitForTimeout(400); // slides and fades have settled
          await browser.page.screenshot({ path: join(folder, file), animations: "disabled" });
          console.log(`target/shots/${file}`);
        } catch (error) {
          failures += 1;
          console.error(`${file}: ${error.message}`);
        }
      }
      for (const fault of browser.faults) console.error(`${size} ${scheme}: ${fault}`);
      failures += browser.faults.length;
    } finally {
      await where.remove();
    }
  }
}
await server.stop();
process.exit(failures > 0 ? 1 : 0);
