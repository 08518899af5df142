import assert from "node:assert/strict";
import { test } from "node:test";
import { inShort, matches, type Place } from "./contents";
import { soundingEnd } from "./playing";

const place: Place = { kind: "phrase", name: "Phrase 3", where: "mm. 9–12", bar: 8, from: 32, to: 48, text: "half cadence in D minor", verdict: "supports works against " };

test("an entry is found by all its words and by a verdict", () => {
  for (const [words, verdict, want] of [["", "", true], ["half MINOR", "", true], ["half major", "", false], ["", "works against", true], ["phrase 3", "unshaped", false]] as const) {
    assert.equal(matches(place, words, verdict), want, `${words} ${verdict}`);
  }
});

test("the end of a loop is in the pass in which it begins", () => {
  const knots = [[0, 0], [4, 4], [4, 0], [8, 4], [12, 8]] as const; // a repeat, then on
  assert.equal(soundingEnd(knots, 1, { from: 1, to: 3 }), 3);
  assert.equal(soundingEnd(knots, 5, { from: 1, to: 3 }), 7);
  assert.equal(soundingEnd(knots, 9, { from: 5, to: 99 }), 12);
});

test("a phrase in short: how it ends, and its verdicts", () => {
  assert.equal(inShort({ ...place, text: "half cadence in D minor; builds, 3 to 40, works against" }), "half cadence in D minor · supports · works against");
});
