// Every screen can be read and pressed: axe-core finds nothing serious, text has
// a contrast of 7:1 (WCAG 2.2, 1.4.6), type is 18 px and up, what is pressed is
// 48 px high, and nothing sticks out of a narrow screen. In light and in dark.
"use strict";

const assert = require("node:assert/strict");
const net = require("node:net");
const path = require("node:path");
const { after, before, test } = require("node:test");
const axe = require("axe-core");
const { Desk, browser, counted, turned, SIZES } = require("./desk.js");

let chrome;
let desk;
let screens;
/** A server that takes connections and says nothing. */
const quiet = net.createServer((socket) => socket.on("error", () => {}));

const LIST = "No.,Service,Length,Construction,Made,Set,Port,Colour\nA-1,octo,22in,braided,2024-03,R3,LP1,red\n" +
  "A-2,gauge,80 cm,rubber,2023,,,\nA-2,gauge,80 cm,rubber,2023,,,\nA-3,octo,long,braided,2024-03,,,\n";

/** Screens that come of pressing something. */
const PRESSED = {
  "a slip in a form": async (page, at) => {
    await page.goto(`${at}/owner/limits`);
    await page.getByLabel("Dives", { exact: true }).fill("many");
    await turned(page, () => page.getByRole("button", { name: "Set limits" }).click());
  },
  "what looks like a slip": async (page, at) => {
    await page.goto(at);
    await page.goto(`${at}${await page.locator(".tries a").first().getAttribute("href")}/care`);
    const form = page.locator("#retire");
    await form.getByLabel("Why").fill("worn");
    await turned(page, () => form.getByRole("button").click());
  },
  "a calendar's address": async (page, at) => {
    await page.goto(`${at}/owner/calendar`);
    await turned(page, () => page.getByRole("button", { name: /Make an address|New address/ }).click());
    await page.locator("textarea").first().waitFor();
  },
  "a set that is held": async (page, at) => {
    await page.goto(`${at}/set/R3/change`);
    await page.locator("#hold").getByLabel("Why").fill("first stage creeps");
    await turned(page, () => page.locator("#hold").getByRole("button").click());
    await page.goto(`${at}/set/R3/change`);
    await page.locator("#release").getByRole("button", { name: "Release" }).waitFor();
  },
  "what a stranger wrote": async (page, at) => {
    const boat = new Desk();
    try {
      boat.hose();
      boat.run("bundle", "--out", "boat.hwbundle");
      await page.goto(`${at}/owner/record`);
      await page.locator("#entries").setInputFiles(boat.path("boat.hwbundle"));
      await turned(page, () => page.getByRole("button", { name: "Import" }).click());
      await turned(page, () => page.getByRole("button", { name: "Import" }).click());
      await page.goto(`${at}/owner/devices`);
      await turned(page, () => page.getByRole("link", { name: "Look through" }).first().click());
    } finally {
      boat.close();
    }
  },
  "what came": async (page, at) => {
    const file = await page.request.get(`${at}/owner/record/export.jsonl`);
    await page.goto(`${at}/owner/record`);
    const buffer = Buffer.concat([await file.body(), Buffer.from("{}\n")]);
    await page.locator("#entries").setInputFiles({ name: "record.jsonl", mimeType: "text/plain", buffer });
    await page.getByLabel("If an export has bad lines").check();
    await turned(page, () => page.getByRole("button", { name: "Import" }).click());
  },
  "who wrote in a bundle": async (page, at) => {
    const boat = new Desk();
    try {
      boat.hose();
      boat.run("bundle", "--out", "boat.hwbundle");
      await page.goto(`${at}/owner/record`);
      await page.locator("#entries").setInputFiles(boat.path("boat.hwbundle"));
      await page.getByRole("button", { name: "Import" }).click();
      await page.getByText("Leave out entries by these").waitFor();
    } finally {
      boat.close();
    }
  },
  "a file that is no list": async (page, at) => {
    await page.goto(`${at}/owner/record`);
    await page.locator("#list").setInputFiles({ name: "a.csv", mimeType: "text/csv", buffer: Buffer.from("PK\u0003\u0004") });
    await turned(page, () => page.getByRole("button", { name: "Show what would be registered" }).click());
  },
  "a film": async (page, at) => {
    await page.goto(`${at}/owner/meet`);
    await turned(page, () => page.getByRole("button", { name: "Show everything" }).click());
    await page.getByRole("button", { name: "Start the film" }).click();
    await page.locator("#strip[data-shown]").waitFor();
  },
  "what is here, as a film": async (page, at) => {
    await page.goto(`${at}/owner/meet`);
    await turned(page, () => page.getByRole("button", { name: "Show what is here" }).click());
  },
  "the owner's key": async (page, at) => {
    await page.goto(`${at}/owner/devices`);
    await page.locator("#words").getByLabel("Its 24 words").fill("these are no words");
    await turned(page, () => page.getByRole("button", { name: "Check the words" }).click());
  },
  "a list that was taken in": async (page, at) => {
    await page.goto(`${at}/owner/record`);
    const list = `Service,Length\nocto,1${Math.floor(Math.random() * 1e6) % 90 + 10} cm\nocto,long\n`;
    await page.locator("#list").setInputFiles({ name: "b.csv", mimeType: "text/csv", buffer: Buffer.from(list) });
    await turned(page, () => page.getByRole("button", { name: "Show what would be registered" }).click());
    await turned(page, () => page.getByRole("button", { name: "Register these" }).click());
  },
  // These are not the demonstration's, so they come last: it is left for good.
  "the shop's network, closed": async (page, at) => {
    await page.context().clearCookies();
    await page.goto(`${at}/owner/meet/network`);
    const close = page.getByRole("button", { name: "Close to the network" });
    if (await close.count()) {
      await turned(page, () => close.click());
    }
  },
  "the shop's network, open": async (page, at) => {
    await page.goto(`${at}/owner/meet/network`);
    await page.getByLabel("Pass phrase for browsers").fill("sea horse under harbour wall");
    await turned(page, () => page.getByRole("button", { name: "Open to the network" }).click());
  },
  "a meeting under way": async (page, at) => {
    await page.goto(`${at}/owner/meet`);
    await page.getByLabel("The symbol's text, or an address").fill(`postgres://desk@127.0.0.1:${quiet.address().port}/fleet`);
    await turned(page, () => page.locator("#call").getByRole("button", { name: "Meet" }).click());
    await page.getByRole("button", { name: "Stop", exact: true }).waitFor();
  },
  "a meeting that was stopped": async (page, at) => {
    await page.goto(`${at}/owner/meet/under-way`);
    await turned(page, () => page.getByRole("button", { name: "Stop", exact: true }).click());
    await page.getByText("Stopped, as asked.").waitFor();
  },
  "a symbol that lets a device in": async (page, at) => {
    await page.goto(`${at}/owner/meet/network`);
    await turned(page, () => page.getByRole("button", { name: "Show the symbol" }).click());
    await page.locator("svg.symbol").waitFor();
  },
};
/** Where pictures of the new screens go, if anywhere. */
const PICTURES = process.env.HOSEWRIGHT_SCREENS;

