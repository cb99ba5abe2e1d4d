// A phone's browser and a counter meet by sight: each shows a film to the other's camera.
"use strict";

const assert = require("node:assert/strict");
const { test } = require("node:test");
const { Desk, browser, turned } = require("./desk.js");
const { camera, started, taken } = require("./filmed.js");
const { Host, Phone } = require("./pocket.js");

test("pocket: a phone and a counter have the same entries once each has seen the other's film", async () => {
  const [phone, host, desk] = [new Phone(), new Host(), new Desk()];
  const plain = await browser();
  let chrome;
  try {
    const at = await host.serve();
    const code = Array.from({ length: 12 }, () => desk.hose())[5];
    const counter = await plain.newPage({ viewport: { width: 1280, height: 720 } });
    await counter.goto(`${await desk.serve()}/owner/meet`);
    await started(counter, turned);
    const film = camera(desk, "counter.mjpeg", await taken(counter, 12));

    // The phone sees the counter's film, without a network.
    const page = await phone.start({ film });
    await phone.open(at);
    await phone.offline();
    await host.gone();
    await phone.goto(`${at}/owner/meet`);
    await phone.press("Watch the other screen");
    await page.getByRole("button", { name: "Turn the camera on" }).tap();
    await page.getByRole("heading", { name: "Imported" }).waitFor();
    await page.getByText("12 entries new").waitFor();
    await phone.scan(code);
    assert.equal(await page.locator(".banner .code").textContent(), code);

    // What it writes goes back the same way: all of it, since the counter did not say what it has.
    await phone.goto(`${at}/hose/${code}/care`);
    await phone.turned(() => page.locator("form[action$='/clean'] button[type=submit]").tap());
    await phone.goto(`${at}/owner/meet`);
    await started(page, (_, act) => phone.turned(act));
    const seen = await taken(page, 14);
    assert.deepEqual(phone.slips, []);
    chrome = await browser(camera(desk, "phone.mjpeg", await upright(plain, seen)));
    const other = await chrome.newPage({ viewport: { width: 1280, height: 720 } });
    await other.goto(`${desk.address}/owner/meet/watch`);
    await other.getByRole("button", { name: "Turn the camera on" }).click();
    await other.getByText("1 entry new, 12 known already").waitFor();
    assert.match(desk.run("history", code), /cleaned|washed|rinsed/i);
  } finally {
    await phone.close();
    await Promise.all([plain.close(), chrome?.close()]);
    await host.gone().catch(() => {});
    desk.close();
    phone.remove();
  }
});

/** A phone's screen as a camera sees it that lies: on a table, turned a little. */
async function upright(chrome, pictures) {
  const page = await chrome.newPage({ viewport: { width: 1280, height: 720 } });
  const frames = [];
  for (const picture of pictures) {
    await page.setContent(`<body style="margin:0;background:#5d6a60;overflow:hidden;perspective:2500px">
      <img src="data:image/jpeg;base64,${picture.toString("base64")}" style="position:absolute;left:330px;top:-260px;
      width:640px;transform:rotateY(6deg) rotateZ(2deg)">`);
    frames.push(await page.screenshot({ type: "jpeg", quality: 85 }));
  }
  await page.close();
  return frames;
}
