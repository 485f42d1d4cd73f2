// Fingers, by Chromium's own touch input: tap, long press, drag, two-finger pinch and pan. Points are CSS pixels of
// the page. Must never call the page's script: what arrives there are real touch and pointer events.

const STEPS = 12;

/** @typedef {{x: number, y: number}} Point */

const send = (session, type, points) =>
  session.send("Input.dispatchTouchEvent", {
    type,
    touchPoints: points.map(({ x, y }, id) => ({ x, y, id, radiusX: 11, radiusY: 11, force: 1 })),
  });

const wait = (time) => new Promise((done) => setTimeout(done, time));

const between = (from, to, share) => ({ x: from.x + (to.x - from.x) * share, y: from.y + (to.y - from.y) * share });

/** Moves some fingers together along straight lines. */
async function strokes(browser, lines, { steps = STEPS, pause = 16, hold = 0 } = {}) {
  const session = await browser.devtools();
  await send(session, "touchStart", lines.map(([from]) => from));
  if (hold > 0) await wait(hold);
  for (let step = 1; step <= steps; step += 1) {
    await send(session, "touchMove", lines.map(([from, to]) => between(from, to, step / steps)));
    await wait(pause);
  }
  await send(session, "touchEnd", []);
}

/** A short tap. @param {Point} point */
export async function tap(browser, point) {
  const session = await browser.devtools();
  await send(session, "touchStart", [point]);
  await wait(30);
  await send(session, "touchEnd", []);
}

/** Holds one finger still; 700 ms is past every long-press limit in use. @param {Point} point */
export async function longPress(browser, point, time = 700) {
  const session = await browser.devtools();
  await send(session, "touchStart", [point]);
  await wait(time);
  await send(session, "touchEnd", []);
}

/** One finger from here to there. @param {Point} from @param {Point} to */
export function drag(browser, from, to, options) {
  return strokes(browser, [[from, to]], options);
}

/**
 * Two fingers about a point, on a slanted line, from one distance to another (a zoom of `end / start`).
 * @param {Point} middle @param {number} start @param {number} end pixels between the fingers
 */
export function pinch(browser, middle, start, end, options) {
  const at = (distance, side) => ({ x: middle.x + side * distance * 0.4, y: middle.y + side * distance * 0.3 });
  return strokes(browser, [[at(start, -1), at(end, -1)], [at(start, 1), at(end, 1)]], options);
}

/** Two fingers side by side, moved together. @param {Point} from @param {Point} to */
export function twoFingerDrag(browser, from, to, options) {
  const beside = ({ x, y }, side) => ({ x: x + side * 40, y });
  return strokes(browser, [[beside(from, -1), beside(to, -1)], [beside(from, 1), beside(to, 1)]], options);
}

/** The middle of what a locator finds, after it was scrolled into view. @returns {Promise<Point>} */
export async function centre(locator) {
  await locator.scrollIntoViewIfNeeded();
  const box = await locator.boundingBox();
  if (!box) throw new Error(`nothing visible for ${locator}`);
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}
