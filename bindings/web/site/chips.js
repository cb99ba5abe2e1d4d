// NFC chips, where the browser reads and writes them: the same bytes as everywhere.
"use strict";

export const hasChips = () => "NDEFReader" in globalThis;

/** The text of a tag on a chip; none if it is no tag's. */
export function textOf(message) {
  for (const record of message.records) {
    if (["url", "absolute-url", "text"].includes(record.recordType)) {
      return new TextDecoder().decode(record.data);
    }
  }
  return null;
}

/** The records of a message's bytes (NFC Forum, NDEF 1.0, 3.2), as the browser takes them. */
export function records(bytes) {
  const found = [];
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const utf8 = new TextDecoder();
  for (let at = 0; at < bytes.length;) {
    const head = bytes[at];
    const short = (head & 0x10) !== 0;
    const kindLength = bytes[at + 1];
    const length = short ? bytes[at + 2] : view.getUint32(at + 2);
    at += short ? 3 : 6;
    const idLength = head & 0x08 ? bytes[at++] : 0;
    const kind = utf8.decode(bytes.subarray(at, at + kindLength));
    at += kindLength + idLength;
    const payload = bytes.slice(at, at + length);
    at += length;
    // A URI record begins with the number of a prefix; ours has none.
    found.push((head & 0x07) === 1 && kind === "U"
      ? { recordType: "url", data: utf8.decode(payload.subarray(1)) }
      : { recordType: kind, data: payload });
  }
  return found;
}

/** Waits for a chip, and gives its text. */
export function readChip(signal) {
  const reader = new globalThis.NDEFReader();
  return new Promise((resolve, reject) => {
    reader.addEventListener("reading", ({ message }) => resolve(textOf(message)), { once: true });
    reader.addEventListener("readingerror", reject, { once: true });
    signal.addEventListener("abort", () => resolve(null), { once: true });
    reader.scan({ signal }).catch(reject);
  });
}

/** Writes a message of ours to the chip that is held to the phone. */
export function writeChip(bytes, signal) {
  return new globalThis.NDEFReader().write({ records: records(bytes) }, { signal });
}
