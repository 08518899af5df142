// The score on the page: measures that can be chosen, and the line that moves while it plays.
import type { Bar } from "./api";
import { measureAt, placeOf, type System } from "./time";

const least = 0.7; // of their width; below, words get too small to read
const svg = "http://www.w3.org/2000/svg";

export class Sheet {
  private pictures: SVGSVGElement[] = [];
  private bars: SVGRectElement[] = [];
  private systems: readonly System[] = [];
  private measures: readonly Bar[] = [];
  private cursor = document.createElementNS(svg, "line");
  private shown = -1; // system that has the cursor
  private chosen = -1; // measure
  private last = -1; // measure, the last of those chosen together
  onBar: (measure: number) => void = () => {};

  /** Takes the systems that stand in an element; measures keep their focus. */
  adopt(host: Element, systems: readonly System[], measures: readonly Bar[]): void {
    const focused = this.bars.findIndex((b) => b === document.activeElement || !b.isConnected && b.getAttribute("tabindex") === "0" && this.held);
    this.systems = systems;
    this.measures = measures;
    this.pictures = [...host.querySelectorAll<SVGSVGElement>("svg.hp-system")];
    this.bars = [...host.querySelectorAll<SVGRectElement>("rect.hp-bar")];
    this.pictures.forEach((p, i) => this.open(p, i));
    this.bars.forEach((b, i) => this.button(b, i));
    this.cursor.setAttribute("class", "lp-cursor");
    this.fit();
    this.shown = -1;
    this.frame();
    if (focused >= 0) this.focus(focused, false);
    this.held = false;
  }

  /** Makes systems a little smaller where that brings a whole one, with its curves, into the window. */
  fit(): void {
    const room = window.innerHeight - stripHeight() - (document.getElementById("lp-player")?.offsetHeight ?? 0) - 16;
    const heights = this.systems.map((s) => s.height / s.width).sort((a, b) => a - b);
    const usual = heights[heights.length >> 1] ?? 0;
    const wide = this.pictures[0]?.closest(".hp-wide")?.parentElement?.clientWidth ?? 0;
    const share = room / (usual * wide || Infinity);
    document.documentElement.style.setProperty("--fit", share >= least && share < 1 ? share.toFixed(3) : "1");
  }

  private held = false;

  /** To be called before the old systems go, so that the focus is not lost. */
  hold(): void {
    this.held = this.bars.some((b) => b === document.activeElement);
  }

  clear(): void {
    this.pictures = [];
    this.bars = [];
    this.systems = [];
  }

  /** A picture becomes a group of measures; its drawing stays out of the reading order. */
  private open(picture: SVGSVGElement, i: number): void {
    picture.setAttribute("role", "group");
    picture.dataset["anchors"] = JSON.stringify(this.systems[i]?.anchors ?? []); // for tests
    for (const child of picture.children) if (!child.classList.contains("hp-bar")) child.setAttribute("aria-hidden", "true");
  }

  private button(bar: SVGRectElement, i: number): void {
    const measure = Number(bar.dataset["measure"]);
    bar.setAttribute("role", "button");
    bar.setAttribute("tabindex", i === 0 ? "0" : "-1");
    bar.setAttribute("aria-label", `Measure ${this.measures[measure]?.number ?? measure + 1}: why?`);
    bar.onclick = () => {
      this.focus(i, false);
      this.onBar(measure);
    };
    bar.onkeydown = (e) => this.key(e, i, measure);
  }

  private key(e: KeyboardEvent, i: number, measure: number): void {
    const step = { ArrowRight: 1, ArrowLeft: -1, Home: -i, End: this.bars.length - 1 - i }[e.key];
    if (step !== undefined) this.focus(Math.min(Math.max(i + step, 0), this.bars.length - 1), true);
    else if (e.key === "Enter") this.onBar(measure);
    else return;
    e.preventDefault();
  }

