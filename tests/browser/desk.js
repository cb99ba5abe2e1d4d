// A desk of its own for each test: the real program with an empty record, and a
// real browser before it.
"use strict";

const { spawn, spawnSync } = require("node:child_process");
const fs = require("node:fs");
const os = require("node:os");
const path = require("node:path");
const { chromium } = require("playwright-core");

const ROOT = path.resolve(__dirname, "../..");
const PROGRAM = process.env.HOSEWRIGHT_PROGRAM ?? path.join(ROOT, "target/debug/hosewright");
const TODAY = "2026-06-15";

/** What has not come in this many milliseconds never will, however busy the machine is; less while one writes a test. */
const NEVER = Number(process.env.HOSEWRIGHT_NEVER ?? 300_000);

/** The screens that everything is tried on. */
const SIZES = { phone: { width: 390, height: 844 }, counter: { width: 1280, height: 800 } };

/** A record of its own, and the program with it. */
class Desk {
  constructor() {
    this.folder = fs.mkdtempSync(path.join(os.tmpdir(), "hosewright-page-"));
    this.env = {
      ...process.env,
      HOSEWRIGHT_STORE: path.join(this.folder, "store.hosewright"),
      HOSEWRIGHT_KEYS: path.join(this.folder, "keys"),
      HOSEWRIGHT_BY: "tester",
    };
    delete this.env.HOSEWRIGHT_SEED;
  }

  path(name) {
    return path.join(this.folder, name);
  }

  /** Runs a command that must succeed, and returns what it printed. */
  run(...words) {
    const said = spawnSync(PROGRAM, ["--today", TODAY, ...words], { env: this.env, cwd: this.folder, encoding: "utf8" });
    if (said.status !== 0 && said.status !== 1) {
      throw new Error(`${words.join(" ")}: ${said.stderr}`);
    }
    return said.stdout.trim();
  }

  /** Registers a hose and returns its code. */
  hose(service = "second-stage", extra = []) {
    const gauge = service === "gauge";
    const far = { "second-stage": "9/16-18", inflator: "quick-disconnect", gauge: "7/16-20" }[service];
    return this.run("register", "--service", service, "--construction", gauge ? "rubber" : "braided",
      "--length", "22in", "--end-a", gauge ? "7/16-20" : "3/8-24", "--end-b", far, "--made", "2024-03",
      "--maker", "Kelpline", "--lot", "B17", ...extra);
  }

  /** A hose that is fitted, looked over and leak-tested. */
  good(set, port, service) {
    const code = this.hose(service);
    this.run("fit", code, "--set", set, "--port", port);
    this.run("inspect", code, "--kind", "full");
    this.run("inspect", code, "--kind", "leak-test", "--pressure", "200bar", "--passed");
    return code;
  }

  /** Chooses the pass phrase for other devices. */
  passPhrase(phrase) {
    const said = spawnSync(PROGRAM, ["desk", "--pass-phrase"], { env: this.env, input: `${phrase}\n`, encoding: "utf8" });
    if (said.status !== 0) {
      throw new Error(said.stderr);
    }
  }

  /** Serves the page, and waits until it answers. */
  async serve(...words) {
    this.server = spawn(PROGRAM, ["--today", TODAY, "desk", "--port", "0", ...words], { env: this.env, stdio: ["ignore", "pipe", "inherit"] });
    this.address = await new Promise((resolve, reject) => {
      this.server.stdout.once("data", (text) => resolve(String(text).split("\n")[0].replace(/\/$/, "")));
      this.server.once("exit", (code) => reject(new Error(`the desk ended with ${code}`)));
    });
    return this.address;
  }

  close() {
    this.server?.kill();
    fs.rmSync(this.folder, { recursive: true, force: true });
  }
}

/** A browser; `film` is what its camera sees. */
async function browser(film) {
  const camera = film
    ? ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream", `--use-file-for-fake-video-capture=${film}`]
    : [];
  const chrome = await chromium.launch({
    timeout: NEVER,
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    // Chromium's sandbox does not start for the system's administrator.
    args: [...(process.getuid?.() === 0 ? ["--no-sandbox"] : []), "--disable-gpu", ...camera],
  });
  for (const open of ["newContext", "newPage"]) {
    const opens = chrome[open].bind(chrome);
    chrome[open] = async (settings) => {
      const opened = await opens(settings);
      opened.setDefaultTimeout(NEVER);
      return opened;
    };
  }
  return chrome;
}

/** Does what leads to another page, and waits until that is there: what follows is never about the page before. */
async function turned(page, act) {
  await Promise.all([page.waitForNavigation(), act()]);
}

/** Goes to a page about every hose once they are counted: until then it says so, and comes again by itself. */
async function counted(page, address) {
  while ((await page.request.get(address)).status() === 202) { /* It is counted meanwhile. */ }
  await page.goto(address);
}

/** What a person does on a page, counted: presses of the mouse or a finger, and scans of a hand-held reader. */
class Effort {
  static async of(page) {
    await page.addInitScript(() => addEventListener("pointerdown", () => {
      sessionStorage.setItem("pressed", Number(sessionStorage.getItem("pressed")) + 1);
    }, true));
    return new Effort(page);
  }

  constructor(page) {
    this.page = page;
    this.scans = 0;
  }

  /** A reader types wherever the page stands, and ends with Enter. */
  async scan(text) {
    this.scans += 1;
    await this.page.keyboard.type(text);
    await turned(this.page, () => this.page.keyboard.press("Enter"));
  }

  async spent() {
    const clicks = await this.page.evaluate(() => Number(sessionStorage.getItem("pressed")));
    return { scans: this.scans, clicks };
  }
}

module.exports = { Desk, Effort, NEVER, PROGRAM, browser, counted, turned, ROOT, SIZES, TODAY };
