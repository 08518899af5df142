// The report in a real browser: from disk, on every screen, on paper.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, statSync, writeFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { pathToFileURL } from "node:url";
import { browser, build, dark, demo, desk, file, findings, longer, openPage, phone } from "./start.mjs";

const names = ["etude-millrace", "song-ferry-lamp", "quartet-below-the-weir", "vibraphone-low-water"];
let chrome;
let program;
before(async () => {
  program = build();
  for (const name of names) execFileSync(program, ["report", demo(name), "-o", file(`${name}.html`)]);
  writeFileSync(file("long.musicxml"), longer("song-ferry-lamp", 4));
  execFileSync(program, ["report", file("long.musicxml"), "-o", file("long.html")]);
  chrome = await browser();
});
after(() => chrome?.close());

const address = (name) => pathToFileURL(file(`${name}.html`)).href;

test("it opens from disk and asks nobody for anything", async () => {
  for (const name of names) {
    const { page, complaints, close } = await openPage(chrome, desk);
    const asked = [];
    page.on("request", (r) => asked.push(r.url()));
    await page.goto(address(name));
    await page.evaluate(() => document.fonts.ready);
    assert.deepEqual(asked.filter((u) => u !== address(name) && !u.startsWith("data:")), []);
    assert.deepEqual(complaints, []);
    await close();
  }
});

for (const [where, options] of [["desk", desk], ["phone", phone], ["dark", dark]]) {
  test(`an accessibility checker finds nothing: ${where}`, async () => {
    for (const name of names) {
      const { page, close } = await openPage(chrome, options, address(name));
      await page.evaluate(() => document.querySelectorAll("details:not(.lp-menu)").forEach((d) => d.setAttribute("open", "")));
      assert.deepEqual(await findings(page), [], name);
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= options.viewport.width, `${name} is wider than the ${where}`);
      await close();
    }
  });
}

for (const [name, options] of [["song-ferry-lamp", desk], ["song-ferry-lamp", phone], ["long", desk], ["long", phone]]) {
  test(`without a network it says why, leads on and plays: ${name}, ${options.viewport.width} px`, async () => {
    const { page, complaints, close } = await openPage(chrome, options);
    await page.context().setOffline(true);
    await page.goto(address(name));
    await page.waitForSelector(".hp-alive");
    assert.ok(statSync(file(`${name}.html`)).size < 1e6, `${statSync(file(`${name}.html`)).size} bytes`);
    const shown = page.locator(options === phone ? ".hp-narrow .hp-bar" : ".hp-wide .hp-bar");
    assert.equal(await shown.count(), name === "long" ? 160 : 40);
    const top = () => shown.first().evaluate((b) => b.getBoundingClientRect().top);
    const before = await top();
    const at = await shown.nth(1).boundingBox();
    assert.ok(before < options.viewport.height / 2, `the staves begin at ${before} px`);
    await page.mouse.click(at.x + at.width / 2, at.y + 30);
    await page.waitForSelector("#lp-why:not([hidden])");
    assert.equal(await top(), before, "the card moved the music");
    assert.match(await page.locator("#lp-because").textContent(), /\.$/);
    assert.deepEqual(await findings(page), []);
    await page.click("#lp-play-here");
    await page.waitForFunction(() => /measure [23]/.test(document.querySelector("#lp-where").textContent));
    await page.click("#lp-play");
    await page.keyboard.press("Escape");
    await page.locator(".hp-try a").nth(1).click();
    await page.waitForFunction(() => document.querySelector(".hp-overview").getBoundingClientRect().top > 0);
    assert.match(await page.evaluate(() => document.activeElement.getAttribute("aria-label")), /^Measure .*: why/);
    await page.keyboard.press(" ");
    await page.waitForFunction(() => document.querySelector("#lp-play").getAttribute("aria-pressed") === "true");
    await page.keyboard.press(" ");
    await page.click("#lp-contents-open");
    assert.ok((await page.locator("#lp-contents li").count()) > 10);
    assert.deepEqual(complaints, []);
    await close();
  });
}

