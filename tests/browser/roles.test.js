// Each role's main path, as a person goes it: on a phone and at the counter.
"use strict";

const assert = require("node:assert/strict");
const fs = require("node:fs");
const { after, before, test } = require("node:test");
const { Desk, browser, turned, SIZES } = require("./desk.js");

let chrome;
before(async () => { chrome = await browser(); });
after(() => chrome.close());

/** Runs a path on each size, with a desk and a page of its own. */
function onEach(name, path, options = {}) {
  for (const [size, viewport] of Object.entries(SIZES)) {
    test(`${name}, ${size}`, async () => {
      const desk = new Desk();
      const phone = size === "phone";
      const { lan, ...settings } = options;
      const context = await chrome.newContext({ viewport, hasTouch: phone, isMobile: phone, ...settings });
      const page = await context.newPage();
      const wrong = [];
      page.on("pageerror", (error) => wrong.push(String(error)));
      page.on("console", (said) => { if (/Content Security Policy/.test(said.text())) wrong.push(said.text()); });
      try {
        if (lan) {
          desk.passPhrase(lan);
        }
        await desk.serve(...(lan ? ["--lan"] : []));
        await path({ desk, page, at: desk.address, phone });
        assert.deepEqual(wrong, []);
      } finally {
        await context.close();
        desk.close();
      }
    });
  }
}

/** The verdict is this word; the page before may have had another. */
const verdict = (page, word) => page.locator(".banner h1", { hasText: new RegExp(`^${word}$`) }).waitFor();

onEach("a newcomer looks round in the demonstration, and leaves it", async ({ page, at }) => {
  await page.goto(at);
  await turned(page, () => page.getByRole("button", { name: "Open the demonstration" }).click());
  for (const word of ["ready", "watch", "hold", "retire"]) {
    await page.goto(at);
    await page.locator(".tries li", { hasText: word }).locator("a").click();
    await verdict(page, word);
  }
  await page.getByRole("button", { name: "Leave" }).click();
  await page.getByText("Look around first, or start with your own hoses.").waitFor();
});

onEach("a newcomer registers the first hose and prints its tag", async ({ page, at, desk }) => {
  await page.goto(at);
  await page.getByRole("link", { name: "Register the first hose", exact: true }).click();
  await page.getByLabel("Breathing: to a second stage").check();
  await page.getByLabel("Braided").check();
  await page.getByLabel("Length with its unit").fill("22 in");
  await page.getByLabel("Made", { exact: true }).fill("2024-03");
  await page.getByRole("button", { name: "Register" }).click();
  await verdict(page, "hold");
  await page.getByText("Registered. Now print its tag").waitFor();
  await page.getByRole("link", { name: "Print its tag" }).click();
  await page.locator(".previews img").first().waitFor();
  assert.ok(await page.locator(".previews img").first().evaluate((img) => img.decode().then(() => img.naturalWidth > 0)));
  const pdf = await page.getByRole("link", { name: "Open the PDF" }).getAttribute("href");
  const file = await page.request.get(at + pdf);
  assert.ok((await file.body()).subarray(0, 5).equals(Buffer.from("%PDF-")));
  assert.equal(JSON.parse(desk.run("list", "--json")).length, 1);
});

onEach("a diver types the first characters and reads the answer", async ({ page, at, desk, phone }) => {
  desk.run("set", "new", "Heron", "--use", "personal", "--ports", "LP:3/8-24=4");
  const code = desk.good("Heron", "LP1");
  await page.goto(at);
  await page.locator("#scan").fill(code.slice(0, 6).toLowerCase());
  await page.getByRole("button", { name: "Go", exact: true }).click();
  await verdict(page, "ready");
  await page.getByText("Nothing is known against diving this hose.").waitFor();
  await page.waitForLoadState("load");
  const banner = await page.locator(".banner").boundingBox();
  const height = page.viewportSize().height;
  if (phone) {
    assert.ok(banner.height > height / 4, `the verdict takes ${banner.height} of ${height}`);
    assert.ok(banner.y + banner.height < height, "the verdict is seen at once");
    const next = await page.locator(".answer .thumb").first().boundingBox();
    assert.ok(next.y > height / 2 && next.y + next.height <= height + 1, "the next thing to do is at the thumb");
  }
});

