// How a person walks round the truck in a browser test: a new arrival, places, layers, a finger on a part, what the
// sheet says. Must act by touch on what is drawn, and must read only what stands on the page.

import assert from "node:assert/strict";

import { launch, profile } from "./harness.mjs";
import { go } from "./screens.mjs";
import { tap } from "./touch.mjs";

/** Runs `act` with a browser of its own, and sees to it that nothing went wrong unseen. */
export async function withBrowser(server, options, act) {
  const where = profile();
  try {
    const browser = await launch(where, { origin: server.origin, ...options });
    await act(browser, browser.page, where);
    assert.deepEqual(browser.faults, []);
  } finally {
    await where.remove();
  }
}

/** A vehicle arrives; nothing is typed. @returns {Promise<string>} the id of its job; the page stands at its walk */
export async function arrive(page) {
  await go(page, "#/gate");
  await press(page.locator('[data-act="new"]'));
  await press(page.locator('[data-act="start"]'));
  await page.waitForURL(/#\/walk\//);
  await page.locator(".map-svg path.outline").first().waitFor();
  return jobOf(page);
}

/** The job that the address names. */
export function jobOf(page) {
  const id = /#\/(?:walk|plan)\/([^/]+)/.exec(page.url())?.[1];
  if (!id) throw new Error(`the address ${page.url()} names no job`);
  return id;
}

/** Presses a button: by finger where the browser has touch. */
export async function press(locator) {
  const touch = await locator.page().evaluate(() => navigator.maxTouchPoints > 0);
  await (touch ? locator.tap() : locator.click());
}

/**
 * Sweeps one finger over the page and lets it come to rest before it lifts: Chromium drops a tap that follows a flung
 * finger at once, which a person cannot do and a test can.
 */
export async function sweep(browser, from, to) {
  const session = await browser.devtools();
  const send = (type, points) => session.send("Input.dispatchTouchEvent", { type, touchPoints: points });
  const at = (share) => ({ x: from.x + (to.x - from.x) * share, y: from.y + (to.y - from.y) * share, id: 0, radiusX: 11, radiusY: 11 });
  await send("touchStart", [at(0)]);
  for (let step = 1; step <= 10; step += 1) await send("touchMove", [at(step / 10)]);
  await new Promise((done) => setTimeout(done, 80));
  await send("touchMove", [at(1)]);
  await send("touchEnd", []);
}

/** Where the address says that the person stands, and what is peeled away. */
export function standing(page) {
  const [, , , place, layer] = new URL(page.url()).hash.split("/");
  return { place, layer };
}

/** Stands at a place, by its key. */
export async function stand(page, place) {
  await press(page.locator(`[data-place="${place}"]`));
  await page.locator(`[data-place="${place}"][aria-pressed="true"]`).waitFor();
}

/** Peels to a layer, by its key. */
export async function peel(page, layer) {
  await press(page.locator(`[data-layer="${layer}"]`));
  await page.locator(`[data-layer="${layer}"][aria-pressed="true"]`).waitFor();
}

/**
 * Gives the page a function `partAt(x, y)`: the part whose outline is drawn topmost at a point that a finger can reach.
 * The parts take no pointer events themselves, so the page cannot be asked by `elementFromPoint` alone.
 */
export function learnParts(page) {
  return page.evaluate(() => {
    const drawn = [...document.querySelectorAll(".map-svg [data-part]")].reverse().map((path) => ({
      path,
      part: path.dataset.part,
      box: path.getBoundingClientRect(),
      turn: path.getScreenCTM().inverse(),
    }));
    window.partAt = (x, y) => {
      if (!document.elementFromPoint(x, y)?.closest(".map-svg")) return undefined;
      const over = ({ box }) => x >= box.left && x <= box.right && y >= box.top && y <= box.bottom;
      return drawn.find((one) => over(one) && one.path.isPointInFill(new DOMPoint(x, y).matrixTransform(one.turn)))?.part;
    };
  });
}

/**
 * A point on a part as drawn, as far from its edges and from all that covers it as can be had.
 * @returns {Promise<{x: number, y: number, room: number}>} CSS pixels; `room` is the free radius around the point
 */
export async function pointOn(page, part, least = 0) {
  await learnParts(page);
  const found = await page.evaluate((part) => {
    const map = document.querySelector(".map-svg").getBoundingClientRect();
    const on = (x, y) => window.partAt(x, y) === part;
    let best = null;
    for (const path of document.querySelectorAll(`.map-svg [data-part="${part}"]`)) {
      const box = path.getBoundingClientRect();
      const [left, right] = [Math.max(box.left, map.left), Math.min(box.right, map.right)];
      const [top, bottom] = [Math.max(box.top, map.top), Math.min(box.bottom, map.bottom)];
      for (let i = 1; i < 40; i += 1) {
        for (let j = 1; j < 40; j += 1) {
          const x = left + ((right - left) * i) / 40;
          const y = top + ((bottom - top) * j) / 40;
          if (!on(x, y)) continue;
          let room = 0;
          while (room < 40) {
            const next = room + 2;
            const round = [0, 1, 2, 3, 4, 5, 6, 7].map((turn) => (turn * Math.PI) / 4);
            if (!round.every((turn) => on(x + next * Math.cos(turn), y + next * Math.sin(turn)))) break;
            room = next;
          }
          if (!best || room > best.room) best = { x, y, room };
        }
      }
    }
    return best;
  }, part);
  if (!found) throw new Error(`${part} is not to be seen from here`);
  if (found.room < least) throw new Error(`${part} leaves a finger only ${found.room} px`);
  return found;
}

/** Marks a part by one tap on the drawing; where the finger touches two parts, answers the app's question. */
export async function mark(browser, part) {
  const { page } = browser;
  const at = await pointOn(page, part);
  await tap(browser, at);
  const opened = page.locator(`[data-part-sheet="${part}"]:visible`);
  const answer = page.locator(`.ask [data-answer="${part}"]`);
  await opened.or(answer).first().waitFor();
  if (await answer.isVisible()) await press(answer);
  await opened.waitFor();
  return at;
}

/** Chooses the kind of damage of the selected mark. */
export async function setKind(page, kind) {
  const key = page.locator(`.editor [data-value="${kind}"]:visible`);
  if ((await key.count()) === 0) await press(page.locator('.editor [data-value="more"]'));
  await press(key);
  await page.locator(`.editor [data-value="${kind}"][aria-pressed="true"]`).waitFor();
}

/** Chooses one of the four depths of the selected mark, 0 (slight) to 3 (more). */
export async function setDepth(page, step) {
  const depth = page.locator(`.editor .form-row [data-value="${step}"]:visible`);
  await press(depth);
  await page.locator(`.editor .form-row [data-value="${step}"][aria-pressed="true"]`).waitFor();
}

/** The decision that stands in the open sheet: its action and its sentence. */
export async function verdict(page) {
  const action = await page.locator(".decision").getAttribute("data-action");
  const word = await page.locator(".verdict-word").innerText();
  const reason = (await page.locator(".verdict-why").count()) > 0 ? await page.locator(".verdict-why").innerText() : "";
  return { action, word, reason };
}

/** Closes what is open beside the map. */
export async function close(page) {
  await press(page.locator(".sheet-head .key:visible").first());
  await page.locator('.walk[data-open="false"]').waitFor();
}

/** The ids of all marks drawn from here. */
export const marks = (page) => page.locator(".marks [data-mark]").evaluateAll((all) => all.map((one) => one.dataset.mark));

/** Waits until the app says that all is saved. */
export async function saved(page) {
  await page.locator('.saved[data-save="saved"]').first().waitFor();
}

/** What the list of findings says, one line a part; leaves the list open. */
export async function findings(page) {
  if ((await page.locator('.walk[data-open="true"]').count()) > 0) await close(page);
  await press(page.locator('.tab[data-tab="found"]'));
  await page.locator('[data-list="found"]').waitFor({ state: "attached" });
  const rows = await page.locator('[data-list="found"] .row').evaluateAll((rows) =>
    rows.map((row) => `${row.dataset.row}: ${row.innerText.replace(/\s+/g, " ").trim()}`),
  );
  return rows.sort();
}

/** Where the drawn truck stands and how wide it is, CSS pixels; it grows and moves with the picture alone. */
export function picture(page) {
  return page.locator(".map-svg .truck").evaluate((truck) => {
    const box = truck.getBoundingClientRect();
    return { left: box.left, top: box.top, width: box.width };
  });
}
