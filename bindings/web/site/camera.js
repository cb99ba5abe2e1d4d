// Frames of the camera on their way to the worker: the newest one only, and without a copy
// where the browser gives frames as they are.
"use strict";

/**
 * Gives the worker what a film shows now, for `kind` of work. `drawn` gives its grey values, for
 * browsers that don't give frames as they are.
 */
async function given(record, kind, film, drawn) {
  if (globalThis.VideoFrame) {
    const frame = new VideoFrame(film);
    return record.call(kind, { frame }, [frame]);
  }
  const picture = drawn();
  return record.call(kind, picture, [picture.grey.buffer]);
}

/** The tags in view, each a text and what its hose is called, and a hint. */
export async function look(record, film, drawn) {
  try {
    return await given(record, "look", film, drawn);
  } catch {
    // A frame that can't be read is one in which nothing was seen; the next one comes.
    return { tags: [], hint: null };
  }
}

/** How far the film is that is watched; nothing where a frame can't be had. */
export async function watch(record, film, drawn) {
  try {
    return await given(record, "watch", film, drawn);
  } catch (trouble) {
    // What the record says stops it; a frame that can't be read is one in which nothing was seen.
    if (trouble?.kind) {
      throw trouble;
    }
    return null;
  }
}
