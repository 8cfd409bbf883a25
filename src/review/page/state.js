// What the page knows: the list as the file has it, what is chosen, and in which order the rows stand.

import { net } from "./net.js";
import { many, title } from "./words.js";

export const state = {
  view: null,
  choices: null,
  /** The id of the chosen item, or of the passed-over stretch. */
  chosen: { items: null, passed: null },
  tab: "items",
  order: "unsure",
  /** A second on the stick that was pointed at, over all walks; null where an item is chosen. */
  mark: null,
  /** Items that came or changed from outside and were not chosen since. */
  fresh: new Set(),
};

const ranks = new Map();
const listeners = { render: [], choose: [], notice: [], trouble: [], saving: [] };

/** Calls `run` on an event: `render` (data changed), `choose` (another one is chosen), `notice`, `trouble` (a text), `saving` (how many changes are on their way). */
export function on(event, run) {
  listeners[event].push(run);
}

function emit(event, value) {
  for (const run of listeners[event]) run(value);
}

export const notice = (text) => emit("notice", text);
export const trouble = (text) => emit("trouble", text);

/** Where each walk begins on the stick, in seconds from its top. */
export function offset(walk) {
  let sum = 0;
  for (const w of state.view.walks) {
    if (w.id === walk) return sum;
    sum += w.seconds;
  }
  return 0;
}

/** The walk and the second in it of a place on the stick. */
export function place(at) {
  let rest = at;
  const walks = state.view.walks;
  for (const [i, w] of walks.entries()) {
    if (rest <= w.seconds || i === walks.length - 1) return { walk: w.id, at: Math.min(rest, w.seconds) };
    rest -= w.seconds;
  }
  return { walk: "w1", at: 0 };
}

export function total() {
  return state.view ? state.view.walks.reduce((sum, w) => sum + w.seconds, 0) : 0;
}

/** Where something said stands on the stick. */
export function where(thing) {
  const said = Array.isArray(thing.said) ? thing.said[0] : thing.said;
  return said ? offset(said.walk) + said.start : 0;
}

/** The path of the area in which the speaker was, by the visits. */
export function areaAt(walk, at) {
  let best = null;
  for (const area of state.view.areas) {
    for (const visit of area.visits) {
      if (visit.walk === walk && visit.start <= at + 0.5 && (!best || visit.start >= best.start)) {
        best = { start: visit.start, path: area.path };
      }
    }
  }
  return best ? best.path : [];
}

function rank() {
  const items = [...state.view.items];
  const key = (i) => [i.looked || i.dropped ? 1 : 0, i.confidence ?? 1, where(i)];
  items.sort((a, b) => {
    const [x, y] = [key(a), key(b)];
    return x[0] - y[0] || x[1] - y[1] || x[2] - y[2];
  });
  ranks.clear();
  items.forEach((item, i) => ranks.set(item.id, i));
}

/** The rows as they stand: the items in their order, or the stretches passed over. */
export function rows() {
  if (!state.view) return [];
  if (state.tab === "passed") return state.view.passed_over;
  const items = [...state.view.items];
  // The order is taken once, so that a row stays where it is when its item changes.
  for (const item of items) if (!ranks.has(item.id)) ranks.set(item.id, ranks.size);
  if (state.order === "unsure") items.sort((a, b) => ranks.get(a.id) - ranks.get(b.id));
  else items.sort((a, b) => where(a) - where(b) || a.number - b.number);
  return items;
}

export function chosen() {
  const id = state.chosen[state.tab];
  return rows().find((r) => r.id === id) || null;
}

/** Chooses a row of the shown tab, or nothing. */
export function choose(id, how = {}) {
  state.chosen[state.tab] = id;
  state.mark = null;
  state.fresh.delete(id);
  emit("choose", how);
}

/** Points at a second of the stick where no item is. */
export function point(at) {
  state.mark = at;
  emit("choose", {});
}