onEach("a technician looks a hose over, reseals it and tests it", async ({ page, at, desk }) => {
  desk.run("set", "new", "R1", "--use", "rental", "--ports", "LP:3/8-24=4");
  const code = desk.good("R1", "LP1");
  await page.goto(`${at}/hose/${code}`);
  await page.getByRole("link", { name: "Full inspection", exact: true }).click();
  const places = page.locator(".checkpoint");
  // One place unanswered: refused in words, and nothing is lost of the record.
  await places.nth(0).getByLabel("Looked at, nothing found").check();
  await page.getByRole("button", { name: "Save" }).click();
  await page.getByText("a full inspection takes every checkpoint", { exact: false }).waitFor();
  await page.waitForLoadState();
  assert.ok(await places.nth(0).getByLabel("Looked at, nothing found").isChecked(), "what was filled in is still there");
  for (const place of await places.all()) {
    await place.getByLabel("Looked at, nothing found").check();
  }
  const seal = places.last();
  await seal.getByText("Found here:").click();
  await seal.getByLabel("a damaged O-ring", { exact: false }).check();
  assert.equal(await seal.getByLabel("Looked at, nothing found").isChecked(), false);
  await page.getByRole("button", { name: "Save" }).click();
  await verdict(page, "hold");
  await page.locator(".thumb").getByRole("link", { name: "New O-rings" }).click();
  const form = page.locator("#reseal");
  await form.getByLabel("At the far end").check();
  await form.getByRole("button").click();
  await page.locator(".thumb").getByRole("link", { name: "Leak test" }).click();
  await page.getByLabel("Passed: nothing leaked").check();
  await page.getByLabel("Pressure", { exact: true }).fill("200 bar");
  await page.getByRole("button", { name: "Save" }).click();
  await verdict(page, "ready");
  await page.getByText("Saved.").waitFor();
  await page.getByRole("link", { name: "Full inspection", exact: true }).click();
  await page.getByText("at the far seal, a damaged O-ring", { exact: false }).waitFor();
});

onEach("a technician swaps a hose", async ({ page, at, desk }) => {
  desk.run("set", "new", "R1", "--use", "rental", "--ports", "LP:3/8-24=4");
  const old = desk.good("R1", "LP1");
  const fresh = desk.hose();
  desk.run("inspect", fresh, "--kind", "full");
  await page.goto(`${at}/hose/${old}/swap`);
  await turned(page, () => page.locator(".list a.button", { hasText: fresh }).click());
  const answer = { "Scan the old hose.": old, "Scan the new hose": fresh };
  for (let steps = 0; steps < 30 && !/\/hose\//.test(page.url()); steps += 1) {
    const step = page.locator(".step");
    const todo = await step.locator("h2").textContent();
    const scan = Object.entries(answer).find(([words]) => todo.startsWith(words));
    const press = (name) => turned(page, () => step.getByRole("button", { name }).click());
    if (scan) {
      await page.locator("#scan").fill(scan[1]);
      await turned(page, () => page.getByRole("button", { name: "Go", exact: true }).click());
      await press("Done");
    } else if (todo.startsWith("Look at the O-rings")) {
      await press("They are fine");
    } else if (todo.startsWith("Start the thread")) {
      await press("It goes in");
    } else if (todo.startsWith("Open the valve")) {
      await step.getByLabel("Passed: nothing leaked").check();
      await step.getByLabel("Pressure", { exact: true }).fill("200 bar");
      await press("Done");
    } else if (todo.startsWith("Where does the old hose go")) {
      await press("To stock");
    } else {
      await press("Done");
    }
  }
  await verdict(page, "ready");
  await page.getByText("set R1, port LP1", { exact: false }).first().waitFor();
});

