// What every browser test needs: Chromium with a profile of its own, the three sizes, light and dark, killing and
// coming back, a full disk, a slow processor, accessibility checks. Fingers are in touch.mjs, the server in server.mjs.
// Must never fetch anything, and never touch a browser that it did not start.

import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { after } from "node:test";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

import { serve } from "./server.mjs";

export { serve };

const HERE = dirname(fileURLToPath(import.meta.url));

/** The repository. */
export const ROOT = resolve(HERE, "../..");
/** The release bundle that trunk wrote. */
export const DIST = join(ROOT, "dist");

/** The three sizes in which every screen is looked at, in CSS pixels. */
export const SIZES = {
  phone: { width: 390, height: 844 },
  tablet: { width: 820, height: 1180 },
  desk: { width: 1280, height: 800 },
};

/** Light and dark. */
export const SCHEMES = ["light", "dark"];

/** The sizes by browser: those with touch share one, whose page is resized (`page.setViewportSize`). */
export const looks = () => [["phone", "tablet"], ["desk"]];

const FLAGS = [
  "--headless",
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

/** Fails early, with the next step, when there is no bundle to test. */
export function bundle() {
  if (!existsSync(join(DIST, "index.html"))) {
    throw new Error("dist holds no bundle. What to do: run `sh tests/go build`, then try again.");
  }
  return DIST;
}

/** Python with the libraries of the outside checks. */
export const PYTHON = process.env.CUTLINE_PYTHON ?? join(ROOT, "target/venv/bin/python");

/**
 * What a test file stands on: the bundle on a server of its own and an empty folder, both gone when its tests have ended.
 * @param {{seed?: number, pictures?: boolean}} [options] `seed` is printed, so that a failing history can be run again;
 *   `pictures` puts the outside script's picture files into the folder
 */
export async function stage({ seed, pictures = false } = {}) {
  if (seed !== undefined) console.log(`seed ${seed}`);
  const folder = mkdtempSync(join(tmpdir(), "cutline-stage-"));
  let told;
  if (pictures) {
    const made = spawnSync(PYTHON, [join(ROOT, "tests/outside/pictures.py"), folder], { encoding: "utf8", maxBuffer: 1 << 26 });
    if (made.status !== 0) throw new Error(made.stderr);
    told = JSON.parse(made.stdout);
  }
  const server = await serve(bundle());
  after(async () => {
    await server.stop();
    rmSync(folder, { recursive: true, force: true });
  });
  return { server, folder, told };
}

/**
 * A new, empty browser profile. Pass it to `launch` more than once to come back after a kill.
 * It removes itself when the test ends, after the browsers on it have been closed.
 * @param {import("node:test").TestContext} [t] the running test; without it, call `remove` yourself
 * @returns {{folder: string, browsers: Set<Browser>, remove: () => Promise<void>}}
 */
export function profile(t) {
  const folder = mkdtempSync(join(tmpdir(), "cutline-profile-"));
  const browsers = new Set();
  const remove = async () => {
    // A browser left open by a failed assertion would keep the whole test run waiting.
    for (const browser of browsers) await browser.close();
    rmSync(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 100 });
  };
  t?.after(remove);
  return { folder, browsers, remove };
}

/**
 * Starts Chromium on a profile, with one page open.
 * @param {ReturnType<typeof profile>} where from `profile(t)`
 * @param {{size?: keyof SIZES, scheme?: "light" | "dark", touch?: boolean, origin?: string, flags?: string[]}} [options]
 *   `touch` is on by default except for the desk size; `origin` is the base of `page.goto("./")`
 * @returns {Promise<Browser>}
 */
export async function launch(where, { size = "tablet", scheme = "light", touch, origin, flags = [] } = {}) {
  const hasTouch = touch ?? size !== "desk";
  const context = await chromium.launchPersistentContext(where.folder, {
    executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
    headless: true,
    chromiumSandbox: false,
    args: [...FLAGS, ...flags],
    viewport: SIZES[size],
    screen: SIZES[size],
    hasTouch,
    isMobile: hasTouch,
    colorScheme: scheme,
    locale: "en-US",
    timezoneId: "UTC",
    baseURL: origin ? `${origin}/` : undefined,
    serviceWorkers: "allow",
  });
  context.setDefaultTimeout(15_000);
  const browser = new Browser(context, where.folder, context.pages()[0] ?? (await context.newPage()));
  where.browsers.add(browser);
  return browser;
}

/** A running Chromium, its one page, and what went wrong on it. */
export class Browser {
  /** Uncaught errors and console errors of the page, in order. Tests end with `assert.deepEqual(browser.faults, [])`. */
  faults = [];

  /** Whether it was closed or killed. */
  ended = false;

  constructor(context, folder, page) {
    this.context = context;
    this.folder = folder;
    this.page = page;
    page.on("pageerror", (error) => this.faults.push(`uncaught: ${error.message}`));
    page.on("console", (message) => {
      if (message.type() === "error") this.faults.push(`console: ${message.text()}`);
    });
  }

  /**
   * A second page of the app, in a window of its own: a tab that lies behind another draws once a second, which every wait
   * for it would pay for.
   */
  async another() {
    const [page] = await Promise.all([
      this.context.waitForEvent("page"),
      this.page.evaluate(() => void window.open("about:blank", "", "popup,noopener")),
    ]);
    return page;
  }

  /** A DevTools session for the page, made once. */
  async devtools() {
    this.session ??= await this.context.newCDPSession(this.page);
    return this.session;
  }

  /** Ends the browser as a user would; once it has ended, does nothing. */
  async close() {
    if (this.ended) return;
    this.ended = true;
    await this.context.close();
  }