export function show(tab) {
  state.tab = tab;
  emit("render");
  if (!chosen()) choose(rows()[0]?.id ?? null);
  else choose(state.chosen[tab]);
}

export function setOrder(order) {
  state.order = order;
  if (order === "unsure") rank();
  emit("render");
  emit("choose", {});
}

/** The row so many places after the chosen one. */
export function step(by) {
  const all = rows();
  if (!all.length) return;
  const at = all.findIndex((r) => r.id === state.chosen[state.tab]);
  choose(all[Math.min(all.length - 1, Math.max(0, at + by))].id);
}

/** After a decision: the next item that nobody looked at, downwards and then from the top; else the next row. */
export function onward() {
  const all = rows();
  const at = all.findIndex((r) => r.id === state.chosen[state.tab]);
  const open = (r) => state.tab === "items" && !r.looked && !r.dropped;
  const next = all.slice(at + 1).find(open) || all.find(open);
  if (next) choose(next.id);
  else notice("All were looked at.");
}

/** Takes a view from the program. What differs beyond the ids that the page itself changed came from outside. */
export function take(view, own = null) {
  const before = state.view;
  state.view = view;
  if (!before) rank();
  if (before && before.revision !== view.revision && own !== "all") tell(before, view, new Set(own || []));
  if (state.chosen.items && !view.items.some((i) => i.id === state.chosen.items)) {
    const was = before?.items.find((i) => i.id === state.chosen.items);
    state.chosen.items = null;
    if (was && !own) notice(`The chosen item is no longer in the list: ${title(was)}`);
  }
  emit("render");
  if (!chosen()) choose(rows()[0]?.id ?? null);
  else emit("choose", { same: true });
}

function tell(before, after, own) {
  const old = new Map(before.items.map((i) => [i.id, JSON.stringify(i)]));
  const [came, changed] = [[], []];
  for (const item of after.items) {
    const was = old.get(item.id);
    old.delete(item.id);
    if (own.has(item.id) || was === JSON.stringify(item)) continue;
    (was === undefined ? came : changed).push(item);
    state.fresh.add(item.id);
  }
  const gone = [...old.keys()].filter((id) => !own.has(id));
  const walks = after.walks.length - before.walks.length;
  const parts = [];
  if (walks > 0) parts.push(many(walks, "walk"));
  if (came.length) parts.push(`${many(came.length, "item")} new (${numbers(came)})`);
  if (changed.length) parts.push(`${many(changed.length, "item")} changed (${numbers(changed)})`);
  if (gone.length) parts.push(`${many(gone.length, "item")} gone`);
  if (parts.length) notice(`The list was changed from outside: ${parts.join(", ")}.`);
}

function numbers(items) {
  const shown = items.slice(0, 6).map((i) => i.number).join(", ");
  return items.length > 6 ? `${shown}, …` : shown;
}

let waiting = Promise.resolve();
let turn = 0;
let saving = 0;

/** Asks for the list where it changed on the disk. What was asked for before a change of the page's own is out of date. */
export async function refresh() {
  const began = turn;
  const { revision } = await net.revision();
  if (state.view && revision === state.view.revision) return;
  const view = await net.view();
  if (began === turn) take(view);
}

/** Sends a change, one after the other, and takes what the list then is. The program's answer, or null where it was not saved. */
export function change(op, own = []) {
  turn += 1;
  emit("saving", saving += 1);
  waiting = waiting.then(() => send(op, own)).finally(() => {
    turn += 1;
    emit("saving", saving -= 1);
  });
  return waiting;
}

async function send(op, own) {
  try {
    const answer = await net.change(op);
    trouble("");
    // Saved, though the list could not be read again: the next look at the file brings it.
    if (!answer.view) return answer;
    take(answer.view, op.op === "undo" ? "all" : [...own, ...(answer.touched || [])]);
    if (answer.said) notice(answer.said);
    return answer;
  } catch (error) {
    trouble(`Not saved: ${error.message}`);
    return null;
  }
}
