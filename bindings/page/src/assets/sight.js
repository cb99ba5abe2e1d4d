// Meeting by sight: a film of squares drawn on this screen, or watched by this camera.
"use strict";

/** Modules of quiet around a square. */
const QUIET = 4;

/** Draws a film once it is started, until it is paused or the page is left. */
function showFilm(over, ask) {
  const box = document.getElementById("strip-box");
  const go = document.getElementById("strip-go");
  if (!box || !go) {
    return;
  }
  const canvas = document.getElementById("strip");
  const says = document.getElementById("strip-says");
  const start = go.textContent;
  const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
  const rate = Math.min(Number(box.dataset.rate), calm ? Number(box.dataset.calmRate) : Infinity);
  let frames = [];
  let side = 0;
  let asked = 0;
  let asking = false;
  let running = false;
  let begins = false;
  let last = 0;
  let awake = null;

  // Frames are asked for before they are needed; there is no last one.
  async function more() {
    if (asking || frames.length > 2 * rate) {
      return;
    }
    asking = true;
    try {
      const answer = await ask(`${box.dataset.strip}&from=${asked}`);
      if (!answer.ok) {
        const page = new DOMParser().parseFromString(await answer.text(), "text/html");
        throw new Error(page.querySelector(".refusal")?.textContent ?? "");
      }
      const bytes = new Uint8Array(await answer.arrayBuffer());
      side = bytes[0];
      const length = Math.ceil((side * side) / 8);
      for (let at = 1; at < bytes.length; at += length) {
        frames.push(bytes.subarray(at, at + length));
        asked += 1;
      }
    } catch (trouble) {
      pause();
      says.textContent = trouble.message;
    } finally {
      asking = false;
    }
  }

  // A whole number of the screen's own dots a module: none is wider than its neighbour.
  function fit() {
    const modules = side + 2 * QUIET;
    const dots = globalThis.devicePixelRatio || 1;
    const room = Math.min(box.clientWidth, innerHeight * 0.94) * dots;
    canvas.style.width = `${(Math.max(1, Math.floor(room / modules)) * modules) / dots}px`;
  }

  function draw(frame) {
    const modules = side + 2 * QUIET;
    if (canvas.width !== modules) {
      canvas.width = canvas.height = modules;
      fit();
    }
    const picture = new ImageData(modules, modules);
    picture.data.fill(255);
    for (let at = 0; at < side * side; at += 1) {
      if ((frame[at >> 3] >> (7 - (at & 7))) & 1) {
        const pixel = 4 * ((Math.floor(at / side) + QUIET) * modules + (at % side) + QUIET);
        picture.data.fill(0, pixel, pixel + 3);
      }
    }
    canvas.getContext("2d").putImageData(picture, 0, 0);
    if (begins) {
      canvas.scrollIntoView({ block: "center" });
      begins = false;
    }
    canvas.dataset.shown = String(Number(canvas.dataset.shown ?? 0) + 1);
  }

  function step(now) {
    if (!running || over.aborted) {
      return;
    }
    if (now - last >= 1000 / rate - 2 && frames.length > 0) {
      draw(frames.shift());
      last = now;
    }
    more();
    requestAnimationFrame(step);
  }

  function pause() {
    running = false;
    go.textContent = start;
    awake?.release().catch(() => {});
    awake = null;
  }

  async function run() {
    running = begins = true;
    says.textContent = "";
    go.textContent = go.dataset.pause;
    canvas.hidden = false;
    requestAnimationFrame(step);
    // A screen that goes dark ends the film for whoever watches.
    awake = await navigator.wakeLock?.request("screen").catch(() => null);
  }

  document.getElementById("strip-calm").hidden = !calm || rate >= Number(box.dataset.rate);
  go.hidden = false;
  go.addEventListener("click", () => (running ? pause() : run()));
  canvas.addEventListener("click", () => (running ? pause() : run()));
  addEventListener("resize", () => side > 0 && fit(), { signal: over });
  document.addEventListener("visibilitychange", () => document.hidden && pause(), { signal: over });
  over.addEventListener("abort", pause);
}

/** Watches a film with the camera, until it is whole, stopped, or the page is left. */
function watchFilm(over, shell) {
  const sight = document.getElementById("sight");
  if (!sight || !lens.isThere()) {
    return;
  }
  const find = (name) => document.getElementById(`sight-${name}`);
  const [look, video, says, far, bar] = ["look", "video", "says", "far", "bar"].map(find);
  const canvas = document.createElement("canvas");
  let stream = null;
  let told = 0;

  async function see() {
    if (shell) {
      return shell.watch(video, () => lens.grey(video, canvas));
    }
    const { grey, width, height } = lens.grey(video, canvas);
    const answer = await fetch(`/owner/meet/watch/frame?width=${width}&height=${height}`, {
      method: "POST", headers: { "x-hosewright-token": sight.dataset.token }, body: grey,
    });
    if (!answer.ok) {
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      throw new Error(page.querySelector(".refusal")?.textContent ?? sight.dataset.stopped);
    }
    return answer.json();
  }

  // What is read aloud changes seldom: with each tenth of the film, and with what is odd.
  function tell({ far: words, odd, had, needed }) {
    far.textContent = words;
    bar.value = needed > 0 ? had / needed : 0;
    const tenth = needed > 0 ? Math.floor((10 * had) / needed) : -1;
    const said = odd ?? (tenth > 0 ? words : "");
    const key = odd ?? String(tenth);
    if (says.dataset.key !== key && performance.now() - told > 800) {
      [says.textContent, says.dataset.key, told] = [said, key, performance.now()];
    }
  }

  function stop() {
    lens.close(stream);
    stream = null;
  }

  async function watch() {
    while (stream) {
      if (video.videoWidth > 0) {
        const answer = await see();
        if (!stream) {
          return;
        }
        if (answer) {
          tell(answer);
        }
        if (answer?.whole) {
          says.textContent = sight.dataset.whole;
          stop();
          navigator.vibrate?.(80);
          find("take").requestSubmit();
          return;
        }
      }
      await lens.next(video);
    }
  }

  async function start() {
    look.parentElement.hidden = true;
    says.textContent = sight.dataset.looking;
    try {
      stream = await lens.open();
    } catch {
      look.parentElement.hidden = false;
      says.textContent = sight.dataset.none;
      return;
    }
    if (over.aborted) {
      stop();
      return;
    }
    find("film").hidden = false;
    find("stop").hidden = false;
    video.srcObject = stream;
    lens.tools(stream, find("torch"), find("zoom"));
    try {
      await video.play();
      await watch();
    } catch (trouble) {
      // A page that is left takes its film along.
      if (!over.aborted) {
        stop();
        says.textContent = trouble.message ?? trouble.words ?? sight.dataset.stopped;
        look.parentElement.hidden = false;
      }
    }
  }

  find("none").hidden = true;
  look.hidden = false;
  look.addEventListener("click", start);
  over.addEventListener("abort", stop);
}

/** Begins what a page has of it. */
function beginSight(over, shell) {
  showFilm(over, shell?.fetch ?? ((address) => fetch(address)));
  watchFilm(over, shell);
}
