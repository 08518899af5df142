import assert from "node:assert/strict";
import { test } from "node:test";
import table from "../../internal/engrave/testdata/host.json";
import { Calls } from "./calls";

interface Piece {
  at: number;
  bytes?: number[];
  words?: number[];
}

interface Step {
  call: string;
  args: number[];
  long?: number;
  first?: Piece[];
  result?: number;
  then?: Piece[];
  ends?: boolean;
}

const bytesOf = (p: Piece): number[] => p.bytes ?? [...new Uint8Array(Uint32Array.from(p.words!).buffer)];

test("the engraver is answered as in the binary", () => {
  const memory = new WebAssembly.Memory({ initial: 1 });
  const functions = new Calls(() => memory, table.pages * 65536).functions();
  assert.deepEqual(Object.keys(functions).sort(), table.functions);
  for (const s of table.steps as Step[]) {
    for (const p of s.first ?? []) new Uint8Array(memory.buffer).set(bytesOf(p), p.at);
    const call = (): number => Number(functions[s.call]!(...(s.args.map((a, i) => (i === s.long ? BigInt(a) : a | 0)) as never[])) ?? 0) >>> 0;
    const about = JSON.stringify(s);
    if (s.ends) assert.throws(call, about);
    else {
      const result = call();
      if (s.result !== undefined) assert.equal(result, s.result, about);
    }
    for (const p of s.then ?? []) assert.deepEqual([...new Uint8Array(memory.buffer, p.at, bytesOf(p).length)], bytesOf(p), about);
  }
});
