// The player's own takes: recorded here or opened, laid over the page by the program,
// kept in this browser with the score, heard at the chosen measure, compared.
import * as api from "./api";
import type { Place } from "./contents";
import { el, make } from "./dom";
import { Listening } from "./listening";
import { NoMicrophone, Recorder } from "./recorder";
import { choiceKey, forgetTake, keepTake, quarterAt, secondsOf, takesOf, type Taken, type Told } from "./taken";
import { decibels, decoded } from "./wav";

const mostShown = 4; // more cannot be told apart
const readable = /\.(midi?|wav|flac|mp3|ogg|oga)$/i; // by the program itself
const sounding = /\.(midi?|wav|flac|mp3|og[ga]|opus|m4a|aac|mp4|webm|aiff?)$/i;

/** What the page does for the takes. */
export interface Stage {
  choice(): api.Choice;
  withScore<T>(run: () => Promise<T>): Promise<T>;
  refresh(): Promise<boolean>; // draws the page with the takes that are shown
  move(quarter: number | undefined): void; // the line that moves while something sounds
  playing(): boolean; // the page's own sound
  hush(): void; // stops it
  live(): api.Live | undefined;
}

export class Takes {
  private score = "";
  private list: Taken[] = [];
  private measure = -1;
  private listening = new Listening();
  private recorder: Recorder;
  private panel = el("lp-takes");
  private opener = el("lp-takes-open");
  private record = make("button", "Record", { type: "button", id: "tk-record" });
  private file = make("input", "", { type: "file", id: "tk-file", class: "lp-hidden-input", accept: "audio/*,.mid,.midi,.wav,.flac,.mp3,.ogg" });
  private meter = make("meter", "", { id: "tk-meter", min: "-60", max: "0", low: "-45", high: "-3", optimum: "-20", "aria-label": "Level at the microphone, decibels" });
  private meterText = make("span", "", { class: "hp-soft" });
  private meterRow = make("div", "", { class: "lp-row", id: "tk-level" });
  private said = make("p", "", { role: "status", id: "tk-said" });
  private items = make("ol", "", { id: "tk-list" });
  private measures = make("div", "", { class: "lp-row", id: "tk-hear" });
  private all = make("button", "Forget all takes", { type: "button", id: "tk-forget-all" });
  private here = make("span", "", { id: "tk-here", class: "lp-row" });
  private top = 0; // highest level of the recording, 0 to 1

  constructor(private stage: Stage) {
    this.recorder = new Recorder(new URL(this.panel.dataset["href"]!, document.baseURI).href);
    this.recorder.onLevel = (top, seconds) => this.level(top, seconds);
    this.recorder.onFull = () => void this.stopRecording();
    this.build();
    el("lp-turns").after(this.here);
    this.opener.addEventListener("click", () => this.show(this.panel.hidden === true));
    const volume = el<HTMLInputElement>("lp-volume");
    volume.addEventListener("input", () => this.listening.setVolume(Number(volume.value) / 100));
    this.listening.onTime = (t, time) => {
      if (this.stage.playing()) this.listening.stop();
      else this.stage.move(quarterAt(t.told.beats, time));
    };
    this.listening.onEnd = () => {
      if (!this.stage.playing()) this.stage.move(undefined);
      this.buttons();
    };
  }

