// What can be measured of the look: sizes of targets, nothing cut off or scrolling sideways, contrast in the look for sun,
// states told without colour, and the page as it is for those who ask for few colours or little movement.
// Contrast ratio and relative luminance as defined in WCAG 2.2 (W3C Recommendation), "contrast ratio". Its own targets are
// this project's: 15:1 in sun, 64 px while walking, 48 px elsewhere.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { SIZES, bundle, serve, smallTargets } from "./harness.mjs";
import { go, takeDemo } from "./screens.mjs";
import { withBrowser } from "./walking.mjs";

// The whole label of the search is its target, not only the field in it.
const TARGETS = "button:visible, summary:visible, a.key:visible, label.search:visible, :not(.search) > input:not([type=file]):visible, textarea:visible";

let server;
before(async () => {
  server = await serve(bundle());
});
after(() => server.stop());

/** Contrast ratio of two colours, [red, green, blue] from 0 to 255, by WCAG 2.2. */
function contrast(one, other) {
  const luminance = (colour) => {
    const [r, g, b] = colour.map((value) => {
      const share = value / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (high + 0.05) / (low + 0.05);
}

/** Opens a screen of the front-corner demo job. */
const SCREENS = {
  walk: async (page, job) => {
    await go(page, `#/walk/${job}/left/skin`);
    await page.locator(".map-svg [data-part]").first().waitFor();
  },
  sheet: async (page, job) => {
    await go(page, `#/walk/${job}/left/skin`);
    await page.locator('.tab[data-tab="found"]').click();
    await page.locator('[data-list="found"] [data-row="fender-left"] .row-key').click();
    await page.locator(".verdict-word:visible").waitFor();
    await page.locator(".reasons .disclose:visible").click();
    await page.locator(".option:visible").first().waitFor();
  },
  plan: async (page, job) => {
    await go(page, `#/plan/${job}`);
    await page.locator(".finding").first().waitFor();
  },
  gate: async (page) => {
    await go(page, "#/gate");
    await page.locator(".card").first().waitFor();
  },
  shop: (page) => go(page, "#/shop"),
};

async function setLook(page, look) {
  await go(page, "#/shop");
  await page.locator(`[data-value="${look}"]`).click();
  await page.waitForFunction((want) => document.documentElement.dataset.look === want, look);
}

/** Elements whose words do not fit: cut off by their own box. */
const cutOff = (page) =>
  page.evaluate(() =>
    [...document.querySelectorAll("main *, header *")]
      .filter((one) => one.checkVisibility({ visibilityProperty: true }))
      .filter((one) => one.childNodes.length > 0 && [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim()))
      .filter((one) => !one.closest(".spoken, svg, textarea") && one.getClientRects().length > 0)
      .filter((one) => {
        const style = getComputedStyle(one);
        const cuts = style.overflowX !== "visible" || style.textOverflow === "ellipsis";
        const box = one.getBoundingClientRect();
        const key = one.closest(".key")?.getBoundingClientRect();
        const beyond = key && (box.left < key.left - 1 || box.right > key.right + 1 || box.top < key.top - 1.5 || box.bottom > key.bottom + 1.5);
        return (cuts && one.scrollWidth > one.clientWidth + 1) || (beyond && !one.closest(".tab-count"));
      })
      .map((one) => `${one.className || one.tagName}: "${one.textContent.trim().slice(0, 50)}"`),
  );

test("the contrast formula gives the known ratios", () => {
  assert.equal(contrast([0, 0, 0], [255, 255, 255]), 21);
  assert.equal(contrast([0x76, 0x76, 0x76], [255, 255, 255]).toFixed(2), "4.54");
});

for (const size of Object.keys(SIZES)) {
  test(`targets are large enough, nothing is cut off and nothing scrolls sideways: ${size}`, async () => {
    await withBrowser(server, { size }, async (browser, page) => {
      const job = await takeDemo(page, "front-corner");
      for (const [name, open] of Object.entries(SCREENS)) {
        await open(page, job);
        if (name === "walk" || name === "sheet") {
          assert.deepEqual(await smallTargets(page, ".walk .key:visible", 64), [], `${name}: used while walking`);
        }
        assert.deepEqual(await smallTargets(page, TARGETS, 48), [], name);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        assert.ok(wide <= 0, `${name} is ${wide} px too wide`);
        assert.deepEqual(await cutOff(page), [], `${name}: words that do not fit`);
      }
    });
  });
}

test("in the look for sun every word stands 15:1 or better on its ground", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page) => {
    const job = await takeDemo(page, "front-corner");
    await setLook(page, "sun");
    for (const name of ["walk", "sheet", "plan"]) {
      await SCREENS[name](page, job);
      const words = await page.evaluate(() => {
        const colour = (text) => (text.match(/[\d.]+/g) ?? []).map(Number);
        // The ground is that of the nearest ancestor which has one; a half-clear one has no known contrast.
        const ground = (one) => {
          for (let at = one; at; at = at.parentElement) {
            const [r, g, b, a = 1] = colour(getComputedStyle(at).backgroundColor);
            if (a > 0) return { rgb: [r, g, b], clear: a < 1 };
          }
          return { rgb: [255, 255, 255], clear: false };
        };
        return [...document.querySelectorAll("body *")]
          .filter((one) => one.getClientRects().length > 0 && !one.closest(".spoken") && !one.closest("[disabled]"))
          .filter((one) => [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim()))
          .map((one) => {
            const style = getComputedStyle(one);
            const svg = one instanceof SVGElement;
            const ink = colour(svg ? style.fill : style.color);
            let veil = 1;
            for (let at = one; at; at = at.parentElement) veil *= Number(getComputedStyle(at).opacity);
            return { text: one.textContent.trim().slice(0, 40), ink: ink.slice(0, 3), faint: (ink[3] ?? 1) < 1 || veil < 1, ground: svg ? { rgb: [255, 255, 255], clear: false } : ground(one) };
          });
      });
      assert.ok(words.length > 15, `${name} has only ${words.length} words`);
      const weak = words.filter(({ ink, faint, ground }) => faint || ground.clear || contrast(ink, ground.rgb) < 15);
      assert.deepEqual(weak.map(({ text, ink, ground }) => `${text}: ${ink} on ${ground.rgb}`), [], name);
    }
  });
});

