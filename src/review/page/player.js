// The recording: plays a stretch from two seconds before, and stops two seconds after.

import { h } from "./words.js";

const LEAD = 2;

class Player extends EventTarget {
  #box = null;
  #media = new Map();
  #current = null;
  #until = null;

  /** Makes a player for each walk that has a recording: `{w1: "sound" | "picture"}`. */
  start(box, kinds) {
    this.#box = box;
    for (const [walk, kind] of Object.entries(kinds)) {
      const element = h(kind === "picture" ? "video" : "audio", { controls: true, preload: "metadata", hidden: true });
      element.setAttribute("aria-label", "The recording");
      element.src = `media/${walk}`;
      element.addEventListener("timeupdate", () => this.#moved(walk, element));
      element.addEventListener("error", () => this.dispatchEvent(new CustomEvent("failed", { detail: walk })));
      this.#media.set(walk, element);
      box.append(element);
    }
    box.hidden = this.#media.size === 0;
  }

  has(walk) {
    return this.#media.has(walk);
  }

  get any() {
    return this.#media.size > 0;
  }

  /** Shows the recording of this walk, silent. */
  show(walk) {
    const element = this.#media.get(walk);
    if (!element || element === this.#current) return;
    this.#current?.pause();
    for (const other of this.#media.values()) other.hidden = other !== element;
    this.#current = element;
  }

  /** Plays what was said, from two seconds before it. */
  async play(said) {
    const element = this.#media.get(said.walk);
    if (!element) return;
    this.show(said.walk);
    this.#until = (said.end ?? said.start) + LEAD;
    element.currentTime = Math.max(0, said.start - LEAD);
    try {
      await element.play();
    } catch {
      // A browser may refuse sound that nobody asked for; the controls are at hand.
    }
  }

  stop() {
    this.#current?.pause();
  }

  get playing() {
    return Boolean(this.#current && !this.#current.paused);
  }

  /** Where the recording is, or null where it was never started. */
  get at() {
    for (const [walk, element] of this.#media) {
      if (element === this.#current && element.currentTime > 0) return { walk, at: element.currentTime };
    }
    return null;
  }

  #moved(walk, element) {
    if (this.#until !== null && element.currentTime >= this.#until) {
      this.#until = null;
      element.pause();
    }
    this.dispatchEvent(new CustomEvent("at", { detail: { walk, at: element.currentTime } }));
  }
}

export const player = new Player();
