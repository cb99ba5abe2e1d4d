// What the day's work costs: scans and clicks, counted from the home page to where it is
// on record.
"use strict";

const assert = require("node:assert/strict");
const fs = require("node:fs");
const path = require("node:path");
const { after, before, test } = require("node:test");
const axe = require("axe-core");
const { Desk, Effort, browser, turned } = require("./desk.js");

const SIZES = { phone: { width: 390, height: 844 }, counter: { width: 1280, height: 800 } };
/** Where pictures of the screens go, if anywhere. */
const PICTURES = process.env.HOSEWRIGHT_SCREENS;

let chrome;
before(async () => { chrome = await browser(); });
after(() => chrome.close());

/** A set of five hoses, with their codes by port. */
function setOfFive(desk, name) {
  desk.run("set", "new", name, "--use", "rental", "--ports", "HP:7/16-20=1,LP:3/8-24=4");
  const seats = [["HP1", "gauge"], ["LP1"], ["LP2"], ["LP3"], ["LP4", "inflator"]];
  const codes = seats.map(([port, service]) => desk.good(name, port, service));
  codes.forEach((code, nth) => desk.run("describe", code, "--number", `${name}-${nth + 1}`));
  return codes;
}

/** Tries a work on each size, from the home page. */
function onEach(name, work) {
  for (const [size, viewport] of Object.entries(SIZES)) {
    test(`${name}, ${size}`, async () => {
      const desk = new Desk();
      const context = await chrome.newContext({ viewport });
      const page = await context.newPage();
      // What is looked at can be read, too.
      const picture = async (of, fullPage = false) => {
        await page.evaluate(axe.source);
        const { violations } = await page.evaluate(() => globalThis.axe.run(document));
        const serious = violations.filter(({ impact }) => ["serious", "critical"].includes(impact));
        assert.deepEqual(serious.map(({ id, nodes }) => `${of}: ${id}: ${nodes[0].html}`), []);
        if (PICTURES) {
          await page.screenshot({ path: path.join(PICTURES, `${size}-${of}.png`), fullPage });
        }
      };
      try {
        await work({ desk, page, picture });
      } finally {
        await context.close();
        desk.close();
      }
    });
  }
}

onEach("a set of five goes out with 5 scans and 2 clicks", async ({ desk, page, picture }) => {
  const codes = setOfFive(desk, "R1");
  desk.run("inspect", codes[2], "--kind", "quick", "--finding", "run:cut:cover");
  const effort = await Effort.of(page);
  await page.goto(await desk.serve());
  await turned(page, () => page.getByRole("link", { name: "Hand out" }).click());
  await picture("hand-out-begun");
  for (const [nth, code] of codes.entries()) {
    await effort.scan(code);
    if (nth === 2) {
      await picture("hand-out-half");
    }
  }
  await page.getByText("5 of 5").waitFor();
  await page.keyboard.type("4711");
  await picture("hand-out-ready");
  await turned(page, () => page.getByRole("button", { name: "Hand out" }).click());
  await page.getByText("Set R1 is out on ticket 4711, with 5 hoses.").waitFor();
  await picture("slip", true);
  assert.deepEqual(await effort.spent(), { scans: 5, clicks: 2 });
  // What the hirer is told is on the slip that is printed, and the page round it is not.
  await page.emulateMedia({ media: "print" });
  await page.getByText("Look at it before each dive", { exact: false }).waitFor();
  assert.ok(await page.locator(".slip .ticket").isVisible());
  assert.equal(await page.locator("header").isVisible(), false);
  await picture("slip-printed");
});

