// The chosen item: its words, always in view, its fields, and what can be done with it.

import { FIELDS, shown } from "./fields.js";
import { change, chosen, choose, on, onward, show, state, trouble } from "./state.js";
import { clock, h, path, state as standing, sure, title } from "./words.js";
import { join, split } from "./dialogs.js";

let bench, head, words, form, why, acts, player;
const controls = new Map();
let filled = null;

export function start(element, thePlayer) {
  [bench, player] = [element, thePlayer];
  head = h("div", { className: "head" });
  words = h("div", { className: "words-said", role: "group", "aria-label": "The words said" });
  form = h("form", { className: "fields", on: { submit: (e) => e.preventDefault() } }, ...FIELDS.map(control));
  why = h("details", { className: "why" });
  acts = h("div", { className: "acts", role: "group", "aria-label": "What to do with it" });
  bench.append(head, words, h("div", { className: "scroll" }, form, why), acts);
  on("render", fill);
  on("choose", (how) => {
    fill();
    if (!how.same && player.any && document.getElementById("auto").checked) hear();
  });
}

/** Plays the words of the chosen one. */
export function hear(at = 0) {
  const said = saidOf(chosen())[at];
  if (said) player.play(said);
}

const saidOf = (thing) => (!thing ? [] : Array.isArray(thing.said) ? thing.said : [thing.said]);

function control(field) {
  const id = `field-${field.name}`;
  let input;
  if (field.one) {
    input = h("select", { id });
  } else if (field.tick) {
    input = h("input", { id, type: "checkbox" });
  } else {
    input = h("input", { id, type: "text", autocomplete: "off", spellcheck: Boolean(field.wide), placeholder: field.hint || "" });
    if (field.number) input.inputMode = "numeric";
    if (field.from) input.setAttribute("list", `choices-${field.from}`);
  }
  input.setAttribute("aria-keyshortcuts", field.key);
  input.addEventListener("change", () => save(field, input));
  input.addEventListener("input", () => input.classList.remove("wrong"));
  input.addEventListener("keydown", (event) => keyIn(event, field, input));
  controls.set(field.name, input);
  return h("div", { className: `field${field.wide ? " wide" : ""}${field.tick ? " tick-field" : ""}` },
    h("label", { for: id }, h("span", { textContent: field.label }), h("kbd", { "aria-hidden": "true", textContent: field.key })),
    input);
}

/** Fills the lists of words to choose from. */
export function offer(choices) {
  for (const field of FIELDS) {
    const input = controls.get(field.name);
    if (field.one) {
      const options = (choices[field.one] || []).map((word) => h("option", { value: word, textContent: field.words?.[word] || word }));
      if (field.none) options.unshift(h("option", { value: "", textContent: field.none }));
      input.replaceChildren(...options);
    }
  }
  for (const from of ["elements", "faults"]) lend(from, choices[from] || []);
  fill();
}

function lend(name, all) {
  const id = `choices-${name}`;
  const list = document.getElementById(id) || document.body.appendChild(h("datalist", { id }));
  list.replaceChildren(...all.map((value) => h("option", { value })));
}

function keyIn(event, field, input) {
  if (event.key === "Escape") {
    put(field, input, filled);
    input.blur();
    document.getElementById("rows").focus();
  } else if (event.key === "Enter" && !field.one) {
    event.preventDefault();
    // Leaving the field saves it, where it changed.
    document.getElementById("rows").focus();
  } else return;
  event.stopPropagation();
}

async function save(field, input) {
  const item = filled;
  if (!item) return;
  const value = field.tick ? input.checked : field.one ? input.value || null : field.read(input.value);
  if (value === undefined || (field.name === "area" && value.length === 0)) {
    input.classList.add("wrong");
    return trouble(`Not saved: “${input.value}” is no ${field.label.toLowerCase()}; ${field.hint ? `write it as ${field.hint}` : "write a whole number"}`);
  }
  if (field.opened) {
    field.opened = false;
    document.getElementById("rows").focus();
  }
  if (shown(field, { [field.name]: value }) === shown(field, item)) return;
  const op = field.name === "closed" ? { op: "close", id: item.id, as: value } : { op: "set", id: item.id, fields: { [field.name]: value } };
  if (!(await change(op, [item.id]))) input.classList.add("wrong");
}

function put(field, input, item) {
  const value = item ? shown(field, item) : "";
  input.classList.remove("wrong");
  if (field.tick) {
    input.checked = Boolean(value);
    return;
  }
  // A word that the program does not offer stays what it is.
  if (field.one && value && ![...input.options].some((o) => o.value === value)) {
    input.append(h("option", { value, textContent: value }));
  }
  if (input.value === value) return;
  const all = document.activeElement === input && !field.one && input.selectionStart === 0 && input.selectionEnd === input.value.length;
  input.value = value;
  // What was about to be written over still is.
  if (all) input.select();
}

function fill() {
  const thing = chosen();
  const passed = state.tab === "passed";
  const another = thing?.id !== filled?.id;
  bench.classList.toggle("nothing", !thing);
  form.hidden = passed || !thing;
  lend("areas", state.view ? state.view.areas.map((a) => path(a.path)) : []);
  for (const field of FIELDS) {
    const input = controls.get(field.name);
    const typing = document.activeElement === input && !another && input.value !== (filled ? shown(field, filled) : "");
    // What is being typed stays, whatever comes from outside.
    if (!passed && !typing && !(input.classList.contains("wrong") && !another)) put(field, input, thing);
    input.disabled = !thing || Boolean(thing.dropped);
  }
  filled = thing;
  drawHead(thing, passed);
  drawWords(thing);
  drawWhy(thing);
  drawActs(thing, passed);
  if (another) bench.querySelector(".scroll").scrollTop = 0;
  const first = saidOf(thing)[0];
  if (first) player.show(first.walk);
}

