// The script of a report: why a measure is tense, the strip, contents, playing.
// It asks nobody; what it needs stands in the page.
import type { Bar, Why } from "./api";
import { Contents, type Place } from "./contents";
import { el } from "./dom";
import { Pieces, type Level } from "./pieces";
import { Player } from "./player";
import { Playing, spaceIsFree } from "./playing";
import { Sheet } from "./sheet";
import { Strip } from "./strip";
import { Synth, type Part, type Voice } from "./synth";
import type { Pairs, System } from "./time";
import { showWhy } from "./why";

/** A part in columns, see playedPart in report/html. */
interface Columns extends Voice {
  curves?: Record<Level, Pairs>;
  at: number[];
  for: number[];
  key: number[];
  printed: number[];
  shaped: number[];
  beats: number[];
  drums?: number[];
}

interface Sound {
  gain: number;
  parts: Columns[];
  knots: Pairs;
  length: number;
}

interface Data {
  bars: Bar[];
  wide: System[] | null;
  narrow: System[] | null;
  places: Place[];
  why: Record<string, Why>;
  sound: Sound | null;
  packed?: Record<string, string>;
}

async function unpack(): Promise<Data> {
  const text = atob(el("hp-data").textContent!.trim().replaceAll("-", "+").replaceAll("_", "/"));
  const bytes = Uint8Array.from(text, (c) => c.charCodeAt(0));
  return (await new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"))).json()) as Data;
}

function part(c: Columns, level: Level): Part {
  const drums = new Set(c.drums);
  let at = 0;
  const notes = c.at.map((step, i) => {
    at += step / 44_100;
    return { at, end: at + c.for[i]! / 1000, key: c.key[i]!, level: c[level][i]! / 20, drum: drums.has(i) };
  });
  const curve = c.curves?.[level].map(([ms, steps]) => [ms / 1000, steps / 20] as const);
  return { ...c, notes, ...(curve && { curve }) };
}

/** A second of sound at a time, made here. */
function pieces({ gain, parts }: Sound): Pieces {
  const synth = new Synth(gain, (level) => parts.map((p) => part(p, level)));
  return new Pieces((level, speed, from, to) => synth.pcm(level, speed, from, to), 172);
}

const data = await unpack();
for (const [id, markup] of Object.entries(data.packed ?? {})) {
  const place = document.getElementById(id);
  if (place) place.innerHTML = markup;
}
const sheet = new Sheet();
const strip = new Strip(el("hp-whole"));
const contents = new Contents(el("lp-contents"), el("lp-contents-open"));
const player = new Player(pieces(data.sound ?? { gain: 0, parts: [], knots: [], length: 0 }));
const playing = new Playing(player, sheet, strip);
const phone = matchMedia("(max-width: 44rem)");
let asked = -1;

function adopt(): void {
  const narrow = phone.matches && data.narrow?.length;
  const host = document.getElementById(narrow ? "hp-narrow" : "hp-wide") ?? document.getElementById("hp-narrow");
  const systems = (narrow ? data.narrow : data.wide) ?? data.narrow ?? [];
  if (host) sheet.adopt(host, systems, data.bars);
  const [from, to] = [systems[0]?.from ?? 0, systems.at(-1)?.to ?? 1];
  strip.adopt(data.bars, Math.min(...data.places.map((p) => p.from), from), Math.max(...data.places.map((p) => p.to), to));
  playing.adopt(data.bars, data.places, from, to);
  strip.view(sheet.inView());
}

function why(measure: number, at?: string): void {
  const bar = data.bars[measure];
  const w = bar && data.why[at ?? bar.beats[0]!];
  if (!w) return;
  asked = measure;
  sheet.choose(measure);
  playing.choose(measure);
  showWhy(w, bar, sheet.box(measure), (other) => why(measure, other));
  history.replaceState(null, "", `#m${measure + 1}`);
}

function close(): void {
  if (el("lp-why").hidden) return;
  el("lp-why").hidden = true;
  sheet.choose(-1);
  sheet.focusMeasure(asked);
}

function goTo(measure: number, q = data.bars[measure]?.from ?? 0): void {
  sheet.go(measure);
  if (player.playing) playing.seek(q);
  else playing.beginAt(measure);
}

/** Frames a place; the card of another goes. */
function mark(measure: number, to: number): void {
  close();
  sheet.choose(measure, to);
  playing.choose(measure);
}

function followAddress(): void {
  const n = /^#[mn](\d+)$/.exec(location.hash)?.[1];
  if (n) sheet.go(Number(n) - 1);
}

document.body.classList.add("hp-alive");
for (const id of ["lp-player", "lp-contents-open"]) el(id).hidden = false;
if (!data.sound) el("lp-player").hidden = true;
adopt();
contents.adopt(data.places);
if (data.sound) playing.load(data.sound.knots, data.sound.length);
phone.addEventListener("change", adopt);
sheet.onBar = (measure) => {
  if (player.playing) playing.seek(data.bars[measure]!.from);
  why(measure);
};
strip.onGo = goTo;
contents.onGo = (p) => {
  goTo(p.bar, p.from);
  mark(p.bar, p.to);
};
contents.onHear = (p) => {
  sheet.go(p.bar);
  mark(p.bar, p.to);
  playing.hear(p);
};
el("lp-play-here").addEventListener("click", () => playing.playFrom(asked));
el("lp-turns").addEventListener("click", () => playing.hearMeasure(asked));
el("lp-why-close").addEventListener("click", close);
document.querySelector("main")!.addEventListener("click", (e) => {
  const link = (e.target as Element).closest<HTMLElement>("a[data-bar]");
  if (!link) return;
  e.preventDefault();
  goTo(Number(link.dataset["bar"]));
  sheet.take(Number(link.dataset["bar"]));
  if (link.dataset["to"]) mark(Number(link.dataset["bar"]), Number(link.dataset["to"]));
});
document.addEventListener("keydown", (e) => {
  if (e.key === "Escape") {
    if (!el("lp-contents").hidden) contents.show(false);
    else close();
  }
  if (e.key === " " && spaceIsFree(e.target)) {
    e.preventDefault();
    playing.toggle();
  }
});
window.addEventListener("scroll", () => strip.view(sheet.inView()), { passive: true });
window.addEventListener("resize", () => sheet.fit());
window.addEventListener("hashchange", followAddress);
followAddress();
