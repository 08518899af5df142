// The local page: takes a score, shows its reading, listens to the user.
import * as api from "./api";
import { asText, inWords, trouble, with_, type Correction } from "./corrections";
import { calmly, el, make, options } from "./dom";
import { Player } from "./player";
import { Sheet } from "./sheet";
import type { Level } from "./sound";
import { between, firstSounding, measureAt } from "./time";

const sheet = new Sheet();
const player = new Player();
let score: { kept: api.Kept; again: Again } | undefined;
type Again = (signal?: AbortSignal) => Promise<api.Kept>;
let corrections: Correction[] = [];
let playback: api.Playback | undefined;
let running: AbortController | undefined;
let shown = ""; // the score on the page
let begun = ""; // the score of which there are staves
let asked = { measure: 0, at: "", key: "", roman: "" };

const majors = ["C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F"];
const minors = ["a", "e", "b", "f#", "c#", "g#", "d#", "bb", "f", "c", "g", "d"];
const keys: (readonly [string, string])[] = [
  ...majors.map((k) => [k, `${k} major`] as const),
  ...minors.map((k) => [k, `${k[0]!.toUpperCase()}${k.slice(1)} minor`] as const),
];

function range(id: string): number {
  return Number(el<HTMLInputElement>(id).value);
}

function choice(): api.Choice {
  return {
    id: score!.kept.id,
    part: Number(el<HTMLSelectElement>("lp-part").value || 0),
    key: "",
    symbols: false,
    dissonance: range("lp-dissonance"),
    distance: range("lp-distance"),
    pull: range("lp-pull"),
    corrections: asText(corrections),
  };
}

function layout(): string {
  return matchMedia("(max-width: 44rem)").matches ? "narrow" : "wide";
}

function say(text: string): void {
  el("lp-status").textContent = text;
}

function complain(e: unknown): void {
  if (e instanceof DOMException && e.name === "AbortError") return;
  const box = el("lp-error");
  const hint = e instanceof api.Failure && e.hint ? `\nHint: ${e.hint}` : "";
  el("lp-error-text").textContent = (e instanceof Error ? e.message : String(e)) + hint;
  box.hidden = false;
  say("");
}

/** Runs an action with the score; one that the program no longer keeps is sent again first. */
async function withScore<T>(run: () => Promise<T>): Promise<T> {
  try {
    return await run();
  } catch (e) {
    if (!(e instanceof api.Failure && e.gone && score)) throw e;
    score.kept = await score.again();
    return await run();
  }
}

async function open(again: Again, name: string): Promise<void> {
  el("lp-error").hidden = true;
  say(`Reading ${name} …`);
  const before = score;
  const mine = begin();
  try {
    player.stop();
    score = { kept: await again(mine.signal), again };
  } catch (e) {
    score = before;
    complain(e);
    return;
  } finally {
    end(mine);
  }
  corrections = [];
  for (const part of ["dissonance", "distance", "pull"]) el<HTMLInputElement>(`lp-${part}`).value = "1";
  showWeights();
  closeWhy();
  options(el("lp-part"), [["0", "all"]], "0");
  begun = "";
  if (!(await refresh()) && shown !== score.kept.id) score = before; // the page still shows the one before
}

/** Reads the score as chosen now and shows it; false if that failed. */
async function refresh(): Promise<boolean> {
  const mine = begin();
  const main = el("lp-main");
  main.setAttribute("aria-busy", "true");
  el("lp-error").hidden = true;
  try {
    const live = await withScore(() => api.read(choice(), layout(), listener(mine), mine.signal));
    if (mine.signal.aborted) return false;
    present(live);
    say("");
    void loadPlayback();
    return true;
  } catch (e) {
    if (!mine.signal.aborted) complain(e);
    return false;
  } finally {
    if (end(mine)) {
      main.removeAttribute("aria-busy");
      main.classList.remove("lp-coming");
    }
  }
}

/** Work that can be stopped begins; what was under way ends. */
function begin(): AbortController {
  running?.abort();
  running = new AbortController();
  el("lp-stop").hidden = false;
  return running;
}

/** The work has ended; false if other work has begun since. */
function end(mine: AbortController): boolean {
  if (running !== mine) return false;
  el("lp-stop").hidden = true;
  return true;
}

/** Shows how far it is; a score that is not on the page yet first in words. */
function listener(mine: AbortController): api.Listener {
  return {
    stage: (s) => say(`${s[0]!.toUpperCase()}${s.slice(1)} …`),
    words: (live) => {
      if (mine.signal.aborted || score!.kept.id === shown) return;
      sheet.clear();
      playback = undefined;
      head(live);
    },
    head: (live) => {
      if (mine.signal.aborted || sheet.live) return;
      el("lp-main").classList.add("lp-coming");
      present(live);
    },
  };
}

/** Title and overview. */
function head(live: api.Live): void {
  shown = score!.kept.id;
  el("lp-reading").hidden = false;
  el("lp-welcome").hidden = true;
  el("lp-title").textContent = live.title;
  el("lp-by").textContent = live.composer;
  document.title = `${live.title} – hairpin`;
  el("lp-overview").innerHTML = live.overview;
}

