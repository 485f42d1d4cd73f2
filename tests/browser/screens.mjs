// Every screen that is looked at before a change is called done: how to get there and what to call its picture.
// A new screen gets a line here. Must only use what a person sees: roles, names, addresses.

/**
 * @type {{name: string, open: (page: import("playwright-core").Page) => Promise<void>}[]}
 */
export const SCREENS = [
  { name: "gate", open: (page) => go(page, "#/gate") },
  { name: "shop", open: (page) => go(page, "#/shop") },
];

/** Goes to an address within the app and waits until the app has drawn. */
export async function go(page, address) {
  await page.goto(`./${address}`);
  await page.locator(".frame").waitFor();
}
