// The items as rows: number, sentence, the words said and when.

import { choose, on, rows, show, state, step } from "./state.js";
import { clock, h, many, path, state as standing, title } from "./words.js";

let list;
let made = new Map();

export function start(element) {
  list = element;
  on("render", draw);
  on("choose", (how) => mark(how));
  list.addEventListener("click", (event) => {
    const row = event.target.closest("[role=option]");
    if (row) choose(row.dataset.id, { still: true });
  });
  list.addEventListener("keydown", (event) => {
    const all = rows();
    const page = Math.max(1, Math.floor(list.clientHeight / 70));
    const move = { ArrowDown: 1, ArrowUp: -1, PageDown: page, PageUp: -page, Home: -all.length, End: all.length }[event.key];
    if (!move) return;
    event.preventDefault();
    event.stopPropagation();
    step(move);
  });
  document.getElementById("show-items").addEventListener("click", () => show("items"));
  document.getElementById("show-passed").addEventListener("click", () => show("passed"));
}

/** Rows are made once and changed in place, so that nothing moves under the hand. */
function draw() {
  const all = rows();
  const before = made;
  made = new Map();
  const order = all.map((thing) => {
    const face = JSON.stringify([state.tab, state.fresh.has(thing.id), thing]);
    let row = before.get(thing.id);
    if (!row) row = h("li", { role: "option", id: `row-${thing.id}`, className: "row" });
    row.dataset.id = thing.id;
    if (row.dataset.face !== face) {
      row.dataset.face = face;
      fill(row, thing);
    }
    made.set(thing.id, row);
    return row;
  });
  const same = order.length === list.children.length && order.every((row, i) => list.children[i] === row);
  if (!same) list.replaceChildren(...order);
  list.setAttribute("aria-label", state.tab === "items" ? "Items" : "Passed over");
  counts(all);
  mark({ same: true });
}

function fill(row, thing) {
  const said = Array.isArray(thing.said) ? thing.said : [thing.said];
  const first = said[0];
  const several = state.view.walks.length > 1;
  const when = first ? `${several ? `${first.walk} ` : ""}${clock(first.start)}` : "";
  if (state.tab === "passed") {
    row.className = "row";
    row.replaceChildren(
      h("span", { className: "sign", "aria-hidden": "true", textContent: "–" }),
      h("span", { className: "what" }, h("span", { className: "words", textContent: `“${first.text}”` })),
      h("span", { className: "when", textContent: when }),
      h("span", { className: "about", textContent: thing.reason }),
    );
    return;
  }
  const how = standing(thing);
  row.className = `row ${thing.dropped ? "gone" : ""} ${thing.looked ? "looked" : "open"}`;
  const about = [path(thing.area), thing.standing === "query" ? "query" : null, thing.urgent ? "pressing" : null,
    thing.hazard ? `danger: ${thing.hazard}` : null, said.some((s) => s.private) ? "kept private" : null].filter(Boolean);
  row.replaceChildren(
    h("span", { className: "sign", title: how.word },
      h("span", { "aria-hidden": "true", textContent: how.sign }), h("span", { className: "said-only", textContent: how.word })),
    h("span", { className: "what" },
      h("b", { textContent: `${thing.number || "–"} ` }), h("span", { className: "sentence", textContent: title(thing) })),
    h("span", { className: "when", textContent: when }),
    h("span", { className: "about" }, about.join(" · "),
      state.fresh.has(thing.id) ? h("span", { className: "fresh", textContent: "new here" }) : null),
    h("span", { className: "words", textContent: said.map((s) => `“${s.text}”`).join(" … ") }),
    doubt(thing),
  );
}

function doubt(item) {
  if (typeof item.confidence !== "number") return null;
  const percent = Math.round(item.confidence * 100);
  const bar = h("span", { className: "sure", title: `the program was sure to ${percent} %` },
    h("span", { className: "said-only", textContent: "sure to " }), `${percent} %`);
  bar.style.setProperty("--unsure", String(1 - item.confidence));
  return bar;
}

function counts(all) {
  const { items, passed_over: passed } = state.view;
  document.getElementById("count-items").textContent = String(items.length);
  document.getElementById("count-passed").textContent = String(passed.length);
  for (const [tab, id] of [["items", "show-items"], ["passed", "show-passed"]]) {
    document.getElementById(id).setAttribute("aria-pressed", String(state.tab === tab));
  }
  const looked = items.filter((i) => i.looked || i.dropped || i.closed).length;
  document.getElementById("progress").textContent = `${looked} of ${items.length} looked at`;
  const bar = document.getElementById("bar");
  bar.max = Math.max(1, items.length);
  bar.value = looked;
  const empty = document.getElementById("empty");
  empty.hidden = all.length > 0;
  list.hidden = all.length === 0;
  const heard = many(state.view.walks.length, "walk");
  empty.textContent = state.tab === "passed" ? "Nothing was passed over."
    : `No items: in ${heard} nothing was said that asks for work. Add one with “Add” if something was missed.`;
}

function mark({ still, same } = {}) {
  for (const [id, row] of made) row.setAttribute("aria-selected", String(id === state.chosen[state.tab]));
  const row = made.get(state.chosen[state.tab]);
  if (!row) return list.removeAttribute("aria-activedescendant");
  list.setAttribute("aria-activedescendant", row.id);
  row.querySelector(".fresh")?.remove();
  if (!still && !same) row.scrollIntoView({ block: "nearest" });
}