function present(live: api.Live): void {
  head(live);
  for (const id of ["lp-tools", "lp-player"]) el(id).hidden = false;
  sheet.show(live);
  const part = el<HTMLSelectElement>("lp-part");
  options(part, [["0", "all"], ...live.parts.map((p, i) => [String(i + 1), p || `part ${i + 1}`] as const)], part.value || "0");
  showCorrections();
  if (begun !== shown) {
    begun = shown;
    fresh();
  }
}

/** A score seen for the first time: back to its beginning. */
function fresh(): void {
  options(el("lp-from"), sheet.live!.measures.map((m, i) => [String(i), m.number] as const), "0");
  window.scrollTo({ top: 0 });
  el("lp-main").focus({ preventScroll: true });
}

async function loadPlayback(): Promise<void> {
  const at = playback && player.position;
  const wasPlaying = player.playing;
  try {
    playback = await withScore(() => api.play(choice()));
    player.load(playback.notes, playback.length);
    if (wasPlaying && at !== undefined) player.play(at);
    showPlaying();
  } catch (e) {
    complain(e);
  }
}

// ---- why a measure is tense ----

async function why(measure: number, at: string): Promise<void> {
  try {
    const w = await withScore(() => api.explain(choice(), at));
    asked = { measure, at: w.at, key: w.key, roman: w.roman };
    sheet.choose(measure);
    const panel = el("lp-why");
    const opened = panel.hidden;
    panel.hidden = false;
    document.body.classList.add("lp-asking");
    const bar = sheet.live!.measures[measure]!;
    el("lp-why-title").textContent = `Measure ${bar.number}`;
    el("lp-beats").replaceChildren(...bar.beats.map((b) => beatButton(measure, b, w.at)));
    el("lp-why-heading").textContent = w.heading;
    const rows = w.rows.concat(w.propose ? [["proposal", "", w.propose]] : []);
    el("lp-why-rows").replaceChildren(...rows.flatMap(([cause, points, text]) => [make("dt", cause), make("dd", points, { class: "lp-points" }), make("dd", text)]));
    options(el("lp-key"), [["", "as heard"], ...keys], corrections.find((c) => c.at === w.at)?.key ?? "");
    el<HTMLInputElement>("lp-numeral").value = corrections.find((c) => c.at === w.at)?.numeral ?? "";
    if (opened) el("lp-why-title").focus({ preventScroll: true });
  } catch (e) {
    complain(e);
  }
}

function beatButton(measure: number, at: string, now: string): HTMLButtonElement {
  const b = make("button", `beat ${at.slice(at.lastIndexOf(":") + 1)}`, { type: "button", "aria-pressed": String(at === now) });
  b.addEventListener("click", () => void why(measure, at));
  return b;
}

function closeWhy(): void {
  if (el("lp-why").hidden) return;
  el("lp-why").hidden = true;
  document.body.classList.remove("lp-asking");
  sheet.choose(-1);
  sheet.focusMeasure(asked.measure);
}

async function overrule(list: Correction[]): Promise<void> {
  const before = corrections;
  corrections = list;
  if (!(await refresh())) corrections = before;
  showCorrections();
  if (!el("lp-why").hidden) await why(asked.measure, asked.at);
}

function showCorrections(): void {
  el("lp-mine").hidden = corrections.length === 0;
  el("lp-corrections").replaceChildren(
    ...corrections.map((c) => {
      const item = make("li", inWords(c));
      const drop = make("button", "Take back", { type: "button", "aria-label": `Take back ${inWords(c)}` });
      drop.addEventListener("click", () => void overrule(corrections.filter((d) => d !== c)));
      item.append(drop);
      return item;
    }),
  );
}

function showWeights(): void {
  for (const part of ["dissonance", "distance", "pull"]) el(`lp-${part}-out`).textContent = String(range(`lp-${part}`));
}

// ---- playing ----

function starts(): number[] {
  return sheet.live!.measures.map((m) => m.from);
}

function playFrom(measure: number): void {
  if (!playback) return;
  player.play(firstSounding(playback.knots, starts()[measure]!));
  showPlaying();
  requestAnimationFrame(frame);
}

function frame(): void {
  if (!player.playing || !playback || !sheet.live) return;
  const q = between(playback.knots, player.position);
  sheet.moveTo(q);
  el("lp-where").textContent = `measure ${sheet.live.measures[measureAt(starts(), q)]!.number}`;
  requestAnimationFrame(frame);
}

function showPlaying(): void {
  const b = el("lp-play");
  b.textContent = player.playing ? "Pause" : "Play";
  b.setAttribute("aria-pressed", String(player.playing));
}

function toggle(): void {
  if (player.playing) player.stop();
  else if (player.position > 0 && playback) {
    player.play(player.position);
    requestAnimationFrame(frame);
  } else playFrom(Number(el<HTMLSelectElement>("lp-from").value));
  showPlaying();
}

// ---- what the user does ----

function on<K extends keyof HTMLElementEventMap>(id: string, event: K, run: (e: HTMLElementEventMap[K]) => void): void {
  el(id).addEventListener(event, run);
}

