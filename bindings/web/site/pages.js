// From one page to the next: links and forms go to the worker, and the page that comes back
// takes the place of the one that is shown.
"use strict";

import { WORDS } from "/words.js";

/** The most redirects from one page to the next. */
const MOST_TURNS = 10;
/** What takes longer than this many milliseconds is said. */
const SOON = 250;

export class Pages {
  #record;
  #leave = () => {};
  #typed = new Map();
  #sending = false;
  #asked = 0;
  #isShown = false;
  #pictures = [];
  /** Called with each file that a page gives, and after each page that is shown. */
  onfile = () => {};
  onshown = () => {};
  ontrouble = () => {};

  constructor(record) {
    this.#record = record;
    history.scrollRestoration = "manual";
    document.addEventListener("click", (event) => this.#clicked(event));
    document.addEventListener("submit", (event) => this.#submitted(event));
    addEventListener("popstate", () => this.go(here(), { back: true }));
  }

  /** Asks for an address as `fetch` does, for the page's own script. */
  async fetch(address) {
    const url = new URL(address, location.href);
    const { body, status } = await this.#ask({ method: "GET", address: url.pathname + url.search, fields: [] });
    return new Response(body, { status });
  }

  #ask(what) {
    return this.#record.call("ask", what, what.fields.flatMap(([, sent]) => (Array.isArray(sent) ? [sent[1].buffer] : [])));
  }

  /** Goes to an address: `fields` are sent as a form, `back` is a step in the history. */
  async go(address, { fields = null, back = false } = {}) {
    const turn = ++this.#asked;
    const said = setTimeout(() => working(true), SOON);
    try {
      let [to, reply] = [new URL(address, location.href), null];
      let what = { method: fields ? "POST" : "GET", address: to.pathname + to.search, fields: fields ?? [] };
      let turned = false;
      for (let turns = 0; turns < MOST_TURNS; turns += 1) {
        reply = await this.#ask(what);
        if (reply.status !== 303) {
          break;
        }
        to = new URL(reply.headers.location, to);
        what = { method: "GET", address: to.pathname + to.search, fields: [] };
        turned = true;
      }
      if (turn !== this.#asked) {
        return;
      }
      const kind = reply.headers["content-type"] ?? "";
      if (!kind.startsWith("text/html")) {
        // Whoever opens a file's address first has no page yet to go on from.
        if (!this.#isShown) {
          history.replaceState(null, "", "/");
          await this.go("/");
        }
        this.onfile(reply);
        return;
      }
      // A form that is answered in its own place leaves the address as it was.
      const moves = !back && (!fields || turned);
      await this.#show(reply, moves ? to : null, { back, hash: to.hash });
    } catch (trouble) {
      this.ontrouble(trouble);
    } finally {
      clearTimeout(said);
      working(false);
    }
  }

  async #show(reply, to, { back, hash }) {
    const page = new DOMParser().parseFromString(new TextDecoder().decode(reply.body), "text/html");
    const pictures = await this.#filled(page);
    if (to) {
      this.#remember();
      const same = to.pathname + to.search === location.pathname + location.search;
      history[same ? "replaceState" : "pushState"]({ key: crypto.randomUUID() }, "", to);
    }
    this.#leave();
    document.title = page.title;
    document.body.replaceWith(document.adoptNode(page.body));
    this.#isShown = true;
    this.#pictures.forEach((url) => URL.revokeObjectURL(url));
    this.#pictures = pictures;
    this.#leave = globalThis.hosewright.begin?.() ?? (() => {});
    if (back) {
      this.#restore();
    } else if (hash && document.getElementById(hash.slice(1))) {
      document.getElementById(hash.slice(1)).scrollIntoView();
    } else {
      scrollTo(0, 0);
    }
    // Whoever has the page read to them begins where it begins.
    if (document.activeElement === document.body) {
      const main = document.getElementById("main");
      main?.setAttribute("tabindex", "-1");
      main?.focus({ preventScroll: true });
    }
    this.onshown(reply);
  }

  /** Puts the pictures of a page into it; gives back what they are kept under. */
  async #filled(page) {
    const pictures = [...page.querySelectorAll("img[src^='/']")];
    return Promise.all(pictures.map(async (picture) => {
      const reply = await this.#ask({ method: "GET", address: picture.getAttribute("src"), fields: [] });
      const url = URL.createObjectURL(new Blob([reply.body], { type: reply.headers["content-type"] }));
      picture.src = url;
      return url;
    }));
  }

  /** Keeps what was typed and where the page stands, for whoever comes back. */
  #remember() {
    const key = history.state?.key;
    if (key) {
      const typed = fieldsOf(document).map((field) => [field.value, field.checked]);
      this.#typed.set(key, { typed, at: scrollY });
    }
  }

  #restore() {
    const kept = this.#typed.get(history.state?.key);
    const fields = fieldsOf(document);
    if (kept?.typed.length === fields.length) {
      fields.forEach((field, nth) => { [field.value, field.checked] = kept.typed[nth]; });
    }
    scrollTo(0, kept?.at ?? 0);
  }

  #clicked(event) {
    const link = event.target.closest?.("a[href]");
    const own = event.button === 0 && !event.ctrlKey && !event.metaKey && !event.shiftKey && !event.altKey;
    const elsewhere = !link || link.origin !== location.origin || link.target || link.hasAttribute("download");
    if (elsewhere || !own || event.defaultPrevented) {
      return;
    }
    if (link.hash && link.pathname + link.search === location.pathname + location.search) {
      return;
    }
    event.preventDefault();
    this.go(link.href);
  }

  async #submitted(event) {
    event.preventDefault();
    const form = event.target;
    const action = event.submitter?.getAttribute("formaction") ?? form.getAttribute("action") ?? here();
    const sent = new FormData(form, event.submitter);
    if (!isSent(form)) {
      const query = new URLSearchParams([...sent].filter(([, text]) => typeof text === "string"));
      this.go(`${action.split("?")[0]}?${query}`);
      return;
    }
    // A second press while the first is on its way would be a second entry.
    if (this.#sending) {
      return;
    }
    this.#sending = true;
    try {
      const fields = await Promise.all([...sent].map(async ([name, text]) =>
        [name, typeof text === "string" ? text : [text.name, new Uint8Array(await text.arrayBuffer())]]));
      await this.go(action, { fields });
    } finally {
      this.#sending = false;
    }
  }
}

// By its attribute: a field may be called “method”, too.
const isSent = (form) => form?.getAttribute("method")?.toLowerCase() === "post";

const here = () => location.pathname + location.search + location.hash;

/** The fields of a page that a person fills in. */
function fieldsOf(page) {
  return [...page.querySelectorAll("main input:not([type=hidden]):not([type=file]):not([type=password]), main select, main textarea")];
}

function isChanged(field) {
  if (field.type === "checkbox" || field.type === "radio") {
    return field.checked !== field.defaultChecked;
  }
  if (field.tagName === "SELECT") {
    return field.selectedIndex > 0 && !field.selectedOptions[0].defaultSelected;
  }
  return field.value !== field.defaultValue;
}

/** Whether something stands in a form that was not sent. */
export function isFilledIn(page) {
  return fieldsOf(page).some((field) => isSent(field.form) && isChanged(field));
}

function working(on) {
  let line = document.getElementById("working");
  if (!line && on) {
    line = document.createElement("p");
    line.id = "working";
    line.setAttribute("role", "status");
    document.body.append(line);
  }
  if (line) {
    line.hidden = !on;
    line.textContent = on ? WORDS.WORKING : "";
  }
}
