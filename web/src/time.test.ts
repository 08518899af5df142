import assert from "node:assert/strict";
import { test } from "node:test";
import { between, counted, firstSounding, lastAtMost, measureAt, placeOf } from "./time";

const near = (a: number, b: number): void => assert.ok(Math.abs(a - b) < 1e-9, `${a} is not ${b}`);

test("between runs in proportion and stops at the ends", () => {
  const pairs = [[0, 100], [1, 140], [3, 180]] as const;
  for (const [v, want] of [[-1, 100], [0, 100], [0.5, 120], [1, 140], [2, 160], [3, 180], [9, 180]] as const) near(between(pairs, v), want);
  near(between([], 1), 0);
});

test("between takes the later of two pairs at one time: a repeat jumps", () => {
  near(between([[0, 0], [2, 4], [2, 0], [4, 4]], 2), 0);
  near(between([[0, 0], [2, 4], [2, 0], [4, 4]], 1.5), 3);
});

test("lastAtMost", () => {
  const pairs = [[0, 0], [1, 0], [1, 1], [2, 0]] as const;
  for (const [v, want] of [[-0.1, -1], [0, 0], [1, 2], [1.5, 2], [5, 3]] as const) assert.equal(lastAtMost(pairs, v), want);
});

test("firstSounding is the first pass of a repeated place", () => {
  const knots = [[0, 0], [4, 4], [4, 0], [8, 4], [12, 8]] as const;
  near(firstSounding(knots, 1), 1);
  near(firstSounding(knots, 6), 10);
  near(firstSounding(knots, 99), 0);
});

test("placeOf gives the system and the place in it; the end belongs to the last", () => {
  const systems = [
    { from: 0, to: 4, width: 100, height: 10, anchors: [[0, 10], [4, 90]] },
    { from: 4, to: 8, width: 100, height: 10, anchors: [[4, 20], [8, 80]] },
  ] as const;
  assert.deepEqual(placeOf(systems, 0), { system: 0, x: 10 });
  assert.deepEqual(placeOf(systems, 4), { system: 1, x: 20 });
  assert.deepEqual(placeOf(systems, 8), { system: 1, x: 80 });
  assert.equal(placeOf([], 1), undefined);
});

test("measureAt", () => {
  for (const [q, want] of [[0, 0], [0.99, 0], [1, 1], [4.9, 1], [5, 2], [50, 2]] as const) assert.equal(measureAt([0, 1, 5], q), want);
});

test("a beat is counted as a player counts it", () => {
  for (const [beat, want] of [["2", "2"], ["2.5", "2½"], ["3.75", "3¾"], ["1.33", "1⅓"], ["1.67", "1⅔"], ["4.1", "4+"]]) assert.equal(counted(beat!), want);
});