before(async () => {
  await new Promise((resolve) => { quiet.listen(0, "127.0.0.1", resolve); });
  chrome = await browser();
  desk = new Desk();
  const at = await desk.serve();
  const page = await chrome.newPage();
  await page.goto(at);
  await turned(page, () => page.getByRole("button", { name: "Open the demonstration" }).click());
  const [ready, watch, hold, retire] = await page.$$eval(".tries a", (all) => all.map((a) => a.getAttribute("href")));
  const swap = await page.goto(`${at}${ready}/swap`)
    .then(() => page.locator(".list a.button").first().getAttribute("href"));
  await page.goto(`${at}/owner/devices`);
  await turned(page, () => page.getByRole("button", { name: "Set up the fleet and show its key" }).click());
  await page.goto(`${at}/owner/record`);
  await page.locator("#list").setInputFiles({ name: "hoses.csv", mimeType: "text/csv", buffer: Buffer.from(LIST) });
  await turned(page, () => page.getByRole("button", { name: "Show what would be registered" }).click());
  const plan = page.url().slice(at.length);
  await page.goto(`${at}${ready}`);
  const back = await page.locator(".timeline a.back").first().getAttribute("href");
  // A customer's hose, and a set that waits to go out.
  await page.goto(`${at}/register`);
  await page.locator("[name=service][value=second-stage]").check();
  await page.locator("[name=construction][value=rubber]").check();
  await page.locator("[name=length]").fill("75 cm");
  await page.locator("[name=ticket]").fill("T-9");
  await turned(page, () => page.locator("main form button.main").click());
  const customers = new URL(page.url()).pathname;
  await page.goto(at);
  const out = await page.locator("section[aria-labelledby=today-ready] li a.button").first().getAttribute("href");
  const packed = out.replace(/\/out$/, "");
  await page.goto(`${at}${packed}`);
  const hoses = await page.$$eval("td a[href^='/hose/']", (all) => all.map((a) => a.getAttribute("href").split("/")[2]));
  await page.goto(`${at}${out}?${hoses.map((code) => `scanned=${code}`).join("&")}`);
  await page.getByLabel("Ticket number").fill("41");
  await turned(page, () => page.getByRole("button", { name: "Pack it for later" }).click());
  await page.context().close();
  screens = [
    "/", ready, watch, hold, retire, `${ready}/inspect?kind=full`, `${ready}/inspect?kind=quick`,
    `${ready}/inspect?kind=leak-test`, `${ready}/care`, `${ready}/describe`, `${ready}/place`, `${ready}/swap`, swap, "/hoses", "/register",
    `${ready}/hold`, `${ready}/identify`, back, "/set/R3/change", "/owner/history",
    `${ready}/case`, "/set/R3/case", "/restore", "/lost/phone", "/lost/laptop", "/left",
    "/sets", "/sets/new", "/set/R3", "/set/R3/fill", "/return", "/set/R3/out", `/set/R3/out?scanned=${hold.split("/")[2]}&scanned=nothing`,
    `/set/R3/inspect?scanned=${hold.split("/")[2]}&scanned=nothing`, `${customers}/job`, "/set/R3/job",
    `${swap}/another`, packed, out, `/hose/${hoses[0]}`, "/bench", "/bench/spanner?nut=15.9mm", "/bench/thread?diameter=wide",
    "/owner", "/owner/due", "/owner/due/print", "/owner/calendar", "/owner/order?within=1y", "/owner/survival?by=lot", "/owner/ages", "/owner/survival?by=maker", "/owner/recall",
    "/owner/recall?lot=Q-2301", "/owner/recall?lot=Q-2302", "/owner/limits", "/owner/limits/check?in_service=1y", "/owner/meet", "/owner/meet/watch", "/owner/record", plan, "/owner/devices", "/owner/staff", "/tags?set=R3", "/tags?blank=3&form=70x37", "/tie/2RWB-XCB4-GDEA-7", "/tie/2RWB-XCB4-GDEA-7?text=inflator", "/who", "/hose/nothing", "/scan?text=HW1:2RWBXCB4GDEA7.",
  ];
});
after(async () => {
  await chrome.close();
  desk.close();
  quiet.close();
});

