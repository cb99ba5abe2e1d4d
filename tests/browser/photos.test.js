// A photo is attached to a finding, kept, and shown where the finding is shown.
"use strict";

const assert = require("node:assert/strict");
const fs = require("node:fs");
const { after, before, test } = require("node:test");
const zlib = require("node:zlib");
const { Desk, browser, SIZES } = require("./desk.js");

let chrome;
before(async () => { chrome = await browser(); });
after(() => chrome.close());

/** A PNG file of random grey values: it does not pack, so it is a few megabytes. */
function noise(width, height) {
  const rows = Buffer.alloc(height * (width + 1));
  let state = 7;
  for (let at = 0; at < rows.length; at += 1) {
    state = (state * 1103515245 + 12345) & 0x7fffffff;
    rows[at] = at % (width + 1) === 0 ? 0 : state >> 16;
  }
  const part = (type, data) => {
    const body = Buffer.concat([Buffer.from(type), data]);
    const out = Buffer.alloc(body.length + 8);
    out.writeUInt32BE(data.length, 0);
    body.copy(out, 4);
    out.writeUInt32BE(zlib.crc32(body), body.length + 4);
    return out;
  };
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([8, 0, 0, 0, 0], 8);
  const magic = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  return Buffer.concat([magic, part("IHDR", head), part("IDAT", zlib.deflateSync(rows)), part("IEND", Buffer.alloc(0))]);
}

async function onEach(path) {
  for (const [size, viewport] of Object.entries(SIZES)) {
    for (const javaScriptEnabled of [true, false]) {
      const desk = new Desk();
      const context = await chrome.newContext({ viewport, javaScriptEnabled });
      const page = await context.newPage();
      try {
        await desk.serve();
        await path({ desk, page, at: desk.address, size });
      } finally {
        await context.close();
        desk.close();
      }
    }
  }
}

/** Fills in a full inspection with a scuff on the run. */
async function fill(page, tick = true) {
  for (const box of await page.getByLabel("Nothing found").all()) {
    await box.check();
  }
  await page.locator("details", { has: page.locator("#photo-run") }).locator("summary").click();
  if (tick) {
    await page.locator("input[value='run:scuff']").check();
  }
}

test("a photo is kept with a finding and shown with it", () => onEach(async ({ desk, page, at }) => {
  const code = desk.hose();
  const photo = desk.path("photo.png");
  fs.writeFileSync(photo, noise(1600, 1200));
  await page.goto(`${at}/hose/${code}/inspect?kind=full`);
  await fill(page);
  await page.locator("#photo-run").setInputFiles(photo);
  await page.getByRole("button", { name: "Save" }).click();
  const shown = page.getByRole("img", { name: "photo: on the run" });
  // Beside the last inspection, and in the history.
  await shown.nth(1).waitFor();
  assert.equal(await shown.count(), 2);
  const [kept] = JSON.parse(desk.run("photos", code, "--json"));
  assert.ok(kept.bytes <= 64 * 1024, String(kept.bytes));
  const address = await shown.first().getAttribute("src");
  assert.equal(address, `/hose/${code}/photo/${kept.name}`);
  const file = await page.request.get(at + address);
  assert.equal(file.headers()["content-type"], "image/jpeg");
  assert.equal((await file.body()).length, kept.bytes);
  // The browser can draw it.
  await shown.first().scrollIntoViewIfNeeded();
  assert.ok(await shown.first().evaluate((img) => img.decode().then(() => img.naturalWidth >= img.naturalHeight && img.naturalWidth > 100)));
  // Beside the form, next time.
  await page.goto(`${at}/hose/${code}/inspect?kind=quick`);
  await page.getByRole("img", { name: "photo: on the run" }).waitFor();
  for (const path of [`/hose/${code}/photo/0123456789abcdef`, `/hose/${code}/photo/none`]) {
    assert.equal((await page.request.get(at + path)).status(), 404, path);
  }
}));

test("a photo comes with what was found on a set that came back", () => onEach(async ({ desk, page, at, size }) => {
  desk.run("set", "new", "R1", "--use", "rental", "--ports", "LP:3/8-24=2");
  const codes = [desk.good("R1", "LP1"), desk.good("R1", "LP2")];
  desk.run("rental", "out", "R1", "--ticket", "41", ...codes);
  const photo = desk.path("photo.png");
  fs.writeFileSync(photo, noise(400, 300));
  await page.goto(`${at}/set/R1/in?${codes.map((code) => `scanned=${code}`).join("&")}`);
  const field = page.locator(`[name="${codes[0]}|photo-run"]`);
  // What was found is reported of the hose, then of the place.
  for (const details of await page.locator("details", { has: field }).all()) {
    await details.locator("summary").first().click();
  }
  await page.locator(`[name="${codes[0]}|finding"][value="run:scuff"]`).check();
  await field.setInputFiles(photo);
  if (process.env.HOSEWRIGHT_SCREENS) {
    await page.screenshot({ path: `${process.env.HOSEWRIGHT_SCREENS}/${size}-return-photo.png`, fullPage: true });
  }
  await page.locator(`[name="${codes[1]}|clear"]`).check();
  await page.getByLabel("Dives made with it").fill("2");
  await page.getByRole("button", { name: "Take back as ticked above" }).click();
  await page.getByText("Set R1 is back from ticket 41", { exact: false }).waitFor();
  await page.goto(`${at}/hose/${codes[0]}`);
  await page.getByRole("img", { name: "photo: on the run" }).first().waitFor();
  assert.equal(JSON.parse(desk.run("photos", codes[1], "--json") || "[]").length, 0);
}));

test("a photo that cannot be kept is refused, and nothing is written", () => onEach(async ({ desk, page, at }) => {
  const code = desk.hose();
  const before = desk.run("export");
  const bad = desk.path("words.png");
  fs.writeFileSync(bad, "no picture");
  for (const [tick, file, said] of [[false, bad, "not a PNG or JPEG picture"], [true, bad, "not a PNG or JPEG picture"]]) {
    await page.goto(`${at}/hose/${code}/inspect?kind=full`);
    await fill(page, tick);
    await page.locator("#photo-run").setInputFiles(file);
    const [answer] = await Promise.all([
      page.waitForResponse((response) => response.request().method() === "POST"),
      page.getByRole("button", { name: "Save" }).click(),
    ]);
    assert.equal(answer.status(), 400);
    await page.getByText(said).first().waitFor();
    // The form comes back, but for the photo.
    assert.equal(await page.locator("input[value='run:scuff']").isChecked(), tick);
    await page.getByText("Choose the file again").first().waitFor();
    assert.equal(desk.run("export"), before);
  }
}));