/** Opens a score that came from outside the page. */
export function openFile(file: File): void {
  void open((signal) => api.takeFile(file, signal), file.name);
}

function listenToFiles(): void {
  const take = (file: File | undefined): void => void (file && openFile(file));
  on("lp-file", "change", () => {
    const input = el<HTMLInputElement>("lp-file");
    take(input.files?.[0]);
    input.value = "";
  });
  const shade = (show: boolean): void => void (el("lp-drop").hidden = !show);
  window.addEventListener("dragover", (e) => {
    e.preventDefault();
    shade(true);
  });
  window.addEventListener("dragleave", (e) => shade(e.relatedTarget !== null));
  window.addEventListener("drop", (e) => {
    e.preventDefault();
    shade(false);
    take(e.dataTransfer?.files[0]);
  });
}

function listenToChoices(): void {
  sheet.onBar = (measure) => void why(measure, sheet.live!.measures[measure]!.beats[0]!);
  on("lp-part", "change", () => void refresh());
  const weigh = calmly(250, () => {
    void refresh().then(async () => {
      if (!el("lp-why").hidden) await why(asked.measure, asked.at);
    });
  });
  for (const part of ["dissonance", "distance", "pull"]) {
    on(`lp-${part}`, "input", () => {
      showWeights();
      weigh();
    });
  }
  on("lp-why-close", "click", closeWhy);
  on("lp-correct", "submit", (e) => {
    e.preventDefault();
    const c = { at: asked.at, key: el<HTMLSelectElement>("lp-key").value, numeral: el<HTMLInputElement>("lp-numeral").value.trim() };
    const bad = trouble(c);
    if (bad) complain(new Error(bad));
    else void overrule(with_(corrections, c));
  });
  on("lp-files", "click", (e) => {
    const kind = (e.target as HTMLElement).dataset["file"];
    if (!kind) return;
    say("Making the file …");
    withScore(() => api.save(choice(), kind)).then(() => say("Saved."), complain);
  });
  on("lp-save-corrections", "click", () => api.hand(new Blob([`# measure beat key numeral\n${asText(corrections)}`], { type: "text/plain" }), "corrections.txt"));
}

function listenToPlayer(): void {
  on("lp-play", "click", toggle);
  on("lp-play-here", "click", () => {
    playFrom(asked.measure);
    if (layout() === "narrow") closeWhy(); // the panel would hide the notes
  });
  on("lp-from", "change", () => {
    const at = Number(el<HTMLSelectElement>("lp-from").value);
    if (player.playing) playFrom(at);
    else if (playback) {
      player.play(firstSounding(playback.knots, starts()[at]!));
      player.stop();
      sheet.moveTo(starts()[at]!);
    }
  });
  on("lp-tempo", "input", () => {
    el("lp-tempo-out").textContent = `${range("lp-tempo")} %`;
    player.setSpeed(range("lp-tempo") / 100);
  });
  for (const r of document.querySelectorAll<HTMLInputElement>("input[name=lp-level]")) {
    r.addEventListener("change", () => player.setLevel(r.value as Level));
  }
  player.onEnd = () => {
    sheet.hideCursor();
    showPlaying();
  };
}

function listenToKeys(): void {
  on("lp-stop", "click", () => {
    running?.abort();
    say("Stopped.");
  });
  on("lp-error-close", "click", () => void (el("lp-error").hidden = true));
  document.addEventListener("keydown", (e) => {
    if (e.key === "Escape") {
      el("lp-error").hidden = true;
      closeWhy();
      for (const d of document.querySelectorAll<HTMLDetailsElement>(".lp-menu[open]")) d.open = false;
    }
    const onBar = (e.target as Element).classList?.contains("hp-bar") || e.target === document.body || e.target === el("lp-main");
    if (e.key === " " && onBar && playback) {
      e.preventDefault();
      toggle();
    }
  });
  document.addEventListener("click", (e) => {
    for (const d of document.querySelectorAll<HTMLDetailsElement>(".lp-menu[open]")) if (!d.contains(e.target as Node)) d.open = false;
  });
}

/** "song-ferry-lamp" as "Ferry lamp (song)". */
function demoTitle(name: string): string {
  const [kind, ...words] = name.split("-");
  const title = words.join(" ");
  return `${title.charAt(0).toUpperCase()}${title.slice(1)} (${kind === "etude" ? "étude" : kind})`;
}

async function listDemos(): Promise<void> {
  try {
    for (const name of await api.demos()) {
      const b = make("button", demoTitle(name), { type: "button", "data-demo": name });
      b.addEventListener("click", () => void open((signal) => api.takeDemo(name, signal), name));
      const item = make("li");
      item.append(b);
      el("lp-demos").append(item);
    }
  } catch (e) {
    complain(e);
  }
}

matchMedia("(max-width: 44rem)").addEventListener("change", () => void (score && refresh()));
setInterval(() => void api.alive().catch(() => {}), 20_000);
listenToFiles();
listenToChoices();
listenToPlayer();
listenToKeys();
void listDemos();
