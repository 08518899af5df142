// The card that says why a measure is tense. It lies over the page, on the side
// where the measure is not, and never moves the music.
import type { Bar, Why } from "./api";
import { el, make } from "./dom";
import { causes } from "./playing";

const most = 432; // pixels the card is wide at most
const least = 272; // and at least, to stand beside the measure

/** Shows an explanation; choose is called with another moment of the measure. */
export function showWhy(w: Why, bar: Bar, measure: DOMRect | undefined, choose: (at: string) => void): void {
  const card = el("lp-why");
  const opened = card.hidden;
  if (opened && measure) place(card, measure);
  card.hidden = false;
  el("lp-why-title").textContent = `Measure ${bar.number}`;
  el("lp-beats").replaceChildren(...(bar.beats.length > 1 ? bar.beats.map((b) => beat(b, w.at, choose)) : []));
  el("lp-because").textContent = w.because;
  el("lp-why-heading").textContent = w.heading;
  const rows = w.rows.concat(w.propose ? [["proposal", "", w.propose]] : []);
  el("lp-why-rows").replaceChildren(...causes(rows));
  if (opened) {
    card.scrollTop = 0;
    el("lp-why-title").focus({ preventScroll: true });
  } else if (measure) place(card, measure);
}

/** Beside the measure where there is room, else at the other end of the window. */
function place(card: HTMLElement, measure: DOMRect): void {
  const left = measure.left > window.innerWidth - measure.right;
  const room = Math.min(Math.max(measure.left, window.innerWidth - measure.right) - 16, most);
  const low = window.innerHeight < 544; // its rows must not grow many
  const beside = room >= (low ? most : least);
  card.style.width = beside ? `${room}px` : "";
  card.classList.toggle("lp-across", !beside);
  card.classList.toggle("lp-aside", beside && left);
  card.classList.toggle("lp-above", !beside && (measure.top + measure.bottom) / 2 > window.innerHeight / 2);
}

function beat(at: string, now: string, choose: (at: string) => void): HTMLButtonElement {
  const b = make("button", `beat ${at.slice(at.lastIndexOf(":") + 1)}`, { type: "button", "aria-pressed": String(at === now) });
  b.addEventListener("click", () => choose(at));
  return b;
}
