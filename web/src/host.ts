// How a request of the page reaches the program: over the loopback connection
// on the local page, to a worker on the static site (site.ts).

export type Carrier = (path: string, init?: RequestInit) => Promise<Response>;

let carrier: Carrier = (path, init) => fetch(path, init);

/** Sends a request to the program behind the page. */
export function send(path: string, init?: RequestInit): Promise<Response> {
  return carrier(path, init);
}

/** Chooses another way; before the first request. */
export function carryBy(other: Carrier): void {
  carrier = other;
}
