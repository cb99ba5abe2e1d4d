// The owner plans: a calendar, a list on paper, an order to send, curves, a recall ticked off
// by scans, and limits that say what they would change. What each costs is counted.
"use strict";

const assert = require("node:assert/strict");
const fs = require("node:fs");
const path = require("node:path");
const { after, before, test } = require("node:test");
const axe = require("axe-core");
const { Desk, Effort, browser, turned, SIZES } = require("./desk.js");

/** Where pictures of the screens go, if anywhere. */
const PICTURES = process.env.HOSEWRIGHT_SCREENS;

let chrome;
before(async () => { chrome = await browser(); });
after(() => chrome.close());

/** Tries a work on each size, the counter's in the dark: either is tried both ways elsewhere. */
function onEach(name, work, { demo = false, settings = {} } = {}) {
  for (const [size, viewport, colorScheme] of [
    ["phone", SIZES.phone, "light"], ["counter", SIZES.counter, "dark"],
  ]) {
    test(`${name}, ${size}`, async () => {
      const desk = new Desk();
      const context = await chrome.newContext({ viewport, colorScheme, ...settings });
      const page = await context.newPage();
      const picture = async (of) => {
        await page.evaluate(axe.source);
        const { violations } = await page.evaluate(() => globalThis.axe.run(document));
        const serious = violations.filter(({ impact }) => ["serious", "critical"].includes(impact));
        assert.deepEqual(serious.map(({ id, nodes }) => `${of}: ${id}: ${nodes[0].html}`), []);
        const out = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
        assert.equal(out, 0, `${of}: nothing sticks out`);
        if (PICTURES) {
          await page.screenshot({ path: path.join(PICTURES, `${size}-${of}.png`), fullPage: true });
        }
      };
      try {
        const effort = await Effort.of(page);
        if (demo) {
          await page.goto(await desk.serve());
          await turned(page, () => page.getByRole("button", { name: "Open the demonstration" }).click());
          await page.evaluate(() => sessionStorage.clear());
        }
        await work({ desk, page, picture, effort, context, size });
      } finally {
        await context.close();
        desk.close();
      }
    });
  }
}

/** Ten sets of six hoses, for all of which something is due. */
function tenSets(desk) {
  const ports = ["HP1", "LP1", "LP2", "LP3", "LP4", "LP5"];
  const lines = ["No.,Service,Length,Construction,Made,Set,Port"];
  for (let set = 1; set <= 10; set += 1) {
    desk.run("set", "new", `R${set}`, "--use", "rental", "--ports", "HP:7/16-20=1,LP:3/8-24=5");
    ports.forEach((port, nth) => {
      const service = port === "HP1" ? "gauge" : "octo";
      lines.push(`H${set}-${nth + 1},${service},75 cm,rubber,2024-03,R${set},${port}`);
    });
  }
  fs.writeFileSync(desk.path("hoses.csv"), `${lines.join("\n")}\n`);
  desk.run("import", "hoses.csv");
}

onEach("what is due goes on paper, set by set", async ({ desk, page, picture, size }) => {
  tenSets(desk);
  await page.goto(`${await desk.serve()}/owner/due`);
  await turned(page, () => page.getByRole("link", { name: "Set by set, to print" }).click());
  await page.getByText("due for 60 hoses up to 2026-09-13. Printed on 2026-06-15.").waitFor();
  const sets = await page.locator(".work h2").allTextContents();
  assert.deepEqual(sets, Array.from({ length: 10 }, (_, nth) => `Set R${nth + 1}`), "in order");
  assert.equal(await page.locator(".work li").count(), 60);
  assert.equal(await page.locator(".work .box").count(), 120, "a full inspection and a leak test each");
  await picture("due-print");
  await page.emulateMedia({ media: "print", colorScheme: "light" });
  for (const hidden of ["header", "footer", ".unprinted"]) {
    assert.equal(await page.locator(hidden).first().isVisible(), false, `${hidden} is not printed`);
  }
  const pdf = await page.pdf({ format: "A4", margin: { top: "10mm", bottom: "10mm", left: "10mm", right: "10mm" } });
  const pages = pdf.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g).length;
  assert.ok(pages <= 2, `60 hoses of 10 sets take ${pages} pages`);
  assert.equal(await page.locator("p.caution:visible").count(), 1, "the caution is there once");
  if (PICTURES) {
    fs.writeFileSync(path.join(PICTURES, `${size}-due.pdf`), pdf);
  }
});

