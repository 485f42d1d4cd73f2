// How long a person waits, in Chromium with the processor slowed four times: from tap to painted decision on a job of 40
// marks, the frames while panning a job of 200 and the joint map of a new floor pan, the weight of the first load, and the way from nothing to usable.
// And how long the plan of a made-up job holds the screen: the best choice for every aim with all its work and words.
// Bars: 50 ms at the 95th percentile, no frame over 33 ms, 350 kB; the choice in 50 ms for 20 parts and 500 for 60, p99. Prints a table, the hottest functions, and writes
// target/bench-browser.json. Measures only; a missed bar is shown and fails nothing.

import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { gzipSync } from "node:zlib";

import { ROOT, browserVersion, bundle, launch, percentile, profile, serve } from "./harness.mjs";
import { go } from "./screens.mjs";
import { learnParts, peel, picture, press, saved, stand } from "./walking.mjs";

const SLOWER = 4;
const TAPS = 64;
/** A hand needs as long to come back to the glass, ms. */
const HAND_MS = 250;
const DEMOS = ["front-corner", "side-hit", "rear-hit", "hail", "kinked-frame", "parking-scrape"];
const demo = (name) => JSON.parse(readFileSync(join(ROOT, "public/demo", `${name}.json`), "utf8"));

/** Numbers from 0 to 1, the same in every run (mulberry32, a public-domain generator, from memory). */
function seeded(seed) {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** A job of so many marks: those of the demo jobs on one truck, then the same again moved by up to a hand's breadth. */
function job(count) {
  const known = DEMOS.flatMap((name) => Object.values(demo(name).job.marks));
  const chance = seeded(count);
  const file = demo("hail");
  file.id = `bench-${count}`;
  file.job.title = `${count} marks`;
  file.job.marks = {};
  for (let at = 0; at < count; at += 1) {
    const mark = structuredClone(known[at % known.length]);
    if (at >= known.length) {
      const [across, up] = [Math.round(chance() * 200 - 100), Math.round(chance() * 120 - 60)];
      const { ellipse, stroke, polygon } = mark.shape;
      for (const point of ellipse ? [ellipse.at] : (stroke ?? polygon).points) {
        point[0] += across;
        point[1] += up;
      }
    }
    file.job.marks[`m${String(at).padStart(3, "0")}`] = mark;
  }
  return file;
}

/** A made-up job of so many damaged parts. */
function madeUp(seed, parts) {
  const call = ["run", "-q", "-p", "model", "--bin", "cutline", "--", "generate", "--seed", `${seed}`, "--parts", `${parts}`];
  const made = spawnSync("cargo", call, { cwd: ROOT, encoding: "utf8" });
  if (made.status !== 0) throw new Error(`cutline generate: ${made.stderr}`);
  const file = JSON.parse(made.stdout);
  file.job.title = `${parts} parts of ${seed}`;
  return file;
}

/** Takes a job in by the gate's own file key and opens its walk. */
async function take(page, count) {
  await takeFile(page, job(count));
}

async function takeFile(page, file) {
  const path = join(tmpdir(), `cutline-bench-${process.pid}-${file.id}.json`);
  writeFileSync(path, JSON.stringify(file));
  await go(page, "#/gate");
  await page.setInputFiles('[data-act="import"]', path);
  await page.locator(`.card:has-text("${file.job.title}") [data-act="open"]`).tap();
  await page.waitForURL(/#\/walk\//);
  await page.locator(".map-svg path.outline").first().waitFor();
  await saved(page);
}

/** Points on the drawing at which no mark lies and no border is near, in a seeded order. */
async function freshPoints(page) {
  await learnParts(page);
  const points = await page.evaluate(() => {
    const map = document.querySelector(".map-svg").getBoundingClientRect();
    const part = window.partAt;
    const taken = [...document.querySelectorAll("[data-mark]")].map((one) => one.getBoundingClientRect());
    const free = (x, y) => !taken.some((box) => x > box.left - 14 && x < box.right + 14 && y > box.top - 14 && y < box.bottom + 14);
    const found = [];
    for (let y = map.top + 20; y < map.bottom - 90; y += 9) {
      for (let x = map.left + 20; x < map.right - 20; x += 9) {
        const own = part(x, y);
        if (own && free(x, y) && [[-13, 0], [13, 0], [0, -13], [0, 13]].every(([a, b]) => part(x + a, y + b) === own)) found.push({ x, y });
      }
    }
    return found;
  });
  const chance = seeded(7);
  return points.sort(() => chance() - 0.5);
}

/** Functions that used the processor most while `act` ran: share of the busy time, by their own time. */
async function hottest(browser, act) {
  const session = await browser.devtools();
  await session.send("Profiler.enable");
  await session.send("Profiler.setSamplingInterval", { interval: 200 });
  await session.send("Profiler.start");
  await act();
  const { profile: seen } = await session.send("Profiler.stop");
  const name = new Map(seen.nodes.map(({ id, callFrame }) => [id, callFrame.functionName || `(${callFrame.url.split("/").at(-1)})`]));
  const own = new Map();
  seen.samples.forEach((id, at) => own.set(name.get(id), (own.get(name.get(id)) ?? 0) + seen.timeDeltas[at]));
  own.delete("(idle)");
  const all = [...own.values()].reduce((sum, time) => sum + time, 0);
  return [...own].sort((one, other) => other[1] - one[1]).slice(0, 14).map(([what, time]) => `${((100 * time) / all).toFixed(1)} % ${what.slice(0, 110)}`);
}

const spread = (numbers) => ({
  count: numbers.length,
  p50: percentile(numbers, 0.5),
  p95: percentile(numbers, 0.95),
  p99: percentile(numbers, 0.99),
  worst: Math.max(...numbers),
});

/**
 * A tap made by the browser's own maker of gestures. The touch events of touch.mjs are held back, after they have got their
 * time stamp, until a frame has passed: up to 17 ms for which no finger waits.
 */
async function tap(browser, { x, y }) {
  const session = await browser.devtools();
  await session.send("Input.synthesizeTapGesture", { x: Math.round(x), y: Math.round(y), duration: 30, tapCount: 1, gestureSourceType: "touch" });
}

/** From tap to painted decision. Each tap makes a mark, which is undone out of the measure, so that 40 marks stay 40. */
async function taps(browser) {
  const { page } = browser;
  await take(page, 40);
  // The right side has the fewest marks, so the most fresh places.
  await stand(page, "right");
  await page.locator('.map-svg [data-part="front-door-right"]').waitFor();
  await browser.slow(SLOWER);
  const points = await freshPoints(page);
  if (points.length < TAPS / 4) throw new Error(`only ${points.length} fresh places on the drawing`);
  const undo = page.locator('[data-act="undo"]');
  let used = 0;
  const several = async (wanted, rest) => {
    for (let done = 0; done < wanted; ) {
      const point = points[used % points.length];
      used += 1;
      if (used > 8 * TAPS + points.length) throw new Error("too few taps led to a mark");
      const before = (await browser.measures("cutline-tap-to-paint")).length;
      await tap(browser, point);
      await page.waitForFunction((was) => performance.getEntriesByName("cutline-tap-to-paint").length > was, before);
      if (await undo.isEnabled()) {
        done += 1;
        await undo.evaluate((key) => key.click());
      }
      // Let go by the close key, but not through a finger: it would count as waiting.
      await page.locator(".sheet-head .key:visible").first().evaluate((key) => key.click());
      await page.waitForFunction(() => document.querySelector('.walk[data-open="false"]') && !document.querySelector('[data-save="saving"]'));
      await page.waitForTimeout(rest);
    }
  };
  const times = async () => spread((await browser.measures("cutline-tap-to-paint")).slice(-TAPS));
  await several(1, HAND_MS);
  await several(TAPS, HAND_MS);
  const byHand = await times();
  // The next tap while the page still works out the plan of the last: no hand is as fast.
  await several(TAPS, 0);
  const atOnce = await times();
  const hot = await hottest(browser, () => several(20, 0));
  await browser.slow(1);
  return { byHand, atOnce, hot };
}

/** How long the plan holds the screen after an edit of a made-up job: marks come and go on fresh places. */
async function planning(browser, parts) {
  const { page } = browser;
  const [solves, whole] = [[], []];
  for (const seed of [1, 2, 3]) {
    await takeFile(page, madeUp(seed, parts));
    await stand(page, "left");
    await browser.slow(SLOWER);
    const points = await freshPoints(page);
    const undo = page.locator('[data-act="undo"]');
    const plans = async () => (await browser.measures("cutline-plan")).length;
    const settled = async (before) => {
      await page.waitForFunction((was) => performance.getEntriesByName("cutline-plan").length > was, before, { timeout: 10_000 });
    };
    let done = 0;
    const solved = () => browser.measures("cutline-solve");
    const first = [await plans(), (await solved()).length];
    for (const point of points.slice(0, 60)) {
      if (done === 12) break;
      const before = await plans();
      await tap(browser, point);
      await page.waitForTimeout(400);
      if (await undo.isEnabled()) {
        await settled(before);
        const again = await plans();
        await undo.evaluate((key) => key.click());
        await settled(again);
        done += 1;
      }
      await page.locator(".sheet-head .key:visible").first().evaluate((key) => key.click());
      await page.waitForFunction(() => document.querySelector('.walk[data-open="false"]') && !document.querySelector('[data-save="saving"]'));
    }
    if (done < 8) throw new Error(`only ${done} taps led to a mark`);
    whole.push(...(await browser.measures("cutline-plan")).slice(first[0]));
    solves.push(...(await solved()).slice(first[1]));
    await browser.slow(1);
  }
  return { solve: spread(solves), plan: spread(whole) };
}

/** Frames while a finger pans the zoomed picture of 200 marks back and forth. */
async function panning(browser) {
  const { page } = browser;
  await take(page, 200);
  await stand(page, "left");
  await peel(page, "skin");
  for (let step = 0; step < 2; step += 1) await press(page.locator('.zoom .key[aria-label="Larger"]'));
  await page.locator('.map[data-zoomed="true"]').waitFor();
  await browser.slow(SLOWER);
  const pan = await finger(browser, ".map-svg");
  const before = await picture(page);
  const frames = await framesWhile(page, () => pan(220));
  const after = await picture(page);
  if (Math.abs(after.left - before.left) + Math.abs(after.top - before.top) < 2) throw new Error("nothing was panned");
  const drawn = await page.locator(".marks [data-mark]").count();
  const hot = await hottest(browser, () => pan(120));
  await browser.slow(1);
  return { ...spread(frames), over33: frames.filter((time) => time > 33.4).length, drawn, hot };
}

/** A finger that pans a drawing back and forth in so many steps. */
async function finger(browser, selector) {
  const session = await browser.devtools();
  const box = await browser.page.locator(selector).boundingBox();
  const at = (step) => ({
    x: box.x + box.width * (0.5 + 0.3 * Math.sin(step / 14)),
    y: box.y + box.height * (0.5 + 0.2 * Math.sin(step / 23)),
    id: 0,
  });
  const send = (type, points) => session.send("Input.dispatchTouchEvent", { type, touchPoints: points });
  return async (steps) => {
    await send("touchStart", [at(0)]);
    for (let step = 1; step <= steps; step += 1) {
      await send("touchMove", [at(step)]);
      await new Promise((done) => setTimeout(done, 12));
    }
    await send("touchEnd", []);
  };
}

/** How long each frame took while something went on, milliseconds. */
async function framesWhile(page, act) {
  await page.evaluate(() => {
    window.frames_seen = [];
    let last = performance.now();
    const next = (now) => {
      window.frames_seen.push(now - last);
      last = now;
      window.frames_on = requestAnimationFrame(next);
    };
    window.frames_on = requestAnimationFrame(next);
  });
  await act();
  return (await page.evaluate(() => (cancelAnimationFrame(window.frames_on), window.frames_seen))).slice(2);
}

/** Frames while a finger pans the joint map of a whole new floor pan, all its fasteners in view. */
async function mapPanning(browser) {
  const { page } = browser;
  const file = demo("side-hit");
  file.id = "bench-joints";
  file.job.title = "A new floor pan";
  file.job.holds = { "floor-pan": "replace" };
  await takeFile(page, file);
  const id = /#\/walk\/([^/]+)/.exec(page.url())[1];
  await go(page, `#/joints/${id}/floor-pan`);
  await page.locator('.joints-map [data-value="top"]').click();
  await page.waitForFunction(() => document.querySelectorAll(".jm path.jm-mark").length > 400);
  await page.locator(".board .zoom .key").nth(1).click();
  await page.locator('.board[data-zoomed="true"]').waitFor();
  await page.locator(".board").evaluate((board) => board.scrollIntoView());
  await browser.slow(SLOWER);
  const place = () => page.locator(".board-svg").getAttribute("style");
  const before = await place();
  const pan = await finger(browser, ".board");
  const frames = await framesWhile(page, () => pan(220));
  if ((await place()) === before) throw new Error("nothing was panned");
  const drawn = await page.locator(".jm path.jm-mark").count();
  await browser.slow(1);
  const built = await browser.measures("cutline-joints");
  return { ...spread(frames), over33: frames.filter((time) => time > 33.4).length, drawn, built: Math.max(...built) };
}

function weigh(folder) {
  const files = readdirSync(folder).filter((name) => /\.(html|js|wasm|packed|css|json|webmanifest)$/.test(name) && !name.endsWith("-rest.packed"));
  const sizes = Object.fromEntries(files.map((name) => [name, gzipSync(readFileSync(join(folder, name)), { level: 9 }).length]));
  return { files: sizes, bytes: Object.values(sizes).reduce((sum, size) => sum + size, 0) };
}

/** From asking for the page to a gate that answers, in a new browser, slowed. Milliseconds. */
async function starting(server) {
  const times = [];
  for (let run = 0; run < 5; run += 1) {
    const where = profile();
    try {
      const browser = await launch(where, { origin: server.origin });
      await browser.slow(SLOWER);
      await browser.page.goto("./");
      await browser.page.locator('[data-act="new"]').waitFor();
      times.push(await browser.page.evaluate(() => performance.now()));
    } finally {
      await where.remove();
    }
  }
  return { p50: percentile(times, 0.5), worst: Math.max(...times) };
}

const server = await serve(bundle());
const where = profile();
try {
  const browser = await launch(where, { origin: server.origin });
  const result = { browser: browserVersion(), slower: SLOWER, taps: await taps(browser), panning: await panning(browser), map: await mapPanning(browser), plan20: await planning(browser, 20), plan60: await planning(browser, 60) };
  await browser.close();
  result.firstLoad = weigh(bundle());
  result.start = await starting(server);
  const ms = (number) => number.toFixed(1).padStart(7);
  const row = (name, of, bar) => console.log(`${name.padEnd(34)}${ms(of.p50)}${ms(of.p95)}${ms(of.p99)}${ms(of.worst)}   ${bar}`);
  console.log(`${result.browser}, processor slowed ${SLOWER} times\n${"milliseconds".padEnd(34)}    p50    p95    p99  worst`);
  const { byHand, atOnce } = result.taps;
  row(`tap to painted decision, 40 marks`, byHand, `${byHand.count} taps, one every ${HAND_MS} ms and more; bar: p95 of 50, ${byHand.p95 <= 50 ? "met" : "MISSED"}`);
  row(`the same, one upon the other`, atOnce, "while the plan of the last is worked out");
  row(`frame while panning, 200 marks`, result.panning, `${result.panning.over33} of ${result.panning.count} over 33, ${result.panning.drawn} marks drawn; bar: none, ${result.panning.over33 === 0 ? "met" : "MISSED"}`);
  row(`frame while panning the joint map`, result.map, `${result.map.over33} of ${result.map.count} over 33, ${result.map.drawn} fasteners drawn; bar: none, ${result.map.over33 === 0 ? "met" : "MISSED"}; joints worked out in ${result.map.built.toFixed(0)}`);
  for (const [parts, of, bar] of [[20, result.plan20, 50], [60, result.plan60, 500]]) {
    row(`whole-job solve, ${parts} parts`, of.solve, `${of.solve.count} solves; bar: p99 of ${bar}, ${of.solve.p99 <= bar ? "met" : "MISSED"}`);
    row(`the plan with its words, ${parts} parts`, of.plan, "in a task of its own");
  }
  console.log(`start to usable, p50 of 5: ${ms(result.start.p50)}, worst ${ms(result.start.worst)}`);
  console.log(`first load: ${(result.firstLoad.bytes / 1000).toFixed(1)} kB compressed; bar: 350, ${result.firstLoad.bytes <= 350_000 ? "met" : "MISSED"}`);
  console.log(`busiest while tapping:\n  ${result.taps.hot.join("\n  ")}\nbusiest while panning:\n  ${result.panning.hot.join("\n  ")}`);
  mkdirSync(join(ROOT, "target"), { recursive: true });
  writeFileSync(join(ROOT, "target/bench-browser.json"), `${JSON.stringify(result, null, 2)}\n`);
} finally {
  await where.remove();
  await server.stop();
}
