// The page that has its record in the browser: its files from a plain host of files, as any
// such host is, and a phone's browser before it.
"use strict";

const fs = require("node:fs");
const http = require("node:http");
const os = require("node:os");
const path = require("node:path");
const { chromium } = require("playwright-core");
const { NEVER, ROOT } = require("./desk.js");

const SITE = process.env.HOSEWRIGHT_SITE ?? path.join(ROOT, "target/pocket");
const KINDS = {
  html: "text/html; charset=utf-8", js: "text/javascript", css: "text/css", wasm: "application/wasm",
  svg: "image/svg+xml", png: "image/png", webmanifest: "application/manifest+json",
};

/** A host of files that can't route: what is no file is its 404 page. */
class Host {
  constructor(site = SITE) {
    this.site = site;
    this.asked = [];
  }

  async serve() {
    this.server = http.createServer((request, response) => {
      const { pathname } = new URL(request.url, "http://localhost");
      this.asked.push(pathname);
      const wanted = path.join(this.site, pathname === "/" ? "index.html" : path.normalize(pathname));
      const there = wanted.startsWith(this.site) && fs.statSync(wanted, { throwIfNoEntry: false })?.isFile();
      const file = there ? wanted : path.join(this.site, "404.html");
      response.writeHead(there ? 200 : 404, { "content-type": KINDS[file.split(".").pop()] ?? "application/octet-stream" });
      response.end(fs.readFileSync(file));
    });
    await new Promise((done) => this.server.listen(this.port ?? 0, "127.0.0.1", done));
    this.port = this.server.address().port;
    this.address = `http://localhost:${this.port}`;
    return this.address;
  }

  /** The network is gone. */
  async gone() {
    this.server.closeAllConnections();
    await new Promise((done) => this.server.close(done));
  }
}

const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 };

/** A phone's browser with a profile of its own, which outlives the browser's process. */
class Phone {
  constructor() {
    this.folder = fs.mkdtempSync(path.join(os.tmpdir(), "hosewright-phone-"));
  }

  async start({ film, ...more } = {}) {
    const camera = film
      ? ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream", `--use-file-for-fake-video-capture=${film}`]
      : [];
    this.context = await chromium.launchPersistentContext(path.join(this.folder, "profile"), {
      executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
      args: [...(process.getuid?.() === 0 ? ["--no-sandbox"] : []), "--disable-gpu", ...camera],
      acceptDownloads: true,
      timeout: NEVER,
      ...PHONE,
      ...more,
    });
    this.context.setDefaultTimeout(NEVER);
    this.context.setDefaultNavigationTimeout(NEVER);
    this.page = this.context.pages()[0] ?? await this.context.newPage();
    this.slips = [];
    this.page.on("pageerror", (slip) => this.slips.push(String(slip)));
    this.page.on("console", (line) => line.type() === "error" && this.slips.push(line.text()));
    return this.page;
  }

  /** Opens the page, and says who writes if that is asked. */
  async open(address, by = "Ines") {
    await this.goto(address);
    const name = this.page.getByLabel("Name", { exact: true });
    if (by && await name.count() > 0) {
      await name.fill(by);
      await this.press("Use this name");
    }
  }

  /** Loads an address, and waits until the page is more than the shell that opens it. */
  async goto(address) {
    await this.page.goto(address);
    await this.page.waitForFunction(() => document.querySelector("h1") && !document.getElementById("opening"));
  }

  /** Presses a button or a link by its words, and waits for the page that follows. */
  async press(words) {
    await this.turned(() => this.page.locator("main, header, footer").locator("a, button").getByText(words, { exact: true }).or(
      this.page.getByRole("button", { name: words, exact: true })).first().tap());
  }

  /** Does what leads to another page of the shell, and waits until it is shown. */
  async turned(act) {
    await this.page.evaluate(() => { document.body.dataset.before = "yes"; });
    await act();
    await this.page.waitForFunction(() => !document.body.dataset.before);
  }

  /** A hand-held reader types. */
  async scan(text) {
    await this.turned(async () => {
      await this.page.locator("#scan").fill(text);
      await this.page.locator("#scan").press("Enter");
    });
  }

  /** Waits until the page's files are kept for use without a network. */
  async offline() {
    await this.page.waitForFunction(() => document.documentElement.dataset.offline === "ready");
  }

  async close() {
    await this.context?.close();
  }

  remove() {
    fs.rmSync(this.folder, { recursive: true, force: true });
  }
}

module.exports = { Host, Phone, SITE };
