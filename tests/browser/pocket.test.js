// The record in a phone's browser, in a real one with touch at 390 by 844: first visit,
// then without a network; against the command line; killed, full, doubled, brought up to date.
"use strict";

const assert = require("node:assert/strict");
const { execFileSync, spawnSync } = require("node:child_process");
const fs = require("node:fs");
const path = require("node:path");
const { test } = require("node:test");
const axe = require("axe-core");
const { Desk, PROGRAM, browser } = require("./desk.js");
const { film, still } = require("./film.js");
const { Host, Phone, SITE } = require("./pocket.js");

/** Where pictures of the screens go, if anywhere. */
const PICTURES = process.env.HOSEWRIGHT_SCREENS;
/** How often the browser is killed, how many answers are compared and screens looked at: more on demand. */
const KILLS = Number(process.env.HOSEWRIGHT_POCKET_KILLS ?? 3);
const SCREENS = Number(process.env.HOSEWRIGHT_POCKET_LOOKED_AT ?? 12);
const ANSWERS = Number(process.env.HOSEWRIGHT_POCKET_ANSWERS ?? 20);

/** A phone, a host and a desk of one's own; nothing may go wrong unseen. */
function onPhone(name, work) {
  test(`pocket: ${name}`, async () => {
    const [phone, host, desk] = [new Phone(), new Host(), new Desk()];
    // The pocket has no day but today.
    desk.run = (...words) => {
      const said = spawnSync(PROGRAM, words, { env: desk.env, cwd: desk.folder, encoding: "utf8" });
      assert.ok([0, 1].includes(said.status), `${words.join(" ")}: ${said.stderr}`);
      return said.stdout.trim();
    };
    const picture = async (of) => {
      await phone.page.evaluate(axe.source);
      const { violations } = await phone.page.evaluate(() => globalThis.axe.run(document));
      const serious = violations.filter(({ impact }) => ["serious", "critical"].includes(impact));
      assert.deepEqual(serious.map(({ id, nodes }) => `${of}: ${id}: ${nodes[0].html}`), []);
      if (PICTURES) {
        await phone.page.screenshot({ path: path.join(PICTURES, `pocket-${of}.png`) });
      }
    };
    try {
      await host.serve();
      await work({ phone, host, desk, picture });
      assert.deepEqual(phone.slips, []);
    } finally {
      await phone.close();
      await host.gone().catch(() => {});
      desk.close();
      phone.remove();
    }
  });
}

/** Takes a file into the record as what another device wrote. */
async function takeIn(phone, at, bundle) {
  await phone.goto(`${at}/owner/record`);
  await phone.page.locator("#entries").setInputFiles(bundle);
  await phone.turned(() => phone.page.locator("form:has(#entries) button[type=submit]").tap());
}

/** Presses what leads to a file, and gives what was saved. */
async function saved(phone, act) {
  await act();
  const [download] = await Promise.all([
    phone.page.waitForEvent("download"),
    phone.page.getByRole("link", { name: "Save on this device" }).tap(),
  ]);
  const at = await download.path();
  await phone.page.getByRole("button", { name: "Close" }).tap();
  return at;
}

async function register(phone, at, number) {
  await phone.goto(`${at}/register`);
  for (const chosen of ["second-stage", "braided"]) {
    await phone.page.locator(`main input[value='${chosen}']`).check();
  }
  await phone.page.getByLabel("Length").fill("56 cm");
  if (number) {
    await phone.page.locator("main input[name='number']").fill(number);
  }
  await phone.turned(() => phone.page.locator("main form button[type=submit]").last().tap());
  return /\/hose\/([0-9A-Z-]+)/.exec(phone.page.url())?.[1];
}

