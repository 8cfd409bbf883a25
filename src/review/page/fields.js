// The fields of an item: what each is called, its key, and how it is shown and read back.

import { CLOSED, FOLLOW_UP, pathOf, SEP } from "./words.js";

const text = (value) => value.trim() || null;
const number = (value) => (/^\d+$/.test(value.trim()) ? Number(value) : value.trim() === "" ? null : undefined);

/**
 * In the order shown. `key` jumps to the field; `from` are the words to choose from; `one` means only those.
 * `show` makes the item's value a text, `read` the text a value; `undefined` is a text that says nothing.
 */
export const FIELDS = [
  { name: "element", label: "Part", key: "e", from: "elements", hint: "whole area", read: text },
  { name: "work", label: "Work", key: "w", one: "works" },
  { name: "trade", label: "Trade", key: "t", one: "trades" },
  { name: "area", label: "Area", key: "r", from: "areas", show: (a) => a.join(SEP), read: pathOf, hint: "Upstairs › Bath" },
  { name: "fault", label: "Fault", key: "f", from: "faults", read: text },
  { name: "where", label: "Spot", key: "l", read: text, hint: "behind the door" },
  { name: "standing", label: "Standing", key: "s", one: "standings" },
  { name: "count", label: "How many", key: "c", read: number, number: true },
  { name: "text", label: "Wording", key: "x", read: (v) => v.trim(), wide: true },
  { name: "measure", label: "Size", key: "m", show: size, read: sizeOf, hint: "1/4 in width" },
  { name: "hazard", label: "Danger", key: "h", one: "hazards", none: "none" },
  { name: "urgent", label: "Pressing", key: "g", tick: true },
  { name: "by", label: "By when", key: "b", read: text, hint: "before Friday" },
  { name: "follow_up", label: "Promise", key: "o", one: "follow_ups", none: "none", words: FOLLOW_UP },
  { name: "closed", label: "Closed without work", key: "q", one: "closed", none: "no", words: CLOSED },
];

/** The value of a field as a text for its control. */
export function shown(field, item) {
  const value = item[field.name];
  if (field.tick) return Boolean(value);
  if (value === null || value === undefined) return "";
  return field.show ? field.show(value) : String(value);
}

/** `{value, unit, of}` as a person writes it. */
function size(measure) {
  return [measure.value, measure.unit, measure.of].filter((p) => p !== null && p !== undefined).join(" ");
}

/** "1/4 in width", "2.5 cm", "68 F": number, unit and what was measured; undefined where it is none. */
export function sizeOf(value, units = UNITS) {
  const typed = value.trim();
  if (!typed) return null;
  const found = /^(?:(\d+(?:\.\d+)?)\s+)?(\d+(?:\.\d+)?)(?:\/(\d+))?\s*([A-Za-z°%"']+)(?:\s+([a-z]+))?$/.exec(typed);
  if (!found) return undefined;
  const [, whole, top, under, word, of] = found;
  const unit = units.find((u) => u === word) || units.find((u) => u.toLowerCase() === word.toLowerCase()) || ALIKE[word];
  if (!unit || (whole !== undefined && under === undefined) || under === "0") return undefined;
  const part = Number(top) / Number(under ?? 1);
  return { value: Number(whole ?? 0) + part, unit, of: of ?? null };
}

const UNITS = ["in", "ft", "mm", "cm", "m", "deg", "F", "C", "psi", "pct"];
const ALIKE = { '"': "in", "'": "ft", inch: "in", inches: "in", feet: "ft", foot: "ft", "°": "deg", "°F": "F", "°C": "C", "%": "pct" };

