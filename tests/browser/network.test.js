// A phone's browser in the shop's network: encrypted, so it gets the camera that browsers give to
// such pages alone; and what is the owner's is done at the desk.
"use strict";

const assert = require("node:assert/strict");
const net = require("node:net");
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

/** A server that takes connections and says nothing, and where it is. */
async function silent() {
  const sockets = new Set();
  const server = net.createServer((socket) => {
    sockets.add(socket);
    socket.on("error", () => {});
  });
  await new Promise((resolve) => { server.listen(0, "127.0.0.1", resolve); });
  return {
    place: `postgres://desk@127.0.0.1:${server.address().port}/fleet`,
    hangUp: () => sockets.forEach((socket) => socket.destroy()),
    close: () => server.close(),
  };
}

async function calls(page, at, place) {
  await page.goto(`${at}/owner/meet`);
  await page.getByLabel("The symbol's text, or an address").fill(place);
  await turned(page, () => page.locator("#call").getByRole("button", { name: "Meet" }).click());
  await page.getByRole("heading", { name: "A meeting is under way" }).waitFor();
}

test("a meeting says how far it is, is stopped by a press, and its page follows it by itself", async () => {
  const chrome = await browser();
  const desk = new Desk();
  const there = await silent();
  try {
    const at = await desk.serve();
    const page = await chrome.newPage({ viewport: SIZES.phone });
    await calls(page, at, there.place);
    await page.getByText("Waiting for the other side.").waitFor();
    // It looks again by itself, and nobody loses the button meanwhile.
    const stop = page.getByRole("button", { name: "Stop", exact: true });
    await stop.focus();
    await page.waitForResponse((answer) => new URL(answer.url()).pathname === "/owner/meet/under-way");
    await page.waitForResponse((answer) => new URL(answer.url()).pathname === "/owner/meet/under-way");
    assert.ok(await stop.evaluate((button) => button === document.activeElement));
    // What is under way is said once at most, however often the page looks.
    assert.match(await page.locator("#meeting-says").textContent(), /^(Waiting for the other side\.)?$/);
    await turned(page, () => stop.click());
    await page.getByText("Stopped, as asked. Nothing is half done").waitFor();
    assert.equal(await page.getByLabel("The symbol's text, or an address").inputValue(), there.place);

    // The other side hangs up: the page that is shown says so, and goes nowhere.
    await calls(page, at, there.place);
    await stop.focus();
    there.hangUp();
    const title = page.getByRole("heading", { name: "The meeting did not go through" });
    await title.waitFor();
    assert.match(await page.title(), /did not go through/);
    assert.ok(await title.evaluate((one) => one === document.activeElement), "who was at the button is at the words");
    assert.equal(await page.locator("#meeting [name=place]").inputValue(), there.place);

    // Without scripts one asks by a link.
    const bare = await (await chrome.newContext({ javaScriptEnabled: false })).newPage();
    await calls(bare, at, there.place);
    await turned(bare, () => bare.getByRole("link", { name: "How far is it?" }).click());
    await turned(bare, () => bare.getByRole("button", { name: "Stop", exact: true }).click());
    await bare.getByRole("heading", { name: "Stopped" }).or(bare.getByText("It stops as soon as it can")).waitFor();
  } finally {
    await chrome.close();
    desk.close();
    there.close();
  }
});
