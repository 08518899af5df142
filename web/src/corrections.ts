// The user's own readings, as the file format of the command has them.

export interface Correction {
  at: string; // "12:3"
  key: string; // "" as heard
  numeral: string; // "" as heard
}

/** A line for each: measure, beat, key, numeral. */
export function asText(list: readonly Correction[]): string {
  return list.map((c) => `${c.at.slice(0, c.at.lastIndexOf(":"))} ${c.at.slice(c.at.lastIndexOf(":") + 1)} ${c.key || "-"} ${c.numeral || "-"}\n`).join("");
}

/** The list with one more: of two for the same moment the later stays. */
export function with_(list: readonly Correction[], c: Correction): Correction[] {
  return [...list.filter((d) => d.at !== c.at), c];
}

/** A correction in words. */
export function inWords(c: Correction): string {
  return `${c.at}: ${[c.key && `key ${c.key}`, c.numeral].filter(Boolean).join(", ")}`;
}

/** What is wrong with it before it is sent; "" if nothing. */
export function trouble(c: Correction): string {
  if (!c.key && !c.numeral) return "Choose a key, write a numeral, or both.";
  if (/\s/.test(c.numeral)) return "A numeral has no blanks: write V65/V, ii or Cad64.";
  return "";
}
