// Whoever holds a hose and a phone reads what counts without a touch: the verdict and
// what it means, which hose it is, how old, and the last look at it.
"use strict";

const assert = require("node:assert/strict");
const path = require("node:path");
const { after, before, test } = require("node:test");
const { Desk, browser, turned } = require("./desk.js");

const PICTURES = process.env.HOSEWRIGHT_SCREENS;
const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true };

let chrome;
let desk;
let page;
/** A hose for each kind of answer of the demonstration: its verdict with its reasons, and what is known of it. */
const kinds = new Map();

before(async () => {
  chrome = await browser();
  desk = new Desk();
  const at = await desk.serve();
  const context = await chrome.newContext(PHONE);
  page = await context.newPage();
  await page.goto(at);
  await turned(page, () => page.getByRole("button", { name: "Open the demonstration" }).click());
  for (let next = `${at}/hoses`; next;) {
    await page.goto(next);
    const hoses = await page.$$eval("main a.code", (all) => all.map((a) => a.href));
    const more = await page.$$eval("main a[rel=next]", (all) => all.map((a) => a.href));
    for (const hose of new Set(hoses)) {
      const look = await page.context().newPage();
      await look.goto(hose);
      const kind = await look.evaluate(() => [
        document.querySelector(".banner h1").textContent,
        document.querySelectorAll(".reasons li").length,
        document.querySelector(".banner .meaning").textContent,
        document.querySelector(".banner .looked").textContent.replace(/^[^:]*/, ""),
        document.querySelector(".banner .number") !== null,
      ].join("|"));
      kinds.set(kind, kinds.get(kind) ?? hose);
      await look.close();
    }
    next = more[0];
  }
  const boat = new Desk();
  try {
    kinds.set("of a tag alone", `${at}/scan?text=HW1:${boat.hose().replaceAll("-", "")}.`);
  } finally {
    boat.close();
  }
});
after(async () => {
  await chrome.close();
  desk.close();
});

/** What of these cannot be seen without scrolling: outside of the screen, or under something else. */
function hidden(selectors) {
  return selectors.filter((selector) => {
    const element = document.querySelector(selector);
    if (!element || !element.textContent.trim()) {
      return true;
    }
    const box = element.getBoundingClientRect();
    const inside = box.top >= 0 && box.bottom <= innerHeight && box.left >= 0 && box.right <= innerWidth;
    const points = [[box.left + 2, box.top + 2], [box.left + 2, box.bottom - 2]];
    return !inside || points.some(([x, y]) => !element.contains(document.elementFromPoint(x, y)));
  });
}

/** The dates that lie on more than one line. */
function broken() {
  const lines = (element) => new Set([...element.getClientRects()].map((rect) => Math.round(rect.top))).size;
  return [...document.querySelectorAll(".date, time")].filter((date) => lines(date) > 1).map((date) => date.textContent);
}

test("an answer is read without scrolling, whatever it is", async () => {
  assert.ok(kinds.size > 8, `${kinds.size} kinds of answers`);
  const verdicts = new Set([...kinds.keys()].map((kind) => kind.split("|")[0]));
  assert.ok(["ready", "watch", "hold", "retire"].every((verdict) => verdicts.has(verdict)), [...verdicts].join());
  const wrong = [];
  let number = 0;
  for (const [kind, address] of kinds) {
    await page.goto(address);
    const unseen = await page.evaluate(hidden, [".banner h1", ".banner .meaning", ".banner .which p", ".banner .old", ".banner .looked"]);
    wrong.push(...unseen.map((selector) => `${kind}: ${selector}`));
    wrong.push(...(await page.evaluate(broken)).map((date) => `${kind}: ${date} breaks`));
    wrong.push(...(await page.$$eval(".old", (all) => all.map((age) => age.textContent)))
      .filter((age) => /month.* day/.test(age)).map((age) => `${kind}: ${age}`));
    if (PICTURES) {
      await page.screenshot({ path: path.join(PICTURES, `answer-${number += 1}.png`) });
    }
  }
  assert.deepEqual(wrong, []);
});

test("a date stands on one line, however narrow the screen", async () => {
  const wrong = [];
  for (const width of [320, 347, 390]) {
    await page.setViewportSize({ width, height: 844 });
    for (const [kind, address] of kinds) {
      await page.goto(address);
      assert.ok(kind.includes("tag alone") || await page.locator(".date, time").count() > 0, kind);
      wrong.push(...(await page.evaluate(broken)).map((date) => `${width}, ${kind}: ${date} breaks`));
    }
  }
  assert.deepEqual(wrong, []);
});
