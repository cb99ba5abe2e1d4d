// Two devices meet by sight: one browser draws a film, the camera of another sees it.
"use strict";

const assert = require("node:assert/strict");
const fs = require("node:fs");
const { test } = require("node:test");
const { Desk, browser, SIZES, turned } = require("./desk.js");
const { camera, started, taken } = require("./filmed.js");

/** Starts a film of all that a desk has, as a browser shows it. */
async function shown(chrome, desk, pace) {
  const page = await chrome.newPage({ viewport: { width: 1280, height: 720 } });
  await page.goto(`${await desk.serve()}/owner/meet`);
  await started(page, turned, pace);
  return page;
}

async function watched(page, at) {
  await page.goto(`${at}/owner/meet/watch`);
  await page.getByRole("button", { name: "Turn the camera on" }).click();
}

test("a film on one screen comes in through the camera of another, and what the other lacks goes back", async () => {
  const [one, other] = [new Desk(), new Desk()];
  const plain = await browser();
  let chrome;
  try {
    const code = Array.from({ length: 20 }, () => one.hose())[7];
    other.hose();
    const screen = await shown(plain, one);
    const film = camera(one, "film.mjpeg", await taken(screen, 16));
    // Paused, it stands still.
    await screen.getByRole("button", { name: "Pause" }).click();
    const stands = await screen.locator("#strip").getAttribute("data-shown");
    await screen.screenshot();
    assert.equal(await screen.locator("#strip").getAttribute("data-shown"), stands);

    chrome = await browser(film);
    const page = await chrome.newPage({ viewport: SIZES.counter });
    page.on("console", (said) => assert.doesNotMatch(said.text(), /Content Security Policy/));
    const at = await other.serve();
    await watched(page, at);
    await page.getByRole("heading", { name: "Imported" }).waitFor();
    await page.getByText("20 entries new").waitFor();
    assert.equal(other.run("answer", code).includes(code), true);
    // The film said what its screen has: only the one entry of this desk goes back.
    await turned(page, () => page.getByRole("button", { name: "Show it what it lacks" }).click());
    await page.getByText("1 entry: 1 second at least").waitFor();
    // One frame stands still: it needs no script, and any camera or program reads it.
    const picture = await page.request.get(new URL(await page.locator(".strip img").getAttribute("src"), at).href);
    fs.writeFileSync(one.path("rest.png"), await picture.body());
    assert.equal(JSON.parse(one.run("merge", "rest.png", "--json")).merge.new, 1);
  } finally {
    await Promise.all([plain.close(), chrome?.close()]);
    one.close();
    other.close();
  }
});

test("half a film that is left is gone on with, by another camera and another program", async () => {
  const [one, other] = [new Desk(), new Desk()];
  const plain = await browser();
  let chrome;
  try {
    Array.from({ length: 20 }, () => one.hose());
    // Larger squares have less in each, and so the film has more of them.
    const frames = await taken(await shown(plain, one, "For a camera further away"), 20);
    chrome = await browser(camera(one, "first.mjpeg", frames.slice(0, 2)));
    let page = await chrome.newPage({ viewport: SIZES.phone });
    await watched(page, await other.serve());
    await page.getByText(/2 of \d+ parts seen/).first().waitFor();
    await turned(page, () => page.getByRole("button", { name: "Stop, and go on later" }).click());
    await page.getByText(/A film is half seen: 2 of/).waitFor();
    await chrome.close();
    other.server.kill();

    const parts = Number(/2 of (\d+)/.exec(await half(plain, other))[1]);
    assert.ok(parts > 5 && parts < 20, `${parts}`);
    // One part fewer than it takes, none of them seen before: only with the first two it is whole.
    chrome = await browser(camera(one, "rest.mjpeg", frames.slice(2, parts + 1)));
    page = await chrome.newPage({ viewport: SIZES.phone });
    await watched(page, other.address);
    await page.getByText("20 entries new").waitFor();
    await page.goto(`${other.address}/owner/meet/watch`);
    assert.equal(await page.getByText("half seen").count(), 0);
  } finally {
    await Promise.all([plain.close(), chrome?.close()]);
    one.close();
    other.close();
  }
});

/** What a desk that began again says of the film that was left half seen. */
async function half(chrome, desk) {
  const page = await chrome.newPage();
  await page.goto(`${await desk.serve()}/owner/meet/watch`);
  return page.getByText("A film is half seen").textContent();
}

test("a film never begins by itself, and goes calmly where less movement is asked for", async () => {
  const desk = new Desk();
  const chrome = await browser();
  try {
    Array.from({ length: 12 }, () => desk.hose());
    const at = await desk.serve();
    for (const [reducedMotion, calm] of [["reduce", true], ["no-preference", false]]) {
      const page = await chrome.newPage({ viewport: SIZES.phone, reducedMotion });
      await page.goto(`${at}/owner/meet`);
      await turned(page, () => page.getByRole("button", { name: "Show everything" }).click());
      await page.getByText("The film flickers").waitFor();
      assert.equal(await page.locator("#strip").isVisible(), false);
      assert.equal(await page.getByText("so the film goes calmly").isVisible(), calm);
      await page.keyboard.press("Escape");
      await page.getByRole("button", { name: "Start the film" }).focus();
      await page.keyboard.press("Enter");
      await page.locator("#strip").waitFor();
      // At no time were there more changes than the pace allows, by the page's own clock.
      const [changes, seconds] = await page.evaluate(() => new Promise((done) => {
        const shown = () => Number(document.getElementById("strip").dataset.shown ?? 0);
        const [before, begun] = [shown(), performance.now()];
        setTimeout(() => done([shown() - before, (performance.now() - begun) / 1000]), 2000);
      }));
      assert.ok(changes <= (calm ? 2 : 15) * seconds + 1, `${changes} in ${seconds} s`);
      await turned(page, async () => {
        await page.getByLabel("Calm", { exact: false }).check();
        await page.getByRole("button", { name: "Show it so" }).click();
      });
      assert.equal(await page.locator("#strip-box").getAttribute("data-rate"), "2");
      await page.close();
    }
  } finally {
    await chrome.close();
    desk.close();
  }
});
