// The page: takes a score, shows its reading, listens to the user.
import * as api from "./api";
import { Contents } from "./contents";
import { choice, choose, chosen, offerParts, onChoice } from "./choices";
import { asText } from "./corrections";
import { calmly, el, on, onFile } from "./dom";
import { callableHead } from "./head";
import { keepWork, workOf, works, type Work } from "./memory";
import { Mine } from "./mine";
import { Pieces } from "./pieces";
import { Player } from "./player";
import { Playing, spaceIsFree } from "./playing";
import { complain, mention, say } from "./say";
import { phraseAt, share } from "./share";
import { Sheet } from "./sheet";
import { Strip } from "./strip";
import { Takes } from "./takes";
import { forgetAll, listDemos, listWorks } from "./welcome";
import { showWhy } from "./why";

type Source = Work["source"];

const sheet = new Sheet();
const strip = new Strip(el("hp-whole"));
const contents = new Contents(el("lp-contents"), el("lp-contents-open"));
const pieces = new Pieces((level, speed, from, to) => withScore(() => api.sound(asChosen(), level, speed, from, to)));
const player = new Player(pieces);
const playing = new Playing(player, sheet, strip);
const takes = new Takes({
  choice: asChosen,
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
const readings = new Mine(async () => {
  const done = await refresh();
  if (done && asked.measure >= 0) {
    await why(asked.measure, asked.at);
    sheet.reveal(asked.measure);
  }
  return done;
});
const onPaper = new CSSStyleSheet(); // how the score is printed
document.adoptedStyleSheets.push(onPaper);
let score: { kept: api.Kept; source: Source } | undefined;
let live: api.Live | undefined;
let running: AbortController | undefined;
let shown = ""; // the score on the page
let begun = ""; // the score of which there are staves
let asked = { measure: -1, at: "" };
let wanted: Work | undefined; // to be gone on with when its staves are there

function asChosen(): api.Choice {
  return choice(score!.kept.id, asText(readings.list));
}

function layout(): string {
  return matchMedia("(max-width: 44rem)").matches ? "narrow" : "wide";
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
  readings.adopt(work?.corrections ?? []);
  wanted = work;
  el("lp-why").hidden = true;
  asked = { measure: -1, at: "" };
  sheet.choose(-1);
  choose(work?.settings);
  begun = "";
}

/** Opens a score that came from outside the page. */
export function openFile(file: File): void {
  void file.arrayBuffer().then((bytes) => open({ file: file.name, bytes }, file.name), complain);
}

/** Keeps the work in this browser. */
function keepNow(): void {
  if (!score || !live || shown !== score.kept.id || begun !== shown) return;
  void keepWork({ id: score.kept.id, title: live.title, source: score.source, corrections: readings.list, settings: chosen(), measure: asked.measure, scroll: window.scrollY, touched: 0 });
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
  await showWorks();
}

function showWorks(): Promise<void> {
  return listWorks((w) => void open(w.source, w.title, w));
}

interface State {
  score?: string;
  measure?: number;
}

/** Shows what an entry of the browser's history stands for, and the measure that its address names. */
async function restore(state: State | null): Promise<void> {
  const measure = named();
  const id = state?.score ?? (measure === undefined ? undefined : (score?.kept.id ?? (await works())[0]?.id)); // a link in a new tab: the latest
  if (!id) {
    await welcome();
    return;
  }
  if (score && id === score.kept.id) {
    if (measure === undefined) closeWhy(false);
    else {
      await why(measure, undefined, false);
      if (!state) sheet.reveal(measure);
    }
    return;
  }
  const work = await workOf(id);
  if (!work) return welcome();
  await open(work.source, work.title, { ...work, measure: measure ?? work.measure, ...(!state && { scroll: 0 }) }, true);
  if (!state && measure !== undefined) sheet.reveal(measure);
}

// ---- reading ----

/** Reads the score as chosen now and shows it; false if that failed. */
async function refresh(): Promise<boolean> {
  const mine = begin();
  const main = el("lp-main");
  main.setAttribute("aria-busy", "true");
  el("lp-error").hidden = true;
  try {
    const all = await withScore(async () => api.read(asChosen(), layout(), await takes.drawn(), listener(mine), mine.signal));
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
      main.classList.remove("lp-coming", "lp-waiting");
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
      el("lp-main").classList.add("lp-waiting");
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
  el("lp-main").classList.remove("lp-waiting");
  onPaper.replaceSync(l.print);
  el("lp-score").innerHTML = l.score;
  el("lp-tables").innerHTML = l.tables;
  sheet.adopt(el("lp-score"), l.systems, l.measures);
  strip.adopt(l.measures, l.from, l.to);
  contents.adopt(l.places);
  playing.adopt(l.measures, l.places, l.from, l.to);
  offerParts(l.parts);
  readings.show();
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
    const p = await withScore(() => api.play(asChosen()));
    if (mine === running) playing.load(p.knots, p.length);
  } catch (e) {
    complain(e);
  }
}

// ---- why a measure is tense ----

async function why(measure: number, at = live?.measures[measure]?.beats[0], remember = true): Promise<void> {
  if (!live || !at) return;
  try {
    const w = await withScore(() => api.explain(asChosen(), at));
    if (!live) return;
    const again = asked.measure === measure;
    asked = { measure, at: w.at };
    sheet.choose(measure);
    playing.choose(measure);
    takes.choose(measure);
    showWhy(w, live.measures[measure]!, sheet.box(measure), (other) => void why(measure, other));
    readings.fill(w.at);
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
  const n = /^#[mn](\d+)$/.exec(location.hash)?.[1];
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
  else playing.beginAt(measure);
}

/** Frames a place; the card of another goes. */
function mark(measure: number, to: number): void {
  closeWhy();
  sheet.choose(measure, to);
  playing.choose(measure);
}

// ---- what the user does ----

function listenToFiles(): void {
  const take = (file: File | undefined): void => void (file && (takes.wants(file) ? takes.add(file) : openFile(file)));
  onFile("lp-file", take);
  onFile("lp-load-corrections", (file) => void readings.load(file));
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
  on("lp-forget", "click", () => void forgetAll().then(showWorks));
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
  onChoice(again, calmly(250, again));
  on("lp-why-close", "click", () => closeWhy());
  on("lp-correct", "submit", (e) => {
    e.preventDefault();
    void readings.correct(asked.at);
  });
  on("lp-files", "click", (e) => {
    const kind = (e.target as HTMLElement).dataset["file"];
    if (!kind) return;
    say("Making the file …");
    withScore(async () => api.save(asChosen(), kind, { takes: await takes.drawn() })).then(saved, complain);
  });
  on("lp-share", "click", (e) => {
    const as = (e.target as HTMLElement).dataset["share"];
    const bar = live?.measures[asked.measure];
    if (!as || !bar) return;
    say("Making the file …");
    withScore(() => share(asChosen(), as, phraseAt(live!.places, bar.from, bar.number))).then(saved, complain);
  });
}

function saved(name: string): void {
  mention(`Handed to the browser to save: ${name}`);
  for (const d of document.querySelectorAll<HTMLDetailsElement>(".lp-menu[open]")) d.open = false;
}

/** Going about: strip, contents, links in the words, playing. */
function listenToPlaces(): void {
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
  on("lp-reading", "click", (e) => {
    const link = (e.target as Element).closest<HTMLElement>("a[data-bar]");
    if (!link) return;
    e.preventDefault();
    goTo(Number(link.dataset["bar"]));
    sheet.take(Number(link.dataset["bar"]));
    if (link.dataset["to"]) mark(Number(link.dataset["bar"]), Number(link.dataset["to"]));
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
  window.addEventListener("resize", () => {
    sheet.fit();
    look();
  });
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
    if (e.key === " " && spaceIsFree(e.target) && playing.ready) {
      e.preventDefault();
      playing.toggle();
    }
    if (e.key === "z" && (e.ctrlKey || e.metaKey) && !(e.target instanceof HTMLInputElement)) void readings.undo();
  });
  document.addEventListener("click", (e) => {
    for (const d of document.querySelectorAll<HTMLDetailsElement>(".lp-menu[open]")) if (!d.contains(e.target as Node)) d.open = false;
  });
  window.addEventListener("popstate", (e) => void restore(e.state as State | null));
}

matchMedia("(max-width: 44rem)").addEventListener("change", () => void (score && refresh()));
setInterval(() => void api.alive().catch(() => {}), 20_000);
history.scrollRestoration = "manual";
choose();
listenToFiles();
listenToChoices();
listenToPlaces();
listenToKeys();
callableHead();
void listDemos((demo) => void open({ demo }, demo));
void restore(history.state as State | null);
