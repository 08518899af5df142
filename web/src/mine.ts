// The user's own readings on the page: entered, listed, taken back, undone, loaded, saved.
import { hand } from "./api";
import { keys, value } from "./choices";
import { asText, fromText, inWords, plain, trouble, with_, type Correction } from "./corrections";
import { el, make, options } from "./dom";
import { complain, mention } from "./say";

export class Mine {
  list: Correction[] = [];
  private undone: Correction[][] = []; // what the list was before

  /** read is told that the list has changed; false if the score cannot be read so. */
  constructor(private read: () => Promise<boolean>) {
    el("lp-undo").addEventListener("click", () => void this.undo());
    el("lp-save-corrections").addEventListener("click", () =>
      hand(new Blob([`# measure beat key numeral\n${asText(this.list)}`], { type: "text/plain" }), "corrections.txt"));
  }

  adopt(list: Correction[]): void {
    this.list = list;
    this.undone = [];
  }

  private async overrule(list: Correction[]): Promise<boolean> {
    const before = this.list;
    this.list = list;
    const done = await this.read();
    if (done) this.undone.push(before);
    else this.list = before;
    this.show();
    return done;
  }

  /** Fills the fields of the card with what was said of a moment. */
  fill(at: string): void {
    const own = this.list.find((c) => c.at === at);
    options(el("lp-key"), [["", "key as heard"], ...keys], own?.key ?? "");
    el<HTMLInputElement>("lp-numeral").value = own?.numeral ?? "";
    el("lp-bad").hidden = true;
  }

  /** Takes the fields of the card; what is refused stays to be mended. */
  async correct(at: string): Promise<void> {
    const c = { at, key: value("lp-key"), numeral: plain(value("lp-numeral")) };
    const bad = trouble(c);
    if (bad) {
      refuse(bad);
      return;
    }
    if (await this.overrule(with_(this.list, c))) return;
    el<HTMLInputElement>("lp-numeral").focus({ preventScroll: true });
    const said = el("lp-error-text").textContent;
    if (!said.startsWith("your reading")) return;
    el("lp-error").hidden = true; // told beside what is to be mended
    refuse(said);
  }

  async undo(): Promise<void> {
    const before = this.undone.pop();
    if (!before) return;
    const depth = this.undone.length;
    await this.overrule(before);
    this.undone.length = Math.min(this.undone.length, depth);
    this.show();
  }

  show(): void {
    el("lp-mine").hidden = this.list.length === 0;
    el("lp-undo").hidden = this.undone.length === 0;
    el("lp-corrections").replaceChildren(
      ...this.list.map((c) => {
        const item = make("li", inWords(c));
        const drop = make("button", "Take back", { type: "button", "aria-label": `Take back ${inWords(c)}` });
        drop.addEventListener("click", () => void this.overrule(this.list.filter((d) => d !== c)));
        item.append(drop);
        return item;
      }),
    );
  }

  async load(file: File | undefined): Promise<void> {
    if (!file) return;
    const { list, bad } = fromText(await file.text());
    if (bad) complain(new Error(`${file.name}, line ${bad}: not "measure beat key numeral", such as "12 3 G V65/V", with - for what stays as heard.`));
    else if (await this.overrule(list.reduce(with_, this.list))) mention(`${list.length} corrections loaded.`);
  }
}

/** Says in the card what is wrong with a correction. */
function refuse(why: string): void {
  el("lp-bad").textContent = why;
  el("lp-bad").hidden = false;
}
