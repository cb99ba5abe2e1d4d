// The counter page works without this script. It adds the camera, sends a photo
// as soon as it is taken, leads a scanner's typing into the box, and narrows
// lists while one types.
"use strict";

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
});
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

// The camera: grey frames go to this desk, which reads them; nothing is kept.
const cameraButton = document.getElementById("camera");
const viewer = document.getElementById("viewer");
const film = document.getElementById("film");
const says = document.getElementById("film-says");
const GOES_ON = "hosewright-camera";
let stream = null;

// A tag is the same whether its whole text was scanned or its code typed.
function bare(text) {
  const code = /^(?:HTTPS?:\/\/[^/]*\/)?HW1:([0-9A-Z]{13})/.exec(text.toUpperCase());
  return code ? code[1] : text.toUpperCase().replace(/[\s-]/g, "");
}

function known() {
  const kept = scanForm.querySelectorAll("input[type=hidden]");
  return new Set([...kept].map((input) => bare(input.value)));
}

function grey(canvas) {
  const wide = Math.min(1, 1280 / film.videoWidth);
  canvas.width = Math.round(film.videoWidth * wide);
  canvas.height = Math.round(film.videoHeight * wide);
  const context = canvas.getContext("2d", { willReadFrequently: true });
  context.drawImage(film, 0, 0, canvas.width, canvas.height);
  const colours = context.getImageData(0, 0, canvas.width, canvas.height).data;
  const bytes = new Uint8Array(canvas.width * canvas.height);
  for (let i = 0, j = 0; i < bytes.length; i += 1, j += 4) {
    bytes[i] = (colours[j] * 77 + colours[j + 1] * 150 + colours[j + 2] * 29) >> 8;
  }
  return bytes;
}

async function read(canvas) {
  const body = grey(canvas);
  const answer = await fetch(`/frame?width=${canvas.width}&height=${canvas.height}`, {
    method: "POST",
    headers: { "x-hosewright-token": cameraButton.dataset.token },
    body,
  });
  if (!answer.ok) {
    return [];
  }
  return (await answer.json()).texts;
}

async function look() {
  const canvas = document.createElement("canvas");
  while (stream) {
    if (film.videoWidth > 0) {
      const before = known();
      const texts = (await read(canvas)).filter((text) => !before.has(bare(text)));
      if (stream && texts.length > 0) {
        box.value = texts[0];
        if ("several" in cameraButton.dataset) {
          sessionStorage.setItem(GOES_ON, location.pathname);
        }
        stop();
        scanForm.requestSubmit();
        return;
      }
    }
    await new Promise((resolve) => setTimeout(resolve, 120));
  }
}

function stop() {
  stream?.getTracks().forEach((track) => track.stop());
  stream = null;
  viewer.hidden = true;
  cameraButton.textContent = cameraButton.dataset.name;
}

async function start() {
  viewer.hidden = false;
  says.textContent = cameraButton.dataset.looking;
  try {
    const video = { facingMode: "environment", width: { ideal: 1280 }, height: { ideal: 720 } };
    stream = await navigator.mediaDevices.getUserMedia({ video, audio: false });
  } catch {
    says.textContent = cameraButton.dataset.none;
    return;
  }
  cameraButton.textContent = cameraButton.dataset.stop;
  film.srcObject = stream;
  await film.play();
  await look();
}

// Browsers give the camera to a page of this very device alone.
if (cameraButton && navigator.mediaDevices?.getUserMedia) {
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
      const answer = await fetch(`${live.form.action}?${question}`);
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
