// The few things that the shell shows itself.
"use strict";

import { WORDS } from "/words.js";

export const element = (name) => document.querySelector(name);

function made(name, text, more = {}) {
  return Object.assign(document.createElement(name), { textContent: text }, more);
}

function button([label, act]) {
  const one = made("button", label, { type: "button" });
  one.addEventListener("click", act);
  return one;
}

/** A page of the shell's own: a title, some sentences, and the ways on. */
export function say(title, texts, ways) {
  const main = made("main", "", { id: "main", className: "narrow", tabIndex: -1 });
  const alert = made("div", "");
  alert.setAttribute("role", "alert");
  alert.append(made("h1", title), ...texts.filter(Boolean).map((text) => made("p", text)));
  const row = made("p", "", { className: "under" });
  row.append(...ways.map(button));
  row.querySelector("button")?.classList.add("main");
  main.append(alert, row);
  const body = document.createElement("body");
  body.append(main);
  document.title = `${title} · ${WORDS.NAME}`;
  document.body.replaceWith(body);
  main.focus();
}

/** Offers a file to be opened, shared or saved; without one it only says something. */
export function offer(name, blob, closed = () => {}) {
  const dialog = document.createElement("dialog");
  const title = made("p", blob ? `${name} ${WORDS.FILE_READY}` : name, { id: "offered" });
  dialog.setAttribute("aria-labelledby", "offered");
  const ways = made("div", "", { className: "ways" });
  const url = blob && URL.createObjectURL(blob);
  if (blob) {
    const file = new File([blob], name, { type: blob.type });
    if (blob.type.startsWith("image/")) {
      dialog.append(made("img", "", { src: url, alt: name }));
    }
    const save = made("a", WORDS.SAVE, { href: url, download: name, className: "button main" });
    ways.append(save);
    if (navigator.canShare?.({ files: [file] })) {
      ways.append(button([WORDS.SHARE, () => navigator.share({ files: [file] }).catch(() => {})]));
    }
    if (/pdf|svg|image|text/.test(blob.type)) {
      ways.append(made("a", WORDS.OPEN, { href: url, target: "_blank", className: "button" }));
    }
  }
  ways.append(button([WORDS.CLOSE, () => dialog.close()]));
  dialog.append(title, ways);
  document.body.append(dialog);
  dialog.addEventListener("close", () => {
    dialog.remove();
    closed();
    // A tab that was opened from it may still be reading.
    setTimeout(() => url && URL.revokeObjectURL(url), 60_000);
  });
  dialog.showModal();
  return () => dialog.close();
}

/** What can be done about this device, at the foot of each page. */
export function footer(ways) {
  document.querySelector(".device")?.remove();
  const place = document.querySelector("footer");
  if (!place || ways.length === 0) {
    return;
  }
  const own = made("section", "", { className: "device" });
  own.append(made("h2", WORDS.DEVICE));
  for (const [label, act, text] of ways) {
    if (text) {
      own.append(made("p", text));
    }
    if (label) {
      const row = made("p", "");
      row.append(button([label, act]));
      own.append(row);
    }
  }
  place.append(own);
}
