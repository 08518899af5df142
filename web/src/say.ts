// What the page says: how far it is, and what went wrong.
import { Failure } from "./api";
import { el } from "./dom";

export function say(text: string): void {
  el("lp-status").textContent = text;
}

/** Says something that passes. */
export function mention(text: string): void {
  say(text);
  setTimeout(() => void (el("lp-status").textContent === text && say("")), 6000);
}

export function complain(e: unknown): void {
  if (e instanceof DOMException && e.name === "AbortError") return;
  const hint = e instanceof Failure && e.hint ? `\nHint: ${e.hint}` : "";
  el("lp-error-text").textContent = (e instanceof Error ? e.message : String(e)) + hint;
  el("lp-error").hidden = false;
  say("");
}
