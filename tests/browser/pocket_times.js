#!/usr/bin/env node
// How long the page in a phone's browser takes: to the first answer after a cold start, for a
// frame of the camera beside the native program's own, and what holds up its own thread.
//   NODE_PATH=target/browser/node_modules tests/browser/pocket_times.js [EACH]
"use strict";

const { spawnSync } = require("node:child_process");
const fs = require("node:fs");
const path = require("node:path");
const { Desk, ROOT } = require("./desk.js");
const { Host, Phone } = require("./pocket.js");

/** Frames of each condition. */
const EACH = Number(process.argv[2] ?? 5);
const median = (all) => [...all].sort((a, b) => a - b)[Math.floor(all.length / 2)];

/** The reader is optimised in a development build, too; the making of the frames is not. */
const TOOL = ["release", "debug"].map((built) => path.join(ROOT, "target", built, "frames")).find((tool) => fs.existsSync(tool));

/** Runs the tool that makes and reads frames. */
function tool(...words) {
  const said = spawnSync(TOOL, words, { encoding: "utf8", maxBuffer: 1e9 });
  if (said.status !== 0) {
    throw new Error(`${TOOL} ${words.join(" ")}: ${said.stderr}`);
  }
  return said.stdout;
}

/** A grey picture as a PGM file has it: its size, and a byte a pixel. */
function grey(file) {
  const bytes = fs.readFileSync(file);
  const [head, width, height] = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(bytes.subarray(0, 40).toString("latin1"));
  return { width: Number(width), height: Number(height), bytes: bytes.subarray(head.length).toString("base64") };
}

async function main() {
  const [host, phone, desk] = [new Host(), new Phone(), new Desk()];
  await host.serve();
  let page = await phone.start();
  await phone.open(host.address);
  await phone.offline();
  desk.run("demo", "made");
  desk.env.HOSEWRIGHT_STORE = desk.path("made/fleet.hosewright");
  desk.run("bundle", "--out", "fleet.hwbundle");
  const [hose] = desk.run("list", "--json").split("\n").flatMap((line) => JSON.parse(line));
  await phone.goto(`${host.address}/owner/record`);
  await page.locator("#entries").setInputFiles(desk.path("fleet.hwbundle"));
  await phone.turned(() => page.locator("form:has(#entries) button[type=submit]").tap());
  await host.gone();

  const cold = [];
  for (let nth = 0; nth < 7; nth += 1) {
    await phone.close();
    page = await phone.start();
    const from = process.hrtime.bigint();
    await page.goto(`${host.address}/hose/${hose.code}`);
    await page.locator(".banner").waitFor();
    cold.push(Number(process.hrtime.bigint() - from) / 1e6);
  }
  console.log(`first answer after a cold start: ${median(cold).toFixed(0)} ms (${cold.map((ms) => ms.toFixed(0)).join(", ")})`);

  await page.evaluate(() => {
    globalThis.held = [];
    new PerformanceObserver((list) => globalThis.held.push(...list.getEntries().map((one) => one.duration))).observe({ type: "longtask" });
  });
  for (const to of ["Hoses", "Sets", "Owner", "Today"]) {
    await phone.turned(() => page.locator("header").getByRole("link", { name: to }).tap());
  }
  await phone.scan(hose.code);
  console.log(`tasks of more than 50 ms on the page's own thread: ${JSON.stringify(await page.evaluate(() => globalThis.held))}`);
  await phone.close();

  await host.serve();
  page = await phone.start();
  await page.goto(`${host.address}/words.js`);
  const folder = path.join(phone.folder, "frames");
  fs.mkdirSync(folder);
  tool("write", "31337", String(EACH), "0", folder);
  const files = fs.readdirSync(folder).filter((name) => name.endsWith(".pgm")).map((name) => path.join(folder, name));
  await page.evaluate(async () => {
    const worker = new Worker("/worker.js", { type: "module" });
    globalThis.call = (kind, what, given = []) => new Promise((resolve, reject) => {
      worker.onmessage = ({ data }) => (data.refused ? reject(new Error(data.refused.words)) : resolve(data.done));
      worker.postMessage({ id: 1, kind, what }, given);
    });
    await globalThis.call("open");
  });
  const ours = [];
  let read = 0;
  for (const file of files) {
    const [ms, texts] = await page.evaluate(async ({ width, height, bytes }) => {
      const grey = Uint8Array.from(atob(bytes), (one) => one.charCodeAt(0));
      await globalThis.call("forget");
      const from = performance.now();
      const found = await globalThis.call("look", { grey, width, height }, [grey.buffer]);
      return [performance.now() - from, found.tags.length];
    }, grey(file));
    ours.push(ms);
    read += texts > 0 ? 1 : 0;
  }
  const native = tool("read", folder).trim().split("\n").map((line) => JSON.parse(line).ms);
  console.log(`a frame, in the browser: ${median(ours).toFixed(1)} ms median, ${read} of ${files.length} seen`);
  console.log(`a frame, natively: ${median(native).toFixed(1)} ms median`);
  await phone.close();
  await host.gone();
  desk.close();
  phone.remove();
}

main().catch((trouble) => {
  console.error(trouble);
  // The browser and the host would keep it from ending.
  process.exit(1);
});
