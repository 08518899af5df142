// Talking to the program behind the page.
import { send } from "./host";
import type { Place } from "./contents";
import type { Level } from "./pieces";
import type { Stroke, Told } from "./taken";
import type { Pairs, System } from "./time";

export interface Choice {
  id: string;
  part: number;
  key: string;
  symbols: boolean;
  dissonance: number;
  distance: number;
  pull: number;
  corrections: string;
  measures: string;
  shown: number;
  small: boolean;
}

export interface Bar {
  number: string;
  from: number;
  beats: string[];
}

export interface Live {
  title: string;
  composer: string;
  overview: string;
  score: string;
  tables: string;
  defs: string;
  strip: string;
  print: string;
  places: Place[];
  from: number; // the shown stretch, quarter notes
  to: number;
  systems: System[];
  measures: Bar[];
  parts: string[];
}

export interface Why {
  at: string;
  heading: string;
  because: string; // the reason in one sentence
  tension: number;
  given: boolean;
  rows: [string, string, string][];
  key: string;
  roman: string;
  propose: string;
}

export interface Playback {
  knots: Pairs;
  length: number;
}

/** An error in the program's own words. */
export class Failure extends Error {
  constructor(
    text: string,
    readonly hint: string,
    readonly gone: boolean,
  ) {
    super(text);
  }
}

const silent = "The program behind this page does not answer. Start hairpin again, then reload the page.";

async function ask(path: string, init?: RequestInit): Promise<Response> {
  let answer: Response;
  try {
    answer = await send(path, init);
  } catch (e) {
    if (e instanceof DOMException && e.name === "AbortError") throw e;
    throw new Failure(silent, "", false);
  }
  if (answer.ok) return answer;
  const said: unknown = await answer.json().catch(() => ({}));
  throw failure(said) ?? new Failure(`The program answered with status ${answer.status}.`, "", false);
}

function failure(said: unknown): Failure | undefined {
  const f = said as { error?: string; hint?: string; gone?: boolean };
  return f && f.error ? new Failure(f.error, f.hint ?? "", f.gone === true) : undefined;
}

function post(path: string, body: unknown, signal?: AbortSignal): Promise<Response> {
  return ask(path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body), ...(signal ? { signal } : {}) });
}

export async function demos(): Promise<string[]> {
  return (await (await ask("/api/demos")).json()) as string[];
}

export interface Kept {
  id: string;
  name: string;
}

export async function takeDemo(name: string, signal?: AbortSignal): Promise<Kept> {
  return (await (await post("/api/demo", { name }, signal)).json()) as Kept;
}

export async function takeFile(file: File, signal?: AbortSignal): Promise<Kept> {
  const init = { method: "POST", headers: { "Content-Type": "application/octet-stream" }, body: file, ...(signal ? { signal } : {}) };
  return (await (await ask(`/api/score?name=${encodeURIComponent(file.name)}`, init)).json()) as Kept;
}

/** What hears how far a reading is: the stage in words, the reading in words before its staves, and the first staves before all. */
export interface Listener {
  stage(text: string): void;
  words(live: Live): void;
  head(live: Live): void;
}

/** Reads the score. */
export async function read(choice: Choice, layout: string, takes: Told[], to: Listener, signal: AbortSignal): Promise<Live> {
  const answer = await post("/api/read", { ...choice, layout, takes }, signal);
  const reader = answer.body!.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { value, done } = await reader.read().catch((e: unknown) => {
      if (signal.aborted) throw e;
      throw new Failure(silent, "", false);
    });
    rest += value ?? "";
    const lines = rest.split("\n");
    rest = lines.pop() ?? "";
    for (const line of lines) {
      const said = JSON.parse(line) as { stage?: string; words?: Live; head?: Live; done?: Live };
      const bad = failure(said);
      if (bad) throw bad;
      if (said.stage) to.stage(said.stage);
      if (said.words) to.words(said.words);
      if (said.head) to.head(said.head);
      if (said.done) return said.done;
    }
    if (done) throw new Failure(silent, "", false);
  }
}

export async function explain(choice: Choice, at: string): Promise<Why> {
  return (await (await post("/api/explain", { ...choice, at })).json()) as Why;
}

export async function play(choice: Choice): Promise<Playback> {
  return (await (await post("/api/play", choice)).json()) as Playback;
}

/** A piece of the performance as samples. */
export async function sound(choice: Choice, level: Level, speed: number, from: number, to: number): Promise<ArrayBuffer> {
  return (await post("/api/sound", { ...choice, level, speed, from, to })).arrayBuffer();
}

/** Lays a recording over the score. */
export async function follow(choice: Choice, name: string, recording: ArrayBuffer): Promise<{ takes: Told[]; keys?: Stroke[] }> {
  const query = new URLSearchParams({ name, choice: JSON.stringify(choice) });
  const init = { method: "POST", headers: { "Content-Type": "application/octet-stream" }, body: recording };
  return (await (await ask(`/api/take?${query.toString()}`, init)).json()) as { takes: Told[]; keys?: Stroke[] };
}

/** Of a file: measures of the score ("9-16"), all if "", and the takes drawn in it. */
export interface Extras {
  only?: string;
  takes?: Told[];
}

/** A file the program makes of the score, and its name. */
export async function product(choice: Choice, kind: string, extras: Extras = {}): Promise<{ blob: Blob; name: string }> {
  const answer = await post(`/api/file/${kind}`, { ...choice, ...extras });
  const disposition = answer.headers.get("Content-Disposition") ?? "";
  const coded = /filename\*=utf-8''([^;]+)/i.exec(disposition);
  const plain = /filename="?([^";]+)"?/i.exec(disposition);
  return { blob: await answer.blob(), name: coded ? decodeURIComponent(coded[1]!) : (plain?.[1] ?? kind) };
}

/** Lets the browser save such a file; its name. */
export async function save(choice: Choice, kind: string, extras: Extras = {}): Promise<string> {
  const { blob, name } = await product(choice, kind, extras);
  hand(blob, name);
  return name;
}

/** Hands a file to the browser's own saving. */
export function hand(blob: Blob, name: string): void {
  const a = document.createElement("a");
  a.href = URL.createObjectURL(blob);
  a.download = name;
  a.click();
  setTimeout(() => URL.revokeObjectURL(a.href), 60_000);
}

export async function alive(): Promise<void> {
  await ask("/api/alive");
}
