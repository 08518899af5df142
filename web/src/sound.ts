// What a note sounds like: pure functions from level and key to numbers.

export type Level = "printed" | "shaped";

export interface Note {
  at: number; // seconds
  for: number; // seconds
  key: number; // MIDI key
  printed: number; // level in steps, ppp 1 … fff 8
  shaped: number;
  holds?: boolean;
  drum?: boolean;
}

/** Hertz of a MIDI key; 69 is 440 Hz. */
export function hertz(key: number): number {
  return 440 * 2 ** ((key - 69) / 12);
}

/** Amplitude of a level: 4 dB a step, f (6) is 0.12, silence (0) is 0. */
export function amplitude(level: number): number {
  if (level <= 0) return 0;
  return 0.12 * 10 ** ((4 * (Math.min(level, 9) - 6)) / 20);
}

/** How many harmonics pass: louder is brighter. In Hertz, for a low-pass filter. */
export function brightness(level: number, key: number): number {
  const harmonics = 1.5 + 0.16 * Math.max(level, 0) ** 2.2;
  return Math.min(Math.max(hertz(key) * harmonics, 250), 14000);
}

/** The notes that start within [from, to), from index first on; and the index to go on with. */
export function due(notes: readonly Note[], first: number, to: number): { notes: Note[]; next: number } {
  let next = first;
  while (next < notes.length && notes[next]!.at < to) next++;
  return { notes: notes.slice(first, next), next };
}

/** The first note that starts at or after a second. */
export function firstFrom(notes: readonly Note[], at: number): number {
  let lo = 0;
  let hi = notes.length;
  while (lo < hi) {
    const mid = (lo + hi) >> 1;
    if (notes[mid]!.at < at - 1e-6) lo = mid + 1;
    else hi = mid;
  }
  return lo;
}