onEach("the rental desk hands a set out and takes it back", async ({ page, at, desk }) => {
  desk.run("set", "new", "R1", "--use", "rental", "--ports", "HP:7/16-20=1,LP:3/8-24=4");
  const codes = [desk.good("R1", "LP1"), desk.good("R1", "LP2"), desk.good("R1", "HP1", "gauge")];
  const stranger = desk.hose();
  await page.goto(`${at}/sets`);
  await turned(page, () => page.getByRole("link", { name: "Hand out" }).click());
  for (const [nth, code] of [codes[2], stranger, codes[0], codes[0]].entries()) {
    await page.locator("#scan").fill(code);
    await turned(page, () => page.keyboard.press("Enter"));
    await page.locator("b.count", { hasText: `${nth < 2 ? 1 : 2} of 3` }).waitFor();
  }
  // What was scanned by mistake leaves the list by itself.
  const foreign = page.locator(".checks li", { hasText: "Not of this set" });
  await turned(page, () => foreign.getByRole("link", { name: "Remove" }).click());
  assert.equal(await foreign.count(), 0);
  await page.locator("#scan").fill(codes[1]);
  await turned(page, () => page.keyboard.press("Enter"));
  await page.getByText("is complete", { exact: false }).waitFor();
  assert.equal(await page.evaluate(() => document.activeElement.name), "ticket");
  await page.keyboard.type("4711");
  await turned(page, () => page.getByRole("button", { name: "Hand out" }).click());
  const out = page.getByText("Set R1 is out on ticket 4711, with 3 hoses.");
  await out.waitFor();
  await turned(page, () => page.reload());
  await out.waitFor();
  await page.goto(`${at}/sets`);
  await turned(page, () => page.getByRole("link", { name: "Take back" }).first().click());
  for (const code of codes.slice(0, 2)) {
    await page.locator("#scan").fill(code);
    await turned(page, () => page.keyboard.press("Enter"));
  }
  assert.equal(await page.locator("input[value=here]:checked").count(), 2);
  await page.getByLabel("Dives made with it").fill("4");
  const lost = page.locator("form > .checkpoint", { hasText: codes[2] });
  await lost.getByLabel("Missing", { exact: true }).check();
  const first = page.locator("form > .checkpoint", { hasText: codes[0] });
  await first.getByText("Report a finding").click();
  await first.getByText("Found here:").first().click();
  await first.getByLabel("a cut down to the reinforcement", { exact: false }).first().check();
  await page.getByRole("button", { name: "Nothing found on these two" }).click();
  await page.locator(".result", { hasText: "In quarantine" }).waitFor();
  await page.getByText(`${codes[2]} did not come back`, { exact: false }).waitFor();
});

onEach("the owner looks ahead, sees what lasts, and follows a recall", async ({ page, at, desk }) => {
  await page.goto(at);
  await turned(page, () => page.getByRole("button", { name: "Open the demonstration" }).click());
  await page.getByRole("link", { name: "Owner" }).first().click();
  await page.getByRole("link", { name: "What is due Every", exact: false }).click();
  await page.locator("tbody tr").first().waitFor();
  const rows = await page.locator("tbody tr").count();
  await page.getByLabel("Look ahead").fill("1 year");
  await page.getByRole("button", { name: "Show" }).click();
  await page.waitForURL(/within=1/);
  await page.locator("tbody tr").nth(rows).waitFor();
  const download = page.waitForEvent("download");
  await page.getByRole("link", { name: "Download as CSV" }).click();
  assert.equal((await download).suggestedFilename(), "due.csv");
  await page.goto(`${at}/owner/survival`);
  await page.locator("figure.chart svg").waitFor();
  await page.getByRole("link", { name: "Lot", exact: true }).click();
  await page.getByText("Too few to tell").first().waitFor();
  for (const path of ["order", "ages"]) {
    await page.goto(`${at}/owner/${path}`);
    await page.locator("table").waitFor();
  }
  await page.goto(`${at}/owner/recall`);
  await page.locator("tbody a.button").first().click();
  await page.getByRole("button", { name: "Found and set aside" }).first().click();
  await page.getByText(/[1-9] found and set aside/).waitFor();
});

