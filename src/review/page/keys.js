// The keyboard: single keys wherever nothing is being typed.

import { FIELDS } from "./fields.js";
import { actions, hear } from "./bench.js";
import { add, help, SWITCH } from "./dialogs.js";
import { change, choose, show, state, step } from "./state.js";

export async function undo() {
  const answer = state.view?.undo ? await change({ op: "undo" }) : null;
  const back = answer?.touched.find((id) => state.view.items.some((i) => i.id === id));
  if (!back) return;
  // What was taken back is shown.
  if (state.tab !== "items") show("items");
  choose(back);
}

function toOtherOrder() {
  const order = document.getElementById("order");
  order.value = state.order === "unsure" ? "walk" : "unsure";
  order.dispatchEvent(new Event("change"));
}

let running = null;

/** Runs what a key means; what is pressed while a change is being saved waits, and then acts on what is chosen then. */
function inTurn(run) {
  if (!running) {
    const going = run();
    if (!going?.then) return;
    running = going;
  } else {
    running = running.then(run);
  }
  const mine = running;
  mine.finally(() => {
    if (running === mine) running = null;
  });
}

export function start(player) {
  const keys = {
    j: () => step(1), ArrowDown: () => step(1), k: () => step(-1), ArrowUp: () => step(-1),
    a: actions.accept, d: actions.drop, v: actions.split, y: actions.join, p: actions.keep,
    n: () => add(player), u: undo, z: toOtherOrder, "?": help,
    1: () => show("items"), 2: () => show("passed"),
    " ": () => (player.playing ? player.stop() : hear()),
    ...Object.fromEntries(FIELDS.map((f) => [f.key, () => actions.field(f.name)])),
  };
  document.addEventListener("keydown", (event) => {
    const at = event.target;
    const typing = at.matches?.("input:not([type=checkbox]), select, textarea, audio, video") || document.querySelector("dialog[open]");
    if (typing || event.altKey || !state.view) return;
    if (event.ctrlKey || event.metaKey) {
      if (event.key === "z") {
        event.preventDefault();
        undo();
      }
      return;
    }
    const pressed = at.matches?.("button, summary, input") && (event.key === " " || event.key === "Enter");
    const run = Object.hasOwn(keys, event.key) ? keys[event.key] : null;
    if (!run || pressed || (!SWITCH.keys && event.key.length === 1)) return;
    event.preventDefault();
    inTurn(run);
  });
}
