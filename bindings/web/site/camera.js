// Frames of the camera on their way to the worker: the newest one only, and without a copy
// where the browser gives frames as they are.
"use strict";

/**
 * Looks at what a film shows now: the tags in it, each a text and what its hose is called, and
 * a hint. `drawn` gives its grey values, for browsers that don't give frames as they are.
 */
export async function look(record, film, drawn) {
  try {
    if (globalThis.VideoFrame) {
      const frame = new VideoFrame(film);
      return await record.call("look", { frame }, [frame]);
    }
    const picture = drawn();
    return await record.call("look", picture, [picture.grey.buffer]);
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
