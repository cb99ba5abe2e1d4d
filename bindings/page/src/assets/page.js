// The counter page works without this script. It adds the camera, sends a photo
// as soon as it is taken, leads a scanner's typing into the box, and narrows
// lists while one types. Where the record is in this browser a shell puts one page
// in the place of the other: it begins each anew, and leaves the one before.
"use strict";

// The shell, where the record is in this browser.
const shell = globalThis.hosewright;

/** Begins the page that is shown; gives back what leaves it. */
function beginPage() {
  const over = new AbortController();
  const box = document.getElementById("scan");
  const scanForm = document.getElementById("scan-form");
  document.documentElement.classList.add("scripted");

  // A hand-held reader types wherever the page is: its letters go into the box,
  // unless a person is typing into another field. No letter belongs to a number.
  document.addEventListener("keydown", (event) => {
    const number = event.target.type === "number" && !/[0-9]/.test(event.key);
    const busy = !number && event.target.closest?.("input:not([type=radio]):not([type=checkbox]), textarea, select");
    const letter = event.key.length === 1 && event.key !== " ";
    if (box && letter && !busy && !event.ctrlKey && !event.altKey && !event.metaKey) {
      box.focus();
      box.select();
    }
  }, { signal: over.signal });
  // On a touch screen the keyboard would hide the answer: only there is it not opened by itself.
  // Elsewhere the field to type into has the focus before the first key: the browser gives it
  // at some later moment only, and a ticket's first letters would be taken for a scan.
  if (box && matchMedia("(pointer: coarse)").matches) {
    box.blur();
  } else {
    document.querySelector("[autofocus]")?.focus();
  }

  const photo = document.getElementById("photo");
  photo?.addEventListener("change", () => {
    if (photo.files.length > 0) {
      photo.form.requestSubmit();
    }
  });

  // The camera: grey frames go to whoever serves this page, which reads them; nothing is kept.
  const cameraButton = document.getElementById("camera");
  const viewer = document.getElementById("viewer");
  const film = document.getElementById("film");
  const says = document.getElementById("film-says");
  const which = document.getElementById("film-which");
  const GOES_ON = "hosewright-camera";
  let stream = null;
  let told = 0;

  // A tag is the same whether its whole text was scanned or its code typed.
  function bare(text) {
    const code = /^(?:HTTPS?:\/\/[^/]*\/)?HW1:([0-9A-Z]{13})/.exec(text.toUpperCase());
    return code ? code[1] : text.toUpperCase().replace(/[\s-]/g, "");
  }

  function known() {
    const kept = scanForm.querySelectorAll("input[type=hidden]");
    return new Set([...kept].map((input) => bare(input.value)));
  }

  // The tags in view, each a text and what its hose is called; where one shows itself and
  // can't be read yet, what to do about it.
  async function read(canvas) {
    if (shell) {
      return shell.look(film, () => lens.grey(film, canvas));
    }
    const { grey: body, width, height } = lens.grey(film, canvas);
    const answer = await fetch(`/frame?width=${width}&height=${height}`, {
      method: "POST",
      headers: { "x-hosewright-token": cameraButton.dataset.token },
      body,
    });
    if (!answer.ok) {
      return { tags: [], hint: null };
    }
    const { texts, names, hint } = await answer.json();
    return { tags: texts.map((text, nth) => [text, names[nth]]), hint };
  }

  // A word stays long enough to be read.
  function tell(words) {
    if (says.textContent !== words && performance.now() - told > 800) {
      says.textContent = words;
      told = performance.now();
    }
  }

  function take(text) {
    box.value = text;
    if ("several" in cameraButton.dataset) {
      sessionStorage.setItem(GOES_ON, location.pathname);
    }
    stop();
    shell?.scanned();
    scanForm.requestSubmit();
  }

  // Between two tags nothing is guessed: whoever holds the phone says which.
  function ask(tags) {
    tell(cameraButton.dataset.which);
    const names = tags.map(([, name]) => name).join("\n");
    if (which.dataset.names === names) {
      return;
    }
    which.dataset.names = names;
    which.replaceChildren(...tags.map(([text, name]) => {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = name;
      button.addEventListener("click", () => take(text));
      return button;
    }));
  }

  async function look() {
    const canvas = document.createElement("canvas");
    while (stream) {
      if (film.videoWidth > 0) {
        const before = known();
        const { tags: all, hint } = await read(canvas);
        const tags = all.filter(([text]) => !before.has(bare(text)));
        const several = "several" in cameraButton.dataset;
        if (stream && tags.length > 1 && !several) {
          ask(tags);
        } else if (stream && tags.length > 0) {
          take(tags[0][0]);
          return;
        } else if (stream && all.length === 0) {
          tell(hint ?? cameraButton.dataset.looking);
        }
      }
      // The next picture that the camera has; the desk, which has others to serve, a few a second.
      await (shell ? lens.next(film) : new Promise((resolve) => setTimeout(resolve, 120)));
    }
  }

  function stop() {
    lens.close(stream);
    stream = null;
    viewer.hidden = true;
    which.replaceChildren();
    delete which.dataset.names;
    cameraButton.textContent = cameraButton.dataset.name;
  }

  async function start() {
    viewer.hidden = false;
    says.textContent = cameraButton.dataset.looking;
    try {
      stream = await lens.open();
    } catch {
      says.textContent = cameraButton.dataset.none;
      return;
    }
    if (over.signal.aborted) {
      stop();
      return;
    }
    cameraButton.textContent = cameraButton.dataset.stop;
    film.srcObject = stream;
    lens.tools(stream, document.getElementById("torch"), document.getElementById("zoom"));
    try {
      await film.play();
      await look();
    } catch (trouble) {
      // A page that is left takes its film along.
      if (!over.signal.aborted) {
        throw trouble;
      }
    }
  }

  // Browsers give the camera to a page of this very device alone.
  if (cameraButton && lens.isThere()) {
    cameraButton.hidden = false;
    cameraButton.dataset.name = cameraButton.textContent;
    cameraButton.addEventListener("click", () => {
      sessionStorage.removeItem(GOES_ON);
      return stream ? stop() : start();
    });
    if (sessionStorage.getItem(GOES_ON) === location.pathname && "several" in cameraButton.dataset) {
      start();
    } else {
      sessionStorage.removeItem(GOES_ON);
    }
  }

  // A slip is printed by a press.
  for (const button of document.querySelectorAll("[data-print]")) {
    button.hidden = false;
    button.addEventListener("click", () => print());
  }

  // A text is copied by a press; a page that is not of this computer may not use the clipboard itself.
  for (const button of document.querySelectorAll("[data-copy]")) {
    const text = document.getElementById(button.dataset.copy);
    button.hidden = false;
    button.addEventListener("click", async () => {
      text.select();
      try {
        await navigator.clipboard.writeText(text.value);
      } catch {
        document.execCommand("copy");
      }
      button.textContent = button.dataset.done;
    });
  }

  // Lists narrow while one types.
  for (const live of document.querySelectorAll("[data-live]")) {
    let waiting = 0;
    live.addEventListener("input", () => {
      clearTimeout(waiting);
      waiting = setTimeout(async () => {
        const typed = live.value;
        const question = new URLSearchParams(new FormData(live.form));
        const answer = await (shell?.fetch ?? fetch)(`${live.form.action}?${question}`);
        const page = new DOMParser().parseFromString(await answer.text(), "text/html");
        const fresh = page.getElementById(live.dataset.live);
        if (fresh && typed === live.value) {
          document.getElementById(live.dataset.live).replaceChildren(...fresh.childNodes);
        }
      }, 150);
    });
  }

  // What was found and “nothing found” at one place speak against each other.
  for (const place of document.querySelectorAll(".checkpoint")) {
    const clear = place.querySelector("input[name^=clear-], input[name*='|clear-'], input[name$='|clear']");
    place.addEventListener("input", (event) => {
      const found = event.target.type === "checkbox" ? event.target.checked : event.target.value > 0;
      if (clear && event.target !== clear && found) {
        clear.checked = false;
      }
    });
  }
  beginSight(over.signal, shell);
  // Where the record is in this browser nothing goes on elsewhere.
  globalThis.beginMeeting?.(over.signal);
  return () => {
    over.abort();
    if (stream) {
      stop();
    }
  };
}

if (shell) {
  shell.begin = beginPage;
} else {
  beginPage();
}
