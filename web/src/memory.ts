// What was worked on, kept in this browser: each score under its own name, so
// that two tabs with two scores leave each other alone.
import type { Correction } from "./corrections";
import { all, forget, keep, kept } from "./keep";
import { forgetTake, takesOf } from "./taken";

/** A score and what was done with it. */
export interface Work {
  id: string; // the program's name for the score
  title: string;
  source: { demo: string } | { file: string; bytes: ArrayBuffer };
  corrections: Correction[];
  settings: Record<string, string>; // choices by the id of their element
  measure: number; // index, -1 for none
  scroll: number; // pixels
  touched: number; // milliseconds since 1970
}

const most = 8;

export async function keepWork(w: Work): Promise<void> {
  await keep(`work ${w.id}`, { ...w, touched: Date.now() });
}

export function workOf(id: string): Promise<Work | undefined> {
  return kept<Work>(`work ${id}`);
}

/** What is kept, the latest first; the oldest beyond a few are dropped. */
export async function works(): Promise<Work[]> {
  const list = (await all<Work>("work ")).sort((a, b) => b.touched - a.touched);
  for (const old of list.slice(most)) await forget(`work ${old.id}`);
  return list.slice(0, most);
}

export async function forgetWork(id: string): Promise<void> {
  await forget(`work ${id}`);
  for (const t of await takesOf(id)) await forgetTake(t);
}