onEach("a phone in the shop gives the pass phrase, and signs out", async ({ page, at, desk }) => {
  const code = desk.hose();
  await page.goto(`${at}/hose/${code}`);
  await page.getByLabel("Pass phrase").fill("sea horse under the pier");
  await page.getByRole("button", { name: "Open", exact: true }).click();
  await page.getByText("wrong pass phrase").waitFor();
  await page.getByLabel("Pass phrase").fill("sea horse under the wall");
  await page.getByRole("button", { name: "Open", exact: true }).click();
  await page.locator("#scan").fill(code);
  await page.keyboard.press("Enter");
  await verdict(page, "hold");
  await page.getByRole("link", { name: "Clean", exact: true }).click();
  await page.locator("#clean").getByRole("button").click();
  await page.getByText("Saved.").waitFor();
  await turned(page, () => page.getByRole("button", { name: "Sign out" }).click());
  await page.goto(`${at}/hose/${code}`);
  await page.getByLabel("Pass phrase").waitFor();
}, { lan: "sea horse under the wall" });

onEach("a list narrows while one types", async ({ page, at, desk }) => {
  const codes = [desk.hose(), desk.hose(), desk.hose()];
  await page.goto(`${at}/hoses`);
  assert.equal(await page.locator(".hoses li").count(), 3);
  await page.getByLabel("Find by anything known of it").pressSequentially(codes[1].slice(0, 7));
  await page.waitForFunction(() => document.querySelectorAll(".hoses li").length === 1);
  assert.equal(await page.locator(".hoses a").textContent(), codes[1]);
});

onEach("everything works without scripts", async ({ page, at, desk }) => {
  desk.run("set", "new", "R1", "--use", "rental", "--ports", "LP:3/8-24=4");
  const code = desk.good("R1", "LP1");
  await page.goto(at);
  assert.equal(await page.locator("#camera").isVisible(), false);
  await page.locator("#scan").fill(code);
  await page.keyboard.press("Enter");
  await verdict(page, "ready");
  desk.run("tag", code, "--out", "tag.png");
  await page.locator("#photo").setInputFiles(desk.path("tag.png"));
  await page.getByRole("button", { name: "Read photo" }).click();
  await page.waitForURL(new RegExp(code));
  await page.getByRole("link", { name: "Quick look", exact: true }).first().click();
  await page.getByText("Found here:").first().click();
  await page.getByLabel("a cut in the cover", { exact: false }).first().check();
  await page.getByRole("button", { name: "Save" }).click();
  await verdict(page, "watch");
  await page.goto(`${at}/set/R1/out`);
  await page.locator("#photo").setInputFiles(desk.path("tag.png"));
  await page.getByRole("button", { name: "Read photo" }).click();
  await page.getByText("1 of 1").waitFor();
  await page.getByLabel("Ticket").fill("1");
  await page.getByRole("button", { name: "Hand out" }).click();
  await page.getByText("Set R1 is out on ticket 1", { exact: false }).waitFor();
}, { javaScriptEnabled: false });

onEach("an owner sets a limit, after a slip", async ({ page, at, desk }) => {
  await page.goto(`${at}/owner`);
  await page.getByRole("link", { name: "Limits" }).first().click();
  await page.getByText("default: common practice, no published source").first().waitFor();
  await page.getByLabel("Rental").check();
  await page.getByLabel("Dives", { exact: true }).fill("many");
  await page.getByLabel("In service, from the first fitting").fill("4y");
  await turned(page, () => page.getByRole("button", { name: "Set limits" }).click());
  const wrong = page.getByLabel("Dives", { exact: true });
  assert.equal(await wrong.getAttribute("aria-invalid"), "true");
  assert.equal(await wrong.inputValue(), "many");
  assert.ok(await page.getByLabel("Rental").isChecked());
  assert.ok(await wrong.evaluate((field) => field === document.activeElement), "one goes on at the slip");
  await wrong.fill("300");
  await page.getByRole("button", { name: "Set limits" }).click();
  await page.getByText("Saved.").waitFor();
  await page.getByText("set by the owner for rental hoses").first().waitFor();
  assert.deepEqual(
    [JSON.parse(desk.run("limits", "--json")).limits.rental].map((l) => [l.dives, l.in_service_months]),
    [[300, 48]],
  );
});