  /**
   * SIGKILL to the browser process and all its children, as a flat battery or an out-of-memory kill would.
   * Returns when none of them is left and the profile can be opened again.
   */
  async kill() {
    const pids = processes(this.folder);
    if (pids.length === 0) throw new Error("no process of this browser was found, so none can be killed");
    // Playwright starts Chromium as the leader of a process group of its own; the group takes the children along.
    for (const pid of pids) {
      for (const target of [-pid, pid]) {
        try {
          process.kill(target, "SIGKILL");
        } catch (error) {
          if (error.code !== "ESRCH" && error.code !== "EPERM") throw error;
        }
      }
    }
    const end = Date.now() + 10_000;
    while (processes(this.folder).length > 0) {
      if (Date.now() > end) throw new Error("the browser is still alive 10 s after SIGKILL");
      await new Promise((done) => setTimeout(done, 25));
    }
    this.ended = true;
    await this.context.close().catch(() => {});
    // A killed Chromium leaves its lock behind; it would take the next start for a second window.
    for (const name of ["SingletonLock", "SingletonCookie", "SingletonSocket"]) {
      rmSync(join(this.folder, name), { force: true });
    }
  }

  /** Crashes the page's process only; the browser lives on. */
  async crashTab() {
    const session = await this.devtools();
    await Promise.race([
      session.send("Page.crash").catch(() => {}),
      new Promise((done) => this.page.once("crash", done)),
    ]);
    this.session = undefined;
  }

  /** Limits what an origin may store, in bytes; `undefined` lifts the limit. Local storage is not counted by Chromium. */
  async quota(origin, bytes) {
    const session = await this.devtools();
    await session.send("Storage.overrideQuotaForOrigin", { origin, ...(bytes === undefined ? {} : { quotaSize: bytes }) });
  }

  /** Slows the page's processor so many times; 1 is as it is. */
  async slow(times) {
    const session = await this.devtools();
    await session.send("Emulation.setCPUThrottlingRate", { rate: times });
  }

  /** Shows the page as somebody sees it: "none", "protanopia", "deuteranopia", "tritanopia", "achromatopsia". */
  async vision(type) {
    const session = await this.devtools();
    await session.send("Emulation.setEmulatedVisionDeficiency", { type });
  }

  /** Reads an entry of the app's own performance marks: durations in milliseconds, in order. */
  measures(name) {
    return this.page.evaluate((wanted) => performance.getEntriesByName(wanted).map((entry) => entry.duration), name);
  }
}

/** The processes whose command line names the profile, leader first. Linux only, as is the rest of the test set-up. */
function processes(folder) {
  const own = [`--user-data-dir=${folder}`, `--database=${folder}`];
  return readdirSync("/proc")
    .filter((name) => /^\d+$/.test(name))
    .map(Number)
    .filter((pid) => {
      try {
        const words = readFileSync(`/proc/${pid}/cmdline`, "utf8");
        // A zombie has an empty command line and is as dead as can be wished.
        return own.some((word) => words.includes(word));
      } catch {
        return false;
      }
    })
    .sort((one, other) => one - other);
}

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/**
 * Runs axe on the page.
 * @param {import("playwright-core").Page} page
 * @param {{exclude?: string[], rules?: Record<string, {enabled: boolean}>}} [options]
 * @returns {Promise<string[]>} one line a violation: rule, help, place; empty when all is well
 */
export async function axe(page, { exclude = [], rules = {} } = {}) {
  await page.evaluate(AXE);
  const found = await page.evaluate(
    async ([leave, change]) => {
      const result = await globalThis.axe.run(
        { exclude: leave.map((selector) => [selector]) },
        {
          runOnly: { type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] },
          rules: change,
          resultTypes: ["violations"],
        },
      );
      return result.violations.map(({ id, help, nodes }) => ({
        id,
        help,
        places: nodes.map((node) => `${node.target.join(" ")}  ${node.failureSummary ?? ""}`),
      }));
    },
    [exclude, rules],
  );
  return found.flatMap(({ id, help, places }) => places.map((place) => `${id}: ${help}: ${place.replace(/\s+/g, " ")}`));
}

/**
 * Targets that are too small to touch. axe does not measure drawn shapes, so this looks at the boxes itself.
 * @param {import("playwright-core").Page} page
 * @param {string} selector what to measure
 * @param {number} least CSS pixels, in both directions
 * @returns {Promise<string[]>} one line a fault
 */
export function smallTargets(page, selector, least) {
  return page.locator(selector).evaluateAll(
    (elements, limit) =>
      elements
        .map((element) => ({ element, box: element.getBoundingClientRect() }))
        .filter(({ box }) => box.width > 0 && box.height > 0)
        // Half a pixel of slack for rounding at fractional scales.
        .filter(({ box }) => box.width < limit - 0.5 || box.height < limit - 0.5)
        .map(({ element, box }) => {
          const name = element.getAttribute("aria-label") ?? element.textContent.trim().slice(0, 40);
          return `${element.tagName.toLowerCase()} "${name}" is ${box.width.toFixed(1)} x ${box.height.toFixed(1)}`;
        }),
    least,
  );
}

/** The value below which `share` of the numbers lie (nearest rank); for benchmarks. */
export function percentile(numbers, share) {
  if (numbers.length === 0) throw new Error("no numbers were measured");
  const sorted = [...numbers].sort((one, other) => one - other);
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)];
}

/** The version that the browser program reports; for benchmark reports. */
export function browserVersion() {
  const run = spawnSync(process.env.CHROMIUM || "/usr/bin/chromium", ["--version"], { encoding: "utf8" });
  return run.stdout?.trim() ?? "unknown";
}