onEach("a set that was packed the evening before goes out with 1 scan and 1 click", async ({ desk, page, picture }) => {
  const codes = setOfFive(desk, "R1");
  const at = await desk.serve();
  await page.goto(`${at}/set/R1/out`);
  const packing = new Effort(page);
  for (const code of codes) {
    await packing.scan(code);
  }
  await page.getByText("5 of 5").waitFor();
  await page.getByLabel("Ticket number").fill("41");
  await picture("pack-ready");
  await turned(page, () => page.getByRole("button", { name: "Pack it for later" }).click());
  await page.getByText("Packed for ticket 41 today by", { exact: false }).waitFor();
  await picture("packed", true);
  await page.goto(at);
  await page.getByText("ticket 41, packed today").waitFor();
  await picture("packed-today", true);
  // One hose of it is enough.
  const effort = await Effort.of(page);
  await page.goto(at);
  await effort.scan(codes[3]);
  await picture("packed-hose");
  await turned(page, () => page.getByRole("button", { name: "Hand it out" }).click());
  await page.getByText("Set R1 is out on ticket 41, with 5 hoses.").waitFor();
  assert.deepEqual(await effort.spent(), { scans: 1, clicks: 1 });
});

onEach("what is new since a set was packed is named, and it is scanned again", async ({ desk, page, picture }) => {
  const codes = setOfFive(desk, "R1");
  desk.run("rental", "pack", "R1", "--ticket", "41", ...codes);
  desk.run("inspect", codes[1], "--kind", "quick", "--finding", "run:cut:cover");
  await page.goto(`${await desk.serve()}/set/R1`);
  await page.getByText("New since it was packed").waitFor();
  assert.equal(await page.getByRole("button", { name: "Hand it out" }).count(), 0);
  await picture("packed-new", true);
  await turned(page, () => page.getByRole("link", { name: "Hand it out as usual" }).click());
  await page.getByText("5 hoses to scan.").waitFor();
  await page.goto(`${desk.address}/set/R1`);
  await turned(page, () => page.getByRole("button", { name: "Unpack it" }).click());
  assert.equal(await page.getByText("Packed for ticket").count(), 0);
});

onEach("a bad read leaves the list, and a person's name is no ticket", async ({ desk, page, picture }) => {
  const codes = setOfFive(desk, "R1");
  const stranger = desk.hose();
  const effort = await Effort.of(page);
  await page.goto(`${await desk.serve()}/set/R1/out`);
  for (const text of [codes[0], stranger, "nonsense"]) {
    await effort.scan(text);
  }
  await picture("hand-out-foreign");
  for (const hasText of ["nonsense", stranger]) {
    const row = page.locator(".checks li", { hasText });
    await turned(page, () => row.getByRole("link", { name: "Remove" }).click());
  }
  await page.getByText("4 hoses still to scan.").waitFor();
  assert.equal(await page.locator(".checks .hold").count(), 0, "what is not scanned yet is no fault");
  for (const code of codes.slice(1)) {
    await effort.scan(code);
  }
  await page.keyboard.type("Anna");
  await turned(page, () => page.keyboard.press("Enter"));
  const ticket = page.getByLabel("Ticket number");
  assert.equal(await ticket.getAttribute("aria-invalid"), "true");
  assert.ok(await ticket.evaluate((field) => field === document.activeElement));
  await picture("hand-out-no-ticket");
});

onEach("a set of five comes back with 5 scans and 2 clicks", async ({ desk, page, picture }) => {
  const codes = setOfFive(desk, "R1");
  desk.run("rental", "out", "R1", "--ticket", "4711", ...codes);
  const effort = await Effort.of(page);
  await page.goto(await desk.serve());
  await turned(page, () => page.getByRole("link", { name: "Scan hoses that came back" }).click());
  await picture("return-begun");
  for (const [nth, code] of [...codes].reverse().entries()) {
    await effort.scan(code);
    if (nth === 2) {
      await picture("return-half");
    }
  }
  await page.keyboard.type("4");
  await picture("return-ready");
  const names = codes.map((_, nth) => `R1-${nth + 1}`).join(", ");
  await turned(page, () => page.getByRole("button", { name: `Nothing found on these five, ${names}` }).click());
  await page.getByText("Set R1 is back from ticket 4711, 4 dives each on record.", { exact: false }).waitFor();
  await page.getByText("for 5 hoses, with nothing found.", { exact: false }).waitFor();
  await picture("returned", true);
  assert.deepEqual(await effort.spent(), { scans: 5, clicks: 2 });
  await turned(page, () => page.reload());
  await page.getByText("Set R1 is back from ticket 4711", { exact: false }).waitFor();
});

