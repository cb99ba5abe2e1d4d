// A shop's first day: its list comes in with its sets, and the tags are printed. Every click
// is counted, and choosing the file is one.
"use strict";

const assert = require("node:assert/strict");
const { after, before, test } = require("node:test");
const { Desk, browser, turned, SIZES } = require("./desk.js");

/** The most clicks from an empty record to tags printed. */
const MOST_CLICKS = 12;

let chrome;
before(async () => { chrome = await browser(); });
after(async () => { await chrome.close(); });

/** Ten sets of six hoses, as a shop has them in its spreadsheet. */
function list() {
  const hoses = [["octo", "75 cm", "LP1"], ["octo", "1 m", "LP2"], ["bcd", "60 cm", "LP3"],
    ["bcd", "70 cm", "LP4"], ["octo", "2 m", "LP5"], ["spg", "80 cm", "HP1"]];
  const rows = Array.from({ length: 10 }, (_, set) => hoses.map(([type, length, port], n) =>
    `H-${set * 6 + n + 1},${type},${length},2025-03,R${set + 1},${port},2026-05-02,2026-05-02,200 bar`));
  const heads = "No.,Type,Length,Made,Set,Port,Last full inspection,Last leak test,Leak test pressure";
  return [heads, ...rows.flat()].join("\n");
}

for (const [size, viewport] of Object.entries(SIZES)) {
  test(`60 hoses with 10 sets come from a list to printed tags, ${size}`, async () => {
    const desk = new Desk();
    const context = await chrome.newContext({ viewport });
    const page = await context.newPage();
    let clicks = 0;
    const click = (role, name) => {
      clicks += 1;
      return turned(page, () => page.getByRole(role, { name }).click());
    };
    try {
      await page.goto(await desk.serve());
      await click("link", "Or import a list");
      clicks += 1;
      await page.locator("#list").setInputFiles({ name: "hoses.csv", mimeType: "text/csv", buffer: Buffer.from(list()) });
      await click("button", "Show what would be registered");
      await page.getByText("60 to register").waitFor();
      clicks += 1;
      await page.getByLabel("Yes, for rental").check();
      await click("button", "Register them");
      await page.getByText("60 registered, 60 of them fitted").waitFor();
      await click("link", "Print their tags");
      clicks += 1;
      const pdf = page.getByRole("link", { name: "Open the PDF" });
      const response = await page.request.get(new URL(await pdf.getAttribute("href"), page.url()).href);
      assert.ok((await response.body()).subarray(0, 5).equals(Buffer.from("%PDF-")));
      assert.ok(clicks <= MOST_CLICKS, `${clicks} clicks`);
      const tags = new URL(page.url());
      tags.pathname = "/tags/tags.csv";
      const picked = (await (await page.request.get(tags.href)).text()).trim().split("\n");
      assert.equal(picked.length, 1 + 60 + 10);
      const verdicts = JSON.parse(desk.run("list", "--json")).map((hose) => hose.verdict);
      assert.deepEqual([...new Set(verdicts)], ["ready"]);
    } finally {
      await context.close();
      desk.close();
    }
  });
}
