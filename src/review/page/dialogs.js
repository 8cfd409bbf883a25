// The few things that ask back: adding, splitting, joining, the keys.

import { FIELDS } from "./fields.js";
import { areaAt, change, choose, chosen, place, show, state, trouble, where } from "./state.js";
import { clock, h, path, pathOf, SEP, seconds, title } from "./words.js";

export const SWITCH = { keys: true };

/** Opens a dialog with a form; `done` gets the form and says whether it may close. */
function ask(heading, parts, button, done, away = "Not now") {
  const form = h("form", { method: "dialog" }, h("h2", { textContent: heading }), ...parts,
    h("p", { className: "wrong-note", role: "alert" }),
    h("div", { className: "acts" },
      h("button", { type: "submit", className: "main", textContent: button }),
      away ? h("button", { type: "button", textContent: away, on: { click: () => dialog.close() } }) : null));
  const dialog = h("dialog", { "aria-label": heading }, form);
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (await done(form)) dialog.close();
  });
  dialog.addEventListener("close", () => {
    trouble("");
    dialog.remove();
    document.getElementById("rows").focus();
  });
  document.body.append(dialog);
  dialog.showModal();
  return form;
}

const line = (label, name, value, more = {}) => {
  const input = h("input", { name, id: `ask-${name}`, type: "text", autocomplete: "off", value, placeholder: more.hint || "" });
  if (more.from) input.setAttribute("list", `choices-${more.from}`);
  return h("div", { className: "field" }, h("label", { for: `ask-${name}`, textContent: label }), input);
};

const pickOne = (label, name, words, value) => {
  const select = h("select", { name, id: `ask-${name}` }, ...words.map((w) => h("option", { value: w, textContent: w })));
  select.value = value;
  return h("div", { className: "field" }, h("label", { for: `ask-${name}`, textContent: label }), select);
};

/** Asks for a new item at the place that was pointed at, else where the recording or the chosen item is. */
export function add(player) {
  const row = chosen();
  const heard = player.at;
  const spot = state.mark !== null ? place(state.mark) : heard || (row ? place(where(row)) : { walk: state.view.walks[0]?.id, at: 0 });
  const walks = state.view.walks.map((w) => w.id);
  if (!walks.length) return trouble("The list holds no walk, so there is no time to add an item at.");
  const form = ask("Add an item", [
    h("div", { className: "fields" },
      ...(walks.length > 1 ? [pickOne("Walk", "walk", walks, spot.walk)] : []),
      line("Time", "at", clock(spot.at), { hint: "1:02" }),
      line("Area", "area", areaAt(spot.walk, spot.at).join(SEP), { from: "areas" }),
      line("Part", "element", "", { from: "elements", hint: "whole area" }),
      pickOne("Work", "work", state.choices.works, "repair"),
      line("Fault", "fault", "", { from: "faults" }),
      pickOne("Trade", "trade", state.choices.trades, "superintendent"),
      line("Spot", "where", "", { hint: "behind the door" })),
  ], "Add", async (form) => {
    const got = Object.fromEntries(new FormData(form));
    const at = seconds(got.at);
    const walk = got.walk || walks[0];
    const length = state.view.walks.find((w) => w.id === walk).seconds;
    if (at === null || at > length) {
      trouble(`“${got.at}” is no time of this walk; write minutes and seconds, up to ${clock(length)}`);
      form.elements.at.focus();
      return false;
    }
    const text = (name) => got[name].trim() || null;
    const fields = { area: pathOf(got.area), element: text("element"), work: got.work, fault: text("fault"), trade: got.trade, where: text("where") };
    const answer = await change({ op: "add", walk, at, fields });
    if (answer?.made) {
      show("items");
      choose(answer.made);
    }
    return Boolean(answer);
  });
  // Who is sent follows the part, until a person says otherwise.
  const { element, trade } = form.elements;
  element.addEventListener("change", () => {
    const owner = state.choices.owners?.[element.value.trim().toLowerCase()];
    if (owner && !trade.dataset.own) trade.value = owner;
  });
  trade.addEventListener("change", () => {
    trade.dataset.own = "yes";
  });
  element.focus();
}