onEach("hoses of two sets come back in any order", async ({ desk, page, picture }) => {
  const sets = [setOfFive(desk, "R1"), setOfFive(desk, "R2")];
  sets.forEach((codes, nth) => desk.run("rental", "out", `R${nth + 1}`, "--ticket", `471${nth}`, ...codes));
  const stranger = desk.hose();
  const effort = await Effort.of(page);
  await page.goto(`${await desk.serve()}/return`);
  for (const text of [sets[0][0], sets[1][0], stranger, ...sets[1].slice(1), ...sets[0].slice(1, 4)]) {
    await effort.scan(text);
    if (text === stranger) {
      await page.getByText("is not out. On record: in stock", { exact: false }).waitFor();
    }
  }
  await picture("return-two");
  const of = (set) => page.locator("section.card", { hasText: `Take back: Set ${set}` });
  await of("R2").getByLabel("Not known").check();
  await turned(page, () => of("R2").getByRole("button", { name: "Nothing found on these five" }).click());
  await page.getByText("Set R2 is back from ticket 4711", { exact: false }).waitFor();
  await page.getByText("estimated: nobody knew", { exact: false }).waitFor();
  await turned(page, () => page.getByRole("link", { name: "Take back the others" }).click());
  // More dives than the days out allow are asked about.
  await page.getByLabel("Dives made with it").fill("60");
  const last = page.locator("form > .checkpoint", { hasText: sets[0][4] });
  await last.getByLabel("Missing", { exact: true }).check();
  await turned(page, () => page.getByRole("button", { name: "Nothing found on these four" }).click());
  await page.getByText("60 dives in 1 day is a lot.").waitFor();
  await turned(page, () => page.locator("main button.main").click());
  await page.getByText(`${sets[0][4]} did not come back`, { exact: false }).waitFor();
  await picture("returned-missing", true);
  await turned(page, () => page.getByRole("link", { name: "Every missing hose" }).click());
  assert.equal(await page.locator(".hoses li").count(), 1);
});

onEach("a full inspection without findings takes a scan, 2 clicks and one a place", async ({ desk, page }) => {
  const [, code] = setOfFive(desk, "R1");
  const effort = await Effort.of(page);
  await page.goto(await desk.serve());
  await effort.scan(code);
  await page.locator(".banner h1").waitFor();
  assert.deepEqual(await effort.spent(), { scans: 1, clicks: 0 }, "a scan leads to the answer");
  await turned(page, () => page.getByRole("link", { name: "Full inspection", exact: true }).click());
  const places = await page.getByLabel("Looked at, nothing found").all();
  for (const place of places) {
    await place.check();
  }
  await turned(page, () => page.getByRole("button", { name: "Save" }).click());
  await page.getByText("Saved.").waitFor();
  assert.deepEqual(await effort.spent(), { scans: 1, clicks: 2 + places.length });
});

onEach("a set of five is inspected and leak-tested with 5 scans, 4 clicks and one a place", async ({ desk, page, picture }) => {
  const codes = setOfFive(desk, "R1");
  const effort = await Effort.of(page);
  await page.goto(`${await desk.serve()}/set/R1`);
  await turned(page, () => page.getByRole("link", { name: "Inspect the whole set" }).click());
  for (const code of codes) {
    await effort.scan(code);
  }
  await page.getByText("5 of 5").waitFor();
  const places = await page.getByLabel("Looked at, nothing found").all();
  assert.ok(places.length >= 25, `${places.length} places`);
  for (const place of places) {
    await place.check();
  }
  await page.getByLabel("Passed: none of them leaked").check();
  await page.getByLabel("Pressure", { exact: true }).click();
  await page.keyboard.type("200 bar");
  await picture("set-inspected", true);
  await turned(page, () => page.getByRole("button", { name: "Save" }).click());
  await page.getByText("Saved.").waitFor();
  assert.deepEqual(await effort.spent(), { scans: 5, clicks: 4 + places.length });
  const looks = codes.map((code) => JSON.parse(desk.run("answer", code, "--json")).inspections.map((look) => look.kind));
  looks.forEach((kinds) => assert.ok(kinds.includes("full") && kinds.includes("leak-test")));
});

