// The worker that runs the engraver's module, as inside.go of internal/engrave
// does in the binary.
import names from "../../internal/engrave/vendored/names.json";
import { Calls } from "./calls";
import type { Done, Order } from "./engines";

/** One run: a fresh memory, used for one score and thrown away. */
class Run {
  private readonly exports: Record<string, (...args: number[]) => number>;
  private readonly memory: WebAssembly.Memory;
  private readonly surroundings: Calls;

  constructor(module: WebAssembly.Module, limit: number) {
    this.surroundings = new Calls(() => this.memory, limit);
    const known = this.surroundings.functions();
    const imports: Record<string, Record<string, WebAssembly.ImportValue>> = {};
    for (const { module: from, name } of WebAssembly.Module.imports(module)) {
      const full = (names.imports as Record<string, string>)[name] ?? name;
      const f = known[full];
      if (!f) throw new Error(`the engraver asks for a function this page does not have: ${full}`);
      (imports[from] ??= {})[name] = f;
    }
    const exports = new WebAssembly.Instance(module, imports).exports;
    this.exports = exports as typeof this.exports;
    this.memory = exports[names.exports.memory] as WebAssembly.Memory;
  }

  call(name: string, args: number[]): number {
    const f = this.exports[(names.exports as Record<string, string>)[name] ?? name];
    if (!f) throw new Error("there is no such function: its table of names does not fit");
    return (f(...args) ?? 0) >>> 0;
  }

  write(at: number, bytes: Uint8Array): void {
    this.surroundings.bytes(at, bytes.length).set(bytes);
  }

  text(at: number): Uint8Array<ArrayBuffer> {
    return this.surroundings.text(at);
  }
}

let run: Run | undefined;

function obey(o: Order): unknown {
  if (o.do === "start") run = new Run(o.module, o.memoryMB << 20);
  else if (o.do === "call") return run!.call(o.name, o.args);
  else if (o.do === "write") run!.write(o.at, o.bytes);
  else if (o.do === "text") return run!.text(o.at);
  else run = undefined;
  return 0;
}

addEventListener("message", ({ data }: MessageEvent<Order>) => {
  const done: Done = { n: data.n };
  try {
    done.value = obey(data);
  } catch (e) {
    done.error = e instanceof Error ? e.message : String(e);
  }
  postMessage(done);
});
