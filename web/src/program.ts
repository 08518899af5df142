// The program in a worker of the browser: carries the page's requests to it,
// starts it anew when it ends, and ends it when it does not let go.
import { module, size, stocked } from "./stock";
import type { Ask, FromWorker, Start, ToWorker } from "./wire";

/** How long a request that was given up may still keep the program busy, in milliseconds. */
const patience = 2500;

/** An error as the program says it, see api.ts. */
interface Said {
  error: string;
  hint?: string;
  gone?: boolean;
}

const tooLarge: Said = {
  error: "The memory of this device does not suffice for this score.",
  hint: "read a part of the piece, or use the hairpin program on a computer",
};
const broken: Said = { error: "The program behind this page stopped.", hint: "try again; if it stops again, the score is one it cannot read" };
const restarted: Said = { error: "The program was started anew.", gone: true };

/** A request under way. */
interface Call {
  ask: Ask;
  resolve(r: Response): void;
  reject(e: unknown): void;
  pieces?: ReadableStreamDefaultController<Uint8Array>; // once the answer has begun
  over?: boolean; // given up
}

export class Program {
  readonly files: Promise<Start>;
  private worker: Promise<Worker> | undefined;
  private readonly calls = new Map<number, Call>();
  private last = 0;

  /** heard is told the share of the program that has come, 0 to 1. */
  constructor(heard: (share: number) => void) {
    this.files = load(heard);
    this.files.catch(() => {}); // told to who asks
  }

  /** As fetch. */
  async send(path: string, init: RequestInit = {}): Promise<Response> {
    let worker: Worker;
    try {
      worker = await (this.worker ??= this.start());
    } catch (e) {
      this.worker = undefined;
      return said(503, { error: `The program could not be loaded: ${e instanceof Error ? e.message : String(e)}.`, hint: "reload the page when there is a connection" });
    }
    const body = new Uint8Array(await new Response(init.body ?? null).arrayBuffer());
    init.signal?.throwIfAborted();
    const id = ++this.last;
    const type = new Headers(init.headers).get("Content-Type") ?? "";
    const ask: Ask = { do: "ask", id, method: init.method ?? "GET", path, type, body };
    return new Promise((resolve, reject) => {
      this.calls.set(id, { ask, resolve, reject });
      init.signal?.addEventListener("abort", () => this.giveUp(id));
      tell(worker, ask);
    });
  }

  private async start(): Promise<Worker> {
    const files = await this.files;
    const worker = new Worker(await script(["wasm_exec.js", "worker.js"]));
    await new Promise<void>((ready, failed) => {
      worker.onmessage = ({ data }: MessageEvent<FromWorker>) => {
        if (data.is === "ready") ready();
        else this.hear(worker, data, failed);
      };
      worker.onerror = (e) => failed(new Error(e.message || "its worker does not start"));
      tell(worker, files);
    });
    return worker;
  }

  private hear(worker: Worker, data: FromWorker, failed: (e: Error) => void): void {
    if (data.is === "dead") {
      failed(new Error(data.said));
      console.warn(data.said);
      this.drop(worker, data.memory ? tooLarge : broken);
      return;
    }
    if (data.is === "ready") return;
    const call = this.calls.get(data.id);
    if (data.is === "head") call?.resolve(this.response(data, call));
    else if (data.is === "piece") call?.pieces?.enqueue(data.bytes);
    else {
      call?.pieces?.close();
      this.calls.delete(data.id);
    }
  }

  private response(head: { status: number; headers: Record<string, string> }, call: Call): Response {
    if (head.status === 204) return new Response(null, { status: 204 });
    return new Response(new ReadableStream({ start: (c) => void (call.pieces = c) }), head);
  }

  /** Ends a request. The program lets go of it between two steps; if it does not, it is started anew. */
  private giveUp(id: number): void {
    const call = this.calls.get(id);
    if (!call) return;
    const why = new DOMException("given up", "AbortError");
    call.reject(why);
    call.pieces?.error(why);
    delete call.pieces;
    call.over = true;
    void this.worker?.then((worker) => {
      tell(worker, { do: "stop", id });
      setTimeout(() => this.calls.has(id) && void this.restart(worker), patience);
    });
  }

  /** Starts the program anew and asks it again what it had not begun to answer. */
  private async restart(worker: Worker): Promise<void> {
    const unanswered = [...this.calls.values()].filter((c) => !c.over && !c.pieces);
    for (const call of unanswered) this.calls.delete(call.ask.id);
    this.drop(worker, restarted);
    const next = await (this.worker ??= this.start());
    for (const call of unanswered) {
      this.calls.set(call.ask.id, call);
      tell(next, call.ask);
    }
  }

  /** Ends the worker; what it was asked is answered so. */
  private drop(worker: Worker, answer: Said): void {
    worker.terminate();
    this.worker = undefined;
    for (const call of this.calls.values()) {
      call.resolve(said(500, answer));
      call.pieces?.enqueue(new TextEncoder().encode(`${JSON.stringify(answer)}\n`));
      call.pieces?.close();
    }
    this.calls.clear();
  }
}

function tell(worker: Worker, message: ToWorker): void {
  worker.postMessage(message);
}

function said(status: number, answer: Said): Response {
  return new Response(JSON.stringify(answer), { status });
}

/** The files a worker of the program needs. */
async function load(heard: (share: number) => void): Promise<Start> {
  const come = [0, 0];
  const hear = (i: number) => (bytes: number) => {
    come[i] = bytes;
    heard(Math.min((come[0]! + come[1]!) / size, 1));
  };
  const [program, engraver] = await Promise.all([module("hairpin.wasm.gz", hear(0)), module("engraver.wasm.gz", hear(1))]);
  heard(1);
  return { do: "start", program, engraver, script: await script(["engraver.js"]) };
}

/** A worker's script as an address of this page's own making: so the worker stands under the page's policy, whatever headers the server sends. */
async function script(files: string[]): Promise<string> {
  const texts = await Promise.all(files.map(async (f) => (await stocked(f)).text()));
  return URL.createObjectURL(new Blob(texts, { type: "text/javascript" }));
}
