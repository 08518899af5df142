// The worker of the program: runs it and carries requests and answers. The
// compiler's own wasm_exec.js stands before this in the worker's script.
import { Engines } from "./engines";
import type { Ask, FromWorker, Start, ToWorker } from "./wire";

interface Answer {
  head(status: number, headers: Record<string, string>): void;
  piece(bytes: Uint8Array<ArrayBuffer>): void;
  end(): void;
}

interface Surroundings {
  Go: new () => { importObject: WebAssembly.Imports; run(instance: WebAssembly.Instance): Promise<void> };
  fs: { writeSync(fd: number, bytes: Uint8Array): number };
  engines: Engines; // for internal/engrave
  ready(serve: (ask: Ask, answer: Answer) => () => void): void; // called by web/worker
  postMessage(message: FromWorker, transfer?: Transferable[]): void;
}
const around = globalThis as unknown as Surroundings;

let serve: (ask: Ask, answer: Answer) => () => void;
const running = new Map<number, () => void>();

addEventListener("message", ({ data }: MessageEvent<ToWorker>) => {
  if (data.do === "start") void run(data);
  else if (data.do === "stop") running.get(data.id)?.();
  else {
    if (data.method === "POST") cool();
    running.set(data.id, serve(data, answer(data.id)));
    if (data.path === "/api/demos") warming = setTimeout(() => void warm().catch(() => {}), 300);
  }
});

function answer(id: number): Answer {
  return {
    head: (status, headers) => around.postMessage({ is: "head", id, status, headers }),
    piece: (bytes) => around.postMessage({ is: "piece", id, bytes }, [bytes.buffer]),
    end: () => {
      running.delete(id);
      around.postMessage({ is: "end", id });
    },
  };
}

// ---- warming ----

let warming: ReturnType<typeof setTimeout> | undefined;
let cold: (() => void) | undefined; // ends its request under way

/** Browsers translate the parts of a program as they are used: roughly at first, well what is used often. So the program reads our scores for nobody while the user looks for theirs; the first score then takes less than half the time. */
async function warm(): Promise<void> {
  const names = JSON.parse(await quietly("/api/demos")) as string[];
  for (const dissonance of [1, 0.9]) {
    for (const name of names) {
      if (!warming) return;
      const { id } = JSON.parse(await quietly("/api/demo", { name })) as { id: string };
      const choice = { id, part: 0, key: "", symbols: false, dissonance, distance: 1, pull: 1, corrections: "" };
      if (warming) await quietly("/api/play", choice);
      if (warming && name.startsWith("song")) await quietly("/api/read", { ...choice, layout: "narrow" });
    }
  }
}

/** The page asks for something itself. */
function cool(): void {
  clearTimeout(warming);
  warming = undefined;
  cold?.();
}

function quietly(path: string, body?: unknown): Promise<string> {
  return new Promise<string>((resolve) => {
    let text = "";
    const bytes = new TextEncoder().encode(body ? JSON.stringify(body) : "");
    const ask: Ask = { do: "ask", id: 0, method: body ? "POST" : "GET", path, type: "application/json", body: bytes };
    cold = serve(ask, { head: () => {}, piece: (b) => void (text += new TextDecoder().decode(b)), end: () => resolve(text) });
  }).finally(() => (cold = undefined));
}

// What was due when the program ended complains that it has; run tells that itself.
addEventListener("error", (e) => /already exited/.test((e as ErrorEvent).message) && e.preventDefault());
addEventListener("unhandledrejection", (e) => /already exited/.test(String((e as PromiseRejectionEvent).reason)) && e.preventDefault());

/** Runs the program; it ends only by a fault of its own. */
async function run(start: Start): Promise<void> {
  let said = "";
  around.fs.writeSync = (_, bytes) => {
    said = (said + new TextDecoder().decode(bytes)).slice(0, 2000);
    return bytes.length;
  };
  around.engines = new Engines(start.engraver, start.script);
  around.ready = (f) => {
    serve = f;
    around.postMessage({ is: "ready" });
  };
  try {
    const go = new around.Go();
    await go.run(await WebAssembly.instantiate(start.program, go.importObject));
  } catch (e) {
    said += String(e);
  }
  around.postMessage({ is: "dead", memory: /out of memory|cannot allocate/i.test(said), said });
}
