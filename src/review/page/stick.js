// The walk as a stick: recording time from top to bottom, areas as stretches, items as ticks.

import { choose, chosen, offset, on, place, areaAt, point, rows, state, total, where } from "./state.js";
import { clock, h, path, title } from "./words.js";

/** How near to a tick a click must be to mean it, in pixels. */
const NEAR = 9;
/** The least distance of two times on the scale, in pixels. */
const APART = 44;

let stick;
let light;
let cursor;
const ticks = new Map();

export function start(element, player) {
  stick = element;
  on("render", draw);
  on("choose", lightUp);
  stick.addEventListener("pointerdown", (event) => {
    if (event.button === 0) pick(event.clientY);
  });
  stick.addEventListener("keydown", (event) => {
    const move = { ArrowDown: 1, ArrowUp: -1, PageDown: 5, PageUp: -5 }[event.key];
    if (move) along(move);
    else if (event.key === "Home") along(-Infinity);
    else if (event.key === "End") along(Infinity);
    else return;
    event.preventDefault();
    event.stopPropagation();
  });
  player.addEventListener("at", (event) => {
    if (!cursor) return;
    cursor.hidden = event.detail === null;
    if (event.detail !== null) cursor.style.top = percent(offset(event.detail.walk) + event.detail.at);
  });
  new ResizeObserver(draw).observe(stick);
}

const percent = (at) => `${total() ? Math.min(100, (at / total()) * 100) : 0}%`;

/** Goes along the stick: to the next in time, whatever the order of the rows. */
function along(by) {
  const inTime = [...rows()].sort((a, b) => where(a) - where(b));
  if (!inTime.length) return;
  const at = inTime.findIndex((r) => r.id === state.chosen[state.tab]);
  choose(inTime[Math.min(inTime.length - 1, Math.max(0, at + by))].id);
}

function pick(y) {
  const box = stick.getBoundingClientRect();
  const at = Math.min(1, Math.max(0, (y - box.top) / box.height)) * total();
  const reach = (NEAR / box.height) * total();
  let best = null;
  for (const row of rows()) {
    const far = Math.abs(where(row) - at);
    if (far <= reach && (!best || far < best.far)) best = { far, id: row.id };
  }
  if (best) choose(best.id);
  else point(at);
}

function draw() {
  if (!state.view) return;
  const height = stick.clientHeight;
  ticks.clear();
  const parts = [];
  stretches(parts, height);
  scale(parts, height);
  for (const row of rows()) {
    const tick = h("span", { className: state.tab === "passed" ? "tick passed" : "tick", title: hint(row) });
    tick.style.top = percent(where(row));
    if (state.tab === "items") {
      tick.classList.toggle("looked", Boolean(row.looked));
      tick.classList.toggle("gone", Boolean(row.dropped));
      // The less sure, the longer the mark.
      tick.style.setProperty("--unsure", String(1 - Math.min(1, row.confidence ?? 1)));
    }
    ticks.set(row.id, tick);
    parts.push(tick);
  }
  stick.classList.toggle("crowded", ticks.size > 120);
  light = h("span", { className: "light" });
  cursor = h("span", { className: "cursor", hidden: true });
  stick.replaceChildren(...parts, cursor, light);
  stick.setAttribute("aria-valuemax", String(Math.round(total())));
  lightUp();
}

const hint = (row) => state.tab === "items" ? `${row.number || "–"} ${title(row)}` : row.reason;

function stretches(parts, height) {
  const visits = state.view.areas
    .flatMap((area) => area.visits.map((v) => ({ at: offset(v.walk) + v.start, to: offset(v.walk) + v.end, area })))
    .sort((a, b) => a.at - b.at);
  let free = 0;
  visits.forEach((visit, i) => {
    const band = h("span", { className: `stretch ${i % 2 ? "odd" : "even"} ${visit.area.state}`, title: path(visit.area.path) });
    band.style.top = percent(visit.at);
    const share = total() ? Math.max(0, visit.to - visit.at) / total() : 0;
    band.style.height = `${share * 100}%`;
    const top = total() ? (visit.at / total()) * height : 0;
    // A name stands where it has room: never over the one before.
    if (top >= free && share * height >= 12) {
      band.append(h("span", { className: "place", textContent: visit.area.path.at(-1) || "" }));
      free = top + 15;
    }
    parts.push(band);
  });
  for (const walk of state.view.walks.slice(1)) {
    const edge = h("span", { className: "edge", title: walk.file });
    edge.style.top = percent(offset(walk.id));
    parts.push(edge);
  }
}

function scale(parts, height) {
  const each = [5, 15, 30, 60, 120, 300, 600, 900, 1800, 3600].find((s) => (s / total()) * height >= APART) || 7200;
  for (const walk of state.view.walks) {
    const last = walk === state.view.walks.at(-1);
    for (let s = 0; s < walk.seconds; s += each) {
      // The next walk's 0:00 needs its room.
      if (!last && ((walk.seconds - s) / total()) * height < 14) break;
      const mark = h("span", { className: "time", textContent: clock(s) });
      mark.style.top = percent(offset(walk.id) + s);
      parts.push(mark);
    }
  }
}

function lightUp() {
  if (!light) return;
  for (const [id, tick] of ticks) tick.classList.toggle("chosen", id === state.chosen[state.tab]);
  const row = chosen();
  const at = state.mark ?? (row ? where(row) : null);
  light.hidden = at === null;
  if (at === null) return;
  light.style.top = percent(at);
  light.classList.toggle("mark", state.mark !== null);
  const spot = place(at);
  const what = state.mark === null && row ? `, ${hint(row)}` : "";
  stick.setAttribute("aria-valuenow", String(Math.round(at)));
  stick.setAttribute("aria-valuetext", `${clock(spot.at)}, ${path(areaAt(spot.walk, spot.at))}${what}`);
}

