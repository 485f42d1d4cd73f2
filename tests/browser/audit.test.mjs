// The stored app under a general-purpose auditing tool: Lighthouse, from npm, in the browser that the other tests use.
// Its marks for speed are left out, since they tell of the machine; what the app takes is measured by the benches.
// Must audit the app as it is installed: out of its own store, with a job in it.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";

import lighthouse from "lighthouse";

import { launch, profile, stage } from "./harness.mjs";
import { go, takeDemo } from "./screens.mjs";
import { saved } from "./walking.mjs";

const { server } = await stage();

test("an outside auditor finds nothing to mend at the gate and on the walk", async () => {
  const where = profile();
  try {
    const { page } = await launch(where, { size: "desk", origin: server.origin, flags: ["--remote-debugging-port=0"] });
    await go(page, "#/gate");
    await page.waitForFunction(() => document.documentElement.dataset.offline === "ready");
    const job = await takeDemo(page, "front-corner");
    await saved(page);
    const port = Number(readFileSync(join(where.folder, "DevToolsActivePort"), "utf8").split("\n")[0]);
    for (const address of ["#/gate", `#/walk/${job}/left/skin`]) {
      const { lhr } = await lighthouse(`${server.origin}/${address}`, {
        port,
        logLevel: "error",
        onlyCategories: ["accessibility", "best-practices", "seo"],
        disableStorageReset: true,
        formFactor: "desktop",
        screenEmulation: { disabled: true },
        throttlingMethod: "provided",
      });
      assert.equal(lhr.runtimeError, undefined, address);
      for (const { title, score, auditRefs } of Object.values(lhr.categories)) {
        const counted = auditRefs.filter(({ weight }) => weight > 0).map(({ id }) => lhr.audits[id]);
        assert.ok(counted.length > 5, `${title} looks at something`);
        const faults = counted.filter((audit) => audit.score !== null && audit.score < 1).map((audit) => audit.title);
        assert.deepEqual([score, faults], [1, []], `${address}, ${title}`);
      }
    }
  } finally {
    await where.remove();
  }
});
