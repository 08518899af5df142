// The static site: the page with the program in a worker, kept for use without
// a network, and the ways a score comes to it from other apps.
import { loaded } from "./carry";
import { el, make } from "./dom";
import { takeShared } from "./keep";
import { openFile } from "./page";

/** "Open with" of the system. */
interface LaunchQueue {
  setConsumer(run: (launch: { files: readonly { getFile(): Promise<File> }[] }) => void): void;
}

function openWith(): void {
  const { launchQueue } = globalThis as { launchQueue?: LaunchQueue };
  launchQueue?.setConsumer(async ({ files }) => {
    if (files[0]) openFile(await files[0].getFile());
  });
}

async function openShared(): Promise<void> {
  const file = await takeShared();
  if (file) openFile(file);
}

/** Offers a new version that is ready; it is used at the next start in any case. */
function offer(waiting: ServiceWorker): void {
  const line = make("div", "", { class: "lp-state", id: "lp-update" });
  const use = make("button", "Use it now", { type: "button" });
  use.addEventListener("click", () => {
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload());
    waiting.postMessage("use");
  });
  line.append(make("p", "A new version of this page is ready.", { class: "lp-status" }), use);
  document.getElementById("lp-update")?.remove();
  el("lp-status").parentElement!.after(line);
}

/** Keeps the site for use without a network, and looks for a newer one. */
async function keepSite(): Promise<void> {
  const r = await navigator.serviceWorker.register("sw.js").catch(() => undefined);
  if (!r) return;
  if (r.waiting) offer(r.waiting);
  r.addEventListener("updatefound", () => {
    const next = r.installing;
    next?.addEventListener("statechange", () => {
      if (next.state === "installed" && r.active) offer(next);
    });
  });
}

openWith();
void openShared();
// The first visit keeps the files after they have come, so that nothing is
// fetched twice; a later one need not wait for a program that may not start.
if ("serviceWorker" in navigator) void Promise.resolve(navigator.serviceWorker.controller ?? loaded).then(keepSite, () => {});