function drawHead(thing, passed) {
  if (!thing) {
    head.replaceChildren(h("p", { className: "none", textContent: "Nothing is chosen." }));
    return;
  }
  const lines = passed
    ? [h("h2", { textContent: "Passed over" }), h("p", { className: "sub", textContent: thing.reason })]
    : [
      h("h2", {}, h("span", { className: "number", textContent: `${thing.number || "–"}` }), h("span", { textContent: title(thing) })),
      h("p", { className: "sub" }, h("span", { textContent: path(thing.area) }),
        h("span", { className: "state", textContent: standing(thing).word }),
        h("span", { className: "sure", textContent: sure(thing) })),
    ];
  head.replaceChildren(...lines);
}

function drawWords(thing) {
  const item = state.tab === "items";
  words.replaceChildren(...saidOf(thing).map((said, i) => {
    const when = `${state.view.walks.length > 1 ? `${said.walk} ` : ""}${clock(said.start)}`;
    const can = player.has(said.walk);
    const place = can
      ? h("button", { type: "button", className: "play", title: "Play from two seconds before (space)", on: { click: () => hear(i) } },
        h("span", { "aria-hidden": "true", textContent: "▶ " }), h("span", { className: "said-only", textContent: "Play " }), when)
      : h("span", { className: "play", textContent: when });
    return h("div", { className: `said${said.private ? " private" : ""}` }, place,
      h("q", { textContent: said.text }),
      h("button", {
        type: "button", className: "keep", disabled: Boolean(thing.dropped), "aria-pressed": String(Boolean(said.private)),
        title: "Words kept private stand on no handout (p)",
        textContent: said.private ? "kept private" : "keep private",
        on: { click: () => keep(item ? thing.id : null, thing, i) },
      }));
  }));
}

/** Marks words as not to be passed on, or lets them go again. */
function keep(id, thing, at) {
  const said = saidOf(thing)[at];
  if (!said) return;
  const op = { op: "private", id, said: { walk: said.walk, start: said.start, end: said.end }, private: !said.private };
  return change(op, [thing.id]);
}

function drawWhy(thing) {
  const reasons = thing?.why || [];
  why.hidden = reasons.length === 0;
  const opened = why.open;
  why.replaceChildren(h("summary", { textContent: `Why (${reasons.length})` }), h("ul", {}, ...reasons.map((w) => h("li", { textContent: typeof w === "string" ? w : JSON.stringify(w) }))));
  why.open = opened;
}

function act(name, key, run, how = {}) {
  return h("button", { type: "button", "aria-keyshortcuts": key, on: { click: run }, ...how },
    h("span", { textContent: name }), h("kbd", { "aria-hidden": "true", textContent: key }));
}

function drawActs(thing, passed) {
  const focused = document.activeElement?.closest(".acts") ? document.activeElement.dataset.act : null;
  const all = !thing ? [] : passed
    ? [act("Make it an item", "a", () => actions.accept(), { className: "main" })]
    : [
      act(thing.dropped ? "Bring back" : thing.looked ? "Looked at ✓" : "Accept", "a", () => actions.accept(), { className: "main" }),
      act(thing.dropped ? "Dropped" : "Drop", "d", () => actions.drop(), { disabled: Boolean(thing.dropped) }),
      act("Split", "v", () => actions.split(), { disabled: Boolean(thing.dropped) }),
      act("Join", "y", () => actions.join(), { disabled: Boolean(thing.dropped) || state.view.items.length < 2 }),
    ];
  all.forEach((button, i) => {
    button.dataset.act = String(i);
  });
  acts.replaceChildren(...all);
  if (focused !== null) all[Number(focused)]?.focus();
}

/** Whether an item is chosen that is not dropped. */
const whole = () => state.tab === "items" && Boolean(chosen()) && !chosen().dropped;

/** What can be done with the chosen one; keys and buttons both come here. */
export const actions = {
  async accept() {
    const thing = chosen();
    if (!thing) return null;
    if (state.tab === "passed") {
      const answer = await change({ op: "from-passed-over", id: thing.id });
      if (answer?.made) {
        show("items");
        choose(answer.made);
      }
      return answer;
    }
    if (thing.dropped) return change({ op: "restore", id: thing.id }, [thing.id]);
    if (thing.looked || (await change({ op: "accept", id: thing.id }, [thing.id]))) onward();
    return null;
  },
  async drop() {
    const thing = chosen();
    if (!thing || state.tab !== "items" || thing.dropped) return;
    if (await change({ op: "drop", id: thing.id }, [thing.id])) onward();
  },
  split() {
    if (whole()) split(chosen());
  },
  join() {
    if (whole()) join(chosen());
  },
  keep() {
    const thing = chosen();
    return thing && !thing.dropped && keep(state.tab === "items" ? thing.id : null, thing, 0);
  },
  /** Goes to a field, and opens its choices. */
  field(name) {
    const field = FIELDS.find((f) => f.name === name);
    const input = controls.get(name);
    if (!field || !whole()) return;
    if (field.tick) {
      input.click();
      return;
    }
    input.focus();
    if (!field.one) {
      input.select();
      return;
    }
    field.opened = true;
    try {
      input.showPicker();
    } catch {
      // A browser without pickers still has the arrow keys.
    }
  },
};

