// The four ways into the box: a scanner that types, the camera, a photo, the
// keyboard alone.
"use strict";

const assert = require("node:assert/strict");
const fs = require("node:fs");
const { test } = require("node:test");
const { Desk, browser, SIZES } = require("./desk.js");
const { film } = require("./film.js");

test("the camera sees a tag, and the answer is there", async () => {
  const desk = new Desk();
  const plain = await browser();
  const code = desk.hose();
  const chrome = await browser(await film(plain, desk, [code], "film.mjpeg"));
  try {
    const at = await desk.serve();
    for (const viewport of Object.values(SIZES)) {
      const page = await chrome.newPage({ viewport });
      page.on("console", (said) => assert.doesNotMatch(said.text(), /Content Security Policy/));
      await page.goto(at);
      await page.getByRole("button", { name: "Camera" }).click();
      await page.waitForURL(new RegExp(`/hose/${code}`));
      assert.equal(await page.locator(".banner .code").textContent(), code);
      await page.close();
    }
  } finally {
    await Promise.all([plain.close(), chrome.close()]);
    desk.close();
  }
});

test("the camera goes on until every hose of a set was seen", async () => {
  const desk = new Desk();
  const plain = await browser();
  desk.run("set", "new", "R1", "--use", "rental", "--ports", "LP:3/8-24=4");
  const codes = [desk.good("R1", "LP1"), desk.good("R1", "LP2")];
  const chrome = await browser(await film(plain, desk, codes, "film.mjpeg"));
  try {
    const page = await chrome.newPage({ viewport: SIZES.counter });
    await page.goto(`${await desk.serve()}/set/R1/out`);
    await page.getByRole("button", { name: "Camera" }).click();
    await page.getByText("2 of 2").waitFor();
    await page.getByText("is complete", { exact: false }).waitFor();
  } finally {
    await Promise.all([plain.close(), chrome.close()]);
    desk.close();
  }
});

test("a scanner that types is heard wherever the page stands", async () => {
  const desk = new Desk();
  const chrome = await browser();
  try {
    const codes = [desk.hose(), desk.hose()];
    desk.run("tag", codes[1], "--out", "tag.png");
    const [{ texts }] = desk.run("read", "tag.png", "--json").split("\n").map((line) => JSON.parse(line));
    const at = await desk.serve();
    const page = await chrome.newPage({ viewport: SIZES.counter });
    await page.goto(`${at}/hose/${codes[0]}`);
    await page.locator("h1").click();
    await page.keyboard.type(texts[0], { delay: 2 });
    await page.keyboard.press("Enter");
    await page.waitForURL(`**/hose/${codes[1]}`);
    // With a choice in focus a scan is still a scan; in a field of text it is text.
    await page.goto(`${at}/register`);
    await page.getByLabel("Braided").check();
    await page.keyboard.type(codes[0]);
    await page.keyboard.press("Enter");
    await page.waitForURL(`**/hose/${codes[0]}`);
    await page.goto(`${at}/register`);
    await page.getByLabel("Maker, as printed on it").pressSequentially("Kelp");
    assert.equal(await page.getByLabel("Maker, as printed on it").inputValue(), "Kelp");
  } finally {
    await chrome.close();
    desk.close();
  }
});

test("a photo is read as soon as it is taken", async () => {
  const desk = new Desk();
  const chrome = await browser();
  try {
    const code = desk.hose();
    desk.run("tag", code, "--out", "tag.png");
    fs.writeFileSync(desk.path("note.png"), "no picture at all");
    const at = await desk.serve();
    const page = await chrome.newPage({ viewport: SIZES.phone });
    await page.goto(at);
    await page.locator("#photo").setInputFiles(desk.path("tag.png"));
    await page.waitForURL(`**/hose/${code}`);
    await page.locator("#photo").setInputFiles(desk.path("note.png"));
    await page.getByText("That did not work").first().waitFor();
  } finally {
    await chrome.close();
    desk.close();
  }
});

test("the keyboard alone goes everywhere, and where it is can be seen", async () => {
  const desk = new Desk();
  const chrome = await browser();
  try {
    const at = await desk.serve();
    const page = await chrome.newPage({ viewport: SIZES.counter });
    await page.goto(`${at}/register`);
    // The box is in focus first, for the scanner; the way past it stands before it.
    const skips = () => page.evaluate(() => document.activeElement.className === "skip");
    for (let n = 0; n < 20 && !(await skips()); n += 1) {
      await page.keyboard.press("Shift+Tab");
    }
    assert.ok(await skips());
    await page.keyboard.press("Enter");
    const focused = () => page.evaluate(() => document.activeElement.name ?? "");
    const goTo = async (name) => {
      for (let n = 0; n < 40 && (await focused()) !== name; n += 1) {
        await page.keyboard.press("Tab");
        const seen = await page.evaluate(() => {
          const style = getComputedStyle(document.activeElement);
          return document.activeElement === document.body || style.outlineStyle !== "none";
        });
        assert.ok(seen, `the focus on ${await focused()} cannot be seen`);
      }
      assert.equal(await focused(), name);
    };
    await goTo("service");
    await page.keyboard.press("ArrowDown");
    await goTo("construction");
    await page.keyboard.press("Space");
    await goTo("length");
    await page.keyboard.type("56 cm");
    await page.keyboard.press("Enter");
    await page.locator(".banner h1", { hasText: "hold" }).waitFor();
    assert.match(await page.locator(".banner").textContent(), /inflator hose, 56 cm/);
  } finally {
    await chrome.close();
    desk.close();
  }
});