onEach("the calendar gets an address, another, and none", async ({ desk, page, picture, effort }) => {
  const code = desk.hose();
  const at = await desk.serve();
  await page.goto(at);
  await turned(page, () => page.getByRole("link", { name: "Owner" }).first().click());
  await turned(page, () => page.getByRole("link", { name: "Calendar of what is due" }).click());
  await picture("calendar-off");
  await turned(page, () => page.getByRole("button", { name: "Make an address" }).click());
  assert.deepEqual(await effort.spent(), { scans: 0, clicks: 3 });
  await page.getByText("Saved.").waitFor();
  await picture("calendar");
  const address = () => page.locator("textarea").first().inputValue();
  const first = await address();
  assert.match(first, /^http:\/\/127\.0\.0\.1:\d+\/calendar\/[a-z2-7]{32}\.ics$/);
  const feed = async (from) => (await fetch(from)).status;
  assert.ok((await (await fetch(first)).text()).includes(code));
  await page.getByRole("button", { name: "Copy" }).first().click();
  await page.getByRole("button", { name: "Copied" }).waitFor();
  await turned(page, () => page.getByRole("button", { name: "New address" }).click());
  const second = await address();
  assert.deepEqual([await feed(first), await feed(second)], [404, 200], "the old one stops at once");
  await turned(page, () => page.getByRole("button", { name: "Switch the calendar off" }).click());
  assert.equal(await feed(second), 404);
  await page.getByText("The calendar is off").waitFor();
}, { settings: { permissions: ["clipboard-read", "clipboard-write"] } });

onEach("an order is copied, or mailed to nobody yet", async ({ page, picture }) => {
  const at = new URL(page.url()).origin;
  await page.goto(`${at}/owner/order?within=2y`);
  const text = await page.locator("#order-text").inputValue();
  assert.match(text, /\d+ x (rubber|braided) .* hose/);
  assert.match(text, /needed (now|by \d{4}-\d\d-\d\d); to replace \d/);
  await picture("order");
  await page.getByRole("button", { name: "Copy" }).click();
  await page.getByRole("button", { name: "Copied" }).waitFor();
  assert.equal((await page.evaluate(() => navigator.clipboard.readText())).replaceAll("\r\n", "\n"), text);
  const mail = page.getByRole("link", { name: "Write a mail with it" });
  if (await mail.count() > 0) {
    const link = new URL(await mail.getAttribute("href"));
    assert.equal(link.pathname, "", "no recipient");
    assert.equal(link.searchParams.get("body").replaceAll("\r\n", "\n"), text);
  }
}, { demo: true, settings: { permissions: ["clipboard-read", "clipboard-write"] } });

onEach("curves have one scale, and too few hoses have none", async ({ page, picture }) => {
  const at = new URL(page.url()).origin;
  for (const by of ["", "maker", "construction", "lot"]) {
    await page.goto(`${at}/owner/survival?by=${by}`);
    const scales = await page.locator("figure.chart svg").evaluateAll((all) => all.map((svg) => (
      [...svg.querySelectorAll("text")].map((text) => text.textContent.trim()).join(" "))));
    assert.equal(new Set(scales).size <= 1, true, `${by}: ${scales}`);
    const captions = await page.locator("figure.chart figcaption").allTextContents();
    for (const caption of captions) {
      assert.ok(Number(/\((\d+) hoses?\)/.exec(caption)[1]) >= 20, caption);
      assert.equal(caption.includes("dashed: all hoses"), by !== "", caption);
    }
    await picture(`survival-${by || "all"}`);
  }
  await page.getByText("Too few to tell").first().waitFor();
  await page.getByText("A curve needs 20 hoses").waitFor();
}, { demo: true });

