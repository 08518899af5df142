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
  else if (data.do === "ask") running.set(data.id, serve(data, answer(data.id)));
  else running.get(data.id)?.();
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
