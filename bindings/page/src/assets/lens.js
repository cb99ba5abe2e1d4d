// The camera, for the scripts behind this one: a stream, grey values, a lamp and a nearer view.
"use strict";

const lens = {
  /** Whether browsers give this page a camera: one of this very device, or of a trusted address. */
  isThere: () => Boolean(navigator.mediaDevices?.getUserMedia),

  /** A film of the camera that looks away from whoever holds it. */
  open() {
    const video = { facingMode: "environment", width: { ideal: 1280 }, height: { ideal: 720 } };
    return navigator.mediaDevices.getUserMedia({ video, audio: false });
  },

  close(stream) {
    stream?.getTracks().forEach((track) => track.stop());
  },

  /** What the film shows now, as a grey value a pixel. */
  grey(film, canvas) {
    const wide = Math.min(1, 1280 / film.videoWidth);
    canvas.width = Math.round(film.videoWidth * wide);
    canvas.height = Math.round(film.videoHeight * wide);
    const context = canvas.getContext("2d", { willReadFrequently: true });
    context.drawImage(film, 0, 0, canvas.width, canvas.height);
    const colours = context.getImageData(0, 0, canvas.width, canvas.height).data;
    const grey = new Uint8Array(canvas.width * canvas.height);
    for (let i = 0, j = 0; i < grey.length; i += 1, j += 4) {
      grey[i] = (colours[j] * 77 + colours[j + 1] * 150 + colours[j + 2] * 29) >> 8;
    }
    return { grey, width: canvas.width, height: canvas.height };
  },

  /** A lamp and a nearer view, where the camera has them. */
  tools(stream, torch, zoom) {
    const track = stream.getVideoTracks()[0];
    const can = track?.getCapabilities?.() ?? {};
    torch.hidden = !can.torch;
    torch.setAttribute("aria-pressed", "false");
    torch.onclick = () => {
      const on = torch.getAttribute("aria-pressed") !== "true";
      torch.setAttribute("aria-pressed", String(on));
      track.applyConstraints({ advanced: [{ torch: on }] }).catch(() => { torch.hidden = true; });
    };
    zoom.parentElement.hidden = !can.zoom;
    if (can.zoom) {
      Object.assign(zoom, { min: can.zoom.min, max: can.zoom.max, step: can.zoom.step || 0.1, value: track.getSettings().zoom });
      zoom.oninput = () => track.applyConstraints({ advanced: [{ zoom: Number(zoom.value) }] }).catch(() => {});
    }
  },

  /** Waits for the film's next picture; one that stands still gives no more. */
  next(film) {
    return new Promise((resolve) => {
      film.requestVideoFrameCallback?.(resolve);
      setTimeout(resolve, film.requestVideoFrameCallback ? 500 : 30);
    });
  },
};
