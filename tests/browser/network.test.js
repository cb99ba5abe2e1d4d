// A phone's browser in the shop's network: encrypted, so it gets the camera that browsers give to
// such pages alone; and what is the owner's is done at the desk.
"use strict";

const assert = require("node:assert/strict");
const { test } = require("node:test");
const { Desk, browser, turned, SIZES } = require("./desk.js");

const PHRASE = "sea horse under harbour wall";

test("a door that is opened at the desk lets a phone in by the pass phrase, encrypted", async () => {
  const chrome = await browser();
  const desk = new Desk();
  try {
    const at = await desk.serve();
    const code = desk.hose();
    const counter = await chrome.newPage({ viewport: SIZES.counter ?? Object.values(SIZES).at(-1) });
    await counter.goto(`${at}/owner/meet`);
    await turned(counter, () => counter.getByRole("link", { name: "Devices in the network" }).click());
    await counter.getByLabel("Pass phrase for browsers").fill("short");
    await turned(counter, () => counter.getByRole("button", { name: "Open to the network" }).click());
    assert.match(await counter.locator("main").innerText(), /12 to 200 characters/);
    await counter.getByLabel("Pass phrase for browsers").fill(PHRASE);
    await turned(counter, () => counter.getByRole("button", { name: "Open to the network" }).click());
    const address = new URL(await counter.locator("b.code").first().innerText());
    const shown = await counter.locator(".fingerprint").innerText();
    assert.match(shown, /^([0-9A-F]{2}:){31}[0-9A-F]{2}$/);
    // The desk's own browser goes on as before.
    await counter.goto(`${at}/hoses`);
    assert.equal(new URL(counter.url()).pathname, "/hoses");

    // Whoever compared the fingerprint goes on past the warning.
    const there = `https://127.0.0.1:${address.port}`;
    const warned = await chrome.newContext();
    await assert.rejects((await warned.newPage()).goto(there), /ERR_CERT/);
    const context = await chrome.newContext({ ignoreHTTPSErrors: true, viewport: SIZES.phone, isMobile: true, hasTouch: true });
    const phone = await context.newPage();
    await phone.goto(there);
    assert.equal(new URL(phone.url()).pathname, "/login");
    await phone.getByLabel("Pass phrase", { exact: true }).fill("wrong");
    await turned(phone, () => phone.getByRole("button", { name: "Open", exact: true }).click());
    assert.match(await phone.locator("main, body").first().innerText(), /wrong pass phrase/);
    await phone.getByLabel("Pass phrase", { exact: true }).fill(PHRASE);
    await turned(phone, () => phone.getByRole("button", { name: "Open", exact: true }).click());
    assert.ok(await phone.evaluate(() => globalThis.isSecureContext && Boolean(navigator.mediaDevices)));
    await phone.locator("#scan").fill(code);
    await turned(phone, () => phone.getByRole("button", { name: "Go", exact: true }).click());
    assert.match(await phone.locator("h1").first().innerText(), /./);
    await phone.goto(`${there}/owner/meet`);
    assert.match(await phone.locator("#network").innerText(), /on the desk's own computer/);
    const refused = await phone.goto(`${there}/owner/meet/network`);
    assert.equal(refused.status(), 403);

    // Shut again, nobody comes in.
    await counter.goto(`${at}/owner/meet/network`);
    await turned(counter, () => counter.getByRole("button", { name: "Close to the network" }).click());
    await assert.rejects(phone.goto(`${there}/hoses`));
  } finally {
    await chrome.close();
    desk.close();
  }
});