/** Asks which words go to a new item; with one stretch both items keep it. */
export function split(item) {
  const several = item.said.length > 1;
  const boxes = item.said.map((said, i) => h("label", { className: "choice" },
    h("input", { type: "checkbox", name: "said", value: String(i), checked: several && i === item.said.length - 1 }),
    h("span", { className: "play", textContent: clock(said.start) }), h("q", { textContent: said.text })));
  ask(`Split ${item.number}`, [
    h("p", { textContent: several ? "Which words go to the new item?" : "These words carry two matters: both items keep them." }),
    ...(several ? boxes : [h("div", { className: "choice" }, h("span", { className: "play", textContent: clock(item.said[0]?.start ?? 0) }), h("q", { textContent: item.said[0]?.text ?? "" }))]),
    line("Part of the new item", "element", item.element || "", { from: "elements" }),
    pickOne("Work of the new item", "work", state.choices.works, item.work),
  ], "Split", async (form) => {
    const got = new FormData(form);
    const moved = several ? got.getAll("said").map(Number) : [];
    if (several && (moved.length === 0 || moved.length === item.said.length)) {
      trouble("Choose some of the words, not all: each of the two items needs some.");
      return false;
    }
    const fields = { element: got.get("element").trim() || null, work: got.get("work") };
    const answer = await change({ op: "split", id: item.id, said: moved, fields }, [item.id]);
    if (answer?.made) choose(answer.made);
    return Boolean(answer);
  });
}

/** Asks for the item with which this one is the same matter. */
export function join(item) {
  const near = (other) => (path(other.area) === path(item.area) ? 0 : 1) + (other.element === item.element ? 0 : 0.5);
  const others = state.view.items.filter((i) => i.id !== item.id && !i.dropped)
    .sort((a, b) => near(a) - near(b) || a.number - b.number);
  const list = h("div", { className: "choices" });
  const draw = (wanted) => list.replaceChildren(...others
    .filter((o) => `${o.number} ${title(o)} ${path(o.area)}`.toLowerCase().includes(wanted.toLowerCase()))
    .slice(0, 60)
    .map((o, i) => h("label", { className: "choice" },
      h("input", { type: "radio", name: "with", value: o.id, checked: i === 0 }),
      h("span", {}, h("b", { textContent: `${o.number || "–"} ` }), title(o), h("span", { className: "about", textContent: ` ${path(o.area)}` })))));
  draw("");
  const find = line("Find", "find", "", { hint: "number, part or area" });
  find.querySelector("input").addEventListener("input", (event) => draw(event.target.value));
  ask(`Join with ${item.number} ${title(item)}`, [
    h("p", { textContent: "The other one ends in this one, and its words with it." }), find, list,
  ], "Join", async (form) => {
    const other = new FormData(form).get("with");
    if (!other) {
      trouble("Choose the item to join.");
      return false;
    }
    return Boolean(await change({ op: "join", id: item.id, with: other }, [item.id, other]));
  });
}

const KEYS = [
  ["↓ ↑ or j k", "next and previous row"], ["a", "accept and go on; in “Passed over”: make it an item"], ["d", "drop"],
  ["space", "play or stop"], ["v", "split"], ["y", "join"], ["n", "add an item at a time"], ["p", "keep the words private"],
  ["u", "undo"], ["1 2", "items, passed over"], ["z", "the other order"], ["Enter, Esc", "in a field: save, leave as it was"], ["?", "this help"],
];

/** Shows the keys. */
export function help() {
  const rows = [...KEYS, ...FIELDS.map((f) => [f.key, `field: ${f.label}`])]
    .map(([key, what]) => h("div", {}, h("dt", {}, h("kbd", { textContent: key })), h("dd", { textContent: what })));
  const box = h("input", { type: "checkbox", checked: SWITCH.keys, on: { change: (e) => { SWITCH.keys = e.target.checked; } } });
  ask("Keys", [
    h("label", { className: "choice" }, box, "single keys work"),
    h("dl", { className: "keys" }, ...rows),
    h("p", { textContent: "On the stick: a click on a tick chooses its item, a click beside it marks a time for “Add”. A long tick is one of which the program was unsure." }),
  ], "Close", () => true, null);
}
