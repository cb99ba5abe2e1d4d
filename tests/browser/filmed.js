// Films on a screen, as another device's camera sees them.
"use strict";

const fs = require("node:fs");

/** As many pictures of a screen as are wanted, each of another frame of its film. */
async function taken(page, pictures) {
  const frames = [];
  const count = () => page.evaluate(() => Number(document.getElementById("strip").dataset.shown ?? 0));
  let before = 0;
  while (frames.length < pictures) {
    await page.waitForFunction((shown) => Number(document.getElementById("strip").dataset.shown ?? 0) > shown, before);
    before = await count();
    frames.push(await page.screenshot({ type: "jpeg", quality: 85 }));
  }
  return frames;
}

/** What a camera sees: each picture of a screen for a tenth of a second. */
function camera(desk, name, frames) {
  fs.writeFileSync(desk.path(name), Buffer.concat(frames.flatMap((frame) => [frame, frame, frame])));
  return desk.path(name);
}

/** Starts a film of all that is on record, at a pace; `turned` waits for the page that follows a press. */
async function started(page, turned, pace) {
  await turned(page, () => page.getByRole("button", { name: "Show everything" }).click());
  if (pace) {
    await page.getByLabel(pace, { exact: false }).check();
    await turned(page, () => page.getByRole("button", { name: "Show it so" }).click());
  }
  await page.getByRole("button", { name: "Start the film" }).click();
}

module.exports = { camera, started, taken };