onPhone("first visit, then a whole day without a network", async ({ phone, host, desk, picture }) => {
  desk.run("set", "new", "R1", "--use", "rental", "--ports", "LP:3/8-24=2");
  const codes = [desk.good("R1", "LP1"), desk.good("R1", "LP2")];
  const spare = desk.hose();
  desk.run("inspect", spare, "--kind", "full");
  desk.run("bundle", "--out", "desk.hwbundle");
  const plain = await browser();
  const page = await phone.start({ film: await film(plain, desk, [codes[0]], "film.mjpeg") });
  await plain.close();
  const origins = new Set();
  phone.context.on("request", (request) => origins.add(new URL(request.url()).origin));
  await phone.open(host.address, null);
  await picture("who");
  await phone.open(host.address);
  await picture("start");
  // What browsers ask before they offer to install a page.
  const manifest = JSON.parse(fs.readFileSync(path.join(SITE, "manifest.webmanifest"), "utf8"));
  assert.ok(["192x192", "512x512"].every((size) => manifest.icons.some(({ sizes }) => sizes === size)));
  await phone.offline();
  const cdp = await phone.context.newCDPSession(page);
  const { installabilityErrors } = await cdp.send("Page.getInstallabilityErrors");
  assert.deepEqual(installabilityErrors.map(({ errorId }) => errorId).filter((id) => id !== "in-incognito"), []);
  await host.gone();
  await takeIn(phone, host.address, desk.path("desk.hwbundle"));
  await picture("came");

  // Scan to answer with the camera.
  await phone.goto(host.address);
  await phone.turned(() => page.getByRole("button", { name: "Camera" }).tap());
  assert.equal(await page.locator(".banner .code").textContent(), codes[0]);
  await picture("answer");

  // A full inspection with a photo.
  await phone.press("Full inspection");
  const photo = desk.path("photo.png");
  desk.run("tag", codes[0], "--out", "photo.png");
  for (const clear of await page.getByLabel("Nothing found").all()) {
    await clear.check();
  }
  await page.locator("details", { has: page.locator("#photo-run") }).locator("summary").tap();
  await page.locator("input[value='run:scuff']").check();
  await page.locator("#photo-run").setInputFiles(photo);
  await picture("inspection");
  await phone.turned(() => page.locator("main form button[type=submit]").last().tap());
  await page.locator(".photograph img").first().waitFor();
  assert.ok(await page.locator(".photograph img").first().evaluate((img) => img.decode().then(() => img.naturalWidth > 0)));

  // A swap, step by step.
  await phone.goto(`${host.address}/swap/${codes[1]}/${spare}`);
  const scans = { "Scan the old hose.": codes[1], "Scan the new hose": spare };
  for (let steps = 0; steps < 30 && !/\/hose\//.test(page.url()); steps += 1) {
    const step = page.locator(".step");
    const todo = await step.locator("h2").textContent();
    const press = (name) => phone.turned(() => step.getByRole("button", { name }).tap());
    const scan = Object.entries(scans).find(([words]) => todo.startsWith(words));
    if (scan) {
      await phone.scan(scan[1]);
      await press("Done");
    } else if (todo.startsWith("Look at the O-rings")) {
      await press("They are fine");
    } else if (todo.startsWith("Start the thread")) {
      await picture("swap");
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
  await page.locator(".banner").waitFor();

  // A hand-out and a return.
  const pair = [codes[0], spare];
  await phone.goto(`${host.address}/set/R1/out`);
  for (const code of pair) {
    await phone.scan(code);
  }
  await page.getByLabel("Ticket number").fill("4711");
  await picture("hand-out");
  await phone.press("Hand out");
  await page.getByText("is out on ticket 4711", { exact: false }).waitFor();
  await phone.goto(`${host.address}/return`);
  for (const code of pair) {
    await phone.scan(code);
  }
  await page.getByLabel("Dives made with it").fill("4");
  await picture("return");
  await phone.turned(() => page.getByRole("button", { name: /^Nothing found on these two/ }).tap());
  await page.getByText("Set R1 is back from ticket 4711", { exact: false }).waitFor();

  // Tags as PDF, and a bundle for the command line.
  await phone.goto(`${host.address}/tags`);
  const pdf = await saved(phone, () => page.evaluate(() => { const a = document.createElement("a"); a.href = "/tags/sheet.pdf?all=yes"; document.body.append(a); a.click(); }));
  assert.equal(fs.readFileSync(pdf).subarray(0, 5).toString(), "%PDF-");
  await phone.goto(`${host.address}/owner/record`);
  const bundle = await saved(phone, () => page.getByRole("link", { name: /bundle/i }).first().tap());
  desk.run("merge", bundle);
  const answer = JSON.parse(desk.run("answer", codes[0], "--json"));
  assert.ok(answer.inspections.some((look) => look.kind === "full" && look.by === "Ines"), JSON.stringify(answer.inspections));
  assert.equal(JSON.parse(desk.run("answer", spare, "--json")).place.set, "R1");
  assert.deepEqual([...origins].filter((origin) => origin !== "null" && !origin.startsWith("blob")), [host.address]);
  // The network was never missed: the host is gone, which only the service worker's own look for a new version sees.
  phone.slips = phone.slips.filter((slip) => !/ERR_CONNECTION_REFUSED|Failed to update a ServiceWorker/.test(slip));
});

onPhone("its answers are the command line's, word for word", async ({ phone, host, desk }) => {
  desk.run("demo", "made");
  desk.env.HOSEWRIGHT_STORE = desk.path("made/fleet.hosewright");
  desk.run("bundle", "--out", "fleet.hwbundle");
  const hoses = desk.run("list", "--json").split("\n").flatMap((line) => { try { return JSON.parse(line); } catch { return []; } }).flat();
  const page = await phone.start();
  await phone.open(host.address);
  await takeIn(phone, host.address, desk.path("fleet.hwbundle"));
  const ways = hoses.flatMap(({ code }) => [code, code.replaceAll("-", ""), code.toLowerCase(), code.replaceAll("-", " "), `HW1:${code.replaceAll("-", "")}.`]);
  assert.ok(ways.length >= 200, `${ways.length} ways to ask`);
  const asked = Math.min(ANSWERS, ways.length);
  for (let nth = 0; nth < asked; nth += 1) {
    const way = ways[Math.floor((nth * ways.length) / asked)];
    await phone.scan(way);
    const said = JSON.parse(desk.run("answer", way.replace(/^HW1:(.*)\.$/, "$1"), "--json"));
    const shown = await page.evaluate(() => document.querySelector(".answer").innerText.replace(/\s+/g, " "));
    const has = (words) => assert.ok(shown.includes(words.replace(/\s+/g, " ").trim()), `${way}: “${words}” is not in ${shown}`);
    assert.equal(await page.locator(".banner h1").textContent(), said.verdict, way);
    for (const { words, todo } of said.reasons) {
      has(words);
      has(todo ?? "");
    }
  }
});

onPhone("killed while it writes, it has all that it said it had", async ({ phone, host, desk }) => {
  let seed = 20_260_615;
  const chance = () => (seed = (seed * 1_103_515_245 + 12_345) % 2_147_483_648) / 2_147_483_648;
  const acknowledged = new Set();
  for (let kill = 0; kill <= KILLS; kill += 1) {
    const page = await phone.start();
    await phone.open(host.address);
    // All of the journal: a list shows a page of it at a time.
    const entries = await page.evaluate(() => globalThis.hosewright.fetch("/owner/record/export.jsonl").then((all) => all.text()));
    for (const code of acknowledged) {
      assert.ok(entries.includes(code), `${code} was acknowledged and is gone after kill ${kill}`);
    }
    if (kill === KILLS) {
      // What proves itself entry by entry is taken in by another record, which is sound with it.
      fs.writeFileSync(desk.path("phone.jsonl"), entries);
      desk.run("import", "phone.jsonl");
      assert.match(desk.run("check"), /Nothing is wrong/);
      break;
    }
    // Some are written to their end; at some moment of the next one the browser is gone.
    for (let whole = Math.floor(chance() * 3); whole >= 0; whole -= 1) {
      acknowledged.add(await register(phone, host.address));
    }
    const next = register(phone, host.address).then((code) => acknowledged.add(code), () => {});
    await new Promise((done) => setTimeout(done, chance() * 800));
    const ours = execFileSync("pgrep", ["-f", phone.folder], { encoding: "utf8" }).trim().split("\n");
    for (const pid of ours.map(Number).filter((pid) => pid !== process.pid)) {
      try {
        process.kill(pid, "SIGKILL");
      } catch { /* It is gone already. */ }
    }
    await next;
    await phone.close().catch(() => {});
    phone.slips = [];
  }
  assert.ok(acknowledged.size >= KILLS);
});

onPhone("a second tab says so, and can have the record", async ({ phone, host, picture }) => {
  const first = await phone.start();
  await phone.open(host.address);
  const code = await register(phone, host.address, "LP-1");
  const second = await phone.context.newPage();
  await second.goto(`${host.address}/hoses`);
  await second.getByText("Hosewright is open in another tab").waitFor();
  phone.page = second;
  await picture("taken");
  await second.getByRole("button", { name: "Use it here" }).tap();
  await second.getByText("LP-1").first().waitFor();
  await first.getByText("Hosewright is used in another tab now").waitFor();
  await second.close();
  phone.page = first;
  await first.bringToFront();
  await first.getByRole("button", { name: "Use it here" }).tap();
  await first.locator(".banner").waitFor();
  assert.equal(await first.locator(".banner .code").textContent(), code);
});

onPhone("where there is no room nothing that was saved is lost, and it says so", async ({ phone, host, picture }) => {
  const page = await phone.start();
  await phone.open(host.address);
  const first = await register(phone, host.address, "LP-1");
  const cdp = await phone.context.newCDPSession(page);
  const { usage } = await cdp.send("Storage.getUsageAndQuota", { origin: host.address });
  await cdp.send("Storage.overrideQuotaForOrigin", { origin: host.address, quotaSize: usage + 4096 });
  await phone.goto(`${host.address}/register`);
  let full = false;
  for (let nth = 0; nth < 200 && !full; nth += 1) {
    await register(phone, host.address, `N-${nth}`);
    full = await page.getByText(/no room|full/i).count() > 0;
  }
  assert.ok(full, "the quota was never felt");
  await picture("full");
  await cdp.send("Storage.overrideQuotaForOrigin", { origin: host.address });
  await register(phone, host.address, "LP-2");
  await phone.goto(`${host.address}/hoses?text=LP-`);
  await page.getByText("LP-2").first().waitFor();
  assert.ok((await page.locator("main").innerText()).includes(first));
  phone.slips = [];
});

onPhone("an update is taken when no form is filled in, and half of one is none", async ({ phone, host }) => {
  const site = path.join(phone.folder, "site");
  fs.cpSync(SITE, site, { recursive: true });
  host.site = site;
  const page = await phone.start();
  await phone.open(host.address);
  await phone.offline();
  const version = (mark, more = "") => {
    fs.writeFileSync(path.join(site, "words.js"), fs.readFileSync(path.join(SITE, "words.js"), "utf8").replace("This device", mark));
    fs.writeFileSync(path.join(site, "service.js"), fs.readFileSync(path.join(SITE, "service.js"), "utf8")
      .replace(/hosewright-[0-9a-f]{16}/, `hosewright-${mark.replaceAll(" ", "")}`).replace('"/words.js"', `"/words.js"${more}`));
  };
  const look = () => page.evaluate(() => navigator.serviceWorker.getRegistration().then((one) => one.update()).catch(() => {}));
  // One file of the new version is not there.
  version("Half a device", ',"/missing.js"');
  await look();
  await phone.goto(`${host.address}/hoses`);
  assert.equal(await page.locator(".device h2").innerText(), "This device");
  // All of it, while something is typed.
  await phone.goto(`${host.address}/register`);
  await page.getByLabel("Length").fill("56 cm");
  version("Another device");
  await look();
  await page.getByText("A new version is ready.", { exact: false }).waitFor();
  assert.equal(await page.getByLabel("Length").inputValue(), "56 cm");
  await page.getByRole("link", { name: "Today" }).tap();
  await page.getByText("Another device").waitFor();
  phone.slips = phone.slips.filter((slip) => !/404|Failed to (update|load)/.test(slip));
});

onPhone("a tag's own address answers, and says where to ask where there is no record", async ({ phone, host, picture }) => {
  const page = await phone.start();
  await phone.goto(`${host.address}/HW1:2RWBXCB4GDEA7.`);
  await page.getByText("Ask the desk, or open Hosewright and scan there", { exact: false }).waitFor();
  await picture("visitor");
  await phone.open(host.address);
  const code = await register(phone, host.address, "LP-1");
  await phone.goto(`${host.address}/HW1:${code.replaceAll("-", "")}.`);
  assert.equal(await page.locator(".banner .code").textContent(), code);
  // The first address is no file of the host.
  phone.slips = phone.slips.filter((slip) => !/404/.test(slip));
});

onPhone("a tag that is wrapped round a hose is read by the camera", async ({ phone, host, desk }) => {
  const plain = await browser();
  const wrapped = path.join(__dirname, "../pictures/wrapped.png");
  const page = await phone.start({ film: await still(plain, desk, wrapped, "film.mjpeg") });
  await plain.close();
  await phone.open(host.address);
  for (const frames of ["as they are", "drawn"]) {
    if (frames === "drawn") {
      // As a browser that does not give them.
      await page.addInitScript(() => { delete globalThis.VideoFrame; });
    }
    await phone.goto(host.address);
    await phone.turned(() => page.getByRole("button", { name: "Camera" }).tap());
    assert.equal(await page.locator("main .code").first().textContent(), "RPYX-K3XJ-3THB-E", frames);
  }
});

onPhone("a chip is read and written, where the browser does that", async ({ phone, host }) => {
  const page = await phone.start();
  await page.addInitScript(() => {
    globalThis.NDEFReader = class extends EventTarget {
      async scan() {
        const data = new TextEncoder().encode(globalThis.chipText);
        setTimeout(() => this.dispatchEvent(Object.assign(new Event("reading"), { message: { records: [{ recordType: "url", data }] } })), 50);
      }
      async write(message) { globalThis.written = message; }
    };
  });
  await phone.open(host.address);
  const code = await register(phone, host.address, "LP-1");
  await page.getByRole("button", { name: "Write this hose's chip" }).tap();
  await page.getByText("The chip is written.").waitFor();
  const [tag] = await page.evaluate(() => globalThis.written.records);
  assert.equal(tag.recordType, "url");
  assert.ok(tag.data.startsWith(`HW1:${code.replaceAll("-", "")}`), tag.data);
  await page.getByRole("button", { name: "Close" }).tap();
  await phone.goto(host.address);
  await page.evaluate((text) => { globalThis.chipText = text; }, tag.data);
  await page.getByRole("button", { name: "Read a chip" }).tap();
  await page.locator(".banner").waitFor();
  assert.equal(await page.locator(".banner .code").textContent(), code);
});

onPhone("what another app shares is asked about, and taken in", async ({ phone, host, desk, picture }) => {
  const code = desk.hose();
  desk.run("bundle", "--out", "desk.hwbundle");
  const page = await phone.start();
  await phone.open(host.address);
  await phone.offline();
  await page.evaluate(async (bytes) => {
    const form = new FormData();
    form.append("file", new File([Uint8Array.from(atob(bytes), (one) => one.charCodeAt(0))], "desk.hwbundle"));
    await fetch("/shared", { method: "POST", body: form, redirect: "manual" });
  }, fs.readFileSync(desk.path("desk.hwbundle")).toString("base64"));
  await page.goto(`${host.address}/?shared`);
  await page.getByText("desk.hwbundle").waitFor();
  await picture("shared");
  await phone.turned(() => page.getByRole("button", { name: "Take it in as what other devices wrote" }).tap());
  await page.getByText(/entr(y|ies) new/).waitFor();
  await phone.scan(code);
  assert.equal(await page.locator(".banner .code").textContent(), code);
});

onPhone("a damaged record is kept, and what can be read of it is saved", async ({ phone, host, picture }) => {
  const page = await phone.start();
  await phone.open(host.address);
  const code = await register(phone, host.address, "LP-1");
  // Nothing has the record open here; its files are spoilt as a failing memory would.
  await page.goto(`${host.address}/words.js`);
  const spoilt = await page.evaluate(async () => {
    const folders = [await navigator.storage.getDirectory()];
    let count = 0;
    for (const folder of folders) {
      for await (const entry of folder.values()) {
        if (entry.kind === "directory") {
          folders.push(entry);
          continue;
        }
        const text = new TextDecoder("latin1").decode(await (await entry.getFile()).slice(0, 8192).arrayBuffer());
        const at = text.indexOf("SQLite format 3");
        if (at >= 0 && text.includes("hsWr")) {
          const out = await entry.createWritable({ keepExistingData: true });
          await out.write({ type: "write", position: at, data: new Uint8Array(60) });
          await out.close();
          count += 1;
        }
      }
    }
    return count;
  });
  assert.equal(spoilt, 1);
  await page.goto(host.address);
  await page.getByText("The record on this device is damaged").waitFor();
  await picture("damaged");
  await page.getByRole("button", { name: "Save what can be read" }).tap();
  await page.getByText("What was saved").waitFor();
  await picture("salvaged");
  await phone.turned(() => page.getByRole("button", { name: "Go on" }).tap());
  await phone.scan(code);
  assert.equal(await page.locator(".banner .code").textContent(), code);
  phone.slips = [];
});

onPhone("every screen that links lead to is readable", async ({ phone, host, picture }) => {
  const page = await phone.start();
  await phone.open(host.address);
  await phone.offline();
  await phone.press("Open the demonstration");
  // Of screens that differ by what they are about one is enough.
  const kind = (address) => address
    .replace(/[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]/g, "CODE")
    .replace(/=[^&]*/g, "")
    .replace(/\/set\/[^/?]+/, "/set/NAME")
    .replace(/[0-9a-f]{64}/, "ENTRY");
  const [seen, waiting] = [new Set(["/"]), ["/"]];
  let looked = 0;
  while (waiting.length > 0 && looked < SCREENS) {
    const address = waiting.shift();
    await phone.goto(host.address + address).catch((slow) => assert.fail(`${address}: ${slow}`));
    await picture(`screen-${looked}`);
    const out = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.equal(out, 0, `${address}: nothing sticks out`);
    looked += 1;
    const links = await page.$$eval("a[href^='/']", (all) => all.map((link) => link.getAttribute("href").split("#")[0]));
    // What is no screen is a file: it is offered, and leaves the page as it is.
    for (const link of links) {
      if (!/\.[a-z]+(\?|$)|\/photo\/|[?&]as=/.test(link) && !seen.has(kind(link))) {
        seen.add(kind(link));
        waiting.push(link);
      }
    }
  }
  assert.ok(looked >= Math.min(SCREENS, 30), `${looked} screens`);
  // A file whose address is opened is offered, with the first page round it.
  await phone.goto(`${host.address}/hoses?as=hoses`);
  await page.getByRole("dialog").getByText("is ready").waitFor();
  assert.equal(new URL(page.url()).pathname, "/");
});