/** What is too small, too narrow or sticks out. */
function small() {
  const seen = (element) => {
    const box = element.getBoundingClientRect();
    const spoken = element.closest(".spoken, .skip, thead, #photo-form, [hidden]");
    return box.width > 1 && box.height > 1 && !spoken && element.checkVisibility();
  };
  const wrong = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const element = walker.currentNode.parentElement;
    const size = parseFloat(getComputedStyle(element).fontSize);
    const drawn = element.closest("svg, script, style");
    if (walker.currentNode.data.trim() && seen(element) && !drawn && size < 18) {
      wrong.push(`type of ${size}px: ${walker.currentNode.data.trim().slice(0, 40)}`);
    }
  }
  for (const element of document.querySelectorAll("a, button, input, select, summary")) {
    // A box is as large as the label that it stands in; a link in a sentence is text.
    const target = element.closest("label") ?? element;
    const sentence = element.matches("dd a, td .code, p.about a, p a.code, .list a:not(.button)");
    if (seen(element) && !sentence && target.getBoundingClientRect().height < 47.5) {
      wrong.push(`target of ${target.getBoundingClientRect().height}px: ${element.outerHTML.slice(0, 80)}`);
    }
  }
  const out = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  if (out > 0) {
    wrong.push(`${out}px stick out at the side`);
  }
  return wrong;
}

