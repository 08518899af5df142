// The whole piece in one line: where the window is, where it plays, click to go.
import type { Bar } from "./api";
import { measureAt } from "./time";

const svg = "http://www.w3.org/2000/svg";

export class Strip {
  private picture: SVGSVGElement | null = null;
  private from = 0;
  private to = 1;
  private starts: number[] = [];
  private marks: Record<"view" | "now" | "loop", SVGElement>;
  onGo: (measure: number, quarter: number) => void = () => {};

  constructor(private host: HTMLElement) {
    const mark = (tag: string, name: string): SVGElement => {
      const e = document.createElementNS(svg, tag);
      e.setAttribute("class", `hp-strip-${name}`);
      e.setAttribute("height", "100%");
      e.setAttribute("y", "0");
      return e;
    };
    this.marks = { view: mark("rect", "view"), now: mark("rect", "now"), loop: mark("rect", "loop") };
    this.marks.now.setAttribute("width", "2");
    host.addEventListener("click", (e) => this.click(e));
  }

  /** Takes the strip that stands in its place; it covers the quarter notes [from, to). */
  adopt(bars: readonly Bar[], from: number, to: number): void {
    this.picture = this.host.querySelector("svg");
    this.starts = bars.map((b) => b.from);
    [this.from, this.to] = [from, Math.max(to, from + 1e-6)];
    this.picture?.append(this.marks.loop, this.marks.view);
  }

  private click(e: MouseEvent): void {
    if (!this.picture) return;
    const link = (e.target as Element).closest<SVGAElement>("a[data-bar]");
    e.preventDefault();
    const byName = e.detail === 0 || link?.querySelector(".hp-badge, .hp-strip-summit"); // from the keyboard, or a place
    if (link && byName) {
      const measure = Number(link.dataset["bar"]);
      this.onGo(measure, this.starts[measure] ?? 0);
      return;
    }
    const box = this.picture.getBoundingClientRect();
    const q = this.from + (this.to - this.from) * Math.min(Math.max((e.clientX - box.left) / box.width, 0), 0.9999);
    this.onGo(measureAt(this.starts, q), q);
  }

  private percent(q: number): number {
    return (100 * Math.min(Math.max(q - this.from, 0), this.to - this.from)) / (this.to - this.from);
  }

  private span(mark: SVGElement, from: number, to: number): void {
    mark.setAttribute("x", `${this.percent(from).toFixed(2)}%`);
    mark.setAttribute("width", `${Math.max(this.percent(to) - this.percent(from), 0.3).toFixed(2)}%`);
  }

  /** Frames what the window shows. */
  view(seen: { from: number; to: number } | undefined): void {
    document.body.classList.toggle("lp-away", !seen); // from the staves: their card stays away too
    this.marks.view.setAttribute("display", seen ? "inline" : "none");
    if (seen) this.span(this.marks.view, seen.from, seen.to);
  }

  now(q: number | undefined): void {
    if (q === undefined) this.marks.now.remove();
    else {
      this.marks.now.setAttribute("x", `${this.percent(q).toFixed(2)}%`);
      if (this.marks.now.parentNode !== this.picture) this.picture?.append(this.marks.now);
    }
  }

  loop(span: { from: number; to: number } | undefined): void {
    this.marks.loop.setAttribute("display", span ? "inline" : "none");
    if (span) this.span(this.marks.loop, span.from, span.to);
  }
}
