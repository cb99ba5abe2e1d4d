// The page round the pages: the record in this browser, opened, kept, and brought up to date;
// what comes in from other apps and goes out to them; the camera, the chips and the voice.
"use strict";

import { Record } from "/record.js";
import { Pages, isFilledIn } from "/pages.js";
import { look, watch } from "/camera.js";
import { hasChips, readChip, writeChip } from "/chips.js";
import { element, say, offer, footer } from "/parts.js";
import { WORDS } from "/words.js";

const VOICE = "hosewright-voice";
const SHARED = "hosewright-shared";

const record = new Record();
const pages = new Pages(record);
let aloud = false;
let install = null;
let waiting = null;

globalThis.hosewright = {
  fetch: (address) => pages.fetch(address),
  look: (film, drawn) => look(record, film, drawn),
  watch: (film, drawn) => watch(record, film, drawn),
  /** A tag was read: felt now, and heard with the answer. */
  scanned() {
    navigator.vibrate?.(80);
    aloud = true;
  },
  begin: null,
};

const hasVoice = () => "speechSynthesis" in globalThis;
const isVoiceOn = () => localStorage.getItem(VOICE) !== "off";

/** Says the verdict of the page that is shown, after a scan. */
function speak() {
  const verdict = document.querySelector(".banner h1");
  if (aloud && verdict && hasVoice() && isVoiceOn()) {
    speechSynthesis.cancel();
    const spoken = new SpeechSynthesisUtterance(verdict.getAttribute("aria-label") ?? verdict.textContent);
    spoken.lang = "en";
    speechSynthesis.speak(spoken);
  }
  aloud = false;
}

// The record, and what can be wrong with it.

const TROUBLES = {
  none: [WORDS.NO_STORAGE_TITLE, WORDS.NO_STORAGE],
  full: [WORDS.FULL_TITLE, WORDS.FULL],
  newer: [WORDS.NEWER_TITLE, WORDS.NEWER],
  other: [WORDS.STOPPED_TITLE, WORDS.STOPPED],
  broken: [WORDS.STOPPED_TITLE, WORDS.STOPPED],
};

const again = [WORDS.AGAIN, () => location.reload()];

function trouble(refused) {
  if (refused?.kind === "moved") {
    return;
  }
  if (refused?.kind === "taken") {
    taken();
    return;
  }
  if (refused?.kind === "damaged") {
    say(WORDS.DAMAGED_TITLE, [WORDS.DAMAGED], [
      [WORDS.KEEP_COPY, async () => offer("damaged.hosewright", new Blob([await record.call("bytes")]))],
      [WORDS.SALVAGE, salvage],
    ]);
    return;
  }
  const [title, text] = TROUBLES[refused?.kind] ?? TROUBLES.other;
  // What is known is said in full; what is not, as the browser says it.
  const known = ["none", "full", "newer"].includes(refused?.kind);
  say(title, [text, known ? "" : refused?.words ?? String(refused)], [again]);
}

function taken() {
  say(WORDS.TAKEN_TITLE, [WORDS.TAKEN], [[WORDS.TAKE_OVER, async () => {
    await record.take(true);
    await opened();
  }]]);
}

async function salvage() {
  try {
    const [words, lines] = await record.call("salvage");
    const rest = [[WORDS.UNPROVEN, () => offer("unproven.jsonl", new Blob([lines]))]];
    say(WORDS.SALVAGED_TITLE, words, [[WORDS.GO_ON, opened], ...(lines ? rest : [])]);
  } catch (refused) {
    trouble({ kind: "other", words: refused.words });
  }
}

async function opened() {
  try {
    await record.call("open");
  } catch (refused) {
    trouble(refused);
    return;
  }
  await pages.go(location.pathname + location.search + location.hash);
}

record.onmoved = () => say(WORDS.MOVED_TITLE, [WORDS.MOVED], [[WORDS.TAKE_OVER, async () => {
  await record.take(true);
  await opened();
}]]);
record.onstopped = (words) => trouble({ kind: "broken", words });
pages.ontrouble = trouble;

// A page is shown: what this device adds to it.

pages.onfile = ({ headers, body }) => {
  const name = /filename="([^"]+)"/.exec(headers["content-disposition"] ?? "")?.[1] ?? "hosewright";
  offer(name, new Blob([body], { type: headers["content-type"] }));
};

pages.onshown = () => {
  speak();
  footer(controls());
  updated();
};

