// The record's worker: the core in WebAssembly, with this origin's private storage. It is
// asked one thing after the other, in the order in which they came.
"use strict";

import init, { storage } from "/core.js";

let memory = null;
let store = null;
let door = null;

const now = () => [Date.now(), new Date().getTimezoneOffset()];

/** Opens the record. */
async function open() {
  memory ??= (await init({ module_or_path: "/core_bg.wasm" })).memory;
  store ??= await storage();
  door ??= store.open();
  return true;
}

/** Closes the record and gives the storage free. */
function release() {
  door?.free();
  door = null;
  store?.release();
}

/** A page, or a file. */
function ask({ method, address, fields }) {
  const reply = door.answer(method, address, fields, ...now());
  return { ...reply, headers: Object.fromEntries(reply.headers) };
}

/** The tags in the frame that is in the room, and a hint where one shows itself unread. */
function seen(width, height, stride) {
  const tags = door.read(width, height, stride);
  return { tags, hint: tags.length > 0 ? null : door.hint(width, height, stride) };
}

/** How far the film that is watched is, with the frame that is in the room. */
const further = (width, height, stride) => JSON.parse(door.watch(width, height, stride));

/** Puts a grey picture into the room, or a frame as the camera gives it, and looks at it. */
async function look({ frame, grey, width, height }, seen) {
  if (grey) {
    const at = door.room(grey.length);
    new Uint8Array(memory.buffer, at, grey.length).set(grey);
    return seen(width, height, width);
  }
  try {
    const { width: wide, height: high } = frame.visibleRect;
    const planar = ["I420", "I420A", "I422", "I444", "NV12"].includes(frame.format);
    const how = planar ? undefined : { format: "RGBA" };
    const size = frame.allocationSize(how);
    // Brightness comes first in each of these: it is read where the browser put it.
    const at = door.room(size);
    const into = new Uint8Array(memory.buffer, at, size);
    const [plane] = await frame.copyTo(into, how);
    if (planar) {
      return seen(wide, high, plane.stride);
    }
    for (let y = 0, to = 0; y < high; y += 1) {
      for (let x = 0, from = plane.offset + y * plane.stride; x < wide; x += 1, from += 4, to += 1) {
        into[to] = (into[from] * 77 + into[from + 1] * 150 + into[from + 2] * 29) >> 8;
      }
    }
    return seen(wide, high, wide);
  } finally {
    frame.close();
  }
}

const WORK = {
  open,
  release,
  ask,
  look: (what) => look(what, seen),
  watch: (what) => look(what, further),
  forget: () => door.forget(),
  chip: ({ code }) => door.chip(code, ...now()),
  bytes: () => store.bytes(),
  salvage: () => store.salvage(),
};

let queue = Promise.resolve();
addEventListener("message", ({ data: { id, kind, what } }) => {
  queue = queue.then(async () => {
    try {
      const done = await WORK[kind](what);
      const room = done?.body?.buffer ? [done.body.buffer] : [];
      postMessage({ id, done }, room);
    } catch (trouble) {
      // A refusal has a kind, or is a sentence; anything else is a slip of ours, after which
      // nothing is sure.
      const said = typeof trouble === "string" ? { kind: "refused", words: trouble } : trouble;
      const refused = said?.kind ? said : { kind: "broken", words: String(trouble?.message ?? trouble) };
      postMessage({ id, refused });
    }
  });
});
