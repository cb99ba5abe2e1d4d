// The record in its worker: asked here, answered there. One tab of this origin has it at a
// time; the others can ask for it.
"use strict";

const LOCK = "hosewright-record";
const channel = new BroadcastChannel("hosewright");

export class Record {
  #worker = null;
  #waiting = new Map();
  #next = 1;
  #giveBack = null;
  /** Called when another tab takes the record, and when the worker stops by itself. */
  onmoved = () => {};
  onstopped = () => {};

  constructor() {
    channel.addEventListener("message", ({ data }) => {
      if (data === "take" && this.#giveBack) {
        this.#release();
      }
    });
  }

  /** Takes the record for this tab: false if another one has it. With `wait` it asks for it. */
  take(wait = false) {
    const how = wait ? {} : { ifAvailable: true };
    return new Promise((resolve, reject) => {
      navigator.locks.request(LOCK, how, (lock) => {
        if (!lock) {
          resolve(false);
          return null;
        }
        this.#begin();
        resolve(true);
        return new Promise((done) => { this.#giveBack = done; });
      }).catch(reject);
      if (wait) {
        channel.postMessage("take");
      }
    });
  }

  #begin() {
    this.#worker = new Worker("/worker.js", { type: "module" });
    this.#worker.addEventListener("message", ({ data: { id, done, refused } }) => {
      const { resolve, reject } = this.#waiting.get(id) ?? {};
      this.#waiting.delete(id);
      if (refused?.kind === "broken") {
        this.#stopped(refused.words);
        reject?.(refused);
      } else if (refused) {
        reject?.(refused);
      } else {
        resolve?.(done);
      }
    });
    this.#worker.addEventListener("error", (event) => this.#stopped(event.message));
  }

  /** Asks the worker, which answers one thing after the other. */
  call(kind, what, given = []) {
    return new Promise((resolve, reject) => {
      if (!this.#worker) {
        reject({ kind: "moved", words: "" });
        return;
      }
      const id = this.#next++;
      this.#waiting.set(id, { resolve, reject });
      this.#worker.postMessage({ id, kind, what }, given);
    });
  }

  /** Lets another tab have it, once what was asked is answered. */
  async #release() {
    await this.call("release").catch(() => {});
    this.#end();
    this.onmoved();
  }

  #stopped(words) {
    this.#end();
    this.onstopped(words);
  }

  #end() {
    this.#worker?.terminate();
    this.#worker = null;
    this.#waiting.forEach(({ reject }) => reject({ kind: "moved", words: "" }));
    this.#waiting.clear();
    this.#giveBack?.();
    this.#giveBack = null;
  }
}
