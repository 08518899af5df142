// How long the static site takes beside the local page, in the same run.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { host } from "./host.mjs";
import { browser, build, buildSite, chooseDemo, desk, drop, longer, openPage, serve } from "./start.mjs";

let chrome;
let site;
let local;
before(async () => {
  local = await serve(process.env.PROGRAM ?? build());
  site = await host(process.env.SITE ?? buildSite());
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await site?.stop();
  await local?.stop();
});

/** Milliseconds from the drop of a score until its words and its first staves stand on the page. */
async function begun(page, name, song) {
  await page.evaluate(() => {
    const seen = (globalThis.seen = {});
    let from = 0;
    document.addEventListener("drop", () => (from = performance.now()), { capture: true, once: true });
    new MutationObserver((_, me) => {
      if (!from || !document.title.startsWith("Ferry Lamp")) return;
      seen.words ??= performance.now() - from;
      if (!document.querySelector("main svg.hp-system")) return;
      seen.staves = performance.now() - from;
      me.disconnect();
    }).observe(document, { subtree: true, childList: true, attributes: true });
  });
  await drop(page, name, song);
  await page.waitForFunction(() => globalThis.seen.staves && !document.querySelector("main[aria-busy]"), undefined, { timeout: 180_000 });
  return page.evaluate(() => globalThis.seen);
}

const middle = (list) => list.toSorted((a, b) => a - b)[list.length >> 1];

test("words and staves of a long song come nearly as soon as on the local page", { timeout: 600_000 }, async () => {
  const song = longer("song-ferry-lamp", 4);
  const pages = await Promise.all([local, site].map((at) => openPage(chrome, desk, at.address)));
  const rounds = [];
  for (let i = 0; i < 3; i++) {
    const round = [];
    for (const { page } of pages) {
      page.setDefaultTimeout(120_000);
      await page.evaluate(async () => { // what was read before is not offered again
        localStorage.clear();
        sessionStorage.clear();
        for (const d of await indexedDB.databases()) indexedDB.deleteDatabase(d.name);
      });
      await page.goto(page.url().split("#")[0]);
      await page.reload();
      await page.waitForSelector("[data-demo]");
      await page.waitForTimeout(Number(process.env.PAUSE ?? 3000)); // as long as it takes to find a file
      await chooseDemo(page, "vibraphone-low-water");
      round.push(await begun(page, `song-${i}.musicxml`, song));
    }
    rounds.push(round);
  }
  for (const { close } of pages) await close();
  for (const [what, most] of [["words", 2.5], ["staves", 2]]) {
    const [there, here] = [0, 1].map((at) => middle(rounds.map((r) => r[at][what])));
    console.log(`# 160 measures, first ${what}: local page ${Math.round(there)} ms, site ${Math.round(here)} ms, ${(here / there).toFixed(2)} times as long`);
    assert.ok(here <= most * there, `${what}: ${here} ms, ${there} ms on the local page`);
  }
});
