// People who work here: one tap changes who writes, somebody who may says yes, and who
// leaves is ended in three presses.
"use strict";

const assert = require("node:assert/strict");
const path = require("node:path");
const { after, before, test } = require("node:test");
const axe = require("axe-core");
const { Desk, Effort, browser, turned, SIZES } = require("./desk.js");

const PICTURES = process.env.HOSEWRIGHT_SCREENS;

let chrome;
before(async () => { chrome = await browser(); });
after(() => chrome.close());

for (const [size, viewport] of Object.entries(SIZES)) {
  for (const colorScheme of size === "phone" ? ["light"] : ["dark"]) {
    test(`staff, ${size}, ${colorScheme}`, async () => {
      const desk = new Desk();
      const context = await chrome.newContext({ viewport, colorScheme });
      const page = await context.newPage();
      const picture = async (of) => {
        await page.evaluate(axe.source);
        const { violations } = await page.evaluate(() => globalThis.axe.run(document));
        const serious = violations.filter(({ impact }) => ["serious", "critical"].includes(impact));
        assert.deepEqual(serious.map(({ id, nodes }) => `${of}: ${id}: ${nodes[0].html}`), []);
        if (PICTURES) {
          await page.screenshot({ path: path.join(PICTURES, `${size}-${colorScheme}-${of}.png`), fullPage: true });
        }
      };
      try {
        const hose = desk.hose();
        desk.run("hold", hose, "--why", "it looks odd");
        const effort = await Effort.of(page);
        const at = await desk.serve();
        // The first person, who may release and change the list.
        await page.goto(`${at}/owner/staff`);
        await picture("nobody");
        await page.getByLabel("Short name or number").fill("Mo");
        await page.getByLabel("Release holds and quarantines").check();
        await page.getByLabel("Change the staff list").check();
        await turned(page, () => page.getByRole("button", { name: "Add a person" }).click());
        await page.getByRole("heading", { name: "Mo", exact: true }).waitFor();
        // One tap in the foot.
        await turned(page, () => page.locator("footer").getByRole("button", { name: "Mo" }).click());
        await page.getByText("Recording as Mo", { exact: false }).waitFor();
        await page.locator("#pin").getByLabel("PIN").fill("4821");
        await turned(page, () => page.getByRole("button", { name: "Save the PIN" }).click());
        await picture("person");
        desk.run("device", "list");
        await page.goto(`${at}/owner/staff`);
        await page.getByLabel("Short name or number").fill("7");
        await turned(page, () => page.getByRole("button", { name: "Add a person" }).click());
        // The list wants Mo's PIN now.
        await picture("pin");
        await page.keyboard.type("0000");
        await turned(page, () => page.keyboard.press("Enter"));
        await page.getByText("That is not the right PIN", { exact: false }).waitFor();
        await picture("wrong-pin");
        await page.keyboard.type("4821");
        await turned(page, () => page.keyboard.press("Enter"));
        await page.getByRole("heading", { name: "7", exact: true }).waitFor();
        // 7 may not release: Mo says yes, on the same screen, and nothing is typed again.
        await turned(page, () => page.locator("footer").getByRole("button", { name: "7" }).click());
        await page.goto(`${at}/hose/${hose}/hold`);
        const release = page.locator("#release");
        await release.getByLabel("Why").fill("it was the light");
        await turned(page, () => release.getByRole("button", { name: "Release" }).click());
        await page.getByText("7 may not release holds", { exact: false }).waitFor();
        await picture("who-says-yes");
        await page.keyboard.type("4821");
        await turned(page, () => page.keyboard.press("Enter"));
        await page.getByText("it was the light", { exact: false }).first().waitFor();
        await page.goto(at);
        await page.getByText("1 wrong PIN since", { exact: false }).waitFor();
        await picture("today");
        // Who leaves is ended in three presses from the owner's page.
        await page.goto(`${at}/owner`);
        const { clicks } = await effort.spent();
        await turned(page, () => page.getByRole("link", { name: "Staff" }).click());
        await picture("staff");
        await turned(page, () => page.getByRole("link", { name: /No longer works here.*7/ }).click());
        await picture("leaves");
        await turned(page, () => page.getByRole("button", { name: "No longer works here" }).click());
        assert.equal((await effort.spent()).clicks - clicks, 3);
      } finally {
        await context.close();
        desk.close();
      }
    });
  }
}
