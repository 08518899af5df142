// The bar at the foot of the page: play, loudness, loop, speed, volume.
import type { Bar } from "./api";
import type { Place } from "./contents";
import { el, make, options } from "./dom";
import type { Player } from "./player";
import type { Sheet } from "./sheet";
import type { Level } from "./pieces";
import type { Strip } from "./strip";
import { between, firstSounding, measureAt, type Pairs } from "./time";

export class Playing {
  private bars: readonly Bar[] = [];
  private places: readonly Place[] = [];
  private knots: Pairs | undefined;
  private loops = new Map<string, { from: number; to: number }>(); // quarter notes
  private chosen = 0; // measure

  constructor(
    private player: Player,
    private sheet: Sheet,
    private strip: Strip,
  ) {
    el("lp-play").addEventListener("click", () => this.toggle());
    el("lp-from").addEventListener("change", () => this.seek(this.start(Number(el<HTMLSelectElement>("lp-from").value))));
    el("lp-loop").addEventListener("change", () => this.chooseLoop(el<HTMLSelectElement>("lp-loop").value));
    this.range("lp-tempo", (v) => player.setSpeed(v / 100));
    this.range("lp-volume", (v) => player.setVolume(v / 100));
    const choose = (): void => {
      player.proposed = el<HTMLInputElement>("lp-each-beat").checked ? "beats" : "shaped";
      player.setLevel(this.asChosen());
    };
    for (const r of [...this.levels(), el("lp-each-beat")]) r.addEventListener("change", choose);
    choose(); // what was chosen before the script began, or is kept by the browser
    player.onLevel = (level) => this.levels().forEach((r) => (r.checked = (r.value === "printed") === (level === "printed")));
    player.onEnd = () => {
      sheet.hideCursor();
      strip.now(undefined);
      this.showPlaying();
    };
  }

  private levels(): HTMLInputElement[] {
    return [...document.querySelectorAll<HTMLInputElement>("input[name=lp-level]")];
  }

  private asChosen(): Level {
    return this.levels().find((r) => r.checked)?.value === "printed" ? "printed" : this.player.proposed;
  }

  private range(id: string, run: (value: number) => void): void {
    const input = el<HTMLInputElement>(id);
    input.addEventListener("input", () => {
      el(`${id}-out`).textContent = `${input.value} %`;
      run(Number(input.value));
    });
  }

  get ready(): boolean {
    return this.knots !== undefined;
  }

  /** Takes the score that is shown. */
  adopt(bars: readonly Bar[], places: readonly Place[], from: number, to: number): void {
    this.bars = bars;
    this.places = places;
    const shown = bars.map((b, i) => [String(i), b.number] as const).filter((_, i) => bars[i]!.from >= from - 1e-9 && bars[i]!.from < to);
    const select = el<HTMLSelectElement>("lp-from");
    options(select, shown, shown.some(([v]) => v === select.value) ? select.value : (shown[0]?.[0] ?? ""));
    this.listLoops();
  }

  /** Takes its performance; what played goes on. */
  load(knots: Pairs, length: number): void {
    const at = this.knots && this.player.position;
    const played = this.player.playing;
    const loop = el<HTMLSelectElement>("lp-loop").value;
    this.knots = knots;
    this.player.load(length);
    if (loop) this.chooseLoop(loop);
    if (at !== undefined && played) this.go(at);
    else if (at !== undefined) this.player.seek(Math.min(at, length));
    this.showPlaying();
  }

  drop(): void {
    this.player.stop();
    this.player.load(0);
    this.knots = undefined;
    this.sheet.hideCursor();
    this.strip.now(undefined);
    this.strip.loop(undefined);
    this.showPlaying();
  }

  /** The measure that "this measure" means in the list of loops. */
  choose(measure: number): void {
    this.chosen = measure;
    this.listLoops();
    if (!this.player.playing && !el<HTMLSelectElement>("lp-loop").value) this.beginAt(measure);
  }

  /** The measure from which Play will play. */
  beginAt(measure: number): void {
    el<HTMLSelectElement>("lp-from").value = String(measure);
    if (this.knots) this.player.seek(firstSounding(this.knots, this.start(measure)));
  }

  private listLoops(): void {
    const select = el<HTMLSelectElement>("lp-loop");
    const was = select.value;
    const list: [string, string][] = [["", "no loop"]];
    this.loops.clear();
    const add = (id: string, name: string, from: number, to: number): void => {
      list.push([id, name]);
      this.loops.set(id, { from, to });
    };
    const bar = this.bars[this.chosen];
    if (bar) add("bar", `measure ${bar.number}`, bar.from, this.bars[this.chosen + 1]?.from ?? Infinity);
    this.places.forEach((p, i) => {
      if (p.kind === "try") add(String(i), `to try ${p.name}, ${p.where}`, p.from, p.to);
      if (p.kind === "phrase" || p.kind === "section") add(String(i), `${p.name.toLowerCase()}, ${p.where}`, p.from, p.to);
    });
    options(select, list, list.some(([id]) => id === was) ? was : "");
  }

