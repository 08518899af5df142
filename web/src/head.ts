// The head of the page scrolls away with it; a button in the play bar lays it over
// the top of the window, so that no room for music is lost.
import { el } from "./dom";

export function callableHead(): void {
  const head = document.querySelector<HTMLElement>(".lp-top")!;
  const opener = el("lp-head-open");
  const body = document.body;
  const call = (on: boolean): void => {
    if (on === body.classList.contains("lp-called")) return;
    body.style.paddingTop = on ? `${head.offsetHeight}px` : ""; // the page below keeps its place
    body.classList.toggle("lp-called", on);
    opener.setAttribute("aria-expanded", String(on));
    if (on) el("lp-takes-open").focus({ preventScroll: true });
  };
  new IntersectionObserver(([e]) => {
    if (!body.classList.contains("lp-called")) body.classList.toggle("lp-headless", !e!.isIntersecting);
  }).observe(head);
  opener.addEventListener("click", () => call(!body.classList.contains("lp-called")));
  document.addEventListener("click", (e) => {
    const at = e.target as Element;
    if (at.closest("#lp-head-open") || (at.closest(".lp-top") && !at.closest("[data-file], #lp-takes-open, #lp-save-corrections"))) return;
    call(false);
  });
  document.addEventListener("keydown", (e) => {
    if (e.key !== "Escape" || !body.classList.contains("lp-called")) return;
    call(false);
    opener.focus({ preventScroll: true });
  });
}
