// The page's beginning: scores to go on with, and ours.
import { demos } from "./api";
import { el, make } from "./dom";
import { forgetWork, works, type Work } from "./memory";
import { complain } from "./say";

/** Lists the scores kept in this browser. */
export async function listWorks(open: (w: Work) => void): Promise<void> {
  const list = await works();
  el("lp-again").hidden = list.length === 0;
  el("lp-recent").replaceChildren(
    ...list.map((w) => {
      const n = w.corrections.length;
      const go = make("button", w.title + (n ? `, ${n} ${n === 1 ? "correction" : "corrections"}` : ""), { type: "button", "data-work": w.id });
      go.addEventListener("click", () => open(w));
      const drop = make("button", "Forget", { type: "button", "aria-label": `Forget ${w.title}` });
      drop.addEventListener("click", () => void forgetWork(w.id).then(() => listWorks(open)));
      const item = make("li");
      item.append(go, drop);
      return item;
    }),
  );
}

/** Forgets them all. */
export async function forgetAll(): Promise<void> {
  for (const w of await works()) await forgetWork(w.id);
}

/** "song-ferry-lamp" as "Ferry lamp (song)". */
function demoTitle(name: string): string {
  const [kind, ...words] = name.split("-");
  const title = words.join(" ");
  return `${title.charAt(0).toUpperCase()}${title.slice(1)} (${kind === "etude" ? "étude" : kind})`;
}

export async function listDemos(open: (name: string) => void): Promise<void> {
  try {
    for (const name of await demos()) {
      const b = make("button", demoTitle(name), { type: "button", "data-demo": name });
      b.addEventListener("click", () => open(name));
      const item = make("li");
      item.append(b);
      el("lp-demos").append(item);
    }
  } catch (e) {
    complain(e);
  }
}