  private build(): void {
    const close = make("button", "×", { type: "button", class: "lp-plain", "aria-label": "Close your playing" });
    close.addEventListener("click", () => this.show(false));
    const head = make("div", "", { class: "lp-why-head" });
    head.append(make("h2", "Takes"), close);
    const open = make("div", "", { class: "lp-open" });
    open.append(make("label", "Open a recording", { class: "lp-button", for: "tk-file" }), this.file);
    const row = make("div", "", { class: "lp-row" });
    row.append(this.record, open);
    this.meterRow.append(this.meter, this.meterText);
    this.meterRow.hidden = true;
    const soft = (text: string): HTMLElement => make("p", text, { class: "hp-soft" });
    this.panel.replaceChildren(
      head,
      soft("Play from any place; stops, restarts and wrong notes are no matter. What you record or open stays on this machine, with the score in this browser, until you forget it."),
      row,
      this.meterRow,
      this.said,
      this.items,
      this.measures,
      this.all,
      soft("Compare only takes from the same place in the room. Begin listening softly: a take may be louder than the page. Long loud practice can harm hands and hearing: rest between takes."),
    );
    this.record.addEventListener("click", () => void (this.recorder.on ? this.stopRecording() : this.startRecording()));
    this.file.addEventListener("change", () => {
      const file = this.file.files?.[0];
      this.file.value = "";
      if (file) void this.add(file);
    });
    this.all.addEventListener("click", () => void this.forget(this.list));
  }

  show(open: boolean): void {
    if (this.panel.hidden === !open) return;
    if (!open && this.recorder.on) {
      this.said.textContent = "Still recording: stop first.";
      this.record.focus({ preventScroll: true });
      return;
    }
    this.panel.hidden = !open;
    this.opener.setAttribute("aria-expanded", String(open));
    (open ? this.record : this.opener).focus({ preventScroll: true });
  }

  get open(): boolean {
    return !this.panel.hidden;
  }

  /** The takes of a score; "" for none. */
  async of(score: string): Promise<void> {
    if (score === this.score) return;
    this.drop();
    this.score = score;
    const list = score ? await takesOf(score) : [];
    if (this.score !== score) return;
    this.list = list;
    this.fill();
  }

  private drop(): void {
    if (this.recorder.on) this.recorder.stop();
    this.recording(false);
    this.listening.forget();
    this.list = [];
    this.measure = -1;
    this.said.textContent = "";
    this.fill();
    this.show(false);
  }

  /** The measure at which takes are heard. */
  choose(measure: number): void {
    this.measure = measure;
    this.buttons();
  }

  /** Whether a file that came to the page is a recording. */
  wants(file: File): boolean {
    return this.score !== "" && (sounding.test(file.name) || file.type.startsWith("audio/"));
  }

  private shown(): Taken[] {
    return this.list.filter((t) => t.shown).slice(0, mostShown);
  }

  /** What the program draws: judged under the choice of now. */
  async drawn(): Promise<Told[]> {
    for (const t of this.shown()) {
      if (t.choice === choiceKey(this.stage.choice())) continue;
      try {
        await this.judge(t);
        await keepTake(t);
      } catch (e) {
        if (e instanceof api.Failure && e.gone) throw e;
        t.shown = false;
        this.complain(e);
        this.fill();
      }
    }
    return this.shown().map((t) => t.told);
  }

  private async judge(t: Taken): Promise<void> {
    const answer = await this.stage.withScore(() => api.follow(this.stage.choice(), t.name, t.bytes));
    t.told = answer.takes[0]!;
    t.choice = choiceKey(this.stage.choice());
    if (answer.keys) t.keys = answer.keys;
  }

  // ---- coming in ----

  private complain(e: unknown): void {
    this.said.textContent = (e instanceof Error ? e.message : String(e)) + (e instanceof api.Failure && e.hint ? ` – ${e.hint}.` : "");
  }

  private async startRecording(): Promise<void> {
    this.stage.hush();
    this.listening.stop();
    try {
      this.top = 0;
      this.meter.value = -60;
      this.said.textContent = "Waiting for the microphone …";
      const warning = await this.recorder.start();
      this.recording(true);
      this.said.textContent = warning || "Recording. Stop when you have played.";
    } catch (e) {
      this.recording(false);
      this.complain(e instanceof NoMicrophone ? e : new NoMicrophone(String(e)));
    }
  }

