// Runs of the engraver, each in a worker of its own that can be ended at any
// moment. Used by internal/engrave/browser.go.

/** What an engraver's worker is told; n counts. */
export type Order =
  | { n: number; do: "start"; module: WebAssembly.Module; memoryMB: number }
  | { n: number; do: "call"; name: string; args: number[] }
  | { n: number; do: "write"; at: number; bytes: Uint8Array }
  | { n: number; do: "text"; at: number }
  | { n: number; do: "end" };

export type Done = { n: number; value?: unknown; error?: string };

type Without<T> = T extends unknown ? Omit<T, "n"> : never;

export class Engines {
  private idle: Worker | undefined;

  constructor(
    private readonly module: WebAssembly.Module,
    private readonly script: string,
  ) {}

  /** A fresh run with a memory of its own. */
  async start(memoryMB: number): Promise<Engine> {
    const worker = this.idle ?? new Worker(this.script);
    this.idle = undefined;
    const engine = new Engine(worker, () => (this.idle ??= worker) === worker);
    await engine.order({ do: "start", module: this.module, memoryMB });
    return engine;
  }
}

export class Engine {
  private n = 0;
  private waiting: { n: number; done(d: Done): void } | undefined;

  constructor(
    private readonly worker: Worker,
    private readonly giveBack: () => boolean,
  ) {
    worker.onmessage = ({ data }: MessageEvent<Done>) => {
      if (data.n === this.waiting?.n) this.settle(data);
    };
    worker.onerror = () => this.settle({ n: this.n, error: "its worker failed" });
  }

  private settle(d: Done): void {
    const w = this.waiting;
    this.waiting = undefined;
    w?.done(d);
  }

  order(o: Without<Order>): Promise<unknown> {
    const n = ++this.n;
    return new Promise((resolve, reject) => {
      this.waiting = { n, done: (d) => (d.error === undefined ? resolve(d.value) : reject(new Error(d.error))) };
      this.worker.postMessage({ ...o, n });
    });
  }

  call(name: string, args: number[]): Promise<unknown> {
    return this.order({ do: "call", name, args });
  }

  write(at: number, bytes: Uint8Array): Promise<unknown> {
    return this.order({ do: "write", at, bytes });
  }

  text(at: number): Promise<unknown> {
    return this.order({ do: "text", at });
  }

  /** Ends the run: a worker still at work is ended with it, another waits for the next. */
  end(): void {
    const busy = this.waiting !== undefined;
    this.waiting = undefined;
    if (!busy) this.worker.postMessage({ do: "end", n: 0 });
    if (busy || !this.giveBack()) this.worker.terminate();
  }
}
