import { ROOT, SIZES, bundle, launch, profile, serve } from "./harness.mjs";
import { go, openCuts, takeDemo } from "./screens.mjs";
const server = await serve(bundle());
for (const [demo, part] of [["side-hit","floor-pan"],["side-hit","rocker-left"],["side-hit","b-pillar-left"],["rear-hit","bed-side-outer-left"],["front-corner","radiator-support"],["front-corner","apron-tube-left"]]) {
  for (const [size, scheme] of [["phone","light"],["tablet","dark"]]) {
  const where = profile();
  const browser = await launch(where, { size, scheme, origin: server.origin });
  const job = await takeDemo(browser.page, demo);
  await go(browser.page, `#/plan/${job}`);
  try { const map = await openCuts(browser.page, part);
  await map.locator(".cutmap-board").screenshot({ path: `target/shots/zz-${part}-${size}.png` }); } catch (e) { console.log(part, String(e).slice(0,200)); }
  if (browser.faults.length) console.log(browser.faults);
  await browser.close(); await where.remove();
  }
}
await server.stop();
