// How things are worded, and the making of elements. Text only ever becomes text: nothing here reads HTML.

/** An element with properties, attributes (keys with a dash, `role`, `for`) and children; strings become text. */
export function h(tag, props = {}, ...children) {
  const made = document.createElement(tag);
  for (const [key, value] of Object.entries(props)) {
    if (key === "on") {
      for (const [event, run] of Object.entries(value)) made.addEventListener(event, run);
    } else if (key.includes("-") || key === "role" || key === "for" || key === "list" || key === "open") {
      if (value !== null && value !== undefined) made.setAttribute(key, value);
    } else {
      made[key] = value;
    }
  }
  made.append(...children.filter((c) => c !== null && c !== undefined));
  return made;
}

/** A second of the recording: m:ss, from one hour on h:mm:ss. */
export function clock(seconds) {
  const s = Math.max(0, Math.floor(seconds));
  const two = (n) => String(n).padStart(2, "0");
  return s < 3600 ? `${Math.floor(s / 60)}:${two(s % 60)}`
    : `${Math.floor(s / 3600)}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}`;
}

/** The second that a person typed (`m:ss`, `h:mm:ss` or plain seconds), or null. */
export function seconds(text) {
  const parts = text.trim().split(":");
  if (parts.length > 3 || !parts.every((p) => /^\d+(\.\d+)?$/.test(p))) return null;
  return parts.reduce((sum, part) => sum * 60 + Number(part), 0);
}

export const SEP = " › ";

/** A path as one line. */
export function path(area) {
  return area.length ? area.join(SEP) : "Place not told";
}

/** The path that a person typed: parts stand between ›, > or /. */
export function pathOf(text) {
  return text.split(/[›>/]/).map((p) => p.trim()).filter(Boolean);
}

/** An item in a few words: its own sentence, or part and work. */
export function title(item) {
  return item.text || [item.work, item.element || "whole area", item.fault].filter(Boolean).join(", ");
}

/** How sure the program was, in words. */
export function sure(item) {
  const c = item.confidence;
  if (typeof c !== "number") return "";
  const word = c >= 0.8 ? "fairly sure" : c >= 0.5 ? "unsure" : "very unsure";
  return `${Math.round(c * 100)} % ${word}`;
}

/** What a person made of an item. */
export function state(item) {
  if (item.dropped) return { word: "dropped", sign: "✕" };
  if (item.closed) return { word: `closed: ${CLOSED[item.closed] || item.closed}`, sign: "■" };
  if (item.looked) return { word: "looked at", sign: "✓" };
  return { word: "not looked at", sign: "●" };
}

export const CLOSED = {
  accepted: "accepted as it is",
  credit: "credit agreed",
  "not-ours": "not ours",
  duplicate: "duplicate",
};

export const FOLLOW_UP = {
  ask: "will ask",
  tell: "will pass it on",
  photo: "will send a picture",
  return: "will come back to it",
  do: "will do it",
};

/** "1 item", "3 items". */
export function many(n, word) {
  return `${n} ${word}${n === 1 ? "" : "s"}`;
}
