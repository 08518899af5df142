// The service worker of the static site: keeps its files, answers from them
// without a network, and takes a score that another app shares.
import { keepShared } from "./keep";
import { address, clear, names, stocked } from "./stock";

interface Extendable extends Event {
  waitUntil(p: Promise<unknown>): void;
}
interface Fetching extends Extendable {
  request: Request;
  respondWith(r: Response | Promise<Response>): void;
}

function on<E extends Event>(event: string, run: (e: E) => void): void {
  addEventListener(event, run as (e: Event) => void);
}

const worker = globalThis as unknown as { skipWaiting(): Promise<void>; clients: { claim(): Promise<void> } };

// A new version fetches all of its files before it is used; what has not
// changed it takes from the version before. It waits until the page asks for it
// or all pages of the old one are closed.
on<Extendable>("install", (e) => e.waitUntil(Promise.all(names().map(stocked))));
on<Extendable>("activate", (e) => e.waitUntil(clear().then(() => worker.clients.claim())));
on<MessageEvent>("message", (e) => void (e.data === "use" && worker.skipWaiting()));

on<Fetching>("fetch", (e) => {
  const { request } = e;
  if (request.method === "POST" && request.url === address("share")) e.respondWith(shared(request));
  else if (request.method === "GET") {
    const name = known(request);
    if (name) e.respondWith(stocked(name));
  }
});

/** The name of a file of this version; a visit to the page is its start. */
function known(request: Request): string | undefined {
  const start = address("./");
  if (request.mode === "navigate") return new URL(request.url).origin + new URL(request.url).pathname === start ? "./" : undefined;
  return names().find((n) => address(n) === request.url);
}

/** Takes the score another app has sent, and shows the page. */
async function shared(request: Request): Promise<Response> {
  const file = (await request.formData()).get("score");
  if (file instanceof File) await keepShared(file);
  return Response.redirect(address("./"), 303);
}