function controls() {
  const hose = /^\/hose\/([0-9A-Za-z-]+)$/.exec(location.pathname)?.[1];
  return [
    install && [WORDS.INSTALL, async () => {
      await install.prompt();
      install = null;
      footer(controls());
    }],
    hasVoice() && [isVoiceOn() ? WORDS.VOICE_ON : WORDS.VOICE_OFF, () => {
      localStorage.setItem(VOICE, isVoiceOn() ? "off" : "on");
      footer(controls());
    }],
    hasChips() && [WORDS.CHIP_READ, chipRead],
    hasChips() && hose && [WORDS.CHIP_WRITE, () => chipWritten(hose)],
    persisted === false && [WORDS.PERSIST, persist, WORDS.NOT_PERSISTED],
    waiting && isFilledIn(document) && [null, null, WORDS.UPDATE_WAITING],
    navigator.standalone === false && [null, null, WORDS.INSTALL_IPHONE],
  ].filter(Boolean);
}

let persisted = null;

async function persist() {
  persisted = await navigator.storage.persist();
  footer(controls());
}

async function chip(work) {
  const over = new AbortController();
  const close = offer(WORDS.CHIP_HOLD, null, () => over.abort());
  try {
    return await work(over.signal);
  } catch {
    if (!over.signal.aborted) {
      offer(WORDS.CHIP_FAILED, null);
    }
    return null;
  } finally {
    close();
  }
}

async function chipRead() {
  const text = await chip(readChip);
  if (text) {
    globalThis.hosewright.scanned();
    pages.go(`/scan?${new URLSearchParams({ text })}`);
  }
}

async function chipWritten(hose) {
  const bytes = await record.call("chip", { code: hose });
  const done = await chip((signal) => writeChip(bytes, signal).then(() => true));
  if (done) {
    offer(WORDS.CHIP_WRITTEN, null);
  }
}

// Files that other apps give.

async function came(files) {
  const [file] = files;
  if (!file) {
    return;
  }
  const kind = /\.csv$/i.test(file.name) ? "list" : file.type.startsWith("image/") ? "photo" : "entries";
  const words = { list: WORDS.SHARED_LIST, photo: WORDS.SHARED_PHOTO, entries: WORDS.SHARED_ENTRIES }[kind];
  say(WORDS.SHARED_TITLE, [file.name], [[words, async () => {
    const bytes = new Uint8Array(await file.arrayBuffer());
    const page = new DOMParser().parseFromString(await (await pages.fetch("/owner/record")).text(), "text/html");
    const token = page.querySelector("input[name=token]").value;
    if (kind === "photo") {
      pages.go("/photo", { fields: [["token", token], ["to", "/scan"], ["field", "text"], ["photo", [file.name, bytes]]] });
    } else {
      pages.go(`/owner/record/${kind}`, { fields: [["token", token], ["file", [file.name, bytes]]] });
    }
  }], [WORDS.CLOSE, () => pages.go("/")]]);
}

/** What another app shared while this page was not there. */
async function shared() {
  const cache = await caches.open(SHARED);
  const files = await Promise.all((await cache.keys()).map(async (request) => {
    const name = decodeURIComponent(request.url.split("/").pop());
    const blob = await (await cache.match(request)).blob();
    await cache.delete(request);
    return new File([blob], name, { type: blob.type });
  }));
  await came(files);
}

globalThis.launchQueue?.setConsumer(async ({ files }) => {
  if (files?.length > 0) {
    await came(await Promise.all(files.map((handle) => handle.getFile())));
  }
});

// The page itself: installed, and brought up to date.

addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault();
  install = event;
  footer(controls());
});

/** A new version is taken when no form is open. */
function updated() {
  if (waiting && !isFilledIn(document)) {
    waiting.postMessage("take");
  }
}

async function service() {
  if (!navigator.serviceWorker) {
    return;
  }
  const before = navigator.serviceWorker.controller;
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    // The first one of all brings nothing new.
    if (before) {
      location.reload();
    }
  });
  const registration = await navigator.serviceWorker.register("/service.js");
  const installed = () => {
    waiting = before ? registration.waiting : null;
    if (waiting) {
      updated();
      footer(controls());
    }
  };
  installed();
  registration.addEventListener("updatefound", () => {
    registration.installing?.addEventListener("statechange", installed);
  });
  await navigator.serviceWorker.ready;
  document.documentElement.dataset.offline = "ready";
}

async function start() {
  if (!navigator.storage?.getDirectory || !globalThis.isSecureContext) {
    trouble({ kind: "none", words: "" });
    return;
  }
  persisted = await navigator.storage.persisted();
  if (!(await record.take())) {
    taken();
    return;
  }
  await opened();
  if (location.search === "?shared") {
    history.replaceState(history.state, "", "/");
    await shared();
  }
}

element("html").classList.add("scripted");
start().catch(trouble);
service().catch(() => {});
