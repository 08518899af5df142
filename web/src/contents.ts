// The contents of a piece: what to try, phrases, keys; found by word and verdict.
import { make, options } from "./dom";

export interface Place {
  kind: "try" | "section" | "phrase" | "key" | "summit";
  name: string;
  where: string;
  bar: number;
  from: number; // quarter notes
  to: number;
  text: string;
  verdict: string;
  unsure?: boolean;
}

const groups: readonly (readonly [heading: string, kinds: readonly Place["kind"][]])[] = [
  ["To try, the most important first", ["try"]],
  ["The most tense place", ["summit"]],
  ["Sections and phrases (the same letter: the same music; ′: changed)", ["section", "phrase"]],
  ["Keys", ["key"]],
];

/** Whether an entry has the words, and the verdict if one is chosen. */
export function matches(p: Place, words: string, verdict: string): boolean {
  const text = `${p.name} ${p.where} ${p.text}`.toLowerCase();
  return (!verdict || p.verdict.includes(verdict)) && words.toLowerCase().split(/\s+/).every((w) => text.includes(w));
}

const verdicts = ["supports", "works against", "unshaped", "independent"];

/** How a phrase ends, and which verdicts are in it. */
export function inShort(p: Place): string {
  const ends = p.text.split(";")[0]!;
  return [ends, ...verdicts.filter((v) => p.verdict.includes(v))].join(" · ");
}

export class Contents {
  private places: readonly Place[] = [];
  private list = make("div");
  private words = make("input", "", { type: "search", "aria-label": "Find in the contents", placeholder: "find" });
  private verdict = make("select", "", { "aria-label": "Verdict" });
  onGo: (p: Place) => void = () => {};
  onHear: (p: Place) => void = () => {};

  constructor(
    private panel: HTMLElement,
    private opener: HTMLElement,
  ) {
    const close = make("button", "×", { type: "button", class: "lp-plain", "aria-label": "Close the contents" });
    close.addEventListener("click", () => this.show(false));
    const head = make("div", "", { class: "lp-why-head" });
    head.append(make("h2", "Contents"), close);
    const find = make("div", "", { class: "lp-find", role: "search" });
    options(this.verdict, [["", "every verdict"], ...verdicts.map((v) => [v, v] as const)], "");
    find.append(this.words, this.verdict);
    this.panel.replaceChildren(head, find, this.list);
    this.words.addEventListener("input", () => this.fill());
    this.verdict.addEventListener("change", () => this.fill());
    this.opener.addEventListener("click", () => this.show(this.panel.hidden === true));
  }

  adopt(places: readonly Place[]): void {
    this.places = places;
    this.fill();
  }

  show(open: boolean): void {
    if (this.panel.hidden === !open) return;
    this.panel.hidden = !open;
    this.opener.setAttribute("aria-expanded", String(open));
    (open ? this.words : this.opener).focus({ preventScroll: true });
  }

  /** Out of the way of what is shown next, unless there is room beside it. */
  private leave(): void {
    if (!matchMedia("(min-width: 100rem)").matches) this.show(false);
  }

  private fill(): void {
    this.list.replaceChildren();
    for (const [heading, kinds] of groups) {
      const found = this.places.filter((p) => kinds.includes(p.kind) && matches(p, this.words.value.trim(), this.verdict.value));
      if (!found.length) continue;
      const items = make("ol");
      items.append(...found.map((p) => this.item(p)));
      this.list.append(make("h3", heading), items);
    }
    if (!this.list.childElementCount) this.list.append(make("p", "Nothing has these words.", { class: "hp-soft" }));
  }

  private item(p: Place): HTMLLIElement {
    const item = make("li", "", { class: `lp-${p.kind}` });
    const go = make("a", p.kind === "try" ? p.text : `${p.name}${p.kind === "summit" ? "" : `, ${p.where}`}`, { href: `#${document.getElementById(`m${p.bar + 1}`) ? "m" : "n"}${p.bar + 1}` });
    go.addEventListener("click", (e) => {
      e.preventDefault();
      this.leave();
      this.onGo(p);
    });
    const hear = make("button", "Play", { type: "button", "aria-label": `Play ${p.where}, printed then proposed` });
    hear.addEventListener("click", () => {
      this.leave();
      this.onHear(p);
    });
    item.append(go, hear);
    if (p.kind === "phrase") item.append(make("span", inShort(p), { class: "hp-soft" }));
    return item;
  }
}
