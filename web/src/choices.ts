// What the user chooses: the fields under "Settings", as the page keeps and sends them.
import type { Choice } from "./api";
import { el, options } from "./dom";

const majors = ["C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F"];
const minors = ["a", "e", "b", "f#", "c#", "g#", "d#", "bb", "f", "c", "g", "d"];
const signs = (k: string): string => `${k[0]!.toUpperCase()}${k.slice(1).replace("#", "♯").replace("b", "♭")}`;
export const keys: (readonly [string, string])[] = [
  ...majors.map((k) => [k, `${signs(k)} major`] as const),
  ...minors.map((k) => [k, `${signs(k)} minor`] as const),
];
const ofWeights = ["lp-dissonance", "lp-distance", "lp-pull"];
const settings = ["lp-part", "lp-shown", "lp-measures", "lp-home-key", ...ofWeights];
const switches = ["lp-small", "lp-symbols"];

export function value(id: string): string {
  return el<HTMLInputElement | HTMLSelectElement>(id).value;
}

/** The choices as the program takes them. */
export function choice(id: string, corrections: string): Choice {
  return {
    id,
    part: Number(value("lp-part") || 0),
    key: value("lp-home-key"),
    symbols: el<HTMLInputElement>("lp-symbols").checked,
    dissonance: Number(value("lp-dissonance")),
    distance: Number(value("lp-distance")),
    pull: Number(value("lp-pull")),
    corrections,
    measures: value("lp-measures").trim(),
    shown: Number(value("lp-shown") || 0),
    small: el<HTMLInputElement>("lp-small").checked,
  };
}

/** The choices as they are kept. */
export function chosen(): Record<string, string> {
  return Object.fromEntries([...settings.map((id) => [id, value(id)]), ...switches.map((id) => [id, el<HTMLInputElement>(id).checked ? "1" : ""])]) as Record<string, string>;
}

/** Sets them as they were kept, or as at first. */
export function choose(kept: Record<string, string> = {}): void {
  options(el("lp-home-key"), [["", "as heard"], ...keys], "");
  for (const id of ["lp-part", "lp-shown"]) options(el(id), [["0", "all"], ...(Number(kept[id] ?? 0) ? [[kept[id]!, "…"] as const] : [])], "0");
  for (const id of settings) el<HTMLInputElement>(id).value = kept[id] ?? first(id);
  for (const id of switches) el<HTMLInputElement>(id).checked = kept[id] === "1";
  showWeights();
}

function first(id: string): string {
  if (ofWeights.includes(id)) return "1";
  return ["lp-part", "lp-shown"].includes(id) ? "0" : "";
}

/** The parts of the score, to be heard and shown. */
export function offerParts(names: readonly string[]): void {
  const parts = [["0", "all"], ...names.map((p, i) => [String(i + 1), p || `part ${i + 1}`] as const)] as const;
  for (const id of ["lp-part", "lp-shown"]) options(el(id), parts, value(id) || "0");
}

function showWeights(): void {
  for (const id of ofWeights) el(`${id}-out`).textContent = value(id);
}

/** Calls back when one is changed; at once, or soon for those that are drawn along. */
export function onChoice(now: () => void, soon: () => void): void {
  for (const id of [...settings.filter((s) => !ofWeights.includes(s)), ...switches]) el(id).addEventListener("change", now);
  for (const id of ofWeights) {
    el(id).addEventListener("input", () => {
      showWeights();
      soon();
    });
  }
}