for (const [hash, options] of [["#m30", phone], ["#n30", phone], ["#n30", desk]]) {
  test(`a link to a measure finds it in a new tab: ${hash}, ${options.viewport.width} px`, async () => {
    const { page, close } = await openPage(chrome, { ...options, reducedMotion: "reduce" }, address("song-ferry-lamp") + hash);
    await page.waitForFunction(() => [...document.querySelectorAll(".hp-bar[data-measure='29']")].some((b) => { const r = b.getBoundingClientRect(); return r.height > 0 && r.top > 0 && r.top < innerHeight / 2; }));
    await close();
  });
}

test("it sounds as the file that listen writes, printed and proposed", async () => {
  const { page, complaints, close } = await openPage(chrome, desk);
  await page.addInitScript(() => {
    globalThis.heard = [];
    const start = AudioBufferSourceNode.prototype.start;
    AudioBufferSourceNode.prototype.start = function (...at) {
      globalThis.heard.push([...this.buffer.getChannelData(0)].slice(0, 44_100));
      start.apply(this, at);
    };
  });
  for (const level of ["printed", "shaped", "beats"]) {
    await page.goto(address("vibraphone-low-water"));
    if (level === "beats") await page.evaluate(() => document.getElementById("lp-each-beat").click());
    await page.check(`[name=lp-level][value=${level === "printed" ? "printed" : "shaped"}]`);
    await page.click(".lp-play");
    await page.waitForFunction(() => globalThis.heard.length > 0);
    const mine = await page.evaluate(() => globalThis.heard[0]);
    execFileSync(program, ["listen", demo("vibraphone-low-water"), "--repeats", "--level", level, "-o", file("heard.wav")]);
    const wav = readFileSync(file("heard.wav"));
    const off = mine.map((x, i) => x - wav.readInt16LE(44 + 4 * i) / 32_768);
    const size = (list) => Math.sqrt(list.reduce((sum, x) => sum + x * x, 0));
    assert.ok(size(mine) > 1 && size(off) < 0.05 * size(mine), `${level}: they differ by ${((100 * size(off)) / size(mine)).toFixed(1)} %`);
  }
  assert.deepEqual(complaints, []);
  await close();
});

// The printable area in millimetres, inside margins of 12 mm.
const papers = { A4: [186, 273], Letter: [191.9, 255.4] };
const px = 96 / 25.4;

for (const [paper, [width, height]] of Object.entries(papers)) {
  test(`on ${paper} no system is cut and little stays blank`, async () => {
    const { page, close } = await openPage(chrome, { viewport: { width: Math.round(width * px), height: Math.round(height * px) } });
    await page.emulateMedia({ media: "print" });
    const blanks = [];
    for (const name of names) {
      await page.goto(address(name));
      const seen = await page.evaluate(() => ({
        head: document.querySelector(".hp-wide").getBoundingClientRect().top,
        lines: [...document.querySelectorAll(".hp-wide .hp-line")].map((l) => ({ height: l.getBoundingClientRect().height, inside: getComputedStyle(l).breakInside })),
        label: document.querySelector(".hp-wide .hp-numerals text").getBoundingClientRect().height,
      }));
      assert.ok(seen.lines.every((l) => l.inside === "avoid" && l.height < height * px), `${name}: a system is cut`);
      assert.ok(seen.label / px >= 2.5, `${name}: labels are ${(seen.label / px).toFixed(1)} mm high`);
      blanks.push(blank(seen.head, seen.lines.map((l) => l.height), height * px));
    }
    console.log(`# ${paper}: blank at the foot of pages, ${names.map((n, i) => `${n} ${(100 * blanks[i]).toFixed(0)} %`).join(", ")}`);
    assert.ok(blanks.reduce((a, b) => a + b) / blanks.length < 0.2, "too much stays blank");
    await close();
  });
}

/** The mean share of the pages before the last that stays white below their last system. */
function blank(head, heights, page) {
  let used = head % page;
  let lost = 0;
  let pages = 0;
  for (const h of heights) {
    if (used + h > page) {
      lost += (page - used) / page;
      pages++;
      used = 0;
    }
    used += h + 3 * px;
  }
  return pages ? lost / pages : 0;
}
