// The page: takes a score, shows its reading, listens to the user.
import * as api from "./api";
import { Contents } from "./contents";
import { asText, fromText, inWords, plain, trouble, with_, type Correction } from "./corrections";
import { calmly, el, make, options } from "./dom";
import { forgetWork, keepWork, workOf, works, type Work } from "./memory";
import { Pieces } from "./pieces";
import { Player } from "./player";
import { Playing } from "./playing";
import { phraseAt, share } from "./share";
import { Sheet } from "./sheet";
import { Strip } from "./strip";
import { Takes } from "./takes";
import { showWhy } from "./why";

type Source = Work["source"];

const sheet = new Sheet();
const strip = new Strip(el("hp-whole"));
const contents = new Contents(el("lp-contents"), el("lp-contents-open"));
const pieces = new Pieces((level, speed, from, to) => withScore(() => api.sound(choice(), level, speed, from, to)));
const player = new Player(pieces);
const playing = new Playing(player, sheet, strip);
const takes = new Takes({
  choice,
  withScore,
  refresh,
  live: () => live,
  playing: () => player.playing,
  hush: () => void (player.playing && playing.toggle()),
  move: (q) => {
    if (q === undefined) sheet.hideCursor();
    else sheet.moveTo(q);
    strip.now(q);
  },
});
let score: { kept: api.Kept; source: Source } | undefined;
let live: api.Live | undefined;
let corrections: Correction[] = [];
let undone: Correction[][] = []; // what the corrections were before
let running: AbortController | undefined;
let shown = ""; // the score on the page
let begun = ""; // the score of which there are staves
let asked = { measure: -1, at: "" };
let wanted: Work | undefined; // to be gone on with when its staves are there

const majors = ["C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F"];
const minors = ["a", "e", "b", "f#", "c#", "g#", "d#", "bb", "f", "c", "g", "d"];
const signs = (k: string): string => `${k[0]!.toUpperCase()}${k.slice(1).replace("#", "♯").replace("b", "♭")}`;
const keys: (readonly [string, string])[] = [
  ...majors.map((k) => [k, `${signs(k)} major`] as const),
  ...minors.map((k) => [k, `${signs(k)} minor`] as const),
];
const weights = ["dissonance", "distance", "pull"];
const settings = ["lp-part", "lp-shown", "lp-measures", "lp-home-key", ...weights.map((w) => `lp-${w}`)];
const switches = ["lp-small", "lp-symbols"];

function value(id: string): string {
  return el<HTMLInputElement | HTMLSelectElement>(id).value;
}