  /** One measure at a time can be reached by Tab; arrows go on from it. A click must not move the page. */
  private focus(i: number, reveal: boolean): void {
    this.bars.forEach((b, k) => b.setAttribute("tabindex", k === i ? "0" : "-1"));
    this.bars[i]?.focus({ preventScroll: true });
    if (reveal) this.bars[i]?.closest(".hp-line")?.scrollIntoView({ block: "nearest" });
  }

  private index(measure: number): number {
    return Math.max(this.bars.findIndex((b) => Number(b.dataset["measure"]) === measure), 0);
  }

  focusMeasure(measure: number): void {
    this.focus(this.index(measure), false);
  }

  /** Where a measure stands in the window; undefined if it is not drawn. */
  box(measure: number): DOMRect | undefined {
    return this.bars.find((b) => Number(b.dataset["measure"]) === measure)?.getBoundingClientRect();
  }

  /** Brings a measure's system under the strip. */
  go(measure: number): void {
    const i = this.index(measure);
    this.bars.forEach((b, k) => b.setAttribute("tabindex", k === i ? "0" : "-1"));
    this.bars[i]?.closest(".hp-line")?.scrollIntoView({ block: "start", behavior: motion() });
  }

  /** Gives the keyboard to a measure, so that arrows go on from it. */
  take(measure: number): void {
    this.focus(this.index(measure), false);
  }

  /** Frames a measure, or all up to the one that sounds before a quarter note. */
  choose(measure: number, to?: number): void {
    this.chosen = measure;
    this.last = to === undefined ? measure : Math.max(measureAt(this.measures.map((m) => m.from), to - 1e-6), measure);
    this.frame();
  }

  private frame(): void {
    for (const b of this.bars) {
      const n = Number(b.dataset["measure"]);
      b.classList.toggle("lp-chosen", n >= this.chosen && n <= this.last);
    }
  }

  /** Brings a measure into the window if it is not there. */
  reveal(measure: number): void {
    const box = this.box(measure);
    if (box && (box.bottom < roomAbove() + 40 || box.top > window.innerHeight - 120)) this.go(measure);
  }

  /** The quarter notes that the window shows: from the first system in it to the last. */
  inView(): { from: number; to: number } | undefined {
    const top = roomAbove();
    const seen = this.systems.filter((_, i) => {
      const r = this.pictures[i]?.getBoundingClientRect();
      return r && r.bottom > top + 20 && r.top < window.innerHeight - 60;
    });
    return seen.length ? { from: seen[0]!.from, to: seen.at(-1)!.to } : undefined;
  }

  /** Moves the line to a quarter note of the page, and the page to the line where it leaves the view. */
  moveTo(q: number): void {
    const place = placeOf(this.systems, q);
    const picture = place && this.pictures[place.system];
    if (!place || !picture) return;
    if (place.system !== this.shown) {
      this.shown = place.system;
      this.cursor.setAttribute("y1", "0");
      this.cursor.setAttribute("y2", String(this.systems[place.system]!.height));
      picture.append(this.cursor);
      follow(picture);
    }
    this.cursor.dataset["quarter"] = String(q); // for tests
    this.cursor.setAttribute("x1", place.x.toFixed(2));
    this.cursor.setAttribute("x2", place.x.toFixed(2));
  }

  hideCursor(): void {
    this.cursor.remove();
    this.shown = -1;
  }
}

function motion(): ScrollBehavior {
  return matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth";
}

function stickyStrip(): HTMLElement | null {
  const strip = document.getElementById("hp-whole");
  return strip && getComputedStyle(strip).position === "sticky" ? strip : null;
}

function stripHeight(): number {
  return stickyStrip()?.offsetHeight ?? 0;
}

/** How much of the window's head the strip covers. */
function roomAbove(): number {
  return Math.max(stickyStrip()?.getBoundingClientRect().bottom ?? 0, 0);
}

function follow(picture: SVGSVGElement): void {
  const box = picture.getBoundingClientRect();
  const above = roomAbove();
  const below = window.innerHeight - (document.getElementById("lp-player")?.offsetHeight ?? 0);
  if (box.top >= above && box.bottom <= below) return;
  window.scrollBy({ top: box.top - above - Math.max((below - above - box.height) / 3, 8), behavior: motion() });
}