onEach("a near spelling is asked about, and each scan ticks a hose off", async ({ desk, page, picture, effort }) => {
  desk.run("set", "new", "R1", "--use", "rental", "--ports", "LP:3/8-24=4");
  const lot = (text, port) => {
    const code = desk.hose("second-stage");
    desk.run("describe", code, "--lot", text, "--why", "read off the hose");
    if (port) {
      desk.run("fit", code, "--set", "R1", "--port", port);
    }
    return code;
  };
  const codes = [lot("24-117", "LP1"), lot("24-117", "LP2"), lot("24-117")];
  const other = lot("24-118");
  const at = await desk.serve();
  await page.goto(`${at}/owner/recall?lot=24-118&maker=Kelpline`);
  await page.getByText("Did you mean").waitFor();
  await page.getByLabel("Why").fill("crimps slip");
  await picture("recall-near");
  await turned(page, () => page.getByRole("button", { name: "Start the recall" }).click());
  await page.getByText("Did you mean lot 24-117 of Kelpline? 3 hoses on record are of it").waitFor();
  await picture("recall-asked");
  assert.equal(JSON.parse(desk.run("recall", "--json")).length, 0, "nothing is started");
  await page.goto(`${at}/owner/recall?lot=24-118&maker=Kelpline`);
  await turned(page, () => page.getByRole("link", { name: "Lot 24-117 of Kelpline?" }).click());
  await page.getByLabel("Why").fill("crimps slip");
  await turned(page, () => page.getByRole("button", { name: "Start the recall" }).click());
  await turned(page, () => page.getByRole("button", { name: "Yes, save it" }).click());
  await page.getByText("0 of 3 found").waitFor();
  await page.evaluate(() => sessionStorage.clear());
  await picture("recall-begun");
  await effort.scan(codes[0]);
  await page.getByText("1 of 3 found").waitFor();
  await page.getByText(`${codes[0]} is found and set aside.`).waitFor();
  assert.deepEqual(await page.locator("#missing h3").allTextContents(), ["Set R1", "In stock"]);
  await picture("recall-one-found");
  // A hose that it does not mean, and one that was found already, tick nothing.
  for (const wrong of [other, codes[0], "nothing like it"]) {
    await effort.scan(wrong);
    await page.locator("[role=alert]").first().waitFor();
    await page.getByText("1 of 3 found").waitFor();
  }
  await picture("recall-refused");
  await effort.scan(codes[1]);
  await effort.scan(codes[2]);
  await page.getByText("3 of 3 found").waitFor();
  assert.deepEqual(await effort.spent(), { scans: 6, clicks: 0 });
  await picture("recall-all-found");
});

onEach("limits say what they would change before they are set", async ({ page, picture, effort }) => {
  const at = new URL(page.url()).origin;
  await page.goto(`${at}/`);
  await turned(page, () => page.getByRole("link", { name: "Owner" }).first().click());
  await turned(page, () => page.getByRole("link", { name: "Limits" }).first().click());
  await page.getByText("Rubber ages on the shelf too.").waitFor();
  await picture("limits");
  await turned(page, () => page.getByRole("link", { name: "Braided hoses" }).click());
  assert.ok(await page.getByRole("radio", { name: "Braided" }).isChecked(), "chosen by its name");
  await page.getByLabel("In service, from the first fitting").fill("1y");
  await turned(page, () => page.getByRole("button", { name: "Check what would change" }).click());
  await page.getByText(/\d+ hoses? would go on hold today/).waitFor();
  await page.getByText("Nothing is set yet.").waitFor();
  await picture("limits-check");
  await turned(page, () => page.getByRole("button", { name: "Set limits" }).click());
  await page.getByText("Saved.").waitFor();
  await page.getByText("1 year in service").waitFor();
  assert.deepEqual(await effort.spent(), { scans: 0, clicks: 5 });
}, { demo: true });
