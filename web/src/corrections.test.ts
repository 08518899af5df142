import assert from "node:assert/strict";
import { test } from "node:test";
import { asText, fromText, inWords, plain, trouble, with_ } from "./corrections";

test("a line for each, in the command's own format", () => {
  const list = [
    { at: "12:3", key: "G", numeral: "V65/V" },
    { at: "20:1", key: "d", numeral: "" },
    { at: "31a:2.5", key: "", numeral: "iiø65" },
  ];
  assert.equal(asText(list), "12 3 G V65/V\n20 1 d -\n31a 2.5 - iiø65\n");
});

test("of two for one moment the later stays", () => {
  const list = with_([{ at: "1:1", key: "C", numeral: "" }], { at: "1:1", key: "a", numeral: "" });
  assert.deepEqual(list, [{ at: "1:1", key: "a", numeral: "" }]);
});

test("words and trouble", () => {
  assert.equal(inWords({ at: "2:1", key: "G", numeral: "I" }), "2:1: key G, I");
  assert.notEqual(trouble({ at: "2:1", key: "", numeral: "" }), "");
  assert.notEqual(trouble({ at: "2:1", key: "", numeral: "V 7" }), "");
  assert.equal(trouble({ at: "2:1", key: "", numeral: "V7" }), "");
});

test("what was saved is read again; a line that is none is named", () => {
  const list = [{ at: "12:3", key: "G", numeral: "V65/V" }, { at: "31a:2.5", key: "", numeral: "#iv" }];
  assert.deepEqual(fromText(`# measure beat key numeral\n\n${asText(list)}`), { list, bad: 0 });
  assert.equal(fromText("12 3 G V\n13 x C I\n").bad, 2);
  assert.equal(fromText("12 3 G\n").bad, 1);
  assert.equal(plain(" ♭VI "), "bVI");
});
