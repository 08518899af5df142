// The user's corrections, as the file format of the command has them.

export interface Correction {
  at: string; // "12:3"
  key: string; // "" as heard
  numeral: string; // "" as heard
}

/** A line for each: measure, beat, key, numeral. */
export function asText(list: readonly Correction[]): string {
  return list.map((c) => `${c.at.slice(0, c.at.lastIndexOf(":"))} ${c.at.slice(c.at.lastIndexOf(":") + 1)} ${c.key || "-"} ${c.numeral || "-"}\n`).join("");
}

/** The corrections of such a text; the number of the first line that is none. */
export function fromText(text: string): { list: Correction[]; bad: number } {
  let list: Correction[] = [];
  const lines = text.split(/\r?\n/);
  for (const [i, line] of lines.entries()) {
    if (!line.trim() || line.trimStart().startsWith("# ") || line.trim() === "#") continue;
    const [measure, beat, key, numeral, ...more] = line.trim().split(/\s+/);
    if (!measure || !beat || !key || !numeral || more.length || !(Number(beat) >= 1)) return { list: [], bad: i + 1 };
    list = with_(list, { at: `${measure}:${beat}`, key: key === "-" ? "" : key, numeral: numeral === "-" ? "" : numeral });
  }
  return { list, bad: 0 };
}

/** Signs as the program reads them. */
export function plain(numeral: string): string {
  return numeral.trim().replaceAll("♭", "b").replaceAll("♯", "#");
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
