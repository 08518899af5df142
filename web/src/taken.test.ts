import assert from "node:assert/strict";
import { test } from "node:test";
import { quarterAt, secondsOf, type Beat } from "./taken";
import { decibels, wav } from "./wav";

// Four beats, a stop, and two of them once more.
const beats: Beat[] = [
  { onset: 0, pass: 1, time: 1 },
  { onset: 1, pass: 1, time: 2 },
  { onset: 2, pass: 1, time: 3 },
  { onset: 3, pass: 1, time: 4 },
  { onset: 2, pass: 2, time: 9 },
  { onset: 3, pass: 2, time: 10 },
];

test("a place is found the last time it was played", () => {
  assert.deepEqual(secondsOf(beats, 0, 2), { from: 1, to: 3 });
  assert.deepEqual(secondsOf(beats, 2, 4), { from: 9, to: 14 });
  assert.equal(secondsOf(beats, 8, 12), undefined);
});

test("a second has its place on the page, and none in a stop", () => {
  assert.equal(quarterAt(beats, 2.5), 1.5);
  assert.equal(quarterAt(beats, 9.5), 2.5);
  assert.equal(quarterAt(beats, 7), undefined);
  assert.equal(quarterAt(beats, 0.5), undefined);
});

test("samples become a WAV file that says what it is", () => {
  const v = new DataView(wav([Float32Array.of(0, 0.5), Float32Array.of(-2)], 8000));
  const text = (at: number): string => String.fromCharCode(...[0, 1, 2, 3].map((i) => v.getUint8(at + i)));
  assert.deepEqual([text(0), text(8), text(36), v.getUint32(24, true), v.getUint32(40, true)], ["RIFF", "WAVE", "data", 8000, 6]);
  assert.deepEqual([v.getInt16(44, true), v.getInt16(46, true), v.getInt16(48, true)], [0, 16_384, -32_768]);
  assert.ok(Math.abs(decibels(0.5) + 6.02) < 0.01);
});
