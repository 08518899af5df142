// Small helpers around the page's elements.

/** The element with an id; the page has it, or the page is broken. */
export function el<T extends Element = HTMLElement>(id: string): T {
  const e = document.getElementById(id);
  if (!e) throw new Error(`the page has no ${id}`);
  return e as unknown as T;
}

/** A new element with text in it. */
export function make<K extends keyof HTMLElementTagNameMap>(tag: K, text = "", attributes: Record<string, string> = {}): HTMLElementTagNameMap[K] {
  const e = document.createElement(tag);
  e.textContent = text;
  for (const [name, value] of Object.entries(attributes)) e.setAttribute(name, value);
  return e;
}

/** Fills a choice. */
export function options(select: HTMLSelectElement, list: readonly (readonly [string, string])[], chosen: string): void {
  select.replaceChildren(...list.map(([value, text]) => make("option", text, { value })));
  select.value = chosen;
}

/** Runs only the last of calls that follow each other closely. */
export function calmly(ms: number, run: () => void): () => void {
  let timer = 0;
  return () => {
    clearTimeout(timer);
    timer = window.setTimeout(run, ms);
  };
}

/** Runs a function when an element tells an event. */
export function on<K extends keyof HTMLElementEventMap>(id: string, event: K, run: (e: HTMLElementEventMap[K]) => void): void {
  el(id).addEventListener(event, run);
}

/** A file chosen with an input, which is then ready for another. */
export function onFile(id: string, take: (file: File | undefined) => void): void {
  on(id, "change", () => {
    const input = el<HTMLInputElement>(id);
    take(input.files?.[0]);
    input.value = "";
  });
}