  private recording(on: boolean): void {
    this.record.textContent = on ? "■ Stop recording" : "Record";
    this.record.classList.toggle("tk-on", on);
    this.meterRow.hidden = !on;
    this.file.disabled = on;
  }

  private level(top: number, seconds: number): void {
    this.top = Math.max(this.top, top);
    this.meter.value = decibels(top);
    const clock = `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;
    const word = this.top > 0.99 ? "too loud, move back or lower the input" : seconds > 3 && this.top < 0.01 ? "very soft" : "";
    this.meterText.textContent = `${clock}, highest ${decibels(this.top).toFixed(0)} dB${word ? `: ${word}` : ""}`;
  }

  private async stopRecording(): Promise<void> {
    const bytes = this.recorder.stop();
    this.recording(false);
    if (!bytes) {
      this.said.textContent = "Nothing came from the microphone.";
      return;
    }
    const now = new Date();
    const two = (n: number): string => String(n).padStart(2, "0");
    await this.add(new File([bytes], `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())} ${two(now.getHours())}.${two(now.getMinutes())}.${two(now.getSeconds())}.wav`));
  }

  /** Lays a recording over the page. What the program cannot read the browser is asked to. */
  async add(file: File): Promise<void> {
    this.show(true);
    this.said.textContent = `Following ${file.name} …`;
    this.panel.setAttribute("aria-busy", "true");
    const score = this.score;
    try {
      const t = await this.followed(file);
      if (score !== this.score) return;
      t.shown = true;
      this.list.push(t);
      for (const old of this.list.filter((x) => x.shown).slice(0, -mostShown)) old.shown = false;
      const kept = await keepTake(t);
      this.said.textContent = [`${t.name}: found in measures ${t.told.passes.map((p) => p.measures).join("; ")}.`, ...(t.told.warnings ?? []), ...(kept ? [] : ["This browser has no room to keep it: it goes when the page is closed."])].join(" ");
      this.fill();
      await this.stage.refresh();
    } catch (e) {
      if (score === this.score) this.complain(e);
    } finally {
      this.panel.removeAttribute("aria-busy");
    }
  }

  private async followed(file: File): Promise<Taken> {
    const bytes = await file.arrayBuffer();
    const t: Taken = { score: this.score, made: Date.now(), name: file.name, bytes, told: { file: "", sound: true, seconds: 0, passes: [], beats: [] }, choice: "", shown: false };
    let refused: unknown = new Error(`${file.name}: neither hairpin nor this browser can read it as sound.`);
    if (readable.test(file.name)) {
      try {
        await this.judge(t);
        return t;
      } catch (e) {
        if (!(e instanceof api.Failure) || /another piece|silent|longer than|\.midi?:/i.test(e.message)) throw e;
        refused = e;
      }
    }
    const plain = await decoded(bytes);
    if (!plain) throw refused;
    t.bytes = plain;
    await this.judge(t);
    return t;
  }

  // ---- the list ----

  private fill(): void {
    this.all.hidden = this.list.length === 0;
    this.items.replaceChildren(...this.list.map((t) => this.item(t)));
    this.buttons();
  }

  private item(t: Taken): HTMLLIElement {
    const item = make("li");
    const label = make("label");
    const box = make("input", "", { type: "checkbox", "aria-label": `Draw ${t.name}` });
    box.checked = t.shown;
    box.addEventListener("change", () => void this.turn(t, box.checked));
    const n = this.shown().indexOf(t);
    label.append(box, ` ${n >= 0 ? `${n + 1}: ` : ""}${t.name.replace(/\.\w+$/, "")}, mm. ${t.told.passes.map((p) => p.measures).join("; ")}`);
    const drop = make("button", "Forget", { type: "button", "aria-label": `Forget ${t.name}` });
    drop.addEventListener("click", () => void this.forget([t]));
    item.append(label, drop);
    for (const w of t.told.warnings ?? []) item.append(make("span", w, { class: "hp-soft" }));
    return item;
  }

  private async turn(t: Taken, on: boolean): Promise<void> {
    if (on && this.shown().length >= mostShown) {
      this.said.textContent = `${mostShown} takes are shown, and no more can be told apart.`;
    } else {
      t.shown = on;
      await keepTake(t);
    }
    this.fill();
    await this.stage.refresh();
  }

  private async forget(list: readonly Taken[]): Promise<void> {
    this.listening.forget();
    for (const t of list) await forgetTake(t);
    this.list = this.list.filter((t) => !list.includes(t));
    this.said.textContent = list.length === 1 ? `${list[0]!.name} is forgotten.` : "All takes of this score are forgotten.";
    this.fill();
    this.record.focus({ preventScroll: true });
    await this.stage.refresh();
  }

  // ---- hearing ----

  /** The stretch that is heard: the chosen measure's phrase, or all from it on. */
  private stretch(phrase: boolean): { from: number; to: number; name: string } {
    const live = this.stage.live();
    const bar = live?.measures[Math.max(this.measure, 0)];
    const from = bar?.from ?? 0;
    const p: Place | undefined = phrase ? live?.places.find((q) => q.kind === "phrase" && q.from <= from && from < q.to) : undefined;
    return p ? { from: p.from, to: p.to, name: p.where } : { from, to: Infinity, name: `measure ${bar?.number ?? 1} on` };
  }

  private buttons(): void {
    const takes = this.shown();
    const from = this.stretch(false).name;
    this.measures.replaceChildren();
    this.here.replaceChildren();
    this.measures.hidden = takes.length === 0;
    if (!takes.length) return;
    const hear = (t: Taken, i: number): HTMLButtonElement => {
      const b = make("button", `Play take ${i + 1}`, { type: "button", "data-hear": String(i + 1), "aria-label": `Play take ${i + 1}, ${t.name}, from ${from}` });
      b.addEventListener("click", () => void this.hear([t], false));
      return b;
    };
    this.measures.append(make("span", `From ${from}:`), ...takes.map(hear));
    this.here.append(...takes.map(hear));
    if (takes.length > 1) {
      const both = make("button", "Compare them", { type: "button", id: "tk-compare", title: "The phrase of the chosen measure, one take after the other" });
      both.addEventListener("click", () => void this.hear(takes, true));
      this.measures.append(both);
    }
    if (this.listening.on) {
      const stop = make("button", "■ Stop", { type: "button", id: "tk-hush" });
      stop.addEventListener("click", () => this.listening.stop());
      this.measures.append(stop);
    }
  }

  private async hear(takes: readonly Taken[], phrase: boolean): Promise<void> {
    const s = this.stretch(phrase);
    const list = takes.flatMap((take) => {
      const span = this.span(take, s);
      return span ? [{ take, ...span }] : [];
    });
    const missing = takes.filter((t) => !list.some((x) => x.take === t)).map((t) => t.name);
    this.said.textContent = missing.length ? `${missing.join(", ")}: ${s.name} was not played.` : "";
    this.stage.hush();
    const shown = this.shown();
    try {
      await this.listening.play(list, (i) => {
        this.said.textContent = `Take ${shown.indexOf(list[i]!.take) + 1}: ${list[i]!.take.name}, ${s.name}`;
        this.buttons();
      });
    } catch (e) {
      this.complain(e);
    }
  }

  /** Seconds of a take for a stretch; one without an end goes on to the take's end. */
  private span(t: Taken, s: { from: number; to: number }): { from: number; to: number } | undefined {
    const bars = this.stage.live()?.measures ?? [];
    const end = s.to === Infinity ? (bars.find((b) => b.from > s.from)?.from ?? Infinity) : s.to;
    const found = secondsOf(t.told.beats, s.from, end);
    return found && { from: Math.max(found.from - 0.05, 0), to: s.to === Infinity ? t.told.seconds : found.to };
  }
}

