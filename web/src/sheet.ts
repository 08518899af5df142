// The score on the page: measures that can be chosen, and the line that moves while it plays.
import type { Live } from "./api";
import { el } from "./dom";
import { placeOf, type Pairs } from "./time";

const svg = "http://www.w3.org/2000/svg";

export class Sheet {
  private pictures: SVGSVGElement[] = [];
  private bars: SVGRectElement[] = [];
  private cursor = document.createElementNS(svg, "line");
  private shown = -1; // system that has the cursor
  private chosen = -1; // measure
  live: Live | undefined;
  onBar: (measure: number) => void = () => {};

  /** Shows a reading; measures keep their focus. */
  show(live: Live): void {
    const focused = this.bars.findIndex((b) => b === document.activeElement);
    this.live = live;
    el("lp-defs").innerHTML = live.defs;
    el("lp-score").innerHTML = live.score;
    el("lp-tables").innerHTML = live.tables;
    this.pictures = [...el("lp-score").querySelectorAll<SVGSVGElement>("svg.hp-system")];
    this.bars = [...el("lp-score").querySelectorAll<SVGRectElement>("rect.hp-bar")];
    this.pictures.forEach((p, i) => this.open(p, live.systems[i]!.anchors));
    this.bars.forEach((b, i) => this.button(b, i));
    this.cursor.setAttribute("class", "lp-cursor");
    this.shown = -1;
    this.choose(this.chosen);
    if (focused >= 0) this.focus(focused);
  }

  /** Takes the old score away. */
  clear(): void {
    for (const id of ["lp-score", "lp-tables"]) el(id).replaceChildren();
    this.pictures = [];
    this.bars = [];
    this.live = undefined;
  }

  /** A picture becomes a group of measures; its drawing stays out of the reading order. */
  private open(picture: SVGSVGElement, anchors: Pairs): void {
    picture.setAttribute("role", "group");
    picture.dataset["anchors"] = JSON.stringify(anchors); // for tests
    for (const child of picture.children) if (!child.classList.contains("hp-bar")) child.setAttribute("aria-hidden", "true");
  }

  private button(bar: SVGRectElement, i: number): void {
    const measure = Number(bar.dataset["measure"]);
    bar.replaceChildren(); // a click says more than the tooltip of a report
    bar.setAttribute("role", "button");
    bar.setAttribute("tabindex", i === 0 ? "0" : "-1");
    bar.setAttribute("aria-label", `Measure ${this.live!.measures[measure]!.number}: why?`);
    bar.addEventListener("click", () => {
      this.focus(i);
      this.onBar(measure);
    });
    bar.addEventListener("keydown", (e) => this.key(e, i, measure));
  }

  private key(e: KeyboardEvent, i: number, measure: number): void {
    const step = { ArrowRight: 1, ArrowLeft: -1, Home: -i, End: this.bars.length - 1 - i }[e.key];
    if (step !== undefined) this.focus(Math.min(Math.max(i + step, 0), this.bars.length - 1));
    else if (e.key === "Enter") this.onBar(measure);
    else return;
    e.preventDefault();
  }

  /** One measure at a time can be reached by Tab; arrows go on from it. */
  private focus(i: number): void {
    this.bars.forEach((b, k) => b.setAttribute("tabindex", k === i ? "0" : "-1"));
    this.bars[i]?.focus({ preventScroll: false });
  }

  focusMeasure(measure: number): void {
    this.focus(Math.max(this.bars.findIndex((b) => Number(b.dataset["measure"]) === measure), 0));
  }

  choose(measure: number): void {
    this.chosen = measure;
    for (const b of this.bars) b.classList.toggle("lp-chosen", Number(b.dataset["measure"]) === measure);
  }

  /** Moves the line to a quarter note of the page, and the page to the line where it leaves the view. */
  moveTo(q: number): void {
    const place = placeOf(this.live?.systems ?? [], q);
    if (!place) return;
    const picture = this.pictures[place.system]!;
    if (place.system !== this.shown) {
      this.shown = place.system;
      this.cursor.setAttribute("y1", "0");
      this.cursor.setAttribute("y2", String(this.live!.systems[place.system]!.height));
      picture.append(this.cursor);
      this.follow(picture);
    }
    this.cursor.dataset["quarter"] = String(q); // for tests
    this.cursor.setAttribute("x1", place.x.toFixed(2));
    this.cursor.setAttribute("x2", place.x.toFixed(2));
  }

  private follow(picture: SVGSVGElement): void {
    const box = picture.getBoundingClientRect();
    const room = window.innerHeight - el("lp-player").offsetHeight;
    if (box.top >= 0 && box.bottom <= room) return;
    const smooth = !matchMedia("(prefers-reduced-motion: reduce)").matches;
    window.scrollBy({ top: box.top - Math.max((room - box.height) / 3, 8), behavior: smooth ? "smooth" : "auto" });
  }

  hideCursor(): void {
    this.cursor.remove();
    this.shown = -1;
  }
}
