// What the tests of the page stand on: a review of a list of one's own in a fresh folder, and a browser.

import { spawn, execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";

export const packages = createRequire(join(process.env.NODE_PACKAGES, "/"));
const { chromium } = packages("playwright-core");

export const launch = () => chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--no-sandbox"] });

/** A second of silence, four thousand samples each, as a WAV file. */
function silence(seconds) {
  const data = Buffer.alloc(seconds * 4000, 128);
  const head = Buffer.alloc(44);
  head.write("RIFF", 0);
  head.writeUInt32LE(36 + data.length, 4);
  head.write("WAVEfmt ", 8);
  head.writeUInt32LE(16, 16);
  head.writeUInt16LE(1, 20);
  head.writeUInt16LE(1, 22);
  head.writeUInt32LE(4000, 24);
  head.writeUInt32LE(4000, 28);
  head.writeUInt16LE(1, 32);
  head.writeUInt16LE(8, 34);
  head.write("data", 36);
  head.writeUInt32LE(data.length, 40);
  return Buffer.concat([head, data]);
}

/** A list of so many items over a walk, made of invented words; `word` makes the text of each. */
export function list(items, seconds, word = (i) => `the sill number ${i} is chipped`) {
  const rooms = ["Entry", "Kitchen", "Living room", "Bedroom 1", "Bathroom"];
  const room = (at) => rooms[Math.min(rooms.length - 1, Math.floor((at / seconds) * rooms.length))];
  return {
    schema: "storystick/list/1",
    walks: [{ id: "w1", file: "walk.vtt", format: "webvtt", sha256: "0", seconds, words: items * 9 }],
    areas: rooms.map((name, i) => ({
      id: `a${i + 1}`, path: [name], kind: null, state: "outstanding",
      visits: [{ walk: "w1", start: (i * seconds) / rooms.length, end: ((i + 1) * seconds) / rooms.length }],
    })),
    items: Array.from({ length: items }, (_, i) => {
      const start = Math.round(((i + 0.5) / Math.max(1, items)) * seconds * 10) / 10;
      return {
        id: `i${i + 1}`, number: i + 1, area: [room(start)], where: null, element: "sill", fault: "chip", work: "touch-up", trade: "painter",
        section: "09 90 00", standing: "outstanding", text: `Touch up ${word(i + 1)}`, count: null, measure: null, urgent: false, by: null,
        hazard: null, follow_up: null, promised_by: null, confidence: (((i * 37) % 90) + 5) / 100,
        said: [{ walk: "w1", start, end: start + 1.5, text: word(i + 1) }], why: ["fault chip"], kept_by_others: i,
      };
    }),
    cleared: [],
    passed_over: [{ said: { walk: "w1", start: 2, end: 3.5, text: word(0) }, reason: "no building part near" }],
    some_other_key: { of: "another program" },
  };
}

export class Review {
  constructor(content, { media = false } = {}) {
    this.folder = mkdtempSync(join(tmpdir(), "review-"));
    this.path = join(this.folder, "list.json");
    if (typeof content === "string") execFileSync(process.env.PROGRAM, ["list", content, "-o", this.path]);
    else this.write(content);
    this.args = ["review", this.path, "--no-open"];
    if (media) {
      writeFileSync(join(this.folder, "walk.wav"), silence(Math.ceil(this.read().walks[0].seconds) + 5));
      this.args.push("--media", join(this.folder, "walk.wav"));
    }
  }

  async start() {
    this.child = spawn(process.env.PROGRAM, this.args, { stdio: ["ignore", "pipe", "ignore"] });
    this.address = await new Promise((done, failed) => {
      let text = "";
      this.child.stdout.on("data", (data) => {
        text += data;
        if (text.includes("\n")) done(text.trim());
      });
      this.child.on("exit", (code) => failed(new Error(`review ended with ${code}`)));
    });
    return this;
  }

  read() {
    return JSON.parse(readFileSync(this.path, "utf8"));
  }

  write(content) {
    writeFileSync(this.path, JSON.stringify(content, null, 2));
  }

  item(id) {
    return this.read().items.find((i) => i.id === id);
  }

  /** Ends the program as Ctrl-C does, and gives its exit code. */
  async stop() {
    if (this.child.exitCode !== null) return this.child.exitCode;
    const ended = new Promise((done) => this.child.on("exit", done));
    this.child.kill("SIGINT");
    return ended;
  }

  async end() {
    await this.stop();
    rmSync(this.folder, { recursive: true });
  }
}
