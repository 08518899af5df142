// The player's own takes on the local page: recorded with a microphone that the
// browser plays a file into, opened, drawn, heard, compared, kept, forgotten.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { browser, build, chooseDemo, demo, desk, drop, file, findings, openPage, phone, serve } from "./start.mjs";

const score = demo("vibraphone-low-water");
let chrome;
let site;
before(async () => {
  const program = build();
  execFileSync(program, ["listen", score, "-o", file("mine.wav"), "--level", "shaped", "--measures", "1-4"]);
  execFileSync(program, ["listen", score, "-o", file("all.mid"), "--level", "printed"]);
  site = await serve(program);
  chrome = await browser(["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream", `--use-file-for-fake-audio-capture=${file("mine.wav")}%noloop`]);
});
after(async () => {
  await chrome?.close();
  await site?.stop();
});

async function fresh(options, run, allowed = /$^/) {
  const { page, complaints, close } = await openPage(chrome, options, site.address);
  const asked = [];
  page.on("request", (r) => asked.push(r.url()));
  try {
    await chooseDemo(page, "vibraphone-low-water");
    await run(page);
    assert.deepEqual(complaints.filter((c) => !allowed.test(c)), []);
    assert.deepEqual(asked.filter((url) => !url.startsWith(site.address) && !url.startsWith("data:") && !url.startsWith("blob:")), [], "something left the machine");
  } finally {
    await close();
  }
}

const drawn = (page, n) => page.waitForFunction((n) => document.querySelector(`svg.hp-system .hp-take-${n} .hp-take-line`) && !document.querySelector("main[aria-busy]"), n);
const openTake = async (page, name, bytes) => {
  await page.setInputFiles("#tk-file", bytes ? { name, mimeType: "audio/mp4", buffer: bytes } : file(name));
  await page.waitForFunction(() => /found in measures/.test(document.querySelector("#tk-said").textContent));
};

test("a take is recorded as it sounds, drawn, heard at the chosen measure, compared with another, and there after a reload", { timeout: 60_000 }, () =>
  fresh(desk, async (page) => {
    await page.evaluate(() => {
      const ask = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
      navigator.mediaDevices.getUserMedia = async (wish) => {
        const stream = await ask(wish);
        globalThis.wished = { wish: wish.audio, set: stream.getAudioTracks()[0].getSettings() };
        return stream;
      };
    });
    await page.click("#lp-takes-open");
    await page.click("#tk-record");
    await page.waitForFunction(() => globalThis.wished && document.querySelector("#tk-meter").value > -40, undefined, { timeout: 15_000 });
    const { wish, set } = await page.evaluate(() => globalThis.wished);
    for (const what of ["autoGainControl", "noiseSuppression", "echoCancellation"]) assert.deepEqual([wish[what], set[what]], [false, false], what);
    assert.match(await page.locator("#tk-level").textContent(), /0:\d\d, highest −?-?\d+ dB/);
    assert.equal(await page.locator("#tk-record").textContent(), "■ Stop recording");
    await page.waitForTimeout(6500);
    await page.click("#tk-record");
    await page.waitForFunction(() => /found in measures 1–/.test(document.querySelector("#tk-said").textContent), undefined, { timeout: 20_000 });
    await drawn(page, 1);
    await openTake(page, "all.mid");
    await drawn(page, 2);
    assert.match(await page.locator(".hp-legend").textContent(), /1: .*2: all/s);
    assert.match(await page.locator("#lp-tables").textContent(), /What was played.*Played: mm\. 1–.*Alternating strokes.*Take beside take/s);
    assert.ok((await page.locator("#hp-whole .hp-take-line").count()) >= 2, "the strip has no takes");

    await page.keyboard.press("Escape");
    await page.locator(".hp-bar").nth(2).press("Enter");
    await page.waitForSelector("#tk-here [data-hear='1']");
    for (const n of [1, 2]) {
      await page.click(`#tk-here [data-hear='${n}']`);
      await page.waitForFunction(() => Number(document.querySelector(".lp-cursor")?.dataset.quarter) >= 6, undefined, { timeout: 8000 });
    }
    await page.click("#lp-why-close");
    await page.click("#lp-takes-open");
    await page.click("#tk-compare");
    await page.waitForFunction(() => /^Take 1: /.test(document.querySelector("#tk-said").textContent));
    await page.waitForSelector("#tk-hush");
    await page.click("#tk-hush");
    await page.waitForSelector(".lp-cursor", { state: "detached" });
    assert.deepEqual(await findings(page), []);

    await page.reload();
    await drawn(page, 2);
    await page.click("#lp-takes-open");
    assert.equal(await page.locator("#tk-list li").count(), 2);
    await page.locator("#tk-list input").first().uncheck();
    await page.waitForFunction(() => !document.querySelector("svg.hp-system .hp-take-2"));
    await page.click("#tk-forget-all");
    await page.waitForFunction(() => !document.querySelector("svg.hp-system .hp-take-1") && !document.querySelector("#tk-list li"));
    await page.reload();
    await page.waitForSelector("svg.hp-system");
    assert.equal(await page.locator(".hp-take-line").count(), 0);
  }));

test("on a telephone the panel fits and can be used; a file only the browser reads is followed; what is no sound is refused", { timeout: 60_000 }, () =>
  fresh(phone, async (page) => {
    await page.click("#lp-takes-open");
    const box = await page.locator("#lp-takes").boundingBox();
    assert.ok(box.x >= 0 && box.x + box.width <= phone.viewport.width, JSON.stringify(box));
    await openTake(page, "voice memo.m4a", readFileSync(file("mine.wav")));
    await drawn(page, 1);
    assert.deepEqual(await findings(page), []);
    await drop(page, "letter.wav", "not a sound at all");
    await page.waitForFunction(() => /^letter\.wav: not a sound that can be read/.test(document.querySelector("#tk-said").textContent));
    assert.equal(await page.locator("#tk-list li").count(), 1);
  }, /status of 422/));

test("without a microphone the page says so", { timeout: 30_000 }, () =>
  fresh(desk, async (page) => {
    await page.evaluate(() => (navigator.mediaDevices.getUserMedia = async () => { throw new DOMException("no", "NotAllowedError"); }));
    await page.click("#lp-takes-open");
    await page.click("#tk-record");
    await page.waitForFunction(() => /not allowed/.test(document.querySelector("#tk-said").textContent));
    assert.equal(await page.locator("#tk-record").textContent(), "Record");
  }));
