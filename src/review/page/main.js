// The page's start: reads the list, sets up the parts, and asks now and then whether the file changed.

import * as bench from "./bench.js";
import * as keys from "./keys.js";
import * as rowsPart from "./rows.js";
import * as stick from "./stick.js";
import { add, help } from "./dialogs.js";
import { net } from "./net.js";
import { player } from "./player.js";
import { on, refresh, setOrder, state, take, trouble } from "./state.js";
import { h } from "./words.js";

/** How often the page asks for the file's state, in milliseconds. */
const ASK_EVERY = 1500;
/** How long a note stays. */
const NOTE = 12000;

const at = (id) => document.getElementById(id);

let fading;
let lost = "";
on("notice", (text) => {
  at("notice").textContent = text;
  clearTimeout(fading);
  fading = setTimeout(() => at("notice").replaceChildren(), NOTE);
});
on("trouble", (text) => {
  at("trouble").replaceChildren(text);
  document.querySelector("dialog[open] .wrong-note")?.replaceChildren(text);
});
// Who listens to the page hears a list once it is whole again.
on("saving", (changes) => at("rows").setAttribute("aria-busy", String(changes > 0)));
on("render", () => {
  const undo = at("undo");
  undo.disabled = !state.view.undo;
  undo.title = state.view.undo ? `Undo: ${state.view.undo} (u)` : "Nothing to undo";
  at("name").textContent = state.view.name;
  document.title = `${state.view.name}: review`;
});

at("order").addEventListener("change", (event) => setOrder(event.target.value));
at("add").addEventListener("click", () => state.view && add(player));
at("undo").addEventListener("click", keys.undo);
at("help").addEventListener("click", help);

async function look() {
  try {
    await refresh();
    // What was not saved stays told; only the note of this very trouble goes.
    if (lost && at("trouble").textContent === lost) trouble("");
    lost = "";
  } catch (error) {
    const told = at("trouble").textContent;
    if (!told || told === lost) trouble(error.message);
    lost = error.message;
  }
  setTimeout(look, ASK_EVERY);
}

stick.start(at("stick"), player);
rowsPart.start(at("rows"));
bench.start(at("bench"), player);
keys.start(player);

try {
  const [choices, view] = await Promise.all([net.choices(), net.view()]);
  state.choices = choices;
  const box = h("div", { className: "media", hidden: true });
  at("bench").prepend(box);
  player.start(box, view.media);
  box.append(h("label", { className: "tool" }, h("input", { type: "checkbox", id: "auto" }), "play each"));
  player.addEventListener("failed", () => trouble("The recording cannot be played here; the list can be reviewed without it."));
  take(view);
  bench.offer(choices);
  at("rows").focus();
} catch (error) {
  trouble(error.message);
}
setTimeout(look, ASK_EVERY);