test("each state is told by a hatch of its own and by its word, with no colour needed", async () => {
  await withBrowser(server, { size: "desk" }, async (browser, page) => {
    const seen = new Set();
    for (const demo of ["front-corner", "hail", "kinked-frame", "parking-scrape"]) {
      const job = await takeDemo(page, demo);
      await go(page, `#/walk/${job}/left/skin`);
      await page.locator('.tab[data-tab="found"]').click();
      await page.locator('[data-list="found"] .row').first().waitFor();
      const rows = await page.locator('[data-list="found"] .row').evaluateAll((rows) =>
        rows.map((row) => {
          const state = row.querySelector(".row-state").cloneNode(true);
          const sign = [...row.querySelector(".sign").classList].at(-1).replace("sign-", "");
          for (const one of state.querySelectorAll(".sign")) one.remove();
          return { sign, word: state.textContent.trim().toLowerCase() };
        }),
      );
      for (const { sign, word } of rows) {
        assert.equal(word, sign);
        seen.add(sign);
      }
    }
    assert.ok(seen.size >= 3, `the demo jobs show ${[...seen].join(", ")}`);
    // Colour taken away, the hatches still differ: by their shapes alone.
    const hatches = await page.locator("pattern[id^=map-]").evaluateAll((all) =>
      all.map((one) => [one.id, [...one.querySelectorAll("path, circle")].map((part) => part.getAttribute("d") ?? `dot ${part.getAttribute("r")}`).join(" ")]),
    );
    assert.equal(hatches.length, 5);
    assert.equal(new Set(hatches.map(([, shape]) => shape)).size, hatches.length, "two states share a hatch");
    assert.ok(hatches.every(([, shape]) => shape.length > 3));
    const fills = await page.locator(".states .state-area").evaluateAll((all) =>
      all.map((one) => [one.dataset.action, one.getAttribute("fill") ?? ""]),
    );
    for (const [action, fill] of fills) assert.match(fill, action === "leave" ? /none/ : new RegExp(`url\\(.*#map-${action}`));
  });
});

test("all that is drawn is drawn as SVG, and shows with forced colours and without movement", async () => {
  await withBrowser(server, { size: "tablet" }, async (browser, page) => {
    const job = await takeDemo(page, "front-corner");
    await SCREENS.walk(page, job);
    const strange = await page.evaluate(() =>
      [...document.querySelectorAll("svg, svg *")].filter((one) => one.namespaceURI !== "http://www.w3.org/2000/svg").map((one) => one.outerHTML.slice(0, 80)),
    );
    assert.deepEqual(strange, [], "an element outside of the SVG namespace is never painted");
    const empty = await page.locator(".map-svg .outline").evaluateAll((all) => all.filter((one) => one.getBBox().width <= 0).length);
    assert.equal(empty, 0);

    await page.emulateMedia({ forcedColors: "active", reducedMotion: "reduce" });
    for (const [name, open] of Object.entries(SCREENS)) {
      await open(page, job);
      assert.ok(await page.locator("main").first().isVisible(), name);
      const moving = await page.evaluate(() => document.getAnimations().filter((one) => one.playState === "running" && one.effect.getComputedTiming().duration > 10).length);
      assert.equal(moving, 0, `${name} moves`);
    }
    await SCREENS.walk(page, job);
    const lines = await page.locator(".map-svg .outline").evaluateAll((all) => all.filter((one) => getComputedStyle(one).stroke === "none").length);
    assert.equal(lines, 0, "outlines have a line with forced colours");
  });
});
