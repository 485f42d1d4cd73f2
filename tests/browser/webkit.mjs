// A browser of the other engine: WebKitGTK under a screen that nobody sees, driven by the W3C WebDriver protocol
// (https://www.w3.org/TR/webdriver2/). Only what the tests need of it. Must never touch a process that it did not start.

import { spawn } from "node:child_process";
import { createServer } from "node:net";
import { once } from "node:events";

const PATIENCE_MS = 30_000;
/** How elements are named in the protocol's answers. */
const ELEMENT = "element-6066-11e4-a52e-4f735466cecf";

/**
 * Starts the browser with one page open.
 * @param {import("node:test").TestContext} t the running test; the browser ends with it
 * @param {{width: number, height: number}} size of the window, CSS pixels
 */
export async function launchWebKit(t, { width, height }) {
  const screen = await started("Xvfb", ["-displayfd", "3", "-screen", "0", `${width}x${height + 200}x24`, "-nolisten", "tcp"], ["ignore", "ignore", "pipe", "pipe"]);
  t.after(() => ended(screen));
  const display = `:${String((await once(screen.stdio[3], "data"))[0]).trim()}`;
  const port = await freePort();
  const driver = await started("WebKitWebDriver", [`--port=${port}`, "--host=127.0.0.1"], ["ignore", "pipe", "pipe"], { DISPLAY: display, WEBKIT_DISABLE_COMPOSITING_MODE: "1" });
  t.after(() => ended(driver));
  const at = `http://127.0.0.1:${port}`;
  await until(async () => (await fetch(`${at}/status`)).ok, "the driver answers");
  const capabilities = { alwaysMatch: { "webkitgtk:browserOptions": { args: ["--automation"] } } };
  const { sessionId, capabilities: got } = await ask(at, "POST", "/session", { capabilities });
  const session = `/session/${sessionId}`;
  t.after(() => ask(at, "DELETE", session).catch(() => {}));
  await ask(at, "POST", `${session}/window/rect`, { width, height });

  const page = {
    version: `${got.browserName} ${got.browserVersion}`,
    goto: (url) => ask(at, "POST", `${session}/url`, { url }),
    /** Runs the body of a function in the page. */
    run: (body, ...args) => ask(at, "POST", `${session}/execute/sync`, { script: body, args }),
    /** Waits until an expression in the page is true, and gives its value. */
    when: (expression, about = expression) => until(() => page.run(`return ${expression}`), about),
    /** Presses what a CSS selector names, as a person's finger or mouse does: by its place on the screen. */
    press: async (css) => {
      await page.when(`!!document.querySelector(${JSON.stringify(css)})`);
      const found = await ask(at, "POST", `${session}/element`, { using: "css selector", value: css });
      await ask(at, "POST", `${session}/element/${found[ELEMENT]}/click`, {});
    },
    /** Types into a field, as keys would. */
    type: async (css, text) => {
      await page.when(`!!document.querySelector(${JSON.stringify(css)})`);
      const found = await ask(at, "POST", `${session}/element`, { using: "css selector", value: css });
      await ask(at, "POST", `${session}/element/${found[ELEMENT]}/value`, { text });
    },
    /** Gives a file to a field for files, as choosing it would: the driver cannot answer the window for that. */
    give: (css, name, type, bytes) =>
      page.run(
        `const bytes = Uint8Array.from(atob(arguments[3]), (letter) => letter.charCodeAt(0));
        const chosen = new DataTransfer();
        chosen.items.add(new File([bytes], arguments[1], { type: arguments[2] }));
        const field = document.querySelector(arguments[0]);
        field.files = chosen.files;
        field.dispatchEvent(new Event("change", { bubbles: true }));`,
        css, name, type, bytes.toString("base64"),
      ),
    /** Presses a point of the page. */
    pressAt: (x, y) => ask(at, "POST", `${session}/actions`, {
      actions: [{
        type: "pointer", id: "finger", parameters: { pointerType: "mouse" },
        actions: [{ type: "pointerMove", x: Math.round(x), y: Math.round(y), duration: 0 }, { type: "pointerDown", button: 0 }, { type: "pointerUp", button: 0 }],
      }],
    }),
    /** A picture of the page, PNG. */
    picture: async () => Buffer.from(await ask(at, "GET", `${session}/screenshot`), "base64"),
  };
  return page;
}

async function ask(at, method, path, body) {
  const answer = await fetch(at + path, { method, body: body && JSON.stringify(body), signal: AbortSignal.timeout(PATIENCE_MS) });
  const { value } = await answer.json();
  if (!answer.ok) throw new Error(`${method} ${path}: ${value?.error}: ${value?.message}`);
  return value;
}

async function until(test, about) {
  const end = Date.now() + PATIENCE_MS;
  for (let last; ; ) {
    try {
      const value = await test();
      if (value) return value;
    } catch (error) {
      last = error;
    }
    if (Date.now() > end) throw new Error(`waited in vain: ${about}${last ? ` (${last.message})` : ""}`);
    await new Promise((done) => setTimeout(done, 100));
  }
}

async function started(program, args, stdio, env = {}) {
  const child = spawn(program, args, { stdio, env: { ...process.env, ...env } });
  await Promise.race([once(child, "spawn"), once(child, "error").then(([error]) => { throw new Error(`${program}: ${error.message}; run \`sh tests/go setup\``); })]);
  return child;
}

async function ended(child) {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const gone = once(child, "exit");
  child.kill();
  await gone;
}

function freePort() {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once("error", reject);
    server.listen(0, "127.0.0.1", () => {
      const { port } = server.address();
      server.close(() => resolve(port));
    });
  });
}