  private chooseLoop(id: string): void {
    const span = this.loops.get(id);
    el<HTMLSelectElement>("lp-loop").value = span ? id : "";
    this.strip.loop(span && { from: span.from, to: Math.min(span.to, 1e9) });
    if (!span || !this.knots) {
      this.player.setLoop(undefined);
      return;
    }
    const from = firstSounding(this.knots, span.from);
    this.player.setLoop({ from, to: Math.max(soundingEnd(this.knots, from, span), from + 0.3) });
    this.player.inTurn = el<HTMLInputElement>("lp-in-turn").checked;
    if (this.player.playing) this.go(from);
    else {
      this.player.seek(from);
      this.sheet.moveTo(span.from);
      this.strip.now(span.from);
    }
  }

  /** Plays a place again and again, printed, then proposed. */
  hear(p: Place): void {
    const i = this.places.findIndex((q) => q.kind === p.kind && q.from === p.from && q.to === p.to);
    const id = this.loops.has(String(i)) ? String(i) : "bar";
    if (id === "bar") this.choose(p.bar);
    this.inTurn(id);
  }

  /** Plays a measure with its neighbours in its phrase, printed, then proposed. */
  hearMeasure(measure: number): void {
    const q = this.start(measure);
    const phrase = this.places.findIndex((p) => p.kind === "phrase" && p.from <= q && q < p.to);
    this.choose(measure);
    this.inTurn(phrase >= 0 ? String(phrase) : "bar");
  }

  private inTurn(id: string): void {
    if (!this.knots) return;
    el<HTMLInputElement>("lp-in-turn").checked = true;
    this.player.stop();
    this.player.setLevel("printed");
    this.player.onLevel("printed");
    this.chooseLoop(id);
    this.go(this.player.position);
  }

  private start(measure: number): number {
    return this.bars[measure]?.from ?? 0;
  }

  playFrom(measure: number): void {
    if (!this.knots) return;
    this.chooseLoop("");
    this.go(firstSounding(this.knots, this.start(measure)));
  }

  /** To another place of the page; what plays goes on there. */
  seek(q: number): void {
    if (!this.knots) return;
    this.chooseLoop("");
    this.player.seek(firstSounding(this.knots, q));
    this.sheet.moveTo(q);
    this.strip.now(q);
  }

  toggle(): void {
    if (!this.knots) return;
    if (this.player.playing) this.player.stop();
    else if (this.player.position > 0) this.go(this.player.position);
    else this.go(firstSounding(this.knots, this.start(Number(el<HTMLSelectElement>("lp-from").value))));
    this.showPlaying();
  }

  private go(at: number): void {
    this.player.play(at);
    this.showPlaying();
    requestAnimationFrame(() => this.frame());
  }

  private frame(): void {
    if (!this.player.playing || !this.knots) return;
    const q = between(this.knots, this.player.position);
    this.sheet.moveTo(q);
    this.strip.now(q);
    const bar = this.bars[measureAt(this.bars.map((b) => b.from), q)];
    el("lp-where").textContent = bar ? `measure ${bar.number}` : "";
    requestAnimationFrame(() => this.frame());
  }

  private showPlaying(): void {
    const b = el("lp-play");
    b.textContent = this.player.playing ? "Pause" : "Play";
    b.setAttribute("aria-pressed", String(this.player.playing));
    document.body.classList.toggle("lp-sounding", this.player.playing);
  }
}

/** The second at which a span that begins to sound at `from` ends. */
/** Whether the space bar is free to play and pause there: not in a control that uses it itself. */
export function spaceIsFree(target: EventTarget | null): boolean {
  return !(target instanceof Element && target.closest("button, input, select, textarea, summary, audio, dialog, [role=button]:not(.hp-bar), [role=slider], [contenteditable]"));
}

export function soundingEnd(knots: Pairs, from: number, span: { from: number; to: number }): number {
  for (let i = 0; i + 1 < knots.length; i++) {
    const [a, b] = [knots[i]!, knots[i + 1]!];
    if (b[0] <= from || b[1] <= a[1]) continue;
    if (span.to > a[1] && span.to <= b[1]) return a[0] + ((b[0] - a[0]) * (span.to - a[1])) / (b[1] - a[1]);
  }
  return knots.at(-1)?.[0] ?? 0;
}

/** A heading and words as a row of a list of causes. */
export function causes(rows: readonly (readonly [string, string, string])[]): HTMLElement[] {
  return rows.flatMap(([cause, points, text]) => [make("dt", cause), make("dd", points, { class: "lp-points" }), make("dd", text)]);
}