onEach("a shop takes in the list that it has", async ({ page, at, desk }) => {
  fs.writeFileSync(desk.path("hoses.csv"), "Service,Length,Made\nocto,22in,2024\ngauge,80 cm,2023\nocto,long,2024\n");
  await page.goto(at);
  await page.getByRole("link", { name: "Or import a list" }).click();
  await page.getByLabel("File").first().setInputFiles(desk.path("hoses.csv"));
  await page.getByRole("button", { name: "Show what would be registered" }).click();
  await page.getByText("2 to register").waitFor();
  await page.getByText("Nothing is saved yet.").waitFor();
  assert.equal(JSON.parse(desk.run("list", "--json")).length, 0);
  await page.getByRole("button", { name: "Register these, leave out the rest" }).click();
  await page.getByText("2 registered").waitFor();
  assert.equal(JSON.parse(desk.run("list", "--json")).length, 2);
  await page.getByRole("link", { name: "Print their tags" }).click();
  await page.locator(".previews img").nth(1).waitFor();
});

onEach("an owner founds a fleet, and lets a phone write", async ({ page, at, desk }) => {
  const boat = new Desk();
  try {
    const hose = boat.hose();
    boat.run("bundle", "--out", "boat.hwbundle");
    const { device } = JSON.parse(boat.run("device", "show", "--json"));
    await page.goto(`${at}/owner/devices`);
    await turned(page, () => page.getByRole("button", { name: "Set up the fleet and show its key" }).click());
    assert.equal(await page.locator(".words li").count(), 24);
    await page.goto(`${at}/owner/record`);
    await page.locator("#entries").setInputFiles(boat.path("boat.hwbundle"));
    await page.getByRole("button", { name: "Import" }).click();
    await page.getByText("the owner has not admitted the device").waitFor();
    await page.getByText("Nothing is saved yet.").waitFor();
    await page.getByRole("button", { name: "Import" }).click();
    await page.getByText("1 entry kept, not believed").waitFor();
    await page.goto(`${at}/owner/devices`);
    await page.getByRole("row", { name: device.slice(0, 8) }).getByRole("link", { name: "Change" }).click();
    await page.getByLabel("writes about hoses, sets and rentals").check();
    await page.getByLabel("Its name").fill("boat phone");
    await page.getByRole("button", { name: "Save permissions" }).click();
    await page.getByText("(boat phone)").waitFor();
    await page.goto(`${at}/hose/${hose}`);
    await verdict(page, "hold");
    // The record is taken away, whole.
    await page.goto(`${at}/owner/record`);
    const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: "Download a bundle" }).click()]);
    await file.saveAs(boat.path("back.hwbundle"));
    boat.run("merge", "back.hwbundle");
    assert.equal(boat.run("export").split("\n").length, desk.run("export").split("\n").length);
  } finally {
    boat.close();
  }
});

onEach("a set's picture fits", async ({ page, at, desk, phone }) => {
  desk.run("set", "new", "R1", "--use", "rental", "--ports", "HP:7/16-20=1,LP:3/8-24=4");
  desk.good("R1", "LP1");
  await page.goto(`${at}/set/R1`);
  const [shown, hidden] = phone ? ["narrow", "broad"] : ["broad", "narrow"];
  assert.ok(await page.locator(`.picture.${shown} svg`).isVisible());
  assert.equal(await page.locator(`.picture.${hidden}`).isVisible(), false);
  const [box, drawn] = await page.locator(`.picture.${shown}`).evaluate((e) => [e.scrollWidth - e.clientWidth, e.querySelector("svg").getBoundingClientRect().width]);
  assert.equal(box, 0);
  assert.ok(!phone || drawn >= 320, `letters of 18 px: ${drawn}`);
});
