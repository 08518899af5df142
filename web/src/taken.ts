// A take as the page keeps it, and where its time lies on the page.
import type { Choice } from "./api";
import { all, forget, keep } from "./keep";

/** A beat as played. */
export interface Beat {
  onset: number; // quarter notes of the page
  pass: number;
  time: number; // seconds
}

/** What the program says of a take; the page reads only some of it. */
export interface Told {
  file: string;
  sound: boolean;
  seconds: number;
  warnings?: string[];
  passes: { measures: string }[];
  beats: Beat[];
}

/** A key struck: seconds on and off, key, velocity. */
export type Stroke = readonly [number, number, number, number];

/** A take, kept in this browser under the score's name and when it was made. */
export interface Taken {
  score: string;
  made: number; // milliseconds since 1970
  name: string;
  bytes: ArrayBuffer; // as the program was sent them
  told: Told;
  keys?: Stroke[];
  choice: string; // under which it was judged
  shown: boolean;
}

const most = 12;

/** What of a choice the verdicts depend on. */
export function choiceKey({ shown: _, small: __, ...c }: Choice): string {
  return JSON.stringify(c);
}

export async function keepTake(t: Taken): Promise<void> {
  await keep(`take ${t.score} ${t.made}`, t);
}

export async function forgetTake(t: Taken): Promise<void> {
  await forget(`take ${t.score} ${t.made}`);
}

/** The takes of a score, the oldest first; beyond a dozen the oldest are dropped. */
export async function takesOf(score: string): Promise<Taken[]> {
  const list = (await all<Taken>(`take ${score} `)).sort((a, b) => a.made - b.made);
  for (const old of list.splice(0, Math.max(list.length - most, 0))) await forgetTake(old);
  return list;
}

const tolerance = 2e-3; // quarter notes: the program writes three decimals

/** The seconds of a take between two quarter notes of the page, the last time they were played; undefined if they were not. */
export function secondsOf(beats: readonly Beat[], from: number, to: number): { from: number; to: number } | undefined {
  const inside = beats.filter((b) => b.onset >= from - tolerance && b.onset < to - tolerance);
  const pass = inside.at(-1)?.pass;
  const mine = inside.filter((b) => b.pass === pass);
  if (!mine.length) return undefined;
  const last = mine.at(-1)!;
  const next = beats.find((b) => b.time > last.time);
  return { from: mine[0]!.time, to: Math.min(next?.time ?? Infinity, last.time + 4) };
}

/** The quarter note of the page that sounds at a second; undefined between two stretches. */
export function quarterAt(beats: readonly Beat[], time: number): number | undefined {
  const later = beats.findIndex((b) => b.time > time);
  const i = (later < 0 ? beats.length : later) - 1;
  const [a, b] = [beats[i], beats[i + 1]];
  if (!a) return undefined;
  if (!b || b.pass !== a.pass || b.time <= a.time) return time - a.time < 1 ? a.onset : undefined;
  return a.onset + ((b.onset - a.onset) * (time - a.time)) / (b.time - a.time);
}