/** What axe-core holds against a page: all of it, or what depends on its colours alone. */
async function held(page, screen, rules) {
  await page.evaluate(axe.source);
  const found = await page.evaluate((runOnly) => globalThis.axe.run(document, {
    rules: { "color-contrast-enhanced": { enabled: true } }, ...(runOnly && { runOnly }),
  }), rules);
  const serious = found.violations.filter(({ impact }) => ["serious", "critical"].includes(impact));
  return serious.map(({ id, impact, nodes }) =>
    `${screen}: ${id} (${impact}): ${nodes[0].html.slice(0, 120)} ${nodes[0].any[0]?.message ?? ""}`);
}

for (const [size, viewport] of Object.entries(SIZES)) {
  test(`every screen is readable, ${size}`, async () => {
    const phone = size === "phone";
    const context = await chrome.newContext({ viewport, colorScheme: "light", hasTouch: phone, isMobile: phone });
    const page = await context.newPage();
    await page.goto(desk.address);
    await turned(page, () => page.getByRole("button", { name: "Open the demonstration" }).click());
    const wrong = [];
    for (const screen of [...screens, ...Object.keys(PRESSED)]) {
      await page.emulateMedia({ colorScheme: "light" });
      await (PRESSED[screen]?.(page, desk.address) ?? counted(page, desk.address + screen));
      await page.$$eval("details", (all) => all.forEach((one) => { one.open = true; }));
      for (const said of await page.evaluate(small)) {
        wrong.push(`${screen}: ${said}`);
      }
      for (const [colorScheme, rules] of [["light", null], ["dark", ["color-contrast", "color-contrast-enhanced"]]]) {
        await page.emulateMedia({ colorScheme });
        wrong.push(...await held(page, `${screen}, ${colorScheme}`, rules));
        if (PICTURES) {
          const name = `${size}-${colorScheme}-${screen.replace(/[^a-z0-9]+/gi, "-").slice(0, 40)}.png`;
          await page.screenshot({ path: path.join(PICTURES, name), fullPage: true });
        }
      }
    }
    await context.close();
    assert.deepEqual(wrong, []);
  });
}

test("nothing sticks out on the smallest phone", async () => {
  const context = await chrome.newContext({ viewport: { width: 320, height: 640 }, hasTouch: true, isMobile: true });
  const page = await context.newPage();
  await page.goto(desk.address);
  await turned(page, () => page.getByRole("button", { name: "Open the demonstration" }).click());
  const wrong = [];
  for (const screen of screens) {
    await counted(page, desk.address + screen);
    await page.$$eval("details", (all) => all.forEach((one) => { one.open = true; }));
    if (PICTURES) {
      const name = `small-${screen.replace(/[^a-z0-9]+/gi, "-").slice(0, 40)}.png`;
      await page.screenshot({ path: path.join(PICTURES, name), fullPage: true });
    }
    wrong.push(...(await page.evaluate(small)).map((said) => `${screen}: ${said}`));
  }
  await context.close();
  assert.deepEqual(wrong, []);
});