onEach("a backup takes one click", async ({ desk, page, picture }) => {
  desk.hose();
  const effort = await Effort.of(page);
  await page.goto(await desk.serve());
  await page.getByText("No backup has been made on this device.").waitFor();
  const saved = page.waitForEvent("download");
  await page.getByRole("button", { name: "Back up now" }).click();
  const file = desk.path("saved.hwbundle");
  await (await saved).saveAs(file);
  assert.deepEqual(await effort.spent(), { scans: 0, clicks: 1 });
  const other = new Desk();
  try {
    other.run("merge", file);
    assert.equal(JSON.parse(other.run("list", "--json")).length, 1);
  } finally {
    other.close();
  }
  await turned(page, () => page.reload());
  await page.getByText("Last backup on this device: today.").waitFor();
  await picture("backed-up", true);
});

onEach("a case file takes two clicks from the hose", async ({ desk, page, picture }) => {
  const code = desk.hose();
  const effort = await Effort.of(page);
  await page.goto(`${await desk.serve()}/hose/${code}`);
  await turned(page, () => page.getByRole("link", { name: "Case file" }).click());
  await picture("case", true);
  const saved = page.waitForEvent("download");
  await page.getByRole("link", { name: "Download the case file (PDF)" }).click();
  assert.equal((await saved).suggestedFilename(), "case.pdf");
  assert.deepEqual(await effort.spent(), { scans: 0, clicks: 2 });
});

onEach("a lost phone is dismissed and a lost record brought back", async ({ desk, page, picture }) => {
  desk.hose();
  const words = JSON.parse(desk.run("device", "found", "--json")).words;
  const fleet = JSON.parse(desk.run("device", "show", "--json")).fleet;
  const phone = new Desk();
  const fresh = new Desk();
  try {
    phone.run("device", "join", fleet);
    const { device } = JSON.parse(phone.run("device", "show", "--json"));
    desk.run("device", "admit", device, "--name", "boat phone");
    // On a computer without the owner's key the words are asked for.
    fs.rmSync(path.join(desk.folder, "keys", `${fleet}.key`));
    await page.goto(await desk.serve());
    await turned(page, () => page.getByRole("link", { name: "A phone is lost" }).click());
    await picture("lost-phone", true);
    await page.getByLabel("boat phone", { exact: false }).check();
    const secret = page.getByLabel("The owner's 24 words");
    await secret.fill(words.replace(" ", " hozes "));
    await turned(page, () => page.getByRole("button", { name: "Dismiss this device" }).click());
    assert.equal(await secret.inputValue(), "");
    assert.equal(await secret.getAttribute("type"), "password");
    await picture("lost-phone-refused", true);
    await secret.fill(words);
    await turned(page, () => page.getByRole("button", { name: "Dismiss this device" }).click());
    await page.getByText("is dismissed.", { exact: false }).waitFor();
    assert.ok(!page.url().includes(words.split(" ")[0]));
    await picture("lost-phone-done", true);
    const saved = page.waitForEvent("download");
    await page.getByRole("button", { name: "Back up now" }).click();
    const file = desk.path("saved.hwbundle");
    await (await saved).saveAs(file);
    await page.goto(await fresh.serve());
    await picture("begin-again", true);
    await turned(page, () => page.getByRole("link", { name: "Choose the backup" }).click());
    await secret.fill(words);
    await page.getByLabel("This computer's name").fill("new till");
    await page.getByLabel("Dismiss the computer", { exact: false }).check();
    await page.getByLabel("The backup (.hwbundle)").setInputFiles(file);
    await picture("restore", true);
    await turned(page, () => page.getByRole("button", { name: "Bring it back" }).click());
    await page.getByText("The record is back").waitFor();
    await picture("restored", true);
    assert.equal(JSON.parse(fresh.run("list", "--json")).length, 1);
  } finally {
    phone.close();
    fresh.close();
  }
});