function choice(): api.Choice {
  return {
    id: score!.kept.id,
    part: Number(value("lp-part") || 0),
    key: value("lp-home-key"),
    symbols: el<HTMLInputElement>("lp-symbols").checked,
    dissonance: Number(value("lp-dissonance")),
    distance: Number(value("lp-distance")),
    pull: Number(value("lp-pull")),
    corrections: asText(corrections),
    measures: value("lp-measures").trim(),
    shown: Number(value("lp-shown") || 0),
    small: el<HTMLInputElement>("lp-small").checked,
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
  const hint = e instanceof api.Failure && e.hint ? `\nHint: ${e.hint}` : "";
  el("lp-error-text").textContent = (e instanceof Error ? e.message : String(e)) + hint;
  el("lp-error").hidden = false;
  say("");
}

function send(source: Source, signal?: AbortSignal): Promise<api.Kept> {
  return "demo" in source ? api.takeDemo(source.demo, signal) : api.takeFile(new File([source.bytes], source.file), signal);
}

/** Runs an action with the score; one that the program no longer keeps is sent again first. */
async function withScore<T>(run: () => Promise<T>): Promise<T> {
  try {
    return await run();
  } catch (e) {
    if (!(e instanceof api.Failure && e.gone && score)) throw e;
    score.kept = await send(score.source);
    return await run();
  }
}

// ---- opening ----

/** Opens a score; before is what was done with it, kept or in this tab. */
async function open(source: Source, name: string, before?: Work, fromHistory = false): Promise<void> {
  el("lp-error").hidden = true;
  say(`Reading ${name} …`);
  keepNow();
  const last = score;
  const mine = begin();
  try {
    player.stop();
    score = { kept: await send(source, mine.signal), source };
  } catch (e) {
    score = last;
    complain(e);
    return;
  } finally {
    end(mine);
  }
  const work = before ?? (await workOf(score.kept.id));
  await takes.of(score.kept.id);
  ready(work);
  if (!fromHistory) history.pushState({ score: score.kept.id }, "", location.pathname);
  if ((await refresh()) || shown === score.kept.id) return;
  score = last; // the page still shows the one before
  await takes.of(last?.kept.id ?? "");
}

/** Sets corrections and choices as they were, or as at first. */
function ready(work: Work | undefined): void {
  corrections = work?.corrections ?? [];
  undone = [];
  wanted = work;
  el("lp-why").hidden = true;
  asked = { measure: -1, at: "" };
  sheet.choose(-1);
  options(el("lp-home-key"), [["", "as heard"], ...keys], "");
  for (const id of ["lp-part", "lp-shown"]) options(el(id), [["0", "all"], ...(Number(work?.settings[id] ?? 0) ? [[work!.settings[id]!, "…"] as const] : [])], "0");
  for (const id of settings) el<HTMLInputElement>(id).value = work?.settings[id] ?? (id.startsWith("lp-d") || id === "lp-pull" ? "1" : ["lp-part", "lp-shown"].includes(id) ? "0" : "");
  for (const id of switches) el<HTMLInputElement>(id).checked = work?.settings[id] === "1";
  showWeights();
  begun = "";
}

/** Opens a score that came from outside the page. */
export function openFile(file: File): void {
  void file.arrayBuffer().then((bytes) => open({ file: file.name, bytes }, file.name), complain);
}

/** Keeps the work in this browser. */
function keepNow(): void {
  if (!score || !live || shown !== score.kept.id || begun !== shown) return;
  const set = Object.fromEntries([...settings.map((id) => [id, value(id)]), ...switches.map((id) => [id, el<HTMLInputElement>(id).checked ? "1" : ""])]) as Record<string, string>;
  void keepWork({ id: score.kept.id, title: live.title, source: score.source, corrections, settings: set, measure: asked.measure, scroll: window.scrollY, touched: 0 });
}
const keepSoon = calmly(400, keepNow);

/** Back at the beginning: scores to go on with, and ours. */
async function welcome(): Promise<void> {
  keepNow();
  running?.abort();
  playing.drop();
  void takes.of("");
  score = live = undefined;
  shown = begun = "";
  sheet.clear();
  for (const id of ["lp-score", "lp-tables", "lp-overview"]) el(id).replaceChildren();
  for (const id of ["lp-reading", "lp-tools", "lp-player", "lp-why", "lp-contents", "lp-headline", "hp-whole"]) el(id).hidden = true;
  el("lp-welcome").hidden = false;
  document.title = "hairpin";
  await listWorks();
}

async function listWorks(): Promise<void> {
  const list = await works();
  el("lp-again").hidden = list.length === 0;
  el("lp-recent").replaceChildren(
    ...list.map((w) => {
      const n = w.corrections.length;
      const go = make("button", w.title + (n ? `, ${n} ${n === 1 ? "correction" : "corrections"}` : ""), { type: "button", "data-work": w.id });
      go.addEventListener("click", () => void open(w.source, w.title, w));
      const drop = make("button", "Forget", { type: "button", "aria-label": `Forget ${w.title}` });
      drop.addEventListener("click", () => void forgetWork(w.id).then(listWorks));
      const item = make("li");
      item.append(go, drop);
      return item;
    }),
  );
}

/** Shows what an entry of the browser's history stands for. */
async function restore(state: { score?: string; measure?: number } | null): Promise<void> {
  if (!state?.score) {
    await welcome();
    return;
  }
  if (score && state.score === score.kept.id) {
    if (state.measure === undefined) closeWhy(false);
    else await why(state.measure, undefined, false);
    return;
  }
  const work = await workOf(state.score);
  if (work) await open(work.source, work.title, { ...work, measure: state.measure ?? work.measure }, true);
  else await welcome();
}

// ---- reading ----

/** Reads the score as chosen now and shows it; false if that failed. */
async function refresh(): Promise<boolean> {
  const mine = begin();
  const main = el("lp-main");
  main.setAttribute("aria-busy", "true");
  el("lp-error").hidden = true;
  try {
    const all = await withScore(async () => api.read(choice(), layout(), await takes.drawn(), listener(mine), mine.signal));
    if (mine.signal.aborted) return false;
    present(all, true);
    say("");
    keepNow();
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
    words: (words) => {
      if (mine.signal.aborted || score!.kept.id === shown) return;
      sheet.clear();
      live = undefined;
      for (const id of ["lp-score", "lp-tables"]) el(id).replaceChildren();
      playing.drop();
      pieces.forget();
      head(words);
    },
    head: (first) => {
      if (mine.signal.aborted || live) return;
      el("lp-main").classList.add("lp-coming");
      present(first, false);
    },
  };
}

/** Title, strip and words. */
function head(l: api.Live): void {
  shown = score!.kept.id;
  for (const id of ["lp-reading", "lp-headline", "hp-whole"]) el(id).hidden = false;
  el("lp-welcome").hidden = true;
  el("lp-title").textContent = l.title;
  el("lp-title").title = l.title;
  el("lp-by").textContent = l.composer;
  document.title = `${l.title} – hairpin`;
  el("lp-defs").innerHTML = l.defs;
  el("hp-whole").innerHTML = l.strip;
  el("lp-overview").innerHTML = l.overview;
}

function present(l: api.Live, whole: boolean): void {
  sheet.hold();
  head(l);
  live = l;
  for (const id of ["lp-tools", "lp-player"]) el(id).hidden = false;
  el("lp-score").innerHTML = l.score;
  el("lp-tables").innerHTML = l.tables;
  sheet.adopt(el("lp-score"), l.systems, l.measures);
  strip.adopt(l.measures, l.from, l.to);
  contents.adopt(l.places);
  playing.adopt(l.measures, l.places, l.from, l.to);
  const parts = [["0", "all"], ...l.parts.map((p, i) => [String(i + 1), p || `part ${i + 1}`] as const)] as const;
  for (const id of ["lp-part", "lp-shown"]) options(el(id), parts, value(id) || "0");
  showCorrections();
  if (begun !== shown) {
    begun = shown;
    window.scrollTo({ top: 0, behavior: "instant" });
    el("lp-main").focus({ preventScroll: true });
  }
  if (whole && wanted) goOn(wanted);
  strip.view(sheet.inView());
}

/** Back to where the work was left, or to the measure that the address names. */
function goOn(work: Work): void {
  wanted = undefined;
  window.scrollTo({ top: work.scroll, behavior: "instant" });
  if (work.measure >= 0 && live!.measures[work.measure]) void why(work.measure, undefined, false);
}

async function loadPlayback(): Promise<void> {
  const mine = running;
  try {
    pieces.forget();
    const p = await withScore(() => api.play(choice()));
    if (mine === running) playing.load(p.knots, p.length);
  } catch (e) {
    complain(e);
  }
}

// ---- why a measure is tense ----

async function why(measure: number, at = live?.measures[measure]?.beats[0], remember = true): Promise<void> {
  if (!live || !at) return;
  try {
    const w = await withScore(() => api.explain(choice(), at));
    if (!live) return;
    const again = asked.measure === measure;
    asked = { measure, at: w.at };
    sheet.choose(measure);
    playing.choose(measure);
    takes.choose(measure);
    showWhy(w, live.measures[measure]!, sheet.box(measure), (other) => void why(measure, other));
    const own = corrections.find((c) => c.at === w.at);
    options(el("lp-key"), [["", "as heard"], ...keys], own?.key ?? "");
    el<HTMLInputElement>("lp-numeral").value = own?.numeral ?? "";
    el("lp-bad").hidden = true;
    if (remember && !again) history.pushState({ score: score!.kept.id, measure }, "", address(measure));
    keepSoon();
  } catch (e) {
    complain(e);
  }
}

function address(measure: number): string {
  return `${location.pathname}#m${measure + 1}`;
}

/** The measure that the address names; undefined if it names none. */
function named(): number | undefined {
  const n = /^#m(\d+)$/.exec(location.hash)?.[1];
  return n ? Number(n) - 1 : undefined;
}

function closeWhy(remember = true): void {
  if (el("lp-why").hidden) return;
  el("lp-why").hidden = true;
  sheet.choose(-1);
  sheet.focusMeasure(asked.measure);
  asked = { measure: -1, at: "" };
  if (remember) history.pushState({ score: score!.kept.id }, "", location.pathname);
  keepSoon();
}

/** Brings a measure to the top of the window; what plays goes on there. */
function goTo(measure: number, q = live?.measures[measure]?.from ?? 0): void {
  sheet.go(measure);
  if (player.playing) playing.seek(q);
  else el<HTMLSelectElement>("lp-from").value = String(measure);
}

// ---- corrections ----

async function overrule(list: Correction[]): Promise<boolean> {
  const before = corrections;
  corrections = list;
  const done = await refresh();
  if (done) undone.push(before);
  else corrections = before;
  showCorrections();
  if (done && asked.measure >= 0) await why(asked.measure, asked.at);
  keepNow();
  return done;
}

/** The user's own reading of the moment; one that is refused stays to be mended. */
async function correct(): Promise<void> {
  const c = { at: asked.at, key: value("lp-key"), numeral: plain(value("lp-numeral")) };
  const bad = trouble(c);
  if (!bad) {
    if (await overrule(with_(corrections, c))) return;
    el<HTMLInputElement>("lp-numeral").focus({ preventScroll: true });
    const said = el("lp-error-text").textContent;
    if (!said.startsWith("your reading")) return;
    el("lp-error").hidden = true; // told beside what is to be mended
    refuse(said);
    return;
  }
  refuse(bad);
}

/** Says in the card what is wrong with a correction. */
function refuse(why: string): void {
  el("lp-bad").textContent = why;
  el("lp-bad").hidden = false;
}

async function undo(): Promise<void> {
  const before = undone.pop();
  if (!before) return;
  const depth = undone.length;
  await overrule(before);
  undone.length = Math.min(undone.length, depth);
  showCorrections();
}

function showCorrections(): void {
  el("lp-mine").hidden = corrections.length === 0;
  el("lp-undo").hidden = undone.length === 0;
  el("lp-corrections").replaceChildren(
    ...corrections.map((c) => {
      const item = make("li", inWords(c));
      const drop = make("button", "Undo", { type: "button", "aria-label": `Undo ${inWords(c)}` });
      drop.addEventListener("click", () => void overrule(corrections.filter((d) => d !== c)));
      item.append(drop);
      return item;
    }),
  );
}

async function loadCorrections(file: File | undefined): Promise<void> {
  if (!file) return;
  const { list, bad } = fromText(await file.text());
  if (bad) complain(new Error(`${file.name}, line ${bad}: not "measure beat key numeral", such as "12 3 G V65/V", with - for what stays as heard.`));
  else if (await overrule(list.reduce(with_, corrections))) say(`${list.length} corrections loaded.`);
}

function showWeights(): void {
  for (const part of weights) el(`lp-${part}-out`).textContent = value(`lp-${part}`);
}

// ---- what the user does ----

function on<K extends keyof HTMLElementEventMap>(id: string, event: K, run: (e: HTMLElementEventMap[K]) => void): void {
  el(id).addEventListener(event, run);
}

/** A file chosen with an input, which is then ready for another. */
function onFile(id: string, take: (file: File | undefined) => void): void {
  on(id, "change", () => {
    const input = el<HTMLInputElement>(id);
    take(input.files?.[0]);
    input.value = "";
  });
}

function listenToFiles(): void {
  const take = (file: File | undefined): void => void (file && (takes.wants(file) ? takes.add(file) : openFile(file)));
  onFile("lp-file", take);
  onFile("lp-load-corrections", (file) => void loadCorrections(file));
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
  on("lp-forget", "click", () => void works().then(async (list) => {
    for (const w of list) await forgetWork(w.id);
    await listWorks();
  }));
  on("lp-home", "click", (e) => {
    e.preventDefault();
    history.pushState({}, "", location.pathname);
    void welcome();
  });
}

function listenToChoices(): void {
  sheet.onBar = (measure) => {
    if (player.playing) playing.seek(live!.measures[measure]!.from);
    void why(measure);
  };
  const again = (): void => {
    void refresh().then(async (done) => {
      if (done && asked.measure >= 0) await why(asked.measure, asked.at);
    });
  };
  for (const id of ["lp-part", "lp-shown", "lp-measures", "lp-home-key", ...switches]) on(id, "change", again);
  const weigh = calmly(250, again);
  for (const part of weights) {
    on(`lp-${part}`, "input", () => {
      showWeights();
      weigh();
    });
  }
  on("lp-why-close", "click", () => closeWhy());
  on("lp-correct", "submit", (e) => {
    e.preventDefault();
    void correct();
  });
  on("lp-undo", "click", () => void undo());
  on("lp-files", "click", (e) => {
    const kind = (e.target as HTMLElement).dataset["file"];
    if (!kind) return;
    say("Making the file …");
    withScore(async () => api.save(choice(), kind, { takes: await takes.drawn() })).then(() => say("Saved."), complain);
  });
  on("lp-share", "click", (e) => {
    const as = (e.target as HTMLElement).dataset["share"];
    const bar = live?.measures[asked.measure];
    if (!as || !bar) return;
    say("Making the file …");
    withScore(() => share(choice(), as, phraseAt(live!.places, bar.from, bar.number))).then(() => say("Saved."), complain);
  });
  on("lp-save-corrections", "click", () => api.hand(new Blob([`# measure beat key numeral\n${asText(corrections)}`], { type: "text/plain" }), "corrections.txt"));
}

/** Going about: strip, contents, links in the words, playing. */
function listenToPlaces(): void {
  strip.onGo = goTo;
  contents.onGo = (p) => {
    goTo(p.bar, p.from);
    if (layout() === "narrow") contents.show(false);
  };
  contents.onHear = (p) => {
    sheet.go(p.bar);
    playing.hear(p);
  };
  on("lp-reading", "click", (e) => {
    const link = (e.target as Element).closest<HTMLElement>("a[data-bar]");
    if (!link) return;
    e.preventDefault();
    goTo(Number(link.dataset["bar"]));
  });
  on("lp-play-here", "click", () => playing.playFrom(asked.measure));
  on("lp-turns", "click", () => playing.hearMeasure(asked.measure));
  player.onTrouble = complain;
  let waiting = false;
  const look = (): void => {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => {
      waiting = false;
      strip.view(sheet.inView());
    });
    keepSoon();
  };
  window.addEventListener("scroll", look, { passive: true });
  window.addEventListener("resize", look);
  window.addEventListener("pagehide", keepNow);
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
      if (takes.open) takes.show(false);
      else if (!el("lp-contents").hidden) contents.show(false);
      else closeWhy();
      for (const d of document.querySelectorAll<HTMLDetailsElement>(".lp-menu[open]")) d.open = false;
    }
    const target = e.target as Element;
    const onBar = target.classList?.contains("hp-bar") || target === document.body || target === el("lp-main");
    if (e.key === " " && onBar && playing.ready) {
      e.preventDefault();
      playing.toggle();
    }
    if (e.key === "z" && (e.ctrlKey || e.metaKey) && !(target instanceof HTMLInputElement)) void undo();
  });
  document.addEventListener("click", (e) => {
    for (const d of document.querySelectorAll<HTMLDetailsElement>(".lp-menu[open]")) if (!d.contains(e.target as Node)) d.open = false;
  });
  window.addEventListener("popstate", (e) => void restore(e.state as { score?: string; measure?: number } | null));
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
      b.addEventListener("click", () => void open({ demo: name }, name));
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
history.scrollRestoration = "manual";
options(el("lp-home-key"), [["", "as heard"], ...keys], "");
listenToFiles();
listenToChoices();
listenToPlaces();
listenToKeys();
void listDemos();
void restore({ ...(history.state as object | null), ...(named() === undefined ? {} : { measure: named()! }) });
