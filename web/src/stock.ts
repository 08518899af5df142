// The site's own files: fetched once, kept by the browser, unpacked here. The
// builder of the site (tools/dist) writes SITE before the scripts that use it.

export interface Site {
  version: string;
  files: Record<string, string>; // name → the beginning of its SHA-256 sum
  size: number; // of the two packed modules, bytes
}

declare const SITE: Site;

export const { size } = SITE;
const shelfName = `hairpin-${SITE.version}`;

/** The address of a file of this version; an unnamed one is the page itself. */
export function address(name: string): string {
  const sum = SITE.files[name];
  return new URL(sum ? `${name}?v=${sum}` : name, base()).href;
}

/** The folder of the site. */
function base(): string {
  const worker = globalThis as { registration?: ServiceWorkerRegistration };
  return worker.registration?.scope ?? document.baseURI;
}

export function names(): string[] {
  return ["./", ...Object.keys(SITE.files)];
}

/** The shelf of this version; undefined where the browser keeps nothing for pages. */
export async function shelf(): Promise<Cache | undefined> {
  return "caches" in globalThis ? caches.open(shelfName).catch(() => undefined) : undefined;
}

/** Takes what older versions kept away. */
export async function clear(): Promise<void> {
  for (const name of await caches.keys()) if (name.startsWith("hairpin-") && name !== shelfName) await caches.delete(name);
}

/** A file, from what is kept by any version or from where the site lies. */
export async function stocked(name: string): Promise<Response> {
  const at = address(name);
  const mine = await shelf();
  const known = (await mine?.match(at)) ?? (mine && SITE.files[name] ? await caches.match(at) : undefined);
  const file = known ?? (await fetch(at, name === "./" ? { cache: "no-cache" } : {}));
  if (!file.ok) throw new Error(`${name}: the server of this page answered with status ${file.status}`);
  await mine?.put(at, file.clone()).catch(() => {}); // no room: then without
  return file;
}

/** Compiles a packed module, unpacked here unless the server's headers made the browser do it. heard is told how many bytes have come. */
export async function module(name: string, heard: (bytes: number) => void): Promise<WebAssembly.Module> {
  let count = 0;
  const counting = new TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>({
    transform(piece, to) {
      heard((count += piece.length));
      to.enqueue(piece);
    },
  });
  const bytes = await new Response((await stocked(name)).body!.pipeThrough(counting)).blob();
  const [first] = new Uint8Array(await bytes.slice(0, 1).arrayBuffer());
  const code = first === 0x1f ? bytes.stream().pipeThrough(new DecompressionStream("gzip")) : bytes.stream();
  return WebAssembly.compileStreaming(new Response(code, { headers: { "Content-Type": "application/wasm" } }));
}
