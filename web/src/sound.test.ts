import assert from "node:assert/strict";
import { test } from "node:test";
import { amplitude, brightness, due, firstFrom, hertz, type Note } from "./sound";

test("equal temperament: A4 is 440 Hz (ISO 16:1975), middle C 261.63 Hz", () => {
  assert.equal(hertz(69), 440);
  assert.ok(Math.abs(hertz(60) - 261.6256) < 1e-3);
});

test("louder is louder and brighter, step by step; silence is silent", () => {
  assert.equal(amplitude(0), 0);
  for (let level = 1; level < 8; level++) {
    assert.ok(amplitude(level + 1) > amplitude(level));
    assert.ok(brightness(level + 1, 60) > brightness(level, 60));
  }
  assert.ok(amplitude(9) < 0.6, "many voices must not clip");
});

const notes: Note[] = [0, 0, 0.5, 1].map((at) => ({ at, for: 1, key: 60, printed: 5, shaped: 5 }));

test("due hands each note out once", () => {
  const first = due(notes, 0, 0.5);
  assert.equal(first.notes.length, 2);
  const second = due(notes, first.next, 2);
  assert.equal(second.notes.length, 2);
  assert.equal(due(notes, second.next, 9).notes.length, 0);
});

test("firstFrom finds the first note of a moment", () => {
  for (const [at, want] of [[0, 0], [0.4, 2], [0.5, 2], [0.51, 3], [2, 4]] as const) assert.equal(firstFrom(notes, at), want);
});
