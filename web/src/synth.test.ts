import assert from "node:assert/strict";
import { test } from "node:test";
import table from "../../internal/midi/testdata/tones.json";
import { Synth, type Part } from "./synth";

// The table's samples are those of the program (internal/midi/voice_test.go).
test("the tones are those of the program, sample for sample", async () => {
  const synth = new Synth(table.gain, () => table.parts as unknown as Part[]);
  for (const { from, samples } of table.heard) {
    const mine = new Int16Array(await synth.pcm("printed", table.speed, from, from + samples.length / 2));
    const off = Math.max(...samples.map((s, i) => Math.abs(s - mine[i]!)));
    assert.ok(samples.some((s) => s !== 0) || from === 0, "silence proves nothing");
    assert.ok(off <= 1, `from sample ${from} the two differ by up to ${off}`);
  }
});
