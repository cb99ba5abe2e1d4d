// Frames of the camera on their way to the worker: the newest one only, and without a copy
// where the browser gives frames as they are.
"use strict";

/** The grey values of what a film shows. */
function grey(film, canvas) {
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

/** Looks at what a film shows now: the tags in it, each a text and what its hose is called, and a hint. */
export async function look(record, film, canvas) {
  try {
    if (globalThis.VideoFrame) {
      const frame = new VideoFrame(film);
      return await record.call("look", { frame }, [frame]);
    }
    const bytes = grey(film, canvas);
    return await record.call("look", { grey: bytes, width: canvas.width, height: canvas.height }, [bytes.buffer]);
  } catch {
    // A frame that can't be read is one in which nothing was seen; the next one comes.
    return { tags: [], hint: null };
  }
}

/** Waits for the film's next picture. */
export function nextFrame(film) {
  return new Promise((resolve) => {
    if (film.requestVideoFrameCallback) {
      film.requestVideoFrameCallback(resolve);
      // A film that stands still gives no more pictures.
      setTimeout(resolve, 500);
    } else {
      requestAnimationFrame(resolve);
    }
  });
}
